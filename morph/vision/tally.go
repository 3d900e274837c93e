package vision

// tally is what a blob is worked out from: how many colours, their sum and the
// sums of their products (xx, yy, zz, xy, xz, yz).
type tally struct {
	n       float64
	sum     colour
	product [6]float64
}

// add counts a colour k times.
func (t *tally) add(c colour, k float64) {
	t.n += k
	for a := range c {
		t.sum[a] += k * c[a]
	}
	for a, v := range [6]float64{c[0] * c[0], c[1] * c[1], c[2] * c[2], c[0] * c[1], c[0] * c[2], c[1] * c[2]} {
		t.product[a] += k * v
	}
}

// merge counts the colours of another tally k times; -1 takes them out again.
func (t *tally) merge(o *tally, k float64) {
	t.n += k * o.n
	for a := range t.sum {
		t.sum[a] += k * o.sum[a]
	}
	for a := range t.product {
		t.product[a] += k * o.product[a]
	}
}

// blob is the normal distribution of the colours, which are a share of all.
func (t *tally) blob(share float64) blob {
	b := blob{share: share}
	for a := range b.mean {
		b.mean[a] = t.sum[a] / t.n
	}
	m := b.mean
	v := t.product
	for a, p := range [6]float64{m[0] * m[0], m[1] * m[1], m[2] * m[2], m[0] * m[1], m[0] * m[2], m[1] * m[2]} {
		v[a] = v[a]/t.n - p
	}
	b.settle(v)
	return b
}
