package model

import "math"

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
		squares := (*[blockRows]float64)(s.squares[block*blockRows:])
		c.squares(block, q, squares)
		if exclude != Nobody {
			c.leaveOut(exclude, block, squares)
		}
		least := math.Inf(1)
		for _, square := range squares {
			if square < least {
				least = square
			}
		}
		s.blocks[block] = least
		if least < s.nearest {
			s.nearest = least
		}
	}
}

// leaveOut puts an individual's teeth of a block infinitely far away.
func (c *Crowd) leaveOut(individual, block int, squares *[blockRows]float64) {
	from, to := c.span(block)
	for i, who := range c.individual[from:to] {
		if who == individual {
			squares[i] = math.Inf(1)
		}
	}
}

// squares writes the squared distances of a block's teeth from q; places that no
// tooth has are infinitely far. As many coordinates as can be are taken together:
// each pass over the block loads and stores what the one before has summed up.
func (c *Crowd) squares(block int, q []float64, squares *[blockRows]float64) {
	points := c.points[block*blockRows*c.dim : (block+1)*blockRows*c.dim]
	of := func(j int) *[blockRows]float64 { return (*[blockRows]float64)(points[j*blockRows:]) }
	done := 0
	switch {
	case len(q) >= 6:
		u, v, w, x, y, z := q[0], q[1], q[2], q[3], q[4], q[5]
		a, b, c, d, e, f := of(0), of(1), of(2), of(3), of(4), of(5)
		for i := range squares {
			da, db, dc, dd, de, df := u-a[i], v-b[i], w-c[i], x-d[i], y-e[i], z-f[i]
			squares[i] = da*da + db*db + dc*dc + dd*dd + de*de + df*df
		}
		done = 6
	case len(q) >= 4:
		u, v, w, x := q[0], q[1], q[2], q[3]
		a, b, c, d := of(0), of(1), of(2), of(3)
		for i := range squares {
			da, db, dc, dd := u-a[i], v-b[i], w-c[i], x-d[i]
			squares[i] = da*da + db*db + dc*dc + dd*dd
		}
		done = 4
	default:
		clear(squares[:])
	}
	for ; done+2 <= len(q); done += 2 {
		x, y := q[done], q[done+1]
		a, b := of(done), of(done+1)
		for i := range squares {
			da, db := x-a[i], y-b[i]
			squares[i] = squares[i] + da*da + db*db
		}
	}
	if done < len(q) {
		x, a := q[done], of(done)
		for i := range squares {
			da := x - a[i]
			squares[i] += da * da
		}
	}
}
