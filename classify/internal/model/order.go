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

// box returns the least of every coordinate of places on end, then the largest.
func (c *Crowd) box(from, to int) []float64 {
	b := make([]float64, 2*c.dim)
	for j := range c.dim {
		b[j], b[c.dim+j] = math.Inf(1), math.Inf(-1)
		for place := from; place < to; place++ {
			x := c.points[c.coordinate(place, j)]
			b[j], b[c.dim+j] = min(b[j], x), max(b[c.dim+j], x)
		}
	}
	return b
}

// beyond tells whether every point of a block has a squared distance from q
// larger than far.
func (c *Crowd) beyond(block int, q []float64, far float64) bool {
	b := c.boxes[2*block*c.dim : 2*(block+1)*c.dim]
	low, high := b[:len(q)], b[len(q):]
	far *= 1 + 1e-12 // sums are rounded in different ways
	var sum float64
	for j, x := range q {
		if d := low[j] - x; d > 0 {
			sum += d * d
		} else if d := x - high[j]; d > 0 {
			sum += d * d
		}
		if sum > far {
			return true
		}
	}
	return false
}
