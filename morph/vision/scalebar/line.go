package scalebar

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
)

// lines gives the straight even strokes among the marks of a level that may be
// a bar without divisions, in px of the photograph.
func lines(p *vision.Picture, l *vision.Level, all []mark) []Bar {
	var out []Bar
	for _, m := range all {
		if m.long < 5*m.wide || m.long < 0.04*float64(max(l.Width, l.Height)) {
			continue
		}
		l.Rest()
		if b, ok := lineOf(p, l, m); ok {
			out = append(out, b)
		}
	}
	return out
}

// lineOf measures a stroke: inked along all of its middle, and paper beyond its
// ends and beside it.
func lineOf(p *vision.Picture, l *vision.Level, m mark) (Bar, bool) {
	full := p.Level(0)
	half := r2.Scale(l.Factor*m.long/2, m.along)
	centre := r2.Scale(l.Factor, m.centre)
	length := l.Factor * m.long
	over := max(4*l.Factor, 0.03*length)
	start := r2.Sub(centre, r2.Scale(1+2*over/length, half))
	profile := profileAlong(full, start, m.along, length+2*over, l.Factor)
	if m.light {
		for i, v := range profile {
			profile[i] = 255 - v
		}
	}
	edges := crossings(profile)
	if len(edges) != 2 || !edges[0].down || edges[1].down {
		return Bar{}, false
	}
	ends := [2]r2.Vec{r2.Add(start, r2.Scale(edges[0].at, m.along)), r2.Add(start, r2.Scale(edges[1].at, m.along))}
	if r2.Norm(r2.Sub(ends[1], ends[0])) < 0.85*length {
		return Bar{}, false
	}
	straight := straightness(full, ends, m)
	if straight > 0.6 {
		return Bar{}, false
	}
	return Bar{Kind: Line, Ends: ends, UEnd: 0.5, Confidence: 0.5 * (1 - straight)}, true
}

// straightness is the deviation of a stroke's middle from the straight line
// between its ends, in px; beyond measure where it has no ink somewhere.
func straightness(l *vision.Level, ends [2]r2.Vec, m mark) float64 {
	axis := r2.Sub(ends[1], ends[0])
	length := r2.Norm(axis)
	axis = r2.Scale(1/length, axis)
	const places = 24
	var sum, square float64
	for i := range places {
		at := r2.Add(ends[0], r2.Scale(length*(0.1+0.8*float64(i)/(places-1)), axis))
		across := r2.Vec{X: -axis.Y, Y: axis.X}
		s, ok := inkMiddle(l, at, across, axis, 2.4*max(6, m.area/m.long*2), 3, m.light)
		if !ok {
			return math.Inf(1)
		}
		d := r2.Dot(r2.Sub(s.middle, at), across)
		sum += d / places
		square += d * d / places
	}
	return math.Sqrt(max(0, square-sum*sum))
}
