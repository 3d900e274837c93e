package classify

import (
	"gonum.org/v1/gonum/stat"
)

// Loading is the part of one measure in an axis of a map.
type Loading struct {
	Measure Measure
	// Weight is what the log (base 10) of the measure, less its mean, is
	// multiplied by.
	Weight float64
	// Correlation of that log with the axis over the teeth of the map, gaps
	// filled. Where measures go together it says more than the weight, which
	// depends on what the other measures already say.
	Correlation float64
}

// loadingsOf gives the parts of the measures in the first two axes, in the order of
// the comparison.
func loadingsOf(axes *Axes, points [][]float64) [2][]Loading {
	var all [2][]Loading
	column := make([]float64, len(points))
	score := make([]float64, len(points))
	for k := range all {
		for i, p := range points {
			score[i] = axes.Project(p)[k]
		}
		for j, w := range axes.Weight[k] {
			for i, p := range points {
				column[i] = p[j]
			}
			all[k] = append(all[k], Loading{measures[compared[j]].id, w, stat.Correlation(column, score, nil)})
		}
	}
	return all
}

// Share returns the part (0 to 1) of the whole that the map's axis k, 0 or 1,
// has: of the variance for principal components, of the between-class variance
// in units of that within for discriminant axes.
func (m *Map) Share(k int) float64 {
	whole := 0.0
	for _, s := range m.Axes.Spread {
		whole += s
	}
	return m.Axes.Spread[k] / whole
}
