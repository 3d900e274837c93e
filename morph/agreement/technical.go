package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Technical is the technical error of measurement of repeats.
type Technical struct {
	Teeth, Repeats int
	// TEM is in the unit of the measurement: √(Σd²/2N) for two repeats
	// (Dahlberg's error), and in general the root of the mean square within
	// teeth.
	TEM float64
	// Mean and SD are those of all measurements together.
	Mean, SD float64
	// Percent is the TEM in percent of the mean; 0 when the mean is 0.
	Percent float64
	// Reliability is 1 − TEM²/SD², the share of the variance that is not error
	// of measurement; 0 when all measurements are equal.
	Reliability float64
}

// Repeatability is the difference that two measurements of one tooth by the
// same hand exceed only about once in twenty: 1.96·√2·TEM.
func (t Technical) Repeatability() float64 { return 1.96 * math.Sqrt2 * t.TEM }

// TechnicalError gives the technical error of measurement. It refuses repeats
// of no teeth, of fewer than two measurements a tooth, of rows of unequal
// length, and numbers that are none.
func TechnicalError(r Repeats) (Technical, error) {
	n, k, err := r.check()
	if err != nil {
		return Technical{}, err
	}
	t := Technical{Teeth: n, Repeats: k}
	var within float64
	for _, row := range r {
		within += stat.Variance(row, nil)
	}
	t.TEM = math.Sqrt(within / float64(n))
	t.Mean, t.SD = stat.MeanStdDev(r.all(), nil)
	if t.Mean != 0 {
		t.Percent = 100 * t.TEM / math.Abs(t.Mean)
	}
	if t.SD > 0 {
		t.Reliability = 1 - t.TEM*t.TEM/(t.SD*t.SD)
	}
	if math.IsNaN(t.TEM+t.SD) || math.IsInf(t.TEM+t.SD, 0) {
		return Technical{}, errors.New("The measurements are too large to be compared.")
	}
	return t, nil
}

// TotalTEM joins the errors of two observers who each measured twice, and the
// error between them: √((TEM₁² + TEM₂²)/2 + TEM²).
func TotalTEM(first, second, between float64) float64 {
	return math.Sqrt((first*first+second*second)/2 + between*between)
}
