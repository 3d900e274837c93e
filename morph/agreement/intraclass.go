package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Intraclass holds the mean squares of a table of teeth by observers and the
// six intraclass correlations of Shrout & Fleiss 1979. The first number of a
// correlation's name is their case, the second tells whether it is of one
// observer's measurement or of the mean of all:
//   - 1: each tooth was measured by other observers
//   - 2: the same observers, drawn from many, measured every tooth
//   - 3: the same observers, the only ones of interest, measured every tooth
type Intraclass struct {
	Teeth, Observers int
	Between          float64 // mean square between teeth (BMS)
	Within           float64 // within teeth (WMS)
	Observer         float64 // between observers (JMS)
	Residual         float64 // what remains (EMS)

	OneSingle, OneMean     float64 // ICC(1,1), ICC(1,k)
	TwoSingle, TwoMean     float64 // ICC(2,1), ICC(2,k)
	ThreeSingle, ThreeMean float64 // ICC(3,1), ICC(3,k)
}

// IntraclassCorrelation gives the intraclass correlations of repeats, each
// column being one observer. It refuses what TechnicalError refuses, a single
// tooth, and teeth that do not differ, for then nothing can be told apart from
// error.
func IntraclassCorrelation(r Repeats) (Intraclass, error) {
	n, k, err := r.check()
	if err != nil {
		return Intraclass{}, err
	}
	if n < 2 {
		return Intraclass{}, errors.New("The intraclass correlation needs at least two teeth.")
	}
	grand := stat.Mean(r.all(), nil)
	columns := make([]float64, k)
	var between, within, observer float64 // sums of squares
	for _, row := range r {
		m := stat.Mean(row, nil)
		between += float64(k) * (m - grand) * (m - grand)
		for j, v := range row {
			within += (v - m) * (v - m)
			columns[j] += v / float64(n)
		}
	}
	for _, m := range columns {
		observer += float64(n) * (m - grand) * (m - grand)
	}
	fn, fk := float64(n), float64(k)
	c := Intraclass{
		Teeth: n, Observers: k,
		Between:  between / (fn - 1),
		Within:   within / (fn * (fk - 1)),
		Observer: observer / (fk - 1),
		Residual: max(0, within-observer) / ((fn - 1) * (fk - 1)),
	}
	if c.Between == 0 {
		return Intraclass{}, errors.New("The teeth do not differ in this measurement, so agreement cannot be told from it.")
	}
	b, w, j, e := c.Between, c.Within, c.Observer, c.Residual
	c.OneSingle, c.OneMean = (b-w)/(b+(fk-1)*w), (b-w)/b
	c.TwoSingle, c.TwoMean = (b-e)/(b+(fk-1)*e+fk*(j-e)/fn), (b-e)/(b+(j-e)/fn)
	c.ThreeSingle, c.ThreeMean = (b-e)/(b+(fk-1)*e), (b-e)/b
	for _, v := range []float64{c.OneSingle, c.TwoSingle, c.TwoMean, c.ThreeSingle} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return Intraclass{}, errors.New("The intraclass correlation is not defined for these measurements.")
		}
	}
	return c, nil
}
