package model

import (
	"cmp"
	"math"
	"slices"
)

// blockRows is how many places of a crowd are looked at together.
const blockRows = 32

// blocks returns the number of blocks, span the places of one.
func (c *Crowd) blocks() int { return (len(c.row) + blockRows - 1) / blockRows }

func (c *Crowd) span(block int) (from, to int) {
	from = block * blockRows
	return from, min(from+blockRows, len(c.row))
}

// order returns rows in an order in which those of a block lie close together:
// points are halved at the middle of their widest axis, again and again, as in
// a k-d tree (Bentley 1975), at multiples of a block.
func order(points [][]float64) []int {
	rows := make([]int, len(points))
	for i := range rows {
		rows[i] = i
	}
	halve(points, rows)
	return rows
}

func halve(points [][]float64, rows []int) {
	if len(rows) <= blockRows {
		return
	}
	axis, width := 0, -1.0
	for j := range points[rows[0]] {
		low, high := points[rows[0]][j], points[rows[0]][j]
		for _, row := range rows {
			low, high = min(low, points[row][j]), max(high, points[row][j])
		}
		if high-low > width {
			axis, width = j, high-low
		}
	}
	slices.SortFunc(rows, func(a, b int) int {
		return cmp.Or(cmp.Compare(points[a][axis], points[b][axis]), cmp.Compare(a, b))
	})
	blocks := (len(rows) + blockRows - 1) / blockRows
	middle := (blocks + 1) / 2 * blockRows
	halve(points, rows[:middle])
	halve(points, rows[middle:])
}

// box is what the teeth of four blocks keep within in one coordinate: middles and
// half widths.
type box struct{ middle, half [4]float64 }

// box writes what the places of a block keep within.
//
// The half width is of the distances from the middle, and a little more than that
// where it is rounded, so that no tooth can be outside.
func (c *Crowd) box(block int) {
	from, to := c.span(block)
	for j := range c.dim {
		low, high := math.Inf(1), math.Inf(-1)
		for place := from; place < to; place++ {
			x := c.points[c.coordinate(place, j)]
			low, high = min(low, x), max(high, x)
		}
		b := &c.boxes[block/4*c.dim+j]
		b.middle[block%4] = low + (high-low)/2
		b.half[block%4] = max(high-b.middle[block%4], b.middle[block%4]-low) * (1 + roundings)
	}
}

// roundings is by how much, in parts of them, sums of a dozen squares may differ
// that are rounded in different ways; in truth it is less than a hundredth of it.
const roundings = 1e-12

// bounds appends to bounds, which must be empty, for every block a squared distance
// from q that none of its teeth is below, as Measure finds it.
func (c *Crowd) bounds(bounds []float64, q []float64) []float64 {
	for boxes := c.boxes; len(boxes) > 0; boxes = boxes[len(q):] {
		// Twice each distance, as what is outside comes out of a sum of a
		// difference and its absolute value, without a branch (see add6).
		var s0, s1, s2, s3 float64
		for j := range boxes[:len(q)] {
			x, b := q[j], &boxes[j]
			d := math.Abs(x-b.middle[0]) - b.half[0]
			d += math.Abs(d)
			s0 += d * d
			d = math.Abs(x-b.middle[1]) - b.half[1]
			d += math.Abs(d)
			s1 += d * d
			d = math.Abs(x-b.middle[2]) - b.half[2]
			d += math.Abs(d)
			s2 += d * d
			d = math.Abs(x-b.middle[3]) - b.half[3]
			d += math.Abs(d)
			s3 += d * d
		}
		const part = (1 - roundings) / 4
		bounds = append(bounds, s0*part, s1*part, s2*part, s3*part)
	}
	return bounds
}
