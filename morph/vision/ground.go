package vision

import (
	"image"
	"math"
)

// tooth marks the thing that a pixel belongs to.
func (f *field) tooth(here image.Point) (*mask, error) {
	crest := f.crest()
	f.level.Rest()
	best := f.seed(here, crest)
	if best == nil {
		return nil, ErrNoTooth
	}
	clearest := f.clear(best, crest)
	for m, k := best, 0; k < 2; k++ {
		if m = f.part(m, here); m == nil {
			break
		}
		m = m.filled()
		clear := f.clear(m, crest)
		if clear > 0.9*clearest {
			best, clearest = m, clear
		}
	}
	if f.uneven != nil {
		best = f.peel(best)
		if best = best.component(here, 2); best == nil {
			return nil, ErrNoTooth
		}
		best = best.filled()
	}
	return best, nil
}

// seed marks the thing around a pixel that the ground does not reach. How
// steep an edge stops the ground, and how deep a shade may be, is tried out:
// what gives the clearest edge all round counts, the larger thing in doubt.
func (f *field) seed(here image.Point, crest []float64) *mask {
	look := mix(f.sample(f.ring), 5).common(0.12)
	texture := quantile(f.under(f.ring, f.slope), 0.9)
	var best *mask
	clearest := 0.0
	for _, light := range []struct{ shade, near float64 }{{0.9, 2}, {0.85, 3.5}, {0.6, 3.5}, {0.35, 3.5}} {
		away := make([]float64, len(f.colour))
		for i, c := range f.look {
			if i%f.w == 0 {
				f.level.Rest()
			}
			away[i] = look.shaded(c, light.shade)
		}
		for _, steep := range []float64{1, 2, 4, 8} {
			f.level.Rest()
			even := steep * math.Max(4, texture)
			ground := f.ground(func(j int) bool { return f.slope[j] < even && away[j] < light.near*light.near })
			thing := newMask(f.w, f.h)
			for i, on := range ground.on {
				thing.on[i] = !on
			}
			m := thing.component(here, 2)
			if m == nil || m.count() < leastThing {
				continue
			}
			m = m.filled()
			f.level.Rest()
			clear := f.clear(m, crest)
			if best == nil || clear > 1.1*clearest {
				best, clearest = m, clear
			}
		}
	}
	return best
}

// leastThing is how few pixels of the overview can still be a tooth.
const leastThing = 24

// crest is the steepest slope within two px of each pixel.
func (f *field) crest() []float64 {
	const reach = 2
	rows, out := make([]float64, len(f.slope)), make([]float64, len(f.slope))
	for i := range rows {
		x := i % f.w
		for k := max(-reach, -x); k <= min(reach, f.w-1-x); k++ {
			rows[i] = math.Max(rows[i], f.slope[i+k])
		}
	}
	for i := range out {
		y := i / f.w
		for k := max(-reach, -y); k <= min(reach, f.h-1-y); k++ {
			out[i] = math.Max(out[i], rows[i+k*f.w])
		}
	}
	return out
}

// clear is how steep the fainter part of a thing's edge is.
func (f *field) clear(m *mask, crest []float64) float64 {
	var along []float64
	for i, on := range m.on {
		if !on {
			continue
		}
		edge := false
		m.around4(i, func(j int) { edge = edge || !m.on[j] })
		if edge {
			along = append(along, crest[i])
		}
	}
	return quantile(along, 0.3) * solid(m)
}

// ground marks what joins the frame over pixels that may be ground.
func (f *field) ground(may func(j int) bool) *mask {
	m := newMask(f.w, f.h)
	var starts []int
	for i, on := range f.ring.on {
		if on && may(i) {
			starts = append(starts, i)
		}
	}
	m.flood(starts, may)
	return m
}

// part cuts tooth from ground, both described by what is taken for them now,
// and gives the part that the pixel belongs to.
func (f *field) part(tooth *mask, here image.Point) *mask {
	rest := tooth.inverse()
	inside := mix(f.sample(tooth), 5)
	f.level.Rest()
	outside := mix(f.sample(rest), 6)
	f.level.Rest()
	net := newNetwork(f.w*f.h, 4*f.w*f.h)
	net.rest = f.level.Rest
	const (
		unit = 64 // of one natural logarithm
		most = 4  // natural logarithms that one pixel's colour can count
		sure = 1 << 20
	)
	for i := range net.tie {
		if i%f.w == 0 {
			f.level.Rest()
		}
		c := f.look[i]
		d := outside.unlikely(c) - inside.unlikely(c)
		net.tie[i] = int32(unit * math.Max(-most, math.Min(d, most)))
		if f.ring.on[i] && !tooth.on[i] {
			net.tie[i] = -sure
		}
	}
	net.tie[here.Y*f.w+here.X] = sure
	// Neighbours stay together unless their colours differ more than usual.
	var sum float64
	var count int
	f.pairs(func(i, j int, far float64) {
		sum += apart(f.colour[i], f.colour[j])
		count++
	})
	usual := 2*sum/float64(max(1, count)) + 1
	f.pairs(func(i, j int, far float64) {
		tie := 0.15 + 4*math.Exp(-apart(f.colour[i], f.colour[j])/usual)
		net.join(int32(i), int32(j), int32(unit*tie/far))
	})
	m := newMask(f.w, f.h)
	m.on = net.cut()
	f.level.Rest()
	return m.component(here, 2)
}

// pairs calls visit with every two neighbouring pixels and their distance.
func (f *field) pairs(visit func(i, j int, far float64)) {
	for y := range f.h {
		f.level.Rest()
		for x := range f.w {
			i := y*f.w + x
			if x < f.w-1 {
				visit(i, i+1, 1)
			}
			if y < f.h-1 {
				visit(i, i+f.w, 1)
				if x < f.w-1 {
					visit(i, i+f.w+1, math.Sqrt2)
				}
				if x > 0 {
					visit(i, i+f.w-1, math.Sqrt2)
				}
			}
		}
	}
}
