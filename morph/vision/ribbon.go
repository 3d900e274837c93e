package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// ribbon is the strip of a level on both sides of a line, straightened out: a
// row for each step along the line, in it the colours across the line from its
// left to its right side as one walks along it.
//
//	         -reach ... 0 ... reach
//	step 0      . . . . | . . . .
//	step 1      . . . . | . . . .
type ribbon struct {
	level  *Level
	closed bool
	reach  int // px of the level to either side within which the edge is sought
	wide   int // columns
	points []r2.Vec
	across []r2.Vec // unit, to the right of the way
	look   []colour
}

const (
	// stride is the distance of the rows of a ribbon, px of its level.
	stride = 1.5
	// margin is how far beyond its reach a ribbon sees what lies on both
	// sides, px of its level.
	margin = 3
)

// lay straightens the strip along a line given in px of the level.
func (l *Level) lay(line []r2.Vec, closed bool, reach int) *ribbon {
	r := &ribbon{level: l, closed: closed, reach: reach, wide: 2*(reach+margin) + 1}
	r.points = resample(line, closed, stride)
	n := len(r.points)
	r.across = make([]r2.Vec, n)
	r.look = make([]colour, n*r.wide)
	for i := range r.points {
		t := r2.Sub(r.points[r.step(i+2)], r.points[r.step(i-2)])
		if d := r2.Norm(t); d > 0 {
			r.across[i] = r2.Vec{X: -t.Y / d, Y: t.X / d}
		}
		for j := range r.wide {
			r.look[i*r.wide+j] = l.SampleColour(r.at(i, float64(j-reach-margin)))
		}
	}
	return r
}

// step keeps the index of a row within the ribbon.
func (r *ribbon) step(i int) int {
	n := len(r.points)
	if r.closed {
		return ((i % n) + n) % n
	}
	return max(0, min(i, n-1))
}

// at is the point a distance off to the right of the line, px of the level.
func (r *ribbon) at(i int, off float64) r2.Vec {
	return r2.Add(r.points[i], r2.Scale(off, r.across[i]))
}

// sides gives the mean colours of both margins around each row.
func (r *ribbon) sides(around int) (left, right []colour) {
	n := len(r.points)
	left, right = make([]colour, n), make([]colour, n)
	rows := make([][2]colour, n)
	for i := range n {
		row := r.look[i*r.wide:][:r.wide]
		for j := range margin {
			for c := range 3 {
				rows[i][0][c] += row[j][c] / margin
				rows[i][1][c] += row[r.wide-1-j][c] / margin
			}
		}
	}
	around = min(around, (n-1)/2)
	var sum [2]colour
	add := func(i int, k float64) {
		for s := range 2 {
			for c := range 3 {
				sum[s][c] += k * rows[r.step(i)][s][c]
			}
		}
	}
	for i := -around; i <= around; i++ {
		add(i, 1)
	}
	for i := range n {
		for c := range 3 {
			left[i][c] = sum[0][c] / float64(2*around+1)
			right[i][c] = sum[1][c] / float64(2*around+1)
		}
		add(i+around+1, 1)
		add(i-around, -1)
	}
	return left, right
}

// edge is where the line came to rest: its points, px of the level, and of
// each how strongly the picture changes there from side to side, grey levels,
// against how much it changes anyway.
type edge struct {
	points   []r2.Vec
	contrast []float64 // grey levels
	noise    []float64 // grey levels
}

// settle moves the line to the edge near it that is strongest all along: the
// path across the ribbon that gathers the steepest change of colour, from the
// left side's to the right side's, without swerving more than it gains
// (dynamic programming).
func (r *ribbon) settle(stiff float64) edge {
	n := len(r.points)
	left, right := r.sides(8)
	spread := r.spread(left, right)
	if rough := r.rough(left, right); rough > 0.2 {
		// A grainy ground: look at longer pieces, and believe them less.
		r.average(min(8, int(16*rough)))
		stiff *= math.Min(8, 10*rough)
	}
	cols := 2*r.reach + 1
	steep := make([]float64, n*cols)
	out := edge{points: make([]r2.Vec, n), contrast: make([]float64, n), noise: make([]float64, n)}
	tone := make([]float64, r.wide)
	for i := range n {
		d := colour{left[i][0] - right[i][0], left[i][1] - right[i][1], left[i][2] - right[i][2]}
		long := math.Sqrt(d[0]*d[0] + d[1]*d[1] + d[2]*d[2])
		out.contrast[i] = long
		k := 1 / math.Max(long, 1)
		row := r.look[i*r.wide:][:r.wide]
		for j := range row {
			tone[j] = k * (d[0]*row[j][0] + d[1]*row[j][1] + d[2]*row[j][2])
		}
		for j := range cols {
			at := j + margin
			steep[i*cols+j] = (tone[at-1] - tone[at+1]) / math.Max(long, 12)
		}
		out.noise[i] = spread[i]
	}
	for i, j := range r.course(steep, cols, stiff) {
		off := float64(j - r.reach)
		if j > 0 && j < cols-1 {
			a, b, c := steep[i*cols+j-1], steep[i*cols+j], steep[i*cols+j+1]
			if bend := a - 2*b + c; bend < 0 {
				off += math.Max(-0.5, math.Min((a-c)/(2*bend), 0.5))
			}
		}
		out.points[i] = r.at(i, off)
	}
	return out
}

