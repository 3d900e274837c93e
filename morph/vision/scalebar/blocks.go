package scalebar

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
)

// blocks gives the bars of alternating blocks among the marks of a level, in px
// of the photograph. Where thin lines join the blocks the bar is one mark, else
// its black blocks are a row of them.
func blocks(p *vision.Picture, l *vision.Level, all []mark, bright float64) []Bar {
	var out []Bar
	try := func(from, to r2.Vec, wide float64) {
		l.Rest()
		b, ok := blocksAlong(p, r2.Scale(l.Factor, from), r2.Scale(l.Factor, to), wide*l.Factor, bright)
		// What was seen may be a part of the bar: look on from there.
		for more := ok; more; {
			from, to := midline(p.Level(0), b, wide*l.Factor)
			longer, found := blocksAlong(p, from, to, wide*l.Factor, bright)
			more = found && longer.Divisions > b.Divisions
			if found && longer.Divisions >= b.Divisions {
				b = longer
			}
		}
		if ok {
			out = append(out, b)
		}
	}
	var solid []bead
	for _, m := range all {
		if m.long >= 2.5*m.wide && m.wide >= 3 && m.long > 24 {
			half := r2.Scale(m.long/2, m.along)
			try(r2.Sub(m.centre, half), r2.Add(m.centre, half), m.wide)
		}
		if m.fill() > 0.7 && m.wide >= 3 {
			solid = append(solid, bead{m.centre, m})
			// A bar's only block that stands apart from the others.
			for _, half := range [2]r2.Vec{r2.Scale(m.long, m.along), r2.Scale(m.wide, r2.Vec{X: -m.along.Y, Y: m.along.X})} {
				try(r2.Sub(m.centre, half), r2.Add(m.centre, half), m.wide)
			}
		}
	}
	same := func(a, b mark) bool {
		return a.long < 1.25*b.long+2 && b.long < 1.25*a.long+2 && a.wide < 1.25*b.wide+2 && b.wide < 1.25*a.wide+2
	}
	for _, right := range [2]bool{true, false} {
		toward := nearest(l.Rest, solid, same)
		ahead := func(b bead) r2.Vec { return facing(toward[b.at], right) }
		for _, c := range chains(l.Rest, solid, ahead, same, 2) {
			from, to := c[0], c[len(c)-1]
			step := r2.Scale(0.25/float64(len(c)-1), r2.Sub(to.at, from.at)) // half a block
			dir := r2.Unit(step)
			// How wide the block is square to the row.
			wide := from.of.wide
			if math.Abs(r2.Dot(dir, from.of.along)) < 0.7 {
				wide = from.of.long
			}
			try(r2.Sub(from.at, step), r2.Add(to.at, step), wide)
		}
	}
	return out
}

// nearest gives the direction from each bead to the nearest one like it. rest is
// called at every bead.
func nearest(rest func(), beads []bead, same func(a, b mark) bool) map[r2.Vec]r2.Vec {
	out := make(map[r2.Vec]r2.Vec, len(beads))
	for i, a := range beads {
		rest()
		best := math.Inf(1)
		for k, b := range beads {
			if d := r2.Norm(r2.Sub(b.at, a.at)); k != i && d > 0 && d < best && same(a.of, b.of) {
				best, out[a.at] = d, r2.Scale(1/d, r2.Sub(b.at, a.at))
			}
		}
	}
	return out
}

// midline gives the ends of a bar moved square to it into the middle of its
// first and last black blocks.
func midline(l *vision.Level, b Bar, wide float64) (from, to r2.Vec) {
	axis := r2.Scale(1/r2.Norm(r2.Sub(b.Ends[1], b.Ends[0])), r2.Sub(b.Ends[1], b.Ends[0]))
	across := r2.Vec{X: -axis.Y, Y: axis.X}
	last := (b.Divisions - 1) / 2 * 2 // blocks 0, 2, … are black
	var at [2]r2.Vec
	for i, block := range [2]int{0, last} {
		middle := r2.Add(b.Ends[0], r2.Scale((float64(block)+0.5)*b.Spacing, axis))
		at[i] = middle
		if s, ok := inkMiddle(l, middle, across, axis, 1.8*wide, 0.4*b.Spacing, false); ok {
			at[i] = s.middle
		}
	}
	if last == 0 {
		return b.Ends[0], b.Ends[1]
	}
	stride := r2.Scale(1/float64(last), r2.Sub(at[1], at[0]))
	return r2.Sub(at[0], r2.Scale(0.5, stride)), r2.Add(at[0], r2.Scale(float64(b.Divisions)-0.5, stride))
}

// leastEdges is the fewest even edges in a row that make a bar of blocks.
const leastEdges = 4

// crossing is an edge along a profile: where, and whether it gets darker there.
type crossing struct {
	at   float64
	down bool
}

