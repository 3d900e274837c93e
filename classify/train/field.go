package main

import (
	"math"

	"crownbench/classify/internal/model"
)

// field is the teeth as the objective sees them: placed in rank dimensions, each
// pulling on the others.
type field struct {
	rank             int
	placed, pull     []float64 // rank numbers for each tooth
	vote             []float64
	kind, individual []int32

	kernel, squares []float64 // of the tooth in hand, to each
}

func newField(crowns []crown, rank int) *field {
	n := len(crowns)
	f := &field{
		rank: rank, placed: make([]float64, n*rank), pull: make([]float64, n*rank), vote: make([]float64, n),
		kind: make([]int32, n), individual: make([]int32, n), kernel: make([]float64, n), squares: make([]float64, n),
	}
	for i := range crowns {
		f.kind[i], f.individual[i] = int32(crowns[i].kind), int32(crowns[i].individual)
	}
	return f
}

// floorOfShare bounds the log of a share that has no support at all.
const floorOfShare = 1e-9

// tug returns the log share of tooth i's own kind and adds to pull the
// gradient of w times it with respect to every placed point.
func (f *field) tug(i int, w float64) float64 {
	nearest := f.measure(i)
	own, sum := f.weigh(i, nearest)
	if own < floorOfShare*sum || sum == 0 {
		return math.Log(floorOfShare)
	}
	at := f.placed[i*f.rank : (i+1)*f.rank]
	mine := f.pull[i*f.rank : (i+1)*f.rank]
	for j, k := range f.kernel {
		if k == 0 {
			continue
		}
		c := k / sum
		if f.kind[j] == f.kind[i] {
			c -= k / own
		}
		c *= 2 * w
		there, pull := f.placed[j*f.rank:(j+1)*f.rank], f.pull[j*f.rank:(j+1)*f.rank]
		for r, x := range at {
			t := c * (x - there[r])
			mine[r] += t
			pull[r] -= t
		}
	}
	return math.Log(own / sum)
}

// measure writes the squared distances from tooth i, infinite within its
// animal, and returns the least.
func (f *field) measure(i int) float64 {
	at := f.placed[i*f.rank : (i+1)*f.rank]
	switch f.rank {
	case 4:
		a, b, c, d := at[0], at[1], at[2], at[3]
		for j := range f.squares {
			p := (*[4]float64)(f.placed[4*j:])
			a, b, c, d := a-p[0], b-p[1], c-p[2], d-p[3]
			f.squares[j] = a*a + b*b + c*c + d*d
		}
	case 6:
		a, b, c, d, e, g := at[0], at[1], at[2], at[3], at[4], at[5]
		for j := range f.squares {
			p := (*[6]float64)(f.placed[6*j:])
			a, b, c, d, e, g := a-p[0], b-p[1], c-p[2], d-p[3], e-p[4], g-p[5]
			f.squares[j] = a*a + b*b + c*c + d*d + e*e + g*g
		}
	default:
		for j := range f.squares {
			var sum float64
			for r, x := range f.placed[j*f.rank : (j+1)*f.rank] {
				t := at[r] - x
				sum += t * t
			}
			f.squares[j] = sum
		}
	}
	nearest := math.Inf(1)
	for j, who := range f.individual {
		if who == f.individual[i] {
			f.squares[j] = math.Inf(1)
		}
		if f.squares[j] < nearest {
			nearest = f.squares[j]
		}
	}
	return nearest
}

// weigh turns squared distances into votes and returns those for tooth i's own
// class and all.
func (f *field) weigh(i int, nearest float64) (own, sum float64) {
	for j, square := range f.squares {
		k := 0.0
		if !math.IsInf(square, 1) {
			k = f.vote[j] * model.Kernel(square-nearest)
		}
		f.kernel[j] = k
		sum += k
		if f.kind[j] == f.kind[i] {
			own += k
		}
	}
	return own, sum
}
