package vision

import "math"

// field is a level prepared for telling tooth from ground.
type field struct {
	level  *Level
	w, h   int
	colour []colour
	look   []colour  // what tells tooth from ground: the colour, or what stands for it
	slope  []float64 // how fast the colour changes, grey levels per px
	ring   *mask     // the frame of the picture
	uneven []float64 // of a grainy ground: the deviation of the colour about each pixel, grey levels; or nil
}

const (
	// ringShare is how much of the picture's sides counts as its frame.
	ringShare = 0.03
	// sampled is how many colours describe tooth and ground at most.
	sampled = 3000
	// calm is the slope, grey levels per px, that a ground's own texture may
	// reach before it is smoothed.
	calm = 4
)

func newField(l *Level) *field {
	f := &field{level: l, w: l.Width, h: l.Height}
	f.colour = make([]colour, f.w*f.h)
	for i := range f.colour {
		p := l.Pix[4*i:][:4]
		f.colour[i] = colour{float64(p[0]), float64(p[1]), float64(p[2])}
	}
	f.ring = f.frame()
	f.slope = make([]float64, f.w*f.h)
	f.rise()
	grainy := quantile(f.under(f.ring, f.slope), 0.5) > 2*calm
	l.Rest()
	if grainy {
		f.uneven = f.unevenness()
		l.Rest()
	}
	for range 4 {
		l.Rest()
		if quantile(f.under(f.ring, f.slope), 0.8) <= calm {
			break
		}
		f.smooth()
		f.rise()
	}
	f.look = f.colour
	if grainy {
		// Enamel is smoother than sand even where it has its colour.
		f.look = make([]colour, len(f.colour))
		for i, c := range f.colour {
			f.look[i] = colour{0.577 * (c[0] + c[1] + c[2]), 0.707 * (c[0] - c[2]), 2 * f.uneven[i]}
		}
	}
	return f
}

// unevenness is the deviation of the colour within two px of each pixel, grey
// levels.
func (f *field) unevenness() []float64 {
	sum, square := f.blank(), f.blank()
	for i, c := range f.colour {
		g := (c[0] + c[1] + c[2]) / 3
		sum[i], square[i] = g, g*g
	}
	sum, square = f.boxed(sum, 2), f.boxed(square, 2)
	out := f.blank()
	for i := range out {
		out[i] = math.Sqrt(math.Max(0, square[i]-sum[i]*sum[i]))
	}
	return f.boxed(out, 2)
}

func (f *field) blank() []float64 { return make([]float64, f.w*f.h) }

// boxed is the mean within reach px along and across.
func (f *field) boxed(v []float64, reach int) []float64 {
	rows, out := f.blank(), f.blank()
	n := float64(2*reach + 1)
	for i := range v {
		x := i % f.w
		for k := -reach; k <= reach; k++ {
			rows[i] += v[i-x+max(0, min(x+k, f.w-1))] / n
		}
	}
	for i := range v {
		x, y := i%f.w, i/f.w
		for k := -reach; k <= reach; k++ {
			out[i] += rows[max(0, min(y+k, f.h-1))*f.w+x] / n
		}
	}
	return out
}

// rise works out the slopes.
func (f *field) rise() {
	for y := range f.h {
		up, down := max(y-1, 0)*f.w, min(y+1, f.h-1)*f.w
		for x := range f.w {
			left, right := max(x-1, 0), min(x+1, f.w-1)
			dx := apart(f.colour[y*f.w+left], f.colour[y*f.w+right])
			dy := apart(f.colour[up+x], f.colour[down+x])
			f.slope[y*f.w+x] = math.Sqrt(dx+dy) / 2
		}
	}
}

// smooth mixes every colour with its neighbours', 1:2:1 along and across.
func (f *field) smooth() {
	blend := func(n, stride int, at func(k int) int) {
		for k := range stride {
			before := f.colour[at(k*n)]
			for i := range n {
				here := f.colour[at(k*n+i)]
				after := f.colour[at(k*n+min(i+1, n-1))]
				for c := range here {
					f.colour[at(k*n+i)][c] = (before[c] + 2*here[c] + after[c]) / 4
				}
				before = here
			}
		}
	}
	blend(f.w, f.h, func(k int) int { return k })
	blend(f.h, f.w, func(k int) int { return k%f.h*f.w + k/f.h })
}

// under gives the values under a mask.
func (f *field) under(m *mask, values []float64) []float64 {
	var out []float64
	for i, on := range m.on {
		if on {
			out = append(out, values[i])
		}
	}
	return out
}

// frame marks the frame of the picture.
func (f *field) frame() *mask {
	m := newMask(f.w, f.h)
	wide := max(1, int(ringShare*float64(min(f.w, f.h))))
	for i := range m.on {
		x, y := i%f.w, i/f.w
		m.on[i] = x < wide || y < wide || x >= f.w-wide || y >= f.h-wide
	}
	return m
}

// sample gives an even choice of what is seen under a mask.
func (f *field) sample(m *mask) []colour { return colours(f.look, m) }

// colours gives an even choice of the colours under a mask.
func colours(all []colour, m *mask) []colour {
	step := max(1, m.count()/sampled)
	var out []colour
	k := 0
	for i, on := range m.on {
		if on {
			if k%step == 0 {
				out = append(out, all[i])
			}
			k++
		}
	}
	return out
}
