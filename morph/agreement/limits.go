package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Limits are the limits of agreement between two ways of measuring the same
// teeth (Bland & Altman 1986), in the unit of the measurement.
type Limits struct {
	Teeth int
	Mean  float64 // of the differences first − second: the bias
	SD    float64 // of the differences
}

// ninetyFive is the number of SDs either side of the mean that hold 95 % of
// normal differences. The paper of 1986 prints limits at 2.
const ninetyFive = 1.96

// Lower and Upper are the mean ∓ 1.96 SD.
func (l Limits) Lower() float64 { return l.Mean - ninetyFive*l.SD }
func (l Limits) Upper() float64 { return l.Mean + ninetyFive*l.SD }

// SEMean is the standard error of the mean difference, SD/√n.
func (l Limits) SEMean() float64 { return l.SD / math.Sqrt(float64(l.Teeth)) }

// SELimit is the standard error of each limit, about SD·√(3/n).
func (l Limits) SELimit() float64 { return l.SD * math.Sqrt(3/float64(l.Teeth)) }

// InMean, InLower and InUpper are the intervals of the mean difference and of
// each limit, by Student's t on n − 1 degrees of freedom, as the paper of 1986
// has them.
func (l Limits) InMean() Interval  { return around(l.Mean, l.SEMean(), l.df()) }
func (l Limits) InLower() Interval { return around(l.Lower(), l.SELimit(), l.df()) }
func (l Limits) InUpper() Interval { return around(l.Upper(), l.SELimit(), l.df()) }

func (l Limits) df() float64 { return float64(l.Teeth - 1) }

// LimitsOfAgreement compares two ways of measuring, the same tooth standing in
// the same place of both. It refuses rows of unequal length, fewer than two
// teeth, and numbers that are none.
func LimitsOfAgreement(first, second []float64) (Limits, error) {
	if len(first) != len(second) {
		return Limits{}, errors.New("Both ways of measuring must have the same teeth.")
	}
	if len(first) < 2 {
		return Limits{}, errors.New("The limits of agreement need at least two teeth.")
	}
	d := make([]float64, len(first))
	for i := range d {
		d[i] = first[i] - second[i]
	}
	mean, sd := stat.MeanStdDev(d, nil)
	if math.IsNaN(mean+sd) || math.IsInf(mean+sd, 0) {
		return Limits{}, errors.New("A measurement is not a number.")
	}
	return Limits{Teeth: len(d), Mean: mean, SD: sd}, nil
}
