package agreement

import (
	"errors"
	"fmt"
	"math"
)

// Repeats are measurements of one quantity: a row for each tooth, in each row
// one measurement by each observer, or at each sitting, in the same order.
type Repeats [][]float64

// check refuses repeats from which no error can be told, and gives their
// number of rows and of columns.
func (r Repeats) check() (n, k int, err error) {
	n = len(r)
	if n == 0 {
		return 0, 0, errors.New("No teeth were measured.")
	}
	k = len(r[0])
	if k < 2 {
		return 0, 0, errors.New("Each tooth must be measured at least twice.")
	}
	for i, row := range r {
		if len(row) != k {
			return 0, 0, fmt.Errorf("Tooth %d was measured %d times and tooth 1 %d times: leave out the tooth or measure it again.", i+1, len(row), k)
		}
		for j, v := range row {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return 0, 0, fmt.Errorf("Measurement %d of tooth %d is not a number.", j+1, i+1)
			}
		}
	}
	return n, k, nil
}

// all gives every measurement.
func (r Repeats) all() []float64 {
	var v []float64
	for _, row := range r {
		v = append(v, row...)
	}
	return v
}
