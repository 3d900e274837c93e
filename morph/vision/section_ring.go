package vision

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/spatial/r2"
)

// oval is an ellipse by its middle and its two half axes, px of a level.
type oval struct{ middle, long, short r2.Vec }

// at is the point in the direction of an angle, as many times as far off as the
// oval's line.
func (o oval) at(angle, times float64) r2.Vec {
	sin, cos := math.Sincos(angle)
	return r2.Add(o.middle, r2.Scale(times, r2.Add(r2.Scale(cos, o.long), r2.Scale(sin, o.short))))
}

// ovalOf is the ellipse with a closed polygon's centroid and second moments of
// area; false for one without area.
func ovalOf(line []r2.Vec) (oval, bool) {
	if len(line) < 3 {
		return oval{}, false
	}
	// About a point of the line, so that no digits are lost.
	from := line[0]
	var sum, x, y, xx, xy, yy float64
	for i := range line {
		p, q := r2.Sub(line[i], from), r2.Sub(line[(i+1)%len(line)], from)
		c := r2.Cross(p, q)
		sum += c / 2
		x += c * (p.X + q.X) / 6
		y += c * (p.Y + q.Y) / 6
		xx += c * (p.X*p.X + p.X*q.X + q.X*q.X) / 12
		yy += c * (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) / 12
		xy += c * (p.X*(2*p.Y+q.Y) + q.X*(p.Y+2*q.Y)) / 24
	}
	if math.Abs(sum) < 4 {
		return oval{}, false
	}
	x, y = x/sum, y/sum
	xx, yy, xy = xx/sum-x*x, yy/sum-y*y, xy/sum-x*y
	mean, half := (xx+yy)/2, math.Hypot((xx-yy)/2, xy)
	if !(mean-half > 0) {
		return oval{}, false
	}
	sin, cos := math.Sincos(0.5 * math.Atan2(2*xy, xx-yy))
	a, b := 2*math.Sqrt(mean+half), 2*math.Sqrt(mean-half)
	return oval{
		middle: r2.Add(from, r2.Vec{X: x, Y: y}),
		long:   r2.Vec{X: a * cos, Y: a * sin}, short: r2.Vec{X: -b * sin, Y: b * cos},
	}, true
}

// The picture around an oval is unrolled into rays, from nearest to farthest
// times as far off as the oval's line.
const (
	rays            = 320
	nearest, farOut = 0.35, 1.4
)

// unrolled is the picture around an oval: a row of colours for each ray, and the
// steepness of their change where it is steepest.
type unrolled struct {
	oval
	cells int
	step  float64 // of a cell, in times
	px    []float64
	look  []colour
	steep []float64
}

// unroll lays the level out along rays; each is the mean with around others on
// both sides.
func (l *Level) unroll(o oval, around int) *unrolled {
	u := &unrolled{oval: o, px: make([]float64, rays)}
	u.step = 0.75 / r2.Norm(o.long)
	u.cells = int((farOut-nearest)/u.step) + 1
	raw := make([]colour, rays*u.cells)
	u.look, u.steep = make([]colour, len(raw)), make([]float64, len(raw))
	for i := range rays {
		l.Rest()
		angle := 2 * math.Pi * float64(i) / rays
		u.px[i] = r2.Norm(r2.Sub(o.at(angle, 1), o.middle))
		for j := range u.cells {
			raw[i*u.cells+j] = l.SampleColour(o.at(angle, nearest+u.step*float64(j)))
		}
	}
	for i := range rays {
		for k := -around; k <= around; k++ {
			row := raw[(i+k+rays)%rays*u.cells:][:u.cells]
			for j, c := range row {
				for a := range c {
					u.look[i*u.cells+j][a] += c[a] / float64(2*around+1)
				}
			}
		}
	}
	change := make([]float64, u.cells)
	for i := range rays {
		l.Rest()
		reach := 1 / (u.px[i] * u.step) // a px, in cells
		for j := range change {
			change[j] = math.Sqrt(apart(u.colour(i, float64(j)+reach), u.colour(i, float64(j)-reach)))
		}
		wide := int(math.Max(1, math.Round(1.2*reach)))
		for j, c := range change {
			top := true
			for k := max(0, j-wide); k <= min(u.cells-1, j+wide); k++ {
				top = top && change[k] <= c
			}
			if top {
				for k := max(0, j-wide/2); k <= min(u.cells-1, j+wide/2); k++ {
					u.steep[i*u.cells+k] = math.Max(u.steep[i*u.cells+k], c/(c+faint))
				}
			}
		}
	}
	return u
}

