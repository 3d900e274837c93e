package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// LimitsOfMeans are the limits of agreement between single measurements by two
// ways, each of which was repeated on the same teeth (Bland & Altman 1986 and
// 1999): the differences of the means vary less than those of single
// measurements do, and the SD makes up for it.
//
// first and second have a row for each tooth in the same order; rows may be of
// unequal length, but a way that has several measurements in no row has no
// repeats, and is taken as it is. The standard errors of the result take the
// SD as if it came from single measurements. It refuses what LimitsOfAgreement
// refuses, and an empty row.
func LimitsOfMeans(first, second [][]float64) (Limits, error) {
	if len(first) != len(second) {
		return Limits{}, errors.New("Both ways of measuring must have the same teeth.")
	}
	means := func(rows [][]float64) (mean []float64, lost float64, err error) {
		var within, df, inverse float64
		for _, row := range rows {
			if len(row) == 0 {
				return nil, 0, errors.New("A tooth was not measured: leave it out of both ways.")
			}
			m := stat.Mean(row, nil)
			mean = append(mean, m)
			for _, v := range row {
				within += (v - m) * (v - m)
			}
			df += float64(len(row) - 1)
			inverse += 1 / float64(len(row))
		}
		if df == 0 {
			return mean, 0, nil
		}
		return mean, (1 - inverse/float64(len(rows))) * within / df, nil
	}
	a, lostA, err := means(first)
	if err != nil {
		return Limits{}, err
	}
	b, lostB, err := means(second)
	if err != nil {
		return Limits{}, err
	}
	l, err := LimitsOfAgreement(a, b)
	if err != nil {
		return Limits{}, err
	}
	l.SD = math.Sqrt(l.SD*l.SD + lostA + lostB)
	if !finite(l.SD) {
		return Limits{}, errors.New("A measurement is not a number.")
	}
	return l, nil
}
