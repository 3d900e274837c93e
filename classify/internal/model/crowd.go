package model

import (
	"cmp"
	"math"
	"slices"
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
	near := make([]Hit, 0, k)
	far := math.Inf(1)
	for row := range squares {
		if c.individual[row] == exclude {
			squares[row] = math.Inf(1)
			continue
		}
		p := c.points[row*c.dim : (row+1)*c.dim]
		var sum float64
		for j, x := range q {
			d := x - p[j]
			sum += d * d
		}
		squares[row] = sum
		if sum < far || len(near) < k {
			near = insert(near, Hit{row, sum}, k)
			if len(near) == k && k > 0 {
				far = near[k-1].Square
			}
		}
	}
	return near
}

// insert puts h in its place among the sorted k best.
func insert(near []Hit, h Hit, k int) []Hit {
	if k == 0 {
		return near
	}
	if len(near) == k {
		near = near[:k-1]
	}
	at := len(near)
	for at > 0 && CompareHits(h, near[at-1]) < 0 {
		at--
	}
	return slices.Insert(near, at, h)
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
