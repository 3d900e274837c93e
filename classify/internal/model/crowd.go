package model

import (
	"math"
)

// Crowd is a set of placed crowns with classes, to be asked who is near. It
// keeps its rows in an order of its own, in which neighbours stand together in
// blocks, so that whole blocks can be passed over.
type Crowd struct {
	dim        int
	place      []int     // where each row stands
	row        []int     // which row stands at each place
	class      []int     // by place
	individual []int     // by place
	points     []float64 // of each block: first coordinates by place, then second ones, …
	weight     []float64 // by place
	boxes      []float64 // of each block: the least of every coordinate, then the largest
	runs       []run
	firstRun   []int // of each block and the end, in runs

	heads   map[int]float64 // teeth of each class
	balance float64
}

// run is a number of places on end, in one block, that share a class.
type run struct{ class, from, to int }

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
	c.weight = make([]float64, c.blocks()*blockRows)
	for place, row := range c.row {
		c.place[row] = place
		c.class, c.individual = append(c.class, class[row]), append(c.individual, individual[row])
		c.weight[place] = math.Pow(teeth[individual[row]], -byIndividual) * math.Pow(heads[class[row]], -balance)
	}
	c.points = make([]float64, c.blocks()*blockRows*c.dim)
	for i := range c.points {
		c.points[i] = nowhere
	}
	for block := range c.blocks() {
		from, to := c.span(block)
		for place := from; place < to; place++ {
			for j, x := range points[c.row[place]] {
				c.points[c.coordinate(place, j)] = x
			}
		}
		c.boxes = append(c.boxes, c.box(from, to)...)
		c.firstRun = append(c.firstRun, len(c.runs))
		c.run(from, to)
	}
	c.firstRun = append(c.firstRun, len(c.runs))
	return c
}

// nowhere fills the places of the last block that no tooth has: infinitely far
// from everything.
const nowhere = 1e200

// coordinate returns where coordinate j of a place is in points.
func (c *Crowd) coordinate(place, j int) int {
	return (place/blockRows*c.dim+j)*blockRows + place%blockRows
}

// run adds the runs of a block.
func (c *Crowd) run(from, to int) {
	for place := from; place < to; place++ {
		if place == from || c.class[place] != c.class[place-1] {
			c.runs = append(c.runs, run{c.class[place], place - from, place - from})
		}
		c.runs[len(c.runs)-1].to++
	}
}

// Len returns the number of crowns.
func (c *Crowd) Len() int { return len(c.row) }

// Class returns the class of a row.
func (c *Crowd) Class(row int) int { return c.class[c.place[row]] }

// Point returns a copy of the point of a row.
func (c *Crowd) Point(row int) []float64 {
	p := make([]float64, c.dim)
	for j := range p {
		p[j] = c.points[c.coordinate(c.place[row], j)]
	}
	return p
}

// Square returns the squared distance of a row from q.
func (c *Crowd) Square(row int, q []float64) float64 {
	var sum float64
	at := c.points[c.coordinate(c.place[row], 0):]
	for j, x := range q {
		d := x - at[j*blockRows]
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
		squares := (*row)(s.squares[block*blockRows:])
		weight := (*row)(c.weight[block*blockRows:])
		for _, r := range c.runs[c.firstRun[block]:c.firstRun[block+1]] {
			votes := 0.0
			for i := r.from; i < r.to; i++ {
				if d := squares[i%blockRows] - s.nearest; d < reachOfKernel {
					votes += weight[i%blockRows] * kernel(d)
				}
			}
			shares[r.class] += votes
		}
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
	for place, who := range c.individual {
		if who == exclude {
			gone[c.class[place]]++
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
			shares[i] = math.Exp(power * math.Log(s)) // a browser takes half the time of Pow
		}
		sum += shares[i]
	}
	for i := range shares {
		shares[i] = (1-mix)*shares[i]/sum + mix*prior[i]
	}
}
