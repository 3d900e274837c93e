package agreement

import (
	"errors"
	"math"
	"slices"
)

// OutlierScore is the modified z score beyond which a value is marked
// (Iglewicz & Hoaglin 1993, from memory).
const OutlierScore = 3.5

// leastForOutliers is the number of values below which none can be told to
// stand apart from the others: the median deviation of a few honest values is
// often so small by chance that one of them would be marked.
const leastForOutliers = 8

// Scores gives each value's modified z score: its distance from the median,
// over the median of those distances, scaled so that it is a number of SDs of
// normal values (0.6745·(x − median)/MAD). Where more than half of the values
// are equal the mean distance takes the place of the median
// ((x − median)/(1.2533·mean)); where all are, every score is 0. Of fewer than
// eight values none can be told to stand apart, and every score is 0.
//
// It refuses values that are no numbers.
func Scores(values []float64) ([]float64, error) {
	if !finite(values...) {
		return nil, errNoNumber
	}
	z := make([]float64, len(values))
	if len(values) < leastForOutliers {
		return z, nil
	}
	mid := Median(values)
	away := make([]float64, len(values))
	var mean float64
	for i, v := range values {
		away[i] = math.Abs(v - mid)
		mean += away[i] / float64(len(values))
	}
	sd := Median(away) / 0.6745
	if sd == 0 {
		sd = mean * 1.2533
	}
	if sd == 0 {
		return z, nil
	}
	for i, v := range values {
		z[i] = (v - mid) / sd
		if !finite(z[i]) {
			return nil, errTooLarge
		}
	}
	return z, nil
}

// Median is the middle value, or the mean of the middle two; 0 of none.
func Median(values []float64) float64 {
	n := len(values)
	if n == 0 {
		return 0
	}
	s := slices.Sorted(slices.Values(values))
	return s[(n-1)/2]/2 + s[n/2]/2
}

// Bias is how far measurements lie from what is held to be true, on average.
type Bias struct {
	N    int
	Mean float64 // measured − true
	SD   float64
	In   Interval
}

// Clear tells whether the interval leaves no bias at all out.
func (b Bias) Clear() bool { return !b.In.Holds(0) }

// BiasOf gives the mean of differences from the truth with its interval by
// Student's t. The differences must be independent: of several by one observer
// their mean is one. It refuses fewer than two, and those that are no numbers.
func BiasOf(differences []float64) (Bias, error) {
	if len(differences) < 2 {
		return Bias{}, errors.New("The interval of a bias needs at least two observers.")
	}
	zero := make([]float64, len(differences))
	l, err := LimitsOfAgreement(differences, zero)
	if err != nil {
		return Bias{}, err
	}
	b := Bias{N: l.Teeth, Mean: l.Mean, SD: l.SD, In: l.InMean()}
	if !finite(b.In.Low, b.In.High) {
		return Bias{}, errTooLarge
	}
	return b, nil
}
