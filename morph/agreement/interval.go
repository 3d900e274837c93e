package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat/distuv"
)

// Level is the probability with which an interval of this package holds what
// it is given for, when errors are normal and independent.
const Level = 0.95

// tail is what an interval leaves out on either side.
const tail = (1 - Level) / 2

// Interval is a two-sided interval of Level. Low is never above High.
type Interval struct{ Low, High float64 }

// Holds tells whether a value lies in the interval, its ends counted.
func (i Interval) Holds(v float64) bool { return i.Low <= v && v <= i.High }

// around is the interval of an estimate with a standard error on df degrees of
// freedom.
func around(estimate, se, df float64) Interval {
	half := studentQuantile(df) * se
	return Interval{estimate - half, estimate + half}
}

// studentQuantile is the number of standard errors to either side.
func studentQuantile(df float64) float64 {
	return distuv.StudentsT{Mu: 0, Sigma: 1, Nu: df}.Quantile(1 - tail)
}

// fQuantile is the upper quantile of F at the level of an interval.
func fQuantile(df1, df2 float64) float64 { return distuv.F{D1: df1, D2: df2}.Quantile(1 - tail) }

// square is a mean square with its degrees of freedom and the weight with
// which it enters a sum.
type square struct{ weight, mean, df float64 }

// rootOf gives the root of a sum of independent mean squares with weights of
// zero or more, and its interval (Graybill & Wang 1980, J. Am. Stat. Assoc. 75:
// 869–873). With a single mean square it is the interval by χ².
func rootOf(squares ...square) (root float64, i Interval) {
	var sum, below, above float64
	for _, s := range squares {
		if !(s.df > 0) || s.weight == 0 {
			continue
		}
		term := s.weight * s.mean
		chi := distuv.ChiSquared{K: s.df}
		g := 1 - s.df/chi.Quantile(1-tail)
		h := s.df/chi.Quantile(tail) - 1
		sum += term
		below += g * g * term * term
		above += h * h * term * term
	}
	low := max(0, sum-math.Sqrt(below))
	return math.Sqrt(sum), Interval{math.Sqrt(low), math.Sqrt(sum + math.Sqrt(above))}
}

// finite tells whether all numbers are such.
func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

var (
	errNoNumber = errors.New("A measurement is not a number.")
	errTooLarge = errors.New("The measurements are too large to be compared.")
)
