package ripple

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
)

// Part is what one third of a carina offers to count: the denticles within 5 mm
// of it, or within all of it where there is no scale or less than that.
type Part struct {
	Third morph.Third
	Ticks []Tick   // in the line's direction
	Line  []r2.Vec // the guide along them
	// Length is that between the first tick and the last, px of the guide.
	Length float64
	// Per5mm is the density, the gaps between the ticks over their length, and
	// U its standard uncertainty without that of the scale; 0 without a scale.
	Per5mm, U float64
	// Share tells how far to trust it: how much of the edge's ripple the
	// spacing explains here, 0 to 1. An edge without denticles gets to about
	// 0.5 by chance, a row that is plain to see beyond 0.9.
	Share float64
	// Sharpness is the height of the autocorrelation's first peak, −1 to 1; 0
	// where it has none near the ticks' spacing, or hardly more than four periods.
	Sharpness float64
	// Problem is a sentence where the third has no count, or one that is worse
	// than it might be.
	Problem string
}

// Stretch gives the part in the form that morph counts: a line with ticks, done.
func (p Part) Stretch(c morph.Carina) morph.Stretch {
	s := morph.Stretch{Carina: c, Third: p.Third, Done: len(p.Line) > 1}
	if len(p.Line) > 1 {
		last := len(p.Line) - 1
		end := morph.At(p.Line[last])
		for _, q := range p.Line[1:last] {
			end.Via = append(end.Via, [2]float64{q.X, q.Y})
		}
		s.Line = morph.Path{morph.At(p.Line[0]), end}
	}
	for _, t := range p.Ticks {
		s.Ticks = append(s.Ticks, morph.At(t.At))
	}
	return s
}

// thirds are those of a carina from its base.
var thirds = [3]morph.Third{morph.Basal, morph.Mid, morph.Apical}

// parts gives the parts of a row, basal first, or the one that is asked for.
func (k look) parts(r *Row, o Options) []Part {
	whole := k.guide.length()
	if o.Third != "" {
		return []Part{k.part(r, o, o.Third, 0, whole)}
	}
	var out []Part
	for i, third := range thirds {
		from, to := whole*float64(i)/3, whole*float64(i+1)/3
		if o.FromApex {
			from, to = whole-to, whole-from
		}
		out = append(out, k.part(r, o, third, from, to))
	}
	return out
}

// part counts what lies between two places of the guide, px.
func (k look) part(r *Row, o Options, third morph.Third, from, to float64) Part {
	p := Part{Third: third}
	run := longestRun(r.Ticks, from, to, r.Period)
	if len(run) < fewest {
		p.Problem = fmt.Sprintf("Fewer than four denticles show one after the other in the %s third: it is worn, or the row does not reach into it.", third)
		return p
	}
	first, last := run[0].Along, run[len(run)-1].Along
	if o.PxPerMM > 0 {
		p.Ticks = window(run, (first+last)/2, morph.DensityLength*o.PxPerMM)
	} else {
		p.Ticks = run
	}
	first, last = p.Ticks[0].Along, p.Ticks[len(p.Ticks)-1].Along
	p.Length = last - first
	a, b := k.sample(first), k.sample(last)
	var height float64
	for i := a; i <= b; i++ {
		p.Share += k.trail.share[i] / float64(b-a+1)
		height += k.trail.height[i] / float64(b-a+1)
	}
	if r, err := RhythmOf(k.edge[a:b+1], k.guide.step); err == nil && math.Abs(r.Lag*float64(len(p.Ticks)-1)/p.Length-1) < 0.1 {
		p.Sharpness = r.Sharpness
	}
	p.Line = k.guide.part(first-r.Period/2, last+r.Period/2)
	if p.Share < faint {
		p.Problem = fmt.Sprintf("The ripple of the %s third is too faint to count by: its ticks are guesses.", third)
		return p
	}
	if o.PxPerMM > 0 {
		p.Per5mm = morph.Density(float64(len(p.Ticks)-1), p.Length/o.PxPerMM)
		p.U = p.Per5mm * k.uLength(p, r.Period, 2*height) / p.Length
	}
	if p.Share < doubtful {
		p.Problem = fmt.Sprintf("The ripple of the %s third is faint: look at every tick.", third)
	}
	return p
}

// Below faint the ripple of a third is left uncounted, below doubtful it is worth
// a word.
const (
	faint    = 0.6
	doubtful = 0.75
)

// uLength gives the standard uncertainty of the length between a part's first
// and last tick, in px.
//
// A tick's own error is that of the phase, as if all of the variance that the
// period does not explain shifted it. As large a part of a denticle may be
// counted too much or too little, where the ripple is faint and the rhythm
// loses step; that this is enough is measured on rendered photographs. Besides,
// the line may be taken anywhere between tips and notches, which matters where
// the carina bends: by its turn times the height of a denticle.
func (k look) uLength(p Part, period, height float64) float64 {
	share := max(0.05, p.Share)
	phase := math.Sqrt((1-share)/(2*share)) / (2 * math.Pi)
	t0, t1 := direction(p.Line, 0), direction(p.Line, len(p.Line)-2)
	turn := math.Abs(math.Atan2(r2.Cross(t0, t1), r2.Dot(t0, t1)))
	return math.Hypot(math.Hypot(math.Sqrt2*phase, 1-share)*period, turn*height/2)
}

func direction(line []r2.Vec, i int) r2.Vec {
	if i < 0 || i+1 >= len(line) {
		return r2.Vec{X: 1}
	}
	return r2.Sub(line[i+1], line[i])
}

// sample gives the sample at a place of the guide.
func (k look) sample(along float64) int {
	return max(0, min(len(k.guide.points)-1, int(math.Round(along/k.guide.step))))
}

// longestRun gives the most ticks between two places that follow each other
// without a gap.
func longestRun(ticks []Tick, from, to, period float64) []Tick {
	var best []Tick
	start := 0
	for i, t := range ticks {
		if t.Along < from || t.Along > to {
			start = i + 1
			continue
		}
		if i > start && t.Along-ticks[i-1].Along > passedOver*period {
			start = i
		}
		if i+1-start > len(best) {
			best = ticks[start : i+1]
		}
	}
	return best
}

// passedOver is the gap between ticks, in periods, in which one is missing.
const passedOver = 1.6

// window gives the ticks within a length about a place, but not fewer than
// five: of the coarsest denticles hardly four go into 5 mm.
func window(run []Tick, middle, length float64) []Tick {
	i, j := 0, len(run)
	for j-i > fewest+1 {
		before, after := middle-run[i].Along, run[j-1].Along-middle
		if max(before, after) <= length/2 {
			break
		}
		if before >= after {
			i++
		} else {
			j--
		}
	}
	return run[i:j]
}

// part gives the guide between two places, in pieces as short as its bend needs.
func (g guide) part(from, to float64) []r2.Vec {
	from, to = max(0, from), min(g.length(), to)
	const pieces = 32
	out := make([]r2.Vec, pieces+1)
	for i := range out {
		out[i] = g.over(from+(to-from)*float64(i)/pieces, 0)
	}
	return out
}
