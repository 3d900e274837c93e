package scalebar

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat"

	"crownbench/morph/vision"
)

// leastTall is how long the ticks of a ruler are at least, on the mean, in
// divisions: denticles are as even, but lower for their spacing.
const leastTall = 0.55

// leastTicks is the fewest ticks that make a ruler.
const leastTicks = 5

// rulers gives the rows of ticks among the marks of a level, in px of the
// photograph; bright is the grey of its brightest parts.
func rulers(p *vision.Picture, l *vision.Level, all []mark, bright float64) []Bar {
	var ticks []mark
	for _, m := range all {
		if m.long >= 2.2*m.wide && m.fill() > 0.5 && m.long < float64(min(l.Width, l.Height))/4 {
			ticks = append(ticks, m)
		}
	}
	var out []Bar
	same := func(a, b mark) bool {
		return math.Abs(r2.Cross(a.along, b.along)) < 0.12 && a.long < 3*b.long && b.long < 3*a.long &&
			a.wide < 1.8*b.wide+1 && b.wide < 1.8*a.wide+1
	}
	// The feet of a ruler's ticks are on a line, their heads need not be.
	for turn := range 4 {
		end := 1.0 - 2*float64(turn%2)
		beads := make([]bead, len(ticks))
		for i, m := range ticks {
			m.along = facing(m.along, turn < 2)
			beads[i] = bead{r2.Add(m.centre, r2.Scale(end*m.long/2, m.along)), m}
		}
		across := func(b bead) r2.Vec { return r2.Vec{X: b.of.along.Y, Y: -b.of.along.X} }
		for _, c := range chains(l.Rest, beads, across, same, leastTicks) {
			if b, ok := rulerOf(p, l, c, end, bright); ok {
				out = append(out, b)
			}
		}
	}
	return out
}

// facing gives one of a direction's two senses, whichever it is given: to the
// right, or downward. Marks of one row that lie about square to one of these may
// come out either way; they do not in the other.
func facing(v r2.Vec, right bool) r2.Vec {
	if right && v.X < 0 || !right && v.Y < 0 {
		return r2.Scale(-1, v)
	}
	return v
}

// rulerOf measures a row of ticks in the photograph itself.
func rulerOf(p *vision.Picture, l *vision.Level, row []bead, end, bright float64) (Bar, bool) {
	n := len(row)
	first, last := r2.Scale(l.Factor, row[0].at), r2.Scale(l.Factor, row[n-1].at)
	axis := r2.Sub(last, first)
	probe := tickProbe{level: p.Level(0), spacing: r2.Norm(axis) / float64(n-1), light: row[0].of.light}
	probe.axis = r2.Scale(1/r2.Norm(axis), axis)
	var seen []tick
	for _, b := range row {
		l.Rest()
		probe.into = r2.Scale(-end, b.of.along)
		probe.long = b.of.long * l.Factor
		t, ok := probe.at(r2.Scale(l.Factor, b.at))
		if !ok {
			return Bar{}, false
		}
		seen = append(seen, t)
	}
	if !printed(seen) || !onPaper(seen, bright, probe.light) {
		return Bar{}, false
	}
	seen = probe.extend(seen)
	n = len(seen)
	feet, tall := make([]r2.Vec, n), make([]float64, n)
	for i, t := range seen {
		feet[i], tall[i] = t.foot, t.long
	}
	fit, ok := fitRow(feet)
	if !ok || fit.rms > 0.015*fit.spacing+0.15 || fit.bend > 0.015*fit.spacing+0.5*l.Factor ||
		stat.Mean(tall, nil) < leastTall*fit.spacing {
		return Bar{}, false
	}
	b := Bar{Kind: Ruler, Ends: [2]r2.Vec{fit.at(0), fit.at(float64(n - 1))}, Divisions: n - 1, Spacing: fit.spacing,
		UEnd: fit.uEnd(n), Major: majors(tall)}
	b.Confidence = fit.confidence(n)
	return b, true
}

// tick is one tick as the photograph shows it.
type tick struct {
	foot       r2.Vec
	long       float64
	ink, paper float64 // grey levels, inverted where ink is light
	taper      float64 // its width near its head over that near its foot
}

// printed tells whether ticks are all of one ink on one paper and as wide at the
// foot as at the head, as no row of denticles with its notches is.
func printed(ticks []tick) bool {
	ink, paper := make([]float64, len(ticks)), make([]float64, len(ticks))
	contrast := 0.0
	for i, t := range ticks {
		ink[i], paper[i] = t.ink, t.paper
		contrast += (t.paper - t.ink) / float64(len(ticks))
	}
	taper := make([]float64, len(ticks))
	for i, t := range ticks {
		taper[i] = t.taper
	}
	slices.Sort(taper)
	middle := taper[len(taper)/2]
	return stat.StdDev(paper, nil) < 0.1*contrast && stat.StdDev(ink, nil) < 0.2*contrast && middle > 0.75 && middle < 1.33
}

