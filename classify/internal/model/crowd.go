package model

import (
	"math"
)

// Crowd is a set of placed crowns with classes, to be asked who is near. It
// keeps its rows in an order of its own, in which neighbours stand together in
// blocks, so that whole blocks can be passed over.
type Crowd struct {
	dim    int
	place  []int     // where each row stands
	row    []int     // which row stands at each place
	points []float64 // by place, one after another
	boxes  []float64 // of each block of places: the least of every coordinate, then the largest
	voters []voter   // by place

	heads   map[int]float64 // teeth of each class
	balance float64
}

type voter struct {
	class, individual int
	weight            float64
}

// NewCrowd returns a crowd. points are rows in order; class and individual
// number each row's class and animal from 0. Each tooth weighs the number of
// teeth of its animal to the power -byIndividual (0 lets one well-known skull
// speak with every tooth, 1 with one voice) times the number of teeth of its
// class to the power -balance (0 leaves common classes their advantage, 1 takes
// it).
func NewCrowd(points [][]float64, class, individual []int, byIndividual, balance float64) *Crowd {
	teeth, heads := make(map[int]float64), make(map[int]float64)
	c := &Crowd{row: order(points, class), place: make([]int, len(points)), heads: heads, balance: balance}
	for row, p := range points {
		c.dim = len(p)
		teeth[individual[row]]++
		heads[class[row]]++
	}
	for place, row := range c.row {
		c.place[row] = place
		c.points = append(c.points, points[row]...)
		weight := math.Pow(teeth[individual[row]], -byIndividual) * math.Pow(heads[class[row]], -balance)
		c.voters = append(c.voters, voter{class[row], individual[row], weight})
	}
	for block := range c.blocks() {
		from, to := c.span(block)
		c.boxes = append(c.boxes, box(c.points[from*c.dim:to*c.dim], c.dim)...)
	}
	return c
}

// Len returns the number of crowns.
func (c *Crowd) Len() int { return len(c.row) }

// Class returns the class of a row.
func (c *Crowd) Class(row int) int { return c.voters[c.place[row]].class }

// Point returns the point of a row.
func (c *Crowd) Point(row int) []float64 { return c.at(c.place[row]) }

func (c *Crowd) at(place int) []float64 { return c.points[place*c.dim : (place+1)*c.dim] }

// Square returns the squared distance of a row from q.
func (c *Crowd) Square(row int, q []float64) float64 {
	var sum float64
	for j, x := range c.Point(row) {
		d := q[j] - x
		sum += d * d
	}
	return sum
}

// Vote turns a sight of the crowd into raw shares of the classes: every tooth
// votes with its weight times exp(-square), and the shares sum to one.
func (c *Crowd) Vote(s *Sight, shares []float64) {
	clear(shares)
	if math.IsInf(s.nearest, 1) {
		for i := range shares {
			shares[i] = 1 / float64(len(shares))
		}
		return
	}
	for block, least := range s.blocks {
		if least-s.nearest >= reachOfKernel {
			continue
		}
		from, to := c.span(block)
		squares, voters := s.squares[from:to], c.voters[from:to]
		class, votes := voters[0].class, 0.0 // of teeth on end that share a class
		for i, square := range squares {
			d := square - s.nearest
			if d >= reachOfKernel {
				continue
			}
			v := &voters[i]
			if v.class != class {
				shares[class] += votes
				class, votes = v.class, 0
			}
			votes += v.weight * kernel(d)
		}
		shares[class] += votes
	}
	if s.exclude != Nobody && c.balance != 0 {
		c.rebalance(s.exclude, shares)
	}
	var sum float64
	for _, share := range shares {
		sum += share
	}
	for i := range shares {
		shares[i] /= sum
	}
}

// rebalance corrects votes for the teeth of an individual that was left out:
// they must not count among the teeth of their class either.
func (c *Crowd) rebalance(exclude int, shares []float64) {
	gone := make([]float64, len(shares))
	for i := range c.voters {
		if v := &c.voters[i]; v.individual == exclude {
			gone[v.class]++
		}
	}
	for class, n := range gone {
		if all := c.heads[class]; n > 0 && n < all {
			shares[class] *= math.Pow(all/(all-n), c.balance)
		}
	}
}

// Calibrate sharpens or flattens shares (power over or under 1) and mixes them
// with a prior of weight mix, so that a share of 0.8 is right 8 times in 10.
func Calibrate(shares, prior []float64, power, mix float64) {
	var sum float64
	for i, s := range shares {
		if s > 0 {
			shares[i] = math.Pow(s, power)
		}
		sum += shares[i]
	}
	for i := range shares {
		shares[i] = (1-mix)*shares[i]/sum + mix*prior[i]
	}
}
