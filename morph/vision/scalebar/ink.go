package scalebar

import (
	"image"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
)

// mark is a connected patch of ink in a level, darker or lighter than what is
// round it, with its box along its own axes. Lengths are px of the level.
type mark struct {
	centre r2.Vec // of its box
	along  r2.Vec // unit, along its longer side
	long   float64
	wide   float64
	area   float64
	light  bool
}

// fill is how much of its box the mark covers.
func (m mark) fill() float64 { return m.area / (m.long * m.wide) }

// Limits of what counts as ink.
const (
	// Dark ink is less than these shares of the brightness round it: strokes,
	// which blur makes fainter, and blocks, whose thin rims shall not join them.
	strokeShare = 0.62
	blockShare  = 0.45

	lightRise = 55 // grey levels over what is round it: light ink is more
	leastArea = 5  // px of the level
	mostMarks = 6000
)

// marks finds the patches of ink in a level: dark ones, or light ones.
//
// reach is half the side of the square that is taken for what is round a pixel:
// small ones find thin strokes wherever they are, large ones find whole blocks.
// Dark ink is what has less than the given share of the brightness there.
func marks(l *vision.Level, reach int, share float64, light bool) []mark {
	w, h := l.Width, l.Height
	grey := l.GreyPlane(image.Rect(0, 0, w, h), nil)
	l.Rest()
	ink := inked(l, grey, reach, share, light)
	var out []mark
	stack := make([]int32, 0, 1024)
	var patch []int32
	for start := range ink {
		if start%w == 0 {
			l.Rest()
		}
		if !ink[start] {
			continue
		}
		patch = patch[:0]
		stack = append(stack[:0], int32(start))
		ink[start] = false
		for len(stack) > 0 {
			i := int(stack[len(stack)-1])
			stack = stack[:len(stack)-1]
			patch = append(patch, int32(i))
			x, y := i%w, i/w
			for v := max(0, y-1); v <= min(h-1, y+1); v++ {
				for u := max(0, x-1); u <= min(w-1, x+1); u++ {
					if k := v*w + u; ink[k] {
						ink[k] = false
						stack = append(stack, int32(k))
					}
				}
			}
		}
		if len(patch) >= leastArea {
			m := markOf(patch, w)
			m.light = light
			out = append(out, m)
		}
		if len(out) >= mostMarks {
			break
		}
	}
	return out
}

// inked tells which pixels are ink: far darker, or lighter, than the mean of the
// square of 2·reach+1 px round them.
func inked(l *vision.Level, grey []float32, reach int, share float64, light bool) []bool {
	w, h := l.Width, l.Height
	sums := make([]float64, (w+1)*(h+1))
	for y := range h {
		l.Rest()
		row := 0.0
		for x := range w {
			row += float64(grey[y*w+x])
			sums[(y+1)*(w+1)+x+1] = sums[y*(w+1)+x+1] + row
		}
	}
	ink := make([]bool, w*h)
	for y := range h {
		l.Rest()
		y0, y1 := max(0, y-reach), min(h, y+reach+1)
		for x := range w {
			x0, x1 := max(0, x-reach), min(w, x+reach+1)
			mean := (sums[y1*(w+1)+x1] - sums[y0*(w+1)+x1] - sums[y1*(w+1)+x0] + sums[y0*(w+1)+x0]) / float64((x1-x0)*(y1-y0))
			g := float64(grey[y*w+x])
			if light {
				ink[y*w+x] = g > mean+lightRise
			} else {
				ink[y*w+x] = g < share*mean
			}
		}
	}
	return ink
}

// markOf measures a patch along the axes of its second moments.
func markOf(patch []int32, w int) mark {
	var sx, sy float64
	for _, i := range patch {
		sx += float64(int(i)%w) + 0.5
		sy += float64(int(i)/w) + 0.5
	}
	n := float64(len(patch))
	c := r2.Vec{X: sx / n, Y: sy / n}
	var xx, yy, xy float64
	for _, i := range patch {
		x, y := float64(int(i)%w)+0.5-c.X, float64(int(i)/w)+0.5-c.Y
		xx += x * x
		yy += y * y
		xy += x * y
	}
	angle := math.Atan2(2*xy, xx-yy) / 2
	m := boxed(patch, w, c, angle)
	// The moments of a square have no axes: its box is the least one.
	if m.long < 2*m.wide && len(patch) < largeBlock {
		for turn := 1; turn < 9; turn++ {
			if o := boxed(patch, w, c, angle+float64(turn)*math.Pi/18); o.long*o.wide < m.long*m.wide {
				m = o
			}
		}
	}
	return m
}

// largeBlock is the area, px, from which a patch is no block of a scale bar.
const largeBlock = 40000

// boxed gives a patch with its box along an angle, its longer side first.
func boxed(patch []int32, w int, c r2.Vec, angle float64) mark {
	sin, cos := math.Sincos(angle)
	lo, hi := [2]float64{math.Inf(1), math.Inf(1)}, [2]float64{math.Inf(-1), math.Inf(-1)}
	for _, i := range patch {
		x, y := float64(int(i)%w)+0.5-c.X, float64(int(i)/w)+0.5-c.Y
		for k, v := range [2]float64{cos*x + sin*y, cos*y - sin*x} {
			lo[k], hi[k] = min(lo[k], v), max(hi[k], v)
		}
	}
	// A pixel is about one px wide whichever way it is looked at.
	m := mark{along: r2.Vec{X: cos, Y: sin}, area: float64(len(patch)), long: hi[0] - lo[0] + 1, wide: hi[1] - lo[1] + 1}
	mid := [2]float64{(lo[0] + hi[0]) / 2, (lo[1] + hi[1]) / 2}
	m.centre = r2.Vec{X: c.X + cos*mid[0] - sin*mid[1], Y: c.Y + sin*mid[0] + cos*mid[1]}
	if m.long < m.wide {
		m.long, m.wide, m.along = m.wide, m.long, r2.Vec{X: -sin, Y: cos}
	}
	return m
}

// brightness is the grey that only the brightest parts of a level go beyond.
func brightness(l *vision.Level) float64 {
	grey := l.GreyPlane(image.Rect(0, 0, l.Width, l.Height), nil)
	slices.Sort(grey)
	return float64(grey[len(grey)*97/100])
}
