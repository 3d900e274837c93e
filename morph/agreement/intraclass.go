package agreement

import (
	"errors"

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

	// Their intervals, by the quantiles of F as that paper gives them.
	InOneSingle, InOneMean     Interval
	InTwoSingle, InTwoMean     Interval
	InThreeSingle, InThreeMean Interval
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
	// Below this the difference is rounding.
	if !(b+(j-e)/fn > 1e-9*(b+e)) {
		return Intraclass{}, errors.New("The teeth differ less than the measurements of one tooth do, so the intraclass correlation is not defined.")
	}
	c.addIntervals()
	if !c.holds() {
		return Intraclass{}, errTooLarge
	}
	return c, nil
}

// addIntervals gives the intervals of Shrout & Fleiss 1979. Without error at
// all every correlation is 1 and so are the ends.
func (c *Intraclass) addIntervals() {
	n, k := float64(c.Teeth), float64(c.Observers)
	one := ratio{c.Between, c.Within, n - 1, n * (k - 1)}
	c.InOneSingle, c.InOneMean = one.single(k), one.mean()
	three := ratio{c.Between, c.Residual, n - 1, (n - 1) * (k - 1)}
	c.InThreeSingle, c.InThreeMean = three.single(k), three.mean()
	c.InTwoSingle = c.twoSingle(n, k)
	// Stepping up loses digits where the teeth hardly differ.
	c.InTwoMean = Interval{min(stepUp(c.InTwoSingle.Low, k), c.TwoMean), max(stepUp(c.InTwoSingle.High, k), c.TwoMean)}
}

// ratio is a mean square between teeth over one of error, with their degrees
// of freedom.
type ratio struct{ between, within, df1, df2 float64 }

// ends gives within over between at either end of the interval, so that no
// error is 0 and not endless.
func (r ratio) ends() (low, high float64) {
	over := r.within / r.between
	return over * fQuantile(r.df1, r.df2), over / fQuantile(r.df2, r.df1)
}

func (r ratio) single(k float64) Interval {
	low, high := r.ends()
	return Interval{(1 - low) / (1 + (k-1)*low), (1 - high) / (1 + (k-1)*high)}
}

func (r ratio) mean() Interval {
	low, high := r.ends()
	return Interval{1 - low, 1 - high}
}

// twoSingle is the interval of ICC(2,1), whose degrees of freedom are those of
// Satterthwaite. Its low end is cut at 0.
func (c *Intraclass) twoSingle(n, k float64) Interval {
	b, j, e := c.Between, c.Observer, c.Residual
	rho := max(0, c.TwoSingle) // below 0 the degrees of freedom have no meaning
	// The paper's ratio JMS/EMS, with both sides multiplied by EMS.
	p, q := k*rho*j, (n*(1+(k-1)*rho)-k*rho)*e
	v := (k - 1) * (n - 1) * (p + q) * (p + q) / ((n-1)*p*p + q*q)
	if !(v > 0) { // no error is left: nothing varies
		return Interval{c.TwoSingle, c.TwoSingle}
	}
	up, down := fQuantile(n-1, v), fQuantile(v, n-1)
	rest := k*j + (k*n-k-n)*e
	low, high := n*(b-up*e)/(up*rest+n*b), n*(down*b-e)/(rest+n*down*b)
	// A share of variances is not below 0, and the approximation can miss an
	// estimate that is.
	return Interval{max(low, min(0, c.TwoSingle)), max(high, c.TwoSingle)}
}

// stepUp gives the correlation of the mean of k measurements from that of one
// (the formula of Spearman and Brown).
func stepUp(single, k float64) float64 { return k * single / (1 + (k-1)*single) }

func (c *Intraclass) holds() bool {
	ok := finite(c.OneSingle, c.OneMean, c.TwoSingle, c.TwoMean, c.ThreeSingle, c.ThreeMean)
	for _, i := range []Interval{c.InOneSingle, c.InOneMean, c.InTwoSingle, c.InTwoMean, c.InThreeSingle, c.InThreeMean} {
		ok = ok && finite(i.Low, i.High) && i.Low <= i.High+1e-12
	}
	return ok
}