// faint is the change of colour over two px that counts half as an edge.
const faint = 10

func (u *unrolled) colour(i int, j float64) colour {
	j = clamp(j, float64(u.cells-1))
	k := min(int(j), u.cells-2)
	f := j - float64(k)
	a, b := u.look[i*u.cells+k], u.look[i*u.cells+k+1]
	for c := range a {
		a[c] += f * (b[c] - a[c])
	}
	return a
}

// ring is a band along a section's edge: its outer line and, at each of its
// points, how thick it is, px.
type ring struct {
	outer []r2.Vec
	thick []float64
	clear float64 // mean
	look  looks
}

// ring finds the band about as thick as given, px, between two lines along both
// of which the colour changes most, and which looks as expected where that is
// known.
func (u *unrolled) ring(about float64, expected *looks) ring {
	var thick []float64
	for k := -2; k <= 2; k++ {
		thick = append(thick, about*math.Exp2(float64(k)/5))
	}
	n := len(thick)
	const lap = rays / 3
	rows := rays + 2*lap
	sum, part := make([]float64, u.cells*n), make([]float64, u.cells*n)
	from, step := make([]int32, rows*u.cells*n), make([]int32, u.cells*n)
	const swerve, swell = 0.06, 0.15
	for row := range rows {
		i := (row - lap + rays) % rays
		// What leads here costs by how far the line swerves and the band swells,
		// each by itself, so the best of each is enough.
		for s := range sum {
			k := s % n
			at, best := s, sum[s]
			if k > 0 && sum[s-1]-swell > best {
				at, best = s-1, sum[s-1]-swell
			}
			if k < n-1 && sum[s+1]-swell > best {
				at, best = s+1, sum[s+1]-swell
			}
			part[s], step[s] = best, int32(at)
		}
		for j := range u.cells {
			edge := u.steep[i*u.cells+j]
			for k := range n {
				s := j*n + k
				at, best := s, part[s]
				for d := 1; d <= 4; d++ {
					cost := swerve * float64(d)
					if t := s - d*n; t >= 0 && part[t]-cost > best {
						at, best = t, part[t]-cost
					}
					if t := s + d*n; t < len(part) && part[t]-cost > best {
						at, best = t, part[t]-cost
					}
				}
				inner := float64(j) - thick[k]/(u.px[i]*u.step)
				score := edge
				if inner >= 0 {
					score += u.steep[i*u.cells+int(inner)]
				}
				if expected != nil {
					score -= expected.strange(u, i, float64(j), inner)
				}
				sum[s] = best + score
				from[row*u.cells*n+s] = step[at]
			}
		}
	}
	best := 0
	for s := range sum {
		if sum[s] > sum[best] {
			best = s
		}
	}
	out := ring{outer: make([]r2.Vec, rays), thick: make([]float64, rays)}
	s := best
	for row := rows - 1; row >= 0; row-- {
		j, k := s/n, s%n
		if row >= lap && row < lap+rays {
			i := row - lap
			out.outer[i] = u.at(2*math.Pi*float64(i)/rays, nearest+u.step*float64(j))
			out.thick[i] = thick[k]
			out.clear += u.steep[i*u.cells+j] / rays
			inner := float64(j) - thick[k]/(u.px[i]*u.step)
			if inner >= 0 {
				out.clear += u.steep[i*u.cells+int(inner)] / rays
			}
		}
		s = int(from[row*u.cells*n+s])
	}
	return out
}

// looks are the colours that a band and what it encloses have around a section,
// as they turn with the light.
type looks struct{ band, within turning }

// turning is a colour that changes once around: what it is in the mean, and by
// the cosine and the sine of the angle; far is by how much colours usually differ
// from it.
type turning struct {
	c   [3]colour
	far float64
}

func (t *turning) at(i int) colour {
	sin, cos := math.Sincos(2 * math.Pi * float64(i) / rays)
	out := t.c[0]
	for a := range out {
		out[a] += cos*t.c[1][a] + sin*t.c[2][a]
	}
	return out
}

