package model

import "math"

// Sight is a crowd seen from one point: the squared distance of every tooth
// that is near enough to matter. It is made by [Crowd.Measure] and can be used
// again for the next point.
type Sight struct {
	squares []float64 // by place; those of blocks passed over are left from before
	blocks  []float64 // the least square of each block, infinite when passed over
	nearest float64   // the least of all
	rows    []int     // of the crowd, by place
	exclude int       // the individual left out
}

// Measure fills s with squared distances from q: those of all teeth that can
// have a say in Vote or be among the k nearest. Teeth of the excluded
// individual are infinitely far.
func (c *Crowd) Measure(q []float64, k, exclude int, s *Sight) {
	n := c.blocks()
	if len(s.blocks) != n {
		s.squares, s.blocks = make([]float64, n*blockRows), make([]float64, n)
	}
	s.rows, s.exclude, s.nearest = c.row, exclude, math.Inf(1)
	first, closest := 0, math.Inf(1)
	for block := range s.blocks {
		s.blocks[block] = c.bound(block, q)
		if s.blocks[block] < closest {
			first, closest = block, s.blocks[block]
		}
	}
	if n == 0 {
		return
	}
	// The block that lies closest tells how far the rest need be looked at.
	s.measure(c, first, q, exclude)
	from, to := c.span(first)
	within := s.nearest + reachOfKernel
	switch {
	case k > to-from:
		within = math.Inf(1)
	case k > 0:
		for _, square := range s.squares[from:to] {
			within = max(within, square)
		}
	}
	for block, bound := range s.blocks {
		switch {
		case block == first:
		case bound > within:
			s.blocks[block] = math.Inf(1)
		default:
			s.measure(c, block, q, exclude)
		}
	}
}

// measure fills in one block.
func (s *Sight) measure(c *Crowd, block int, q []float64, exclude int) {
	squares := (*[blockRows]float64)(s.squares[block*blockRows:])
	c.squares(block, q, squares)
	if exclude != Nobody {
		from, to := c.span(block)
		for i, who := range c.individual[from:to] {
			if who == exclude {
				squares[i] = math.Inf(1)
			}
		}
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

// squares writes the squared distances of a block's teeth from q; places that no
// tooth has are infinitely far.
func (c *Crowd) squares(block int, q []float64, squares *[blockRows]float64) {
	points := c.points[block*blockRows*c.dim : (block+1)*blockRows*c.dim]
	clear(squares[:])
	for ; len(q) > 1; q = q[2:] { // two at a time: half the loads and stores
		x, y := q[0], q[1]
		a, b := (*[blockRows]float64)(points), (*[blockRows]float64)(points[blockRows:])
		for i := range squares {
			da, db := x-a[i], y-b[i]
			squares[i] = squares[i] + da*da + db*db
		}
		points = points[2*blockRows:]
	}
	if len(q) == 1 {
		a := (*[blockRows]float64)(points)
		for i := range squares {
			da := q[0] - a[i]
			squares[i] += da * da
		}
	}
}