// blocksAlong looks for blocks along a line that lies in their middle, and a
// little beyond both of its ends.
func blocksAlong(p *vision.Picture, from, to r2.Vec, wide, bright float64) (Bar, bool) {
	axis := r2.Sub(to, from)
	length := r2.Norm(axis)
	if length < 20 || wide < 3 {
		return Bar{}, false
	}
	axis = r2.Scale(1/length, axis)
	over := 0.5*length + 2*wide // more blocks may lie beyond
	start := r2.Sub(from, r2.Scale(over, axis))
	profile := profileAlong(p.Level(0), start, axis, length+2*over, 0.3*wide)
	edges := crossings(profile)
	run := bestRun(edges)
	if len(run) < leastEdges {
		return Bar{}, false
	}
	gap := (run[len(run)-1].at - run[0].at) / float64(len(run)-1)
	ink, paper := blockLevels(profile, run, gap)
	if paper < max(whiteShare*bright, leastPaper) || ink > 0.5*paper || gap < max(leastBlock, 0.15*wide) {
		return Bar{}, false
	}
	if run = trimmed(profile, run, gap, ink, paper); len(run) < leastEdges {
		return Bar{}, false
	}
	// What looks like a rim counts where it leaves the row even.
	for _, edges := range withRims(profile, run, gap, ink, paper) {
		n := len(edges)
		if fit, ok := fitEdges(start, axis, edges); ok && fit.rms <= 0.006*fit.spacing+0.15 {
			return Bar{Kind: Blocks, Ends: [2]r2.Vec{fit.at(0), fit.at(float64(n - 1))}, Divisions: n - 1,
				Spacing: fit.spacing, UEnd: fit.uEnd(n), Confidence: fit.confidence(n)}, true
		}
	}
	return Bar{}, false
}

// fitEdges fits an even row to edges along an axis. Spread ink and glare make
// every black block wider or narrower by as much on both sides: what the edges
// into black have against those out of it is taken off.
func fitEdges(start, axis r2.Vec, edges []crossing) (fit rowFit, ok bool) {
	wider := 0.0 // by how much blocks begin too early, px
	for range 4 {
		places := make([]r2.Vec, len(edges))
		for i, e := range edges {
			places[i] = r2.Add(start, r2.Scale(e.at+e.sign()*wider, axis))
		}
		if fit, ok = fitRow(places); !ok {
			return fit, false
		}
		for i, e := range edges {
			wider -= e.sign() * r2.Dot(r2.Sub(places[i], fit.at(float64(i))), axis) / float64(len(edges))
		}
	}
	return fit, true
}

// sign is 1 where a profile gets darker, −1 where it gets lighter.
func (c crossing) sign() float64 {
	if c.down {
		return 1
	}
	return -1
}

// leastBlock is the length, px, below which blocks cannot be told from grain.
const leastBlock = 6

// profileStep is how far apart, in px, a profile's samples are.
const profileStep = 0.25

// profileAlong gives the grey along a line, averaged over a band of the given
// width.
func profileAlong(l *vision.Level, start, axis r2.Vec, length, band float64) []float64 {
	across := r2.Vec{X: -axis.Y, Y: axis.X}
	lines := max(3, int(band))
	out := make([]float64, int(length/profileStep)+1)
	for i := range out {
		l.Rest()
		at := r2.Add(start, r2.Scale(float64(i)*profileStep, axis))
		for k := range lines {
			shift := (float64(k)/float64(lines-1) - 0.5) * band
			out[i] += l.SampleGrey(r2.Add(at, r2.Scale(shift, across))) / float64(lines)
		}
	}
	return out
}

// crossings gives where a profile passes half way between ink and paper.
func crossings(profile []float64) []crossing {
	lo, hi := extremes(profile)
	if hi-lo < leastInk {
		return nil
	}
	half := (lo + hi) / 2
	var out []crossing
	for i := 1; i < len(profile); i++ {
		a, b := profile[i-1]-half, profile[i]-half
		if (a < 0) != (b < 0) {
			out = append(out, crossing{(float64(i-1) + a/(a-b)) * profileStep, b < 0})
		}
	}
	return out
}

// bestRun gives the longest even run of edges between blocks. It begins and ends
// with the bar's outer edges: where the outer block is white, that is the outer
// edge of its rim.
func bestRun(edges []crossing) []crossing {
	var best []crossing
	for i := range edges {
		for k := i + 1; k < len(edges) && k <= i+3; k++ {
			gap := edges[k].at - edges[i].at
			if run := runFrom(edges, i, k, gap); len(run) > len(best) {
				best = run
			}
		}
	}
	return best
}

