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
	if len(s.blocks) != n || len(s.squares) != c.Len() {
		s.squares, s.blocks = make([]float64, c.Len()), make([]float64, n)
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
	from, to := c.span(block)
	squares, points := s.squares[from:to], c.points[from*c.dim:to*c.dim]
	var least float64
	switch c.dim {
	case 4:
		least = measure4(points, q, squares)
	case 6:
		least = measure6(points, q, squares)
	default:
		least = measure(points, q, squares)
	}
	if exclude != Nobody {
		least = leaveOut(c.voters[from:to], exclude, squares)
	}
	s.blocks[block] = least
	if least < s.nearest {
		s.nearest = least
	}
}

// measure writes the squared distances of points from q and returns the least.
func measure(points, q, squares []float64) float64 {
	least := math.Inf(1)
	for i := range squares {
		var sum float64
		for j, x := range points[i*len(q) : (i+1)*len(q)] {
			d := q[j] - x
			sum += d * d
		}
		squares[i] = sum
		if sum < least {
			least = sum
		}
	}
	return least
}

// Four and six are the dimensions the model's spaces have; written out they
// take half the time.
func measure4(points, q, squares []float64) float64 {
	least := math.Inf(1)
	q0, q1, q2, q3 := q[0], q[1], q[2], q[3]
	for i := range squares {
		p := (*[4]float64)(points)
		points = points[4:]
		d0, d1, d2, d3 := q0-p[0], q1-p[1], q2-p[2], q3-p[3]
		sum := d0*d0 + d1*d1 + d2*d2 + d3*d3
		squares[i] = sum
		if sum < least {
			least = sum
		}
	}
	return least
}

func measure6(points, q, squares []float64) float64 {
	least := math.Inf(1)
	q0, q1, q2, q3, q4, q5 := q[0], q[1], q[2], q[3], q[4], q[5]
	for i := range squares {
		p := (*[6]float64)(points)
		points = points[6:]
		d0, d1, d2, d3, d4, d5 := q0-p[0], q1-p[1], q2-p[2], q3-p[3], q4-p[4], q5-p[5]
		sum := d0*d0 + d1*d1 + d2*d2 + d3*d3 + d4*d4 + d5*d5
		squares[i] = sum
		if sum < least {
			least = sum
		}
	}
	return least
}

// leaveOut makes the teeth of an individual infinitely far and returns the
// least square of the others.
func leaveOut(voters []voter, exclude int, squares []float64) float64 {
	least := math.Inf(1)
	for i := range voters {
		if voters[i].individual == exclude {
			squares[i] = math.Inf(1)
		}
		least = min(least, squares[i])
	}
	return least
}