// spread is by how much the margins' colours stray around each row, the larger
// of both sides', grey levels.
func (r *ribbon) spread(left, right []colour) []float64 {
	n := len(r.points)
	square := make([][2]float64, n)
	for i := range n {
		row := r.look[i*r.wide:][:r.wide]
		for j := range margin {
			square[i][0] += apart(row[j], left[i]) / margin
			square[i][1] += apart(row[r.wide-1-j], right[i]) / margin
		}
	}
	const around = 8
	out := make([]float64, n)
	for i := range n {
		var sum [2]float64
		for k := -around; k <= around; k++ {
			j := r.step(i + k)
			sum[0] += square[j][0] / (2*around + 1)
			sum[1] += square[j][1] / (2*around + 1)
		}
		out[i] = math.Sqrt(math.Max(sum[0], sum[1]))
	}
	return out
}

// rough is how much the colour changes from row to row beside the line, as a
// share of how much it changes across the line.
func (r *ribbon) rough(left, right []colour) float64 {
	var change, contrast []float64
	for i := range r.points {
		next := r.step(i + 1)
		a, b := r.look[i*r.wide:][:r.wide], r.look[next*r.wide:][:r.wide]
		change = append(change, math.Sqrt(math.Max(apart(a[1], b[1]), apart(a[r.wide-2], b[r.wide-2]))))
		contrast = append(contrast, math.Sqrt(apart(left[i], right[i])))
	}
	return quantile(change, 0.5) / math.Max(1, quantile(contrast, 0.5))
}

// average mixes every row with as many on both sides of it along the line.
func (r *ribbon) average(around int) {
	n := len(r.points)
	around = min(around, (n-1)/2)
	was := append([]colour(nil), r.look...)
	for j := range r.wide {
		var sum colour
		for i := -around; i <= around; i++ {
			for c := range 3 {
				sum[c] += was[r.step(i)*r.wide+j][c]
			}
		}
		for i := range n {
			in, out := was[r.step(i+around+1)*r.wide+j], was[r.step(i-around)*r.wide+j]
			for c := range 3 {
				r.look[i*r.wide+j][c] = sum[c] / float64(2*around+1)
				sum[c] += in[c] - out[c]
			}
		}
	}
}

// course is the column in each row by which the path goes.
func (r *ribbon) course(steep []float64, cols int, stiff float64) []int {
	n := len(r.points)
	lap := 0
	if r.closed {
		lap = min(n, 60) // walked before the start and past the end, so that they meet
	}
	rows := n + 2*lap
	sum := make([]float64, cols)
	next := make([]float64, cols)
	from := make([]int8, rows*cols)
	for k := range rows {
		i := r.step(k - lap)
		for j := range cols {
			best, way := math.Inf(-1), 0
			for m := max(0, j-1); m <= min(cols-1, j+1); m++ {
				v := sum[m]
				if m != j {
					v -= stiff
				}
				if v > best || v == best && m == j {
					best, way = v, m-j
				}
			}
			next[j] = best + steep[i*cols+j]
			from[k*cols+j] = int8(way)
		}
		sum, next = next, sum
	}
	j := 0
	for m := range sum {
		if sum[m] > sum[j] {
			j = m
		}
	}
	out := make([]int, n)
	for k := rows - 1; k >= 0; k-- {
		if k >= lap && k < lap+n {
			out[k-lap] = j
		}
		j += int(from[k*cols+j])
	}
	return out
}