// runFrom continues an even run that begins with two edges: black turns to white
// and back at every one of them, but for a white block at either end, beyond
// which a rim lies.
func runFrom(edges []crossing, i, k int, gap float64) []crossing {
	rimmed := k == i+2 && edges[i].down && edges[i+1].at-edges[i].at < rimShare*gap
	if !edges[i].down || gap < 3 || k != i+1 && !rimmed {
		return nil
	}
	run := []crossing{edges[i], edges[k]}
	for k++; k < len(edges); k++ {
		last := run[len(run)-1]
		if edges[k].down == last.down {
			break
		}
		// Two edges close together where one is wanted are a rim.
		if far := k + 1; !last.down && far < len(edges) && edges[far].at-edges[k].at < rimShare*gap && fits(edges[far].at, last.at+gap, gap) {
			run = append(run, edges[far])
			break
		}
		if !fits(edges[k].at, last.at+gap, gap) {
			break
		}
		run = append(run, edges[k])
		gap = (run[len(run)-1].at - run[0].at) / float64(len(run)-1)
	}
	if run[len(run)-1].down { // the bar ends where ink does
		run = run[:len(run)-1]
	}
	return run
}

// rimShare bounds the width of a rim, in blocks.
const rimShare = 0.25

// fits tells whether an edge lies where an even run wants it.
func fits(at, want, gap float64) bool { return math.Abs(at-want) <= 0.06*gap+0.8 }

// withRims gives a run with the outer edge of a white block beyond either end or
// both, and as it is. A rim that is too thin to get dark makes a dip of its own
// area; the bar ends half the rim's width beyond the dip's middle. The edge of
// the card may look like one.
func withRims(profile []float64, run []crossing, gap, ink, paper float64) [][]crossing {
	first, last := run[0], run[len(run)-1]
	rim := func(edge, way float64) (at float64, ok bool) {
		if !onCard(profile, edge, way*gap, ink, paper) {
			return 0, false
		}
		want := edge + way*gap
		from, to := int((want-0.08*gap-2)/profileStep), int((want+0.08*gap+2)/profileStep)
		if from < 0 || to >= len(profile) {
			return 0, false
		}
		// Paper is lighter in one place than in another: the rim is what is
		// darker than the paper on both sides of it.
		near := min(profile[from], profile[to])
		var area, moment float64
		for i := from; i <= to; i++ {
			d := max(0, near-profile[i]-0.04*(paper-ink)) * profileStep
			area += d
			moment += d * float64(i) * profileStep
		}
		width := area / (paper - ink)
		if width < 0.15 || width > rimShare*gap {
			return 0, false
		}
		return moment/area + way*width/2, true
	}
	out := [][]crossing{run}
	if at, ok := rim(last.at, 1); ok {
		out = append(out, append(slices.Clone(run), crossing{at, false}))
	}
	if at, ok := rim(first.at, -1); ok {
		for _, r := range slices.Clone(out) {
			out = append(out, append([]crossing{{at, true}}, r...))
		}
	}
	slices.SortStableFunc(out, func(a, b []crossing) int { return len(b) - len(a) })
	return out
}

// onCard tells whether a rim a block beyond an edge bounds a white block: paper
// lies before it and beyond it. The edge of the card has only the one.
func onCard(profile []float64, edge, gap, ink, paper float64) bool {
	clear := math.Copysign(3, gap)
	return even(profile, edge, 0.2*gap, 0.85*gap, paper, 0.15*(paper-ink)) &&
		even(profile, edge, 1.05*gap+clear, 1.05*gap+2*clear, paper, 0.15*(paper-ink))
}

// trimmed gives a run without an outer edge that is not of a white block's rim.
func trimmed(profile []float64, run []crossing, gap, ink, paper float64) []crossing {
	if n := len(run); n > 2 && !run[n-2].down && !onCard(profile, run[n-2].at, gap, ink, paper) {
		run = run[:n-1]
	}
	if len(run) > 2 && run[1].down && !onCard(profile, run[1].at, -gap, ink, paper) {
		run = run[1:]
	}
	return run
}

// blockLevels gives the grey of a run's black and white blocks at their middles.
func blockLevels(profile []float64, run []crossing, gap float64) (ink, paper float64) {
	var sum, n [2]float64
	for i, e := range run[:len(run)-1] {
		k := 1
		if e.down && !run[i+1].down {
			k = 0 // black; beyond a rim a block is white
		}
		sum[k] += profile[int((e.at+run[i+1].at)/2/profileStep)]
		n[k]++
	}
	return sum[0] / max(1, n[0]), sum[1] / max(1, n[1])
}

// even tells whether a profile keeps to a level between two places.
func even(profile []float64, at, from, to, level, within float64) bool {
	a, b := int((at+min(from, to))/profileStep), int((at+max(from, to))/profileStep)
	if a < 0 || b >= len(profile) {
		return false
	}
	for _, v := range profile[a : b+1] {
		if math.Abs(v-level) > within {
			return false
		}
	}
	return true
}
