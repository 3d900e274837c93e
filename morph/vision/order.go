package vision

import "sort"

// rank gives the index of the value at a share q, 0 to 1, of the values in
// order; equal values are ordered by index. There must be a value.
func rank(values []float64, q float64) int {
	order := make([]int, len(values))
	for i := range order {
		order[i] = i
	}
	sort.Slice(order, func(a, b int) bool {
		i, j := order[a], order[b]
		if values[i] != values[j] {
			return values[i] < values[j]
		}
		return i < j
	})
	return order[int(q*float64(len(values)-1))]
}

// quantile is the value at a share q of the values in order, 0 of none.
func quantile(values []float64, q float64) float64 {
	if len(values) == 0 {
		return 0
	}
	return values[rank(values, q)]
}
