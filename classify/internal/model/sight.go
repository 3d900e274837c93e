package model

import (
	"math"
	"slices"
)

// Sight is a crowd seen from one point: the squared distance of every tooth. It
// is made by [Crowd.Measure] and can be used again for the next point.
type Sight struct {
	squares []float64 // by place
	blocks  []float64 // the least square of each block, filled up to a multiple of four
	nearest float64   // the least of all
	rows    []int     // of the crowd, by place
	exclude int       // the individual left out
}

// Measure fills s with squared distances from q. Teeth of the excluded
// individual are infinitely far.
//
// No block is passed over: a vote reaches so far that nearly all would be looked
// at after all, at the price of telling which.
func (c *Crowd) Measure(q []float64, exclude int, s *Sight) {
	n := c.blocks()
	if len(s.squares) != n*blockRows {
		s.squares, s.blocks = make([]float64, n*blockRows), make([]float64, fours(n))
		for i := range s.blocks {
			s.blocks[i] = math.Inf(1)
		}
	}
	s.rows, s.exclude, s.nearest = c.row, exclude, math.Inf(1)
	for block := range n {
		squares := (*row)(s.squares[block*blockRows:])
		least := c.squares(block, q, math.Inf(1), squares)
		if exclude != Nobody {
			least = c.leaveOut(exclude, block, squares)
		}
		s.blocks[block] = least
		if least < s.nearest {
			s.nearest = least
		}
	}
}

// leaveOut puts an individual's teeth of a block infinitely far away and returns
// the least square of the others.
func (c *Crowd) leaveOut(individual, block int, squares *row) (least float64) {
	from, to := c.span(block)
	for i, who := range c.individual[from:to] {
		if who == individual {
			squares[i] = math.Inf(1)
		}
	}
	return slices.Min(squares[:])
}

// row holds a number for each place of a block, such as the squared distances.
type row = [blockRows]float64

// squares writes the squared distances of a block's teeth from q and returns the
// least of them. Where it finds, before all coordinates are counted, that none is
// as small as far, it leaves the squares unfinished and returns one above far.
//
// As many coordinates as can be are taken together: each pass over the block
// loads and stores what the one before has summed up. The first adds to nothing.
func (c *Crowd) squares(block int, q []float64, far float64, squares *row) (least float64) {
	points := c.points[block*blockRows*c.dim : (block+1)*blockRows*c.dim]
	if len(q) == 0 {
		*squares = nothing
	}
	sums := &nothing
	for len(q) > 0 && least <= far {
		n := together(len(q))
		switch n {
		case 6:
			least = add6(squares, sums, points, (*[6]float64)(q))
		case 4:
			least = add4(squares, sums, points, (*[4]float64)(q))
		default:
			least = add1(squares, sums, points, q[0])
		}
		q, points, sums = q[n:], points[n*blockRows:], squares
	}
	return least
}

// nothing is what the first pass adds to.
var nothing row

// together tells how many of the coordinates that are left one pass takes.
func together(left int) int {
	switch {
	case left >= 6:
		return 6
	case left >= 4:
		return 4
	}
	return 1
}

// add6 puts into squares the sums so far and what six coordinates of the query add
// to them, add4 and add1 what fewer do. They return the least square.
//
// Teeth are taken by fours and the least is found without a branch: in the
// browser, Go's code comes to the target of every jump, the end of a loop
// included, by way of a table, and that takes longer than a tooth's sum.
func add6(squares, sums *row, points []float64, q *[6]float64) float64 {
	u, v, w, x, y, z := q[0], q[1], q[2], q[3], q[4], q[5]
	least := infinite
	for i := 0; i < blockRows; i += 4 {
		s, t, p := (*[4]float64)(squares[i:]), (*[4]float64)(sums[i:]), (*[24]float64)(points[6*i:])
		a, b, c, d, e, f := u-p[0], v-p[1], w-p[2], x-p[3], y-p[4], z-p[5]
		s[0] = t[0] + a*a + b*b + c*c + d*d + e*e + f*f
		a, b, c, d, e, f = u-p[6], v-p[7], w-p[8], x-p[9], y-p[10], z-p[11]
		s[1] = t[1] + a*a + b*b + c*c + d*d + e*e + f*f
		a, b, c, d, e, f = u-p[12], v-p[13], w-p[14], x-p[15], y-p[16], z-p[17]
		s[2] = t[2] + a*a + b*b + c*c + d*d + e*e + f*f
		a, b, c, d, e, f = u-p[18], v-p[19], w-p[20], x-p[21], y-p[22], z-p[23]
		s[3] = t[3] + a*a + b*b + c*c + d*d + e*e + f*f
		least = lower(lower(lower(lower(least, s[0]), s[1]), s[2]), s[3])
	}
	return math.Float64frombits(least)
}

func add4(squares, sums *row, points []float64, q *[4]float64) float64 {
	u, v, w, x := q[0], q[1], q[2], q[3]
	least := infinite
	for i := 0; i < blockRows; i += 4 {
		s, t, p := (*[4]float64)(squares[i:]), (*[4]float64)(sums[i:]), (*[16]float64)(points[4*i:])
		a, b, c, d := u-p[0], v-p[1], w-p[2], x-p[3]
		s[0] = t[0] + a*a + b*b + c*c + d*d
		a, b, c, d = u-p[4], v-p[5], w-p[6], x-p[7]
		s[1] = t[1] + a*a + b*b + c*c + d*d
		a, b, c, d = u-p[8], v-p[9], w-p[10], x-p[11]
		s[2] = t[2] + a*a + b*b + c*c + d*d
		a, b, c, d = u-p[12], v-p[13], w-p[14], x-p[15]
		s[3] = t[3] + a*a + b*b + c*c + d*d
		least = lower(lower(lower(lower(least, s[0]), s[1]), s[2]), s[3])
	}
	return math.Float64frombits(least)
}

func add1(squares, sums *row, points []float64, u float64) float64 {
	least := infinite
	for i, x := range points[:blockRows] {
		squares[i] = sums[i] + (u-x)*(u-x)
		least = lower(least, squares[i])
	}
	return math.Float64frombits(least)
}

// least4 returns the least of four numbers not below zero.
func least4(of *[4]float64) float64 {
	return math.Float64frombits(lower(lower(lower(math.Float64bits(of[0]), of[1]), of[2]), of[3]))
}

// fours is n rounded up to a multiple of four.
func fours(n int) int { return (n + 3) &^ 3 }

// infinite is what lower begins with.
const infinite uint64 = 0x7ff << 52 // the bits of math.Inf(1)

// lower returns the lesser of two numbers not below zero, the one given and to
// be returned as its bits: these have the same order, and the compiler compares
// whole numbers without a branch.
func lower(least uint64, square float64) uint64 { return min(least, math.Float64bits(square)) }
