package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// divide moves a closed line, the tooth to the right of it, to where it parts
// best what is like the tooth beside it from what is like the ground beside it:
// for a grainy ground, of which every grain has an edge of its own. Per pixel
// the ratio of likelihoods under two normal distributions counts, that of the
// colours in the left margin and that in the right one, farther along the line
// for the ground than for the tooth.
func (r *ribbon) divide(stiff float64) edge {
	n := len(r.points)
	var rows [2][]tally
	for s := range rows {
		rows[s] = make([]tally, n)
	}
	for i := range n {
		row := r.profile(i)
		for j := range margin {
			rows[0][i].add(row[j], 1)
			rows[1][i].add(row[r.wide-1-j], 1)
		}
	}
	around := [2]int{max(12, n/16), max(8, n/40)}
	var sum [2]tally
	for s := range sum {
		around[s] = min(around[s], (n-1)/2)
		for i := -around[s]; i <= around[s]; i++ {
			sum[s].merge(&rows[s][r.step(i)], 1)
		}
	}
	cols := 2*r.reach + 1
	gain := make([]float64, n*cols)
	out := edge{points: make([]r2.Vec, n), contrast: make([]float64, n), noise: make([]float64, n)}
	const most = 4
	for i := range n {
		if i%restRows == 0 {
			r.level.Rest()
		}
		ground, tooth := sum[0].blob(1), sum[1].blob(1)
		row := r.profile(i)
		total := 0.0
		// A line through column j has the columns before j for ground.
		for j := range r.wide {
			ratio := tooth.unlikely(row[j]) - ground.unlikely(row[j])
			ratio = math.Max(-most, math.Min(ratio, most))
			if k := j - margin; k >= 0 && k < cols {
				gain[i*cols+k] = total + ratio/2
			}
			total += ratio
		}
		out.contrast[i] = math.Sqrt(apart(ground.mean, tooth.mean))
		for s := range sum {
			sum[s].merge(&rows[s][r.step(i+around[s]+1)], 1)
			sum[s].merge(&rows[s][r.step(i-around[s])], -1)
		}
	}
	for i := range n {
		if i%restRows == 0 {
			r.level.Rest()
		}
		for j := range cols {
			if r.folded(i, float64(j-r.reach)) {
				gain[i*cols+j] = math.Inf(-1)
			}
		}
	}
	for i, j := range r.course(gain, cols, stiff) {
		out.points[i] = r.at(i, float64(j-r.reach))
	}
	return out
}

// restRows is how many rows are looked at between two rests: a ms or two.
const restRows = 200

// folded tells whether the point a distance off a row lies nearer to another
// part of the line, as beyond the middle of a sharp tip.
func (r *ribbon) folded(i int, off float64) bool {
	if off == 0 {
		return false
	}
	q := r.at(i, off)
	for k := 1; float64(k)*stride < 2*math.Abs(off)+stride; k++ {
		for _, m := range [2]int{r.step(i - k), r.step(i + k)} {
			if r2.Norm2(r2.Sub(q, r.points[m])) < 0.95*off*off {
				return true
			}
		}
	}
	return false
}