// onPaper tells whether ticks stand on what is nearly as bright as the brightest
// of the photograph, or, light ones, on what is dark beside it.
func onPaper(ticks []tick, bright float64, light bool) bool {
	paper := 0.0
	for _, t := range ticks {
		paper += t.paper / float64(len(ticks))
	}
	if light {
		return 255-paper < blackShare*bright
	}
	return paper > max(whiteShare*bright, leastPaper)
}

// How bright white paper is at least, and black plastic at most, beside the
// brightest of the photograph.
const (
	whiteShare = 0.72
	blackShare = 0.35
	leastPaper = 120.0 // grey of white paper in a photograph that is not far too dark
)

// tickProbe measures ticks of one row.
type tickProbe struct {
	level      *vision.Level
	axis, into r2.Vec // along the row; from a foot into its tick
	spacing    float64
	long       float64
	light      bool
}

// at measures the tick whose foot is near a point, across it to parts of a px:
// the centroid of its ink over half its length.
func (t tickProbe) at(foot r2.Vec) (tick, bool) {
	along := func(share float64) r2.Vec { return r2.Add(foot, r2.Scale(share*t.long, t.into)) }
	s, ok := inkMiddle(t.level, along(0.4), t.axis, t.into, t.spacing, 0.4*t.long, t.light)
	out := tick{foot: r2.Sub(s.middle, r2.Scale(0.4*t.long, t.into)), long: t.long, ink: s.ink, paper: s.paper}
	low, okLow := inkMiddle(t.level, along(0.25), t.axis, t.into, t.spacing, 0.15*t.long, t.light)
	high, okHigh := inkMiddle(t.level, along(0.7), t.axis, t.into, t.spacing, 0.15*t.long, t.light)
	out.taper = high.width / low.width
	return out, ok && okLow && okHigh
}

// extend adds ticks that were passed over at the ends of the row, such as those
// close to the edge of the paper.
func (t tickProbe) extend(row []tick) []tick {
	for range 2 {
		for {
			n := len(row)
			stride := r2.Scale(1/float64(n-1), r2.Sub(row[n-1].foot, row[0].foot))
			want := r2.Add(row[n-1].foot, stride)
			t.long = row[n-1].long
			for _, k := range row {
				t.long = min(t.long, k.long)
			}
			next, ok := t.at(want)
			off := r2.Norm(r2.Sub(next.foot, want))
			if !ok || off > 0.08*r2.Norm(stride)+0.3 || !printed(append(row[n-min(n, 3):n:n], next)) || n > mostMarks {
				break
			}
			row = append(row, next)
		}
		slices.Reverse(row)
	}
	return row
}

// stroke is a stroke of ink as it shows across it.
type stroke struct {
	middle     r2.Vec
	width      float64 // px, as wide as ink of full strength would be
	ink, paper float64
}

// inkMiddle measures a stroke across it near a point on it, averaged over the
// given length of it; false without contrast.
func inkMiddle(l *vision.Level, at, axis, into r2.Vec, spacing, long float64, light bool) (stroke, bool) {
	const step = 0.25
	reach := max(4, int(0.45*spacing/step))
	profile := make([]float64, 2*reach+1)
	lines := max(3, int(long/2))
	for k := range lines {
		l.Rest()
		shift := (float64(k)/float64(lines-1) - 0.5) * long
		for i := range profile {
			q := r2.Add(at, r2.Add(r2.Scale(float64(i-reach)*step, axis), r2.Scale(shift, into)))
			v := l.SampleGrey(q)
			if light {
				v = 255 - v
			}
			profile[i] += v / float64(lines)
		}
	}
	lo, hi := extremes(profile)
	if hi-lo < leastInk {
		return stroke{at, 0, lo, hi}, false
	}
	var sum, mass, area float64
	for i, v := range profile {
		if dark := (lo+hi)/2 - v; dark > 0 {
			sum += dark * float64(i-reach) * step
			mass += dark
		}
		area += (hi - v) * step
	}
	return stroke{r2.Add(at, r2.Scale(sum/mass, axis)), area / (hi - lo), lo, hi}, true
}

// leastInk is the least contrast, in grey levels, that a bar is measured at.
const leastInk = 30

func extremes(values []float64) (lo, hi float64) {
	lo, hi = math.Inf(1), math.Inf(-1)
	for _, v := range values {
		lo, hi = min(lo, v), max(hi, v)
	}
	return lo, hi
}

// majors gives every how many divisions a tick is taller, 0 where none is.
func majors(tall []float64) int {
	lo, hi := extremes(tall)
	if hi < 1.25*lo {
		return 0
	}
	last, every := -1, 0
	for i, v := range tall {
		if v < (lo+hi)/2 {
			continue
		}
		if last >= 0 {
			if every != 0 && i-last != every {
				return 0
			}
			every = i - last
		}
		last = i
	}
	if every < 2 {
		return 0
	}
	return every
}