// turn fits a colour that changes once around to one of each ray, of which some
// may be quite others ([biweight]).
func turn(look []colour) turning {
	var t turning
	weight := make([]float64, len(look))
	off := make([]float64, len(look))
	for i := range weight {
		weight[i] = 1
	}
	for range 8 {
		normal := mat.NewSymDense(3, nil)
		right := mat.NewDense(3, 3, nil)
		for i, c := range look {
			sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(len(look)))
			p := [3]float64{1, cos, sin}
			for j := range p {
				for k := j; k < 3; k++ {
					normal.SetSym(j, k, normal.At(j, k)+weight[i]*p[j]*p[k])
				}
				for a := range c {
					right.Set(j, a, right.At(j, a)+weight[i]*p[j]*c[a])
				}
			}
		}
		var solved mat.Cholesky
		var out mat.Dense
		if !solved.Factorize(normal) || solved.SolveTo(&out, right) != nil {
			break
		}
		for j := range 3 {
			for a := range 3 {
				t.c[j][a] = out.At(j, a)
			}
		}
		for i, c := range look {
			off[i] = math.Sqrt(apart(c, t.at(i)))
		}
		t.far = math.Max(4, quantile(off, 0.5))
		for i := range weight {
			weight[i] = biweight(off[i], 4*t.far)
		}
	}
	return t
}

// expect is what a ring found tells of the looks.
func (u *unrolled) expect(r ring) *looks {
	band, within := make([]colour, rays), make([]colour, rays)
	for i := range rays {
		j := u.cell(i, r.outer[i])
		inner := j - r.thick[i]/(u.px[i]*u.step)
		band[i], within[i] = u.colour(i, (j+inner)/2), u.colour(i, inner-2/(u.px[i]*u.step))
	}
	return &looks{turn(band), turn(within)}
}

// cell is where on its ray a point lies.
func (u *unrolled) cell(i int, q r2.Vec) float64 {
	return (r2.Norm(r2.Sub(q, u.middle))/u.px[i] - nearest) / u.step
}

// strange is how unlike the expected the colours about a band are, 0 to 2.
func (l *looks) strange(u *unrolled, i int, outer, inner float64) float64 {
	sum := 0.0
	for _, part := range [2]struct {
		t  *turning
		at float64
	}{{&l.band, (outer + inner) / 2}, {&l.within, inner - 2/(u.px[i]*u.step)}} {
		far := 3 * part.t.far
		d := apart(u.colour(i, part.at), part.t.at(i))
		sum += d / (d + far*far)
	}
	return sum
}

// ringAround finds the clearest ring around a point, with the level n that it was
// found on: near the ovals given, px of the photograph, and, unless one there is
// clear, near circles about the point.
func ringAround(p *Picture, at r2.Vec, start []oval) (n int, r ring, clear float64) {
	side := float64(min(p.Width(), p.Height()))
	for _, share := range []float64{0.2, 0.4} {
		start = append(start, oval{at, r2.Vec{X: side * share}, r2.Vec{Y: side * share}})
	}
	for _, o := range start {
		if m, found := ringFrom(p, o); found.clear > clear {
			n, r, clear = m, found, found.clear
		}
	}
	return n, r, clear
}

// scaled is an oval in px of another level.
func (o oval) scaled(k float64) oval {
	return oval{r2.Scale(k, o.middle), r2.Scale(k, o.long), r2.Scale(k, o.short)}
}

// ringFrom finds the clearest ring near an oval, px of the photograph, on the
// level n that is best for it.
func ringFrom(p *Picture, o oval) (n int, r ring) {
	n = p.Levels() - 1
	for n > 0 && r2.Norm(o.long)/float64(int(1)<<n) < 130 {
		n--
	}
	l := p.Level(n)
	o = o.scaled(1 / l.Factor)
	none := ring{clear: math.Inf(-1)}
	for k := range 3 {
		u := l.unroll(o, max(1, 2-k))
		if k == 0 {
			r = none
			for about := 2.5; about < 0.12*r2.Norm(o.long); about *= 1.4 {
				if found := u.ring(about, nil); found.clear > r.clear {
					r = found
				}
			}
		} else {
			r = u.ring(quantile(r.thick, 0.5), nil)
			look := u.expect(r)
			r = u.ring(quantile(r.thick, 0.5), look)
			r.look = *look
		}
		var ok bool
		if o, ok = ovalOf(r.outer); !ok || !(r2.Norm(o.short) > 6) {
			return n, none
		}
	}
	r.clear -= 0.3 * math.Log2(r.look.band.far/4)
	return n, r
}
