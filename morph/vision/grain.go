package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// peel takes from a thing on a grainy ground what joins its edge and is as
// grainy as the ground, of its hue and not brighter: ground in the thing's own
// shadow.
func (f *field) peel(thing *mask) *mask {
	depth := thing.depths(0)
	deepest := int32(0)
	for _, d := range depth {
		deepest = max(deepest, d)
	}
	rest, core := thing.inverse(), newMask(f.w, f.h)
	grain, hue, light := f.grain(), f.blank(), f.blank()
	for i, c := range f.colour {
		core.on[i] = 2*depth[i] > deepest
		light[i] = lightness(c)
		hue[i] = (c[0] - c[2]) / light[i]
	}
	f.level.Rest()
	outside, inside := quantile(f.under(rest, grain), 0.5), quantile(f.under(core, grain), 0.5)
	if outside < 1.5*inside {
		return thing
	}
	// Near a sharp tip both edges make the tooth look grainy.
	bay := deepest / 6
	thing = thing.closed(bay)
	least := math.Sqrt(outside * inside)
	hues := f.under(rest, hue)
	low, high := quantile(hues, 0.05), quantile(hues, 0.95)
	bright := quantile(f.under(rest, light), 0.7)
	low, high = low-0.5*(high-low)-0.02, high+0.5*(high-low)+0.02
	f.level.Rest()
	taken := newMask(f.w, f.h)
	var starts []int
	for i, on := range thing.on {
		if !on {
			starts = append(starts, i)
		}
	}
	taken.flood(starts, func(j int) bool {
		return grain[j] > least && hue[j] > low && hue[j] < high && light[j] < bright
	})
	out := taken.inverse().closed(bay)
	for i, on := range thing.on {
		out.on[i] = out.on[i] && on
	}
	return out
}

// lightness is the grey of a colour, a little more so that dark noise counts
// less in what is divided by it.
func lightness(c colour) float64 { return (c[0]+c[1]+c[2])/3 + 10 }

// grain is the unevenness about each pixel as a share of its lightness: the same
// in light and shade.
func (f *field) grain() []float64 {
	out := f.blank()
	for i, c := range f.colour {
		out[i] = f.uneven[i] / lightness(c)
	}
	return out
}

// parts tells of each point of a closed line, px of the photograph, tooth to its
// right, whether it parts what is grainy as the ground from what is smooth as the
// tooth, 0 to 1: along seven tenths of a piece of the line will do, as cracks
// and denticles are grainy too.
func (f *field) parts(line []r2.Vec) []float64 {
	const off = 5 // px of the level: about the place the unevenness of both sides is mixed
	small := make([]r2.Vec, len(line))
	for i, q := range line {
		small[i] = r2.Scale(1/f.level.Factor, q)
	}
	r := f.level.lay(small, true, off)
	grain := f.grain()
	at := func(q r2.Vec) float64 {
		x, y := max(0, min(int(q.X), f.w-1)), max(0, min(int(q.Y), f.h-1))
		return grain[y*f.w+x]
	}
	n := len(r.points)
	ground, tooth := make([]float64, n), make([]float64, n)
	for i := range n {
		ground[i], tooth[i] = at(r.at(i, -off)), at(r.at(i, off))
	}
	between := math.Sqrt(quantile(ground, 0.5) * quantile(tooth, 0.5))
	around := n / 40
	rows := make([]float64, n)
	for i := range n {
		for k := -around; k <= around; k++ {
			if j := r.step(i + k); ground[j] > between && tooth[j] < between {
				rows[i] += 1 / float64(2*around+1)
			}
		}
		rows[i] = math.Max(0, math.Min((rows[i]-0.4)/0.3, 1))
	}
	// The rows are evenly spaced; the line's points nearly so.
	out := make([]float64, len(line))
	for i := range out {
		out[i] = rows[i*n/len(out)]
	}
	return out
}
