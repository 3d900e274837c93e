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
	class      []uint8   // by place, the last block filled up
	individual []int     // by place
	points     []float64 // of each block, for each pass over it (see together): the pass's coordinates, by place
	weight     []float64 // by place, the last block filled up
	boxes      []box     // of every four blocks: one for each coordinate

	heads   map[int]float64 // teeth of each class
	balance float64
}

// MaxClasses is how many classes a crowd may have.
const MaxClasses = 256

// NewCrowd returns a crowd. points are rows in order; class and individual
// number each row's class (below MaxClasses) and animal from 0. Each tooth weighs
// the number of teeth of its animal to the power -byIndividual (0 lets one
// well-known skull speak with every tooth, 1 with one voice) times the number of
// teeth of its class to the power -balance (0 leaves common classes their
// advantage, 1 takes it).
func NewCrowd(points [][]float64, class, individual []int, byIndividual, balance float64) *Crowd {
	teeth, heads := make(map[int]float64), make(map[int]float64)
	c := &Crowd{row: order(points), place: make([]int, len(points)), heads: heads, balance: balance}
	for row, p := range points {
		c.dim = len(p)
		teeth[individual[row]]++
		heads[class[row]]++
	}
	c.weight, c.class = make([]float64, c.blocks()*blockRows), make([]uint8, c.blocks()*blockRows)
	for place, row := range c.row {
		c.place[row] = place
		c.class[place] = uint8(class[row])
		c.individual = append(c.individual, individual[row])
		c.weight[place] = math.Pow(teeth[individual[row]], -byIndividual) * math.Pow(heads[class[row]], -balance)
	}
	c.points = make([]float64, c.blocks()*blockRows*c.dim)
	for i := range c.points {
		c.points[i] = nowhere
	}
	c.boxes = make([]box, fours(c.blocks())/4*c.dim)
	for block := range c.blocks() {
		from, to := c.span(block)
		for place := from; place < to; place++ {
			for j, x := range points[c.row[place]] {
				c.points[c.coordinate(place, j)] = x
			}
		}
		c.box(block)
	}
	return c
}

// nowhere fills the places of the last block that no tooth has: infinitely far
// from everything.
const nowhere = 1e200

// coordinate returns where coordinate j of a place is in points.
func (c *Crowd) coordinate(place, j int) int {
	begin := 0 // of the pass that takes j
	n := together(c.dim)
	for ; j-begin >= n; n = together(c.dim - begin) {
		begin += n
	}
	return place/blockRows*c.dim*blockRows + begin*blockRows + place%blockRows*n + j - begin
}

// Len returns the number of crowns.
func (c *Crowd) Len() int { return len(c.row) }

// Class returns the class of a row.
func (c *Crowd) Class(row int) int { return int(c.class[c.place[row]]) }

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
	for j, x := range q {
		d := x - c.points[c.coordinate(c.place[row], j)]
		sum += d * d
	}
	return sum
}

// Vote turns a sight of the crowd into raw shares of the classes: every tooth
// votes with its weight times exp(-square), and the shares sum to one.
func (c *Crowd) Vote(s *Sight, shares []float64) {
	if math.IsInf(s.nearest, 1) {
		for i := range shares {
			shares[i] = 1 / float64(len(shares))
		}
		return
	}
	var votes [MaxClasses]float64
	for block, least := range s.blocks[:c.blocks()] {
		if least-s.nearest >= reachOfKernel {
			continue
		}
		squares := (*row)(s.squares[block*blockRows:])
		weight := (*row)(c.weight[block*blockRows:])
		class := (*[blockRows]uint8)(c.class[block*blockRows:])
		for i := 0; i < blockRows; i += 4 { // as in add6
			d, w, to := (*[4]float64)(squares[i:]), (*[4]float64)(weight[i:]), (*[4]uint8)(class[i:])
			votes[to[0]] += w[0] * kernel(d[0]-s.nearest)
			votes[to[1]] += w[1] * kernel(d[1]-s.nearest)
			votes[to[2]] += w[2] * kernel(d[2]-s.nearest)
			votes[to[3]] += w[3] * kernel(d[3]-s.nearest)
		}
	}
	copy(shares, votes[:])
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
