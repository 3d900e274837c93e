package model

import (
	"math"
	"slices"
)

// Sight is a crowd seen from one point: the squared distance of every tooth. It
// is made by [Crowd.Measure] and can be used again for the next point.
type Sight struct {
	squares []float64 // by place
	blocks  []float64 // the least square of each block
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
	if len(s.blocks) != n {
		s.squares, s.blocks = make([]float64, n*blockRows), make([]float64, n)
	}
	s.rows, s.exclude, s.nearest = c.row, exclude, math.Inf(1)
	for block := range s.blocks {
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

// row is one coordinate of the teeth of a block, or their squared distances.
type row = [blockRows]float64

// squares writes the squared distances of a block's teeth from q and returns the
// least of them. Where it finds, before all coordinates are counted, that none is
// as small as far, it leaves the squares unfinished and returns one above far.
//
// As many coordinates as can be are taken together: each pass over the block
// loads and stores what the one before has summed up.
func (c *Crowd) squares(block int, q []float64, far float64, squares *row) (least float64) {
	points := c.points[block*blockRows*c.dim : (block+1)*blockRows*c.dim]
	clear(squares[:])
	for len(q) > 0 && least <= far {
		n := 1
		switch {
		case len(q) >= 6:
			n = 6
			least = add6(squares, points, (*[6]float64)(q))
		case len(q) >= 4:
			n = 4
			least = add4(squares, points, (*[4]float64)(q))
		case len(q) >= 2:
			n = 2
			least = add2(squares, points, q[0], q[1])
		default:
			least = add1(squares, points, q[0])
		}
		q, points = q[n:], points[n*blockRows:]
	}
	return least
}

// add6 adds to squares what six coordinates of the query do, add4, add2 and add1
// what fewer do. They return the least square.
func add6(squares *row, points []float64, q *[6]float64) float64 {
	a, b, c := (*row)(points), (*row)(points[blockRows:]), (*row)(points[2*blockRows:])
	d, e, f := (*row)(points[3*blockRows:]), (*row)(points[4*blockRows:]), (*row)(points[5*blockRows:])
	u, v, w, x, y, z := q[0], q[1], q[2], q[3], q[4], q[5]
	least := math.Inf(1)
	for i := range squares {
		da, db, dc, dd, de, df := u-a[i], v-b[i], w-c[i], x-d[i], y-e[i], z-f[i]
		s := squares[i] + da*da + db*db + dc*dc + dd*dd + de*de + df*df
		squares[i] = s
		if s < least {
			least = s
		}
	}
	return least
}

func add4(squares *row, points []float64, q *[4]float64) float64 {
	a, b, c, d := (*row)(points), (*row)(points[blockRows:]), (*row)(points[2*blockRows:]), (*row)(points[3*blockRows:])
	u, v, w, x := q[0], q[1], q[2], q[3]
	least := math.Inf(1)
	for i := range squares {
		da, db, dc, dd := u-a[i], v-b[i], w-c[i], x-d[i]
		s := squares[i] + da*da + db*db + dc*dc + dd*dd
		squares[i] = s
		if s < least {
			least = s
		}
	}
	return least
}

func add2(squares *row, points []float64, u, v float64) float64 {
	a, b := (*row)(points), (*row)(points[blockRows:])
	least := math.Inf(1)
	for i := range squares {
		da, db := u-a[i], v-b[i]
		s := squares[i] + da*da + db*db
		squares[i] = s
		if s < least {
			least = s
		}
	}
	return least
}

func add1(squares *row, points []float64, u float64) float64 {
	a := (*row)(points)
	least := math.Inf(1)
	for i := range squares {
		da := u - a[i]
		s := squares[i] + da*da
		squares[i] = s
		if s < least {
			least = s
		}
	}
	return least
}
