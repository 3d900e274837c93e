package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// crisp is how much of the change of colour across a closed line, px of the
// level, lies within a px of it, at each of its points: nearly all at the edge
// of a thing, about a third on the slope of a soft shadow.
//
//	tooth ▔▔▔\              tooth ▔▔\
//	          \____ ground           \__ .
//	                                      \__ . shade . __ ground
func crisp(l *Level, line []r2.Vec) []float64 {
	r := l.lay(line, true, 1)
	r.average(4)
	rows := make([]float64, len(r.points))
	for i := range rows {
		row := r.look[i*r.wide:][:r.wide]
		mid := r.wide / 2
		narrow := math.Sqrt(apart(row[mid-1], row[mid+1]))
		broad := math.Sqrt(apart(row[mid-4], row[mid+4]))
		rows[i] = math.Min(1.5, narrow/math.Max(broad, 8))
	}
	// The ribbon's rows are evenly spaced; the line's points nearly so.
	out := make([]float64, len(line))
	for i := range out {
		out[i] = rows[i*len(rows)/len(out)]
	}
	return out
}

// crispness brings the closed line of a photograph's outline to where a slope
// is told from an edge: a copy of half the size, on which no usual blur is
// seen.
func crispness(p *Picture, line []r2.Vec) []float64 {
	l := p.Level(1)
	small := make([]r2.Vec, len(line))
	for i, q := range line {
		small[i] = r2.Scale(1/l.Factor, q)
	}
	return crisp(l, small)
}

// edgelike is how far to take a share of crisp change for that of an edge, 0 to
// 1: the tenth of an outline that is least crisp has more than 0.58 on a tooth's
// edge, less than 0.47 where a shadow was taken in (even seeds of toothtrial).
func edgelike(share float64) float64 {
	return math.Max(0, math.Min((share-0.4)/0.2, 1))
}

// edgelikeAt is how much of an edge the outline is about a point, 0 to 1; 1
// when it was not looked at.
func (o Outline) edgelikeAt(p r2.Vec) float64 {
	if o.edgy == nil {
		return 1
	}
	reach := 0.12 * math.Sqrt(math.Abs(area(o.Points)))
	var near []float64
	for i, q := range o.Points {
		if r2.Norm(r2.Sub(p, q)) < reach {
			near = append(near, o.edgy[i])
		}
	}
	return quantile(near, 0.5)
}

// firm is how far to trust the outline where it follows an edge: its confidence
// without what shadows take from it elsewhere.
func (o Outline) firm() float64 {
	if o.edgy == nil {
		return o.Confidence
	}
	return o.Confidence / (0.3 + 0.7*quantile(o.edgy, 0.1))
}
