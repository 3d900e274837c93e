package model

import (
	"cmp"
	"math"
)

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

// Look fills s as [Crowd.Measure] does and returns the k nearest crowns.
func (c *Crowd) Look(q []float64, k, exclude int, s *Sight) []Hit {
	c.Measure(q, exclude, s)
	return s.Closest(make([]Hit, 0, min(k, c.Len())), k)
}

// Closest appends to near, which must be empty, the k nearest rows in the order
// of CompareHits. Teeth left out are never among them.
func (s *Sight) Closest(near []Hit, k int) []Hit {
	if k == 0 {
		return near
	}
	// The k-th least of the blocks' least squares bounds the k-th least of all.
	far := kth(s.blocks, k)
	for first := 0; first < len(s.blocks); first += 4 {
		four := (*[4]float64)(s.blocks[first:])
		if least4(four) > far {
			continue
		}
		for i, least := range four {
			if least <= far && !math.IsInf(least, 1) {
				from := (first + i) * blockRows
				near = closest(near, (*row)(s.squares[from:]), s.rows[from:], k, far)
				if len(near) == k {
					far = min(far, near[k-1].Square)
				}
			}
		}
	}
	return near
}

// closest puts what a block has to add among the k nearest, of those not beyond
// far.
func closest(near []Hit, squares *row, rows []int, k int, far float64) []Hit {
	for first := 0; first < blockRows; first += 4 {
		four := (*[4]float64)(squares[first:])
		if least4(four) > far {
			continue
		}
		for i, square := range four {
			if square <= far && !math.IsInf(square, 1) {
				near = Keep(near, Hit{rows[first+i], square}, k)
				if len(near) == k {
					far = min(far, near[k-1].Square)
				}
			}
		}
	}
	return near
}

// kth returns the k-th least of values, infinity when there are fewer or k is
// beyond what is worth sorting for.
func kth(values []float64, k int) float64 {
	const most = 16
	if k > most || k > len(values) {
		return math.Inf(1)
	}
	var best [most]float64
	n := 0
	for _, v := range values {
		switch {
		case n < k:
			n++
		case v >= best[k-1]:
			continue
		}
		at := n - 1
		for ; at > 0 && best[at-1] > v; at-- {
			best[at] = best[at-1]
		}
		best[at] = v
	}
	return best[k-1]
}

// Near appends to near, which must be empty, the k nearest crowns as Look does,
// without measuring the rest. It begins around the row first, which had better
// be near: the closer what is found there, the less need be looked at after.
func (c *Crowd) Near(near []Hit, q []float64, k, exclude, first int) []Hit {
	if k == 0 || c.Len() == 0 {
		return near
	}
	begin := c.place[first] / blockRows
	near = c.nearIn(begin, near, q, k, exclude)
	var few [64]float64
	bounds := c.bounds(few[:0], q)
	look := func(block int) {
		if len(near) < k || bounds[block] <= near[k-1].Square {
			near = c.nearIn(block, near, q, k, exclude)
		}
	}
	// Blocks that follow each other lie close together.
	for step := 1; step < c.blocks(); step++ {
		if begin-step >= 0 {
			look(begin - step)
		}
		if begin+step < c.blocks() {
			look(begin + step)
		}
	}
	return near
}

// nearIn puts what a block has to add among the k nearest.
func (c *Crowd) nearIn(block int, near []Hit, q []float64, k, exclude int) []Hit {
	far := math.Inf(1)
	if len(near) == k {
		far = near[k-1].Square
	}
	var squares row
	if c.squares(block, q, far, &squares) > far {
		return near
	}
	if exclude != Nobody {
		c.leaveOut(exclude, block, &squares)
	}
	return closest(near, &squares, c.row[block*blockRows:], k, far)
}

// Keep puts h in its place among the k best, in the order of CompareHits, if it
// belongs there.
func Keep(near []Hit, h Hit, k int) []Hit {
	before := func(b *Hit) bool { return h.Square < b.Square || h.Square == b.Square && h.Row < b.Row }
	switch {
	case len(near) < k:
		near = append(near, h)
	case k == 0 || !before(&near[k-1]):
		return near
	}
	at := len(near) - 1
	for ; at > 0 && before(&near[at-1]); at-- {
		near[at] = near[at-1]
	}
	near[at] = h
	return near
}
