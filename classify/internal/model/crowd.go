package model

import (
	"cmp"
	"math"
)

// Crowd is a set of placed crowns with classes, to be asked who is near.
type Crowd struct {
	dim        int
	points     []float64 // row after row
	class      []int
	individual []int
	weight     []float64
	heads      []float64 // teeth of each class
}

// NewCrowd returns a crowd. points are rows in order; class and individual
// number each row's class and animal from 0. Each tooth weighs the number of
// teeth of its animal to the power -byIndividual: 0 lets one well-known skull
// speak with every tooth, 1 with one voice.
func NewCrowd(points [][]float64, class, individual []int, classes int, byIndividual float64) *Crowd {
	c := &Crowd{class: class, individual: individual, weight: make([]float64, len(points)), heads: make([]float64, classes)}
	teeth := make(map[int]float64)
	for i, p := range points {
		c.dim = len(p)
		c.points = append(c.points, p...)
		teeth[individual[i]]++
		c.heads[class[i]]++
	}
	for i := range c.weight {
		c.weight[i] = math.Pow(teeth[individual[i]], -byIndividual)
	}
	return c
}

// Len returns the number of crowns.
func (c *Crowd) Len() int { return len(c.class) }

// Point returns the point of a row.
func (c *Crowd) Point(row int) []float64 { return c.points[row*c.dim : (row+1)*c.dim] }

// Nobody is the individual to exclude when none is.
const Nobody = -1

// Hit is a row found near a query, with its squared distance.
type Hit struct {
	Row    int
	Square float64
}

// CompareHits orders hits: nearest first, equally near ones by row.
func CompareHits(a, b Hit) int {
	return cmp.Or(cmp.Compare(a.Square, b.Square), cmp.Compare(a.Row, b.Row))
}

// Look measures the squared distance of every crown from q into squares, which
// must have length Len, and returns the k nearest in the order of CompareHits.
// Teeth of the excluded individual are infinitely far and never returned.
//
// Every distance is needed for the shares, so a search tree would save nothing.
func (c *Crowd) Look(q []float64, k, exclude int, squares []float64) []Hit {
	c.measure(q, squares)
	if exclude != Nobody {
		for row, who := range c.individual {
			if who == exclude {
				squares[row] = math.Inf(1)
			}
		}
	}
	near := make([]Hit, 0, k)
	far := math.Inf(1)
	for row, s := range squares {
		if s >= far || math.IsInf(s, 1) {
			continue
		}
		near = insert(near, Hit{row, s}, k)
		if len(near) == k && k > 0 {
			far = near[k-1].Square
		}
	}
	return near
}

// measure writes every squared distance from q. Four and six are the dimensions
// the model's spaces have; written out they take half the time.
func (c *Crowd) measure(q, squares []float64) {
	switch c.dim {
	case 4:
		q0, q1, q2, q3 := q[0], q[1], q[2], q[3]
		for row := range squares {
			p := (*[4]float64)(c.points[4*row:])
			d0, d1, d2, d3 := q0-p[0], q1-p[1], q2-p[2], q3-p[3]
			squares[row] = d0*d0 + d1*d1 + d2*d2 + d3*d3
		}
	case 6:
		q0, q1, q2, q3, q4, q5 := q[0], q[1], q[2], q[3], q[4], q[5]
		for row := range squares {
			p := (*[6]float64)(c.points[6*row:])
			d0, d1, d2, d3, d4, d5 := q0-p[0], q1-p[1], q2-p[2], q3-p[3], q4-p[4], q5-p[5]
			squares[row] = d0*d0 + d1*d1 + d2*d2 + d3*d3 + d4*d4 + d5*d5
		}
	default:
		for row := range squares {
			var sum float64
			for j, x := range c.points[row*c.dim : (row+1)*c.dim] {
				d := q[j] - x
				sum += d * d
			}
			squares[row] = sum
		}
	}
}

// Near returns the k nearest crowns as Look does, without measuring the rest to
// the end.
func (c *Crowd) Near(q []float64, k, exclude int) []Hit {
	near := make([]Hit, 0, k)
	far := math.Inf(1)
rows:
	for row, who := range c.individual {
		if who == exclude {
			continue
		}
		p := c.points[row*c.dim : (row+1)*c.dim]
		var sum float64
		for j, x := range q {
			d := x - p[j]
			if sum += d * d; sum >= far {
				continue rows
			}
		}
		near = insert(near, Hit{row, sum}, k)
		if len(near) == k && k > 0 {
			far = near[k-1].Square
		}
	}
	return near
}

// insert puts h in its place among the sorted k best. Rows come in ascending
// order, so of equally near ones the later goes behind.
func insert(near []Hit, h Hit, k int) []Hit {
	switch {
	case k == 0:
		return near
	case len(near) < k:
		near = append(near, h)
	default:
		near[k-1] = h
	}
	for at := len(near) - 1; at > 0 && near[at].Square < near[at-1].Square; at-- {
		near[at], near[at-1] = near[at-1], near[at]
	}
	return near
}

// reachOfKernel is the difference of squared distances beyond which a tooth's
// weight, e to the minus that, no longer shows in any share.
const reachOfKernel = 16

// Vote turns squared distances into raw shares of the classes: every tooth
// votes with its weight times exp(-square), and the votes of a class are
// divided by its number of teeth to the power balance (0: common classes keep
// their advantage; 1: they lose it). The shares sum to one.
func (c *Crowd) Vote(squares []float64, nearest float64, balance float64, shares []float64) {
	clear(shares)
	for row, s := range squares {
		if d := s - nearest; d < reachOfKernel {
			shares[c.class[row]] += c.weight[row] * math.Exp(-d)
		}
	}
	var sum float64
	for i := range shares {
		if c.heads[i] > 0 {
			shares[i] *= math.Pow(c.heads[i], -balance)
		}
		sum += shares[i]
	}
	for i := range shares {
		if sum > 0 {
			shares[i] /= sum
		} else {
			shares[i] = 1 / float64(len(shares))
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
