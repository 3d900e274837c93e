package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Spread are the limits of differences that come in groups, such as those of
// the students of a class from a key: one student's differences are alike, so
// that 30 teeth by one student say less than one tooth by 30. The SD joins the
// variance between groups with that within (Bland & Altman 2007, J. Biopharm.
// Stat. 17: 571–582), and the mean is that of the groups.
type Spread struct {
	Groups, N int
	Mean, SD  float64
	InMean    Interval
	InSD      Interval
}

// Lower and Upper are the mean ∓ 1.96 SD.
func (s Spread) Lower() float64 { return s.Mean - ninetyFive*s.SD }
func (s Spread) Upper() float64 { return s.Mean + ninetyFive*s.SD }

// InLower and InUpper are intervals of the limits: those of the mean and of
// the SD joined as if independent (as they are for normal differences).
func (s Spread) InLower() Interval { return s.limit(-1) }
func (s Spread) InUpper() Interval { return s.limit(1) }

func (s Spread) limit(side float64) Interval {
	at := s.Mean + side*ninetyFive*s.SD
	inner, outer := ninetyFive*(s.SD-s.InSD.Low), ninetyFive*(s.InSD.High-s.SD)
	if side > 0 {
		inner, outer = outer, inner
	}
	return Interval{at - math.Hypot(s.Mean-s.InMean.Low, outer), at + math.Hypot(s.InMean.High-s.Mean, inner)}
}

// SpreadOf gives the limits of grouped differences. Empty groups are passed
// over; it refuses fewer than two groups with anything in them.
func SpreadOf(groups [][]float64) (Spread, error) {
	var s Spread
	var means []float64
	var within, dfWithin, inverse float64
	for _, g := range groups {
		if len(g) == 0 {
			continue
		}
		if !finite(g...) {
			return Spread{}, errNoNumber
		}
		m := stat.Mean(g, nil)
		means = append(means, m)
		s.N += len(g)
		inverse += 1 / float64(len(g))
		dfWithin += float64(len(g) - 1)
		for _, v := range g {
			within += (v - m) * (v - m)
		}
	}
	s.Groups = len(means)
	if s.Groups < 2 {
		return Spread{}, errors.New("The limits of agreement need at least two observers who measured something.")
	}
	n := float64(s.Groups)
	mean, sd := stat.MeanStdDev(means, nil)
	// A group's mean varies by the variance between groups and 1/m of that
	// within; the rest of the latter is added back.
	squares := []square{{1, sd * sd, n - 1}}
	if dfWithin > 0 {
		squares = append(squares, square{1 - inverse/n, within / dfWithin, dfWithin})
	}
	s.Mean, s.InMean = mean, around(mean, sd/math.Sqrt(n), n-1)
	s.SD, s.InSD = rootOf(squares...)
	if !finite(s.Mean, s.SD, s.InMean.Low, s.InMean.High, s.InSD.High) {
		return Spread{}, errTooLarge
	}
	return s, nil
}
