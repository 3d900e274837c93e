package agreement

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Measurement is one measurement of a tooth by an observer, both by number
// from 0. A pair that stands several times was repeated; one that does not
// stand is missing.
type Measurement struct {
	Tooth, Observer int
	Value           float64
}

// Error is a technical error of measurement with its interval.
type Error struct {
	// Known tells whether the measurements give it; Needs says what is missing
	// where they do not.
	Known bool
	Needs string

	TEM float64 // in the unit of the measurement
	In  Interval
	// Percent is the TEM in percent of the mean of all measurements; 0 when
	// that mean is 0.
	Percent float64
	// Reliability is 1 − TEM²/SD², the SD being that of all measurements; 0
	// when all are equal. It is below 0 where teeth differ less than the error.
	Reliability float64
}

// ObserverErrors are the errors of several observers who measured the same
// teeth, not necessarily all of them nor equally often.
type ObserverErrors struct {
	Teeth, Observers, Measurements int
	Mean, SD                       float64 // of all measurements
	// Within is the error of one observer who measures a tooth again.
	Within Error
	// Between is the error between observers' values of a tooth: the root of
	// the mean square within teeth, each observer's repeats being averaged
	// first.
	Between Error
	// Total is the error of a single measurement by whichever observer. It
	// needs observers only, and is Between where nobody repeated.
	Total Error
}

// ErrorsOf parts the error of measurements into that within and that between
// observers.
//
// Each cell of an observer and a tooth gives its mean and its variance. The
// variances together are the error within. The means, less those of the teeth,
// are parted into what an observer does on every tooth and what is left, by
// least squares where cells are missing; the error between is that of both
// together, its interval that of the sum of two mean squares.
//
// It refuses no measurements, numbers below 0 for a tooth or an observer, more
// than MaxObservers observers, and values that are no numbers. What the
// measurements do not give is not Known.
func ErrorsOf(ms []Measurement) (ObserverErrors, error) {
	g, err := gridOf(ms)
	if err != nil {
		return ObserverErrors{}, err
	}
	o := ObserverErrors{Teeth: g.teeth, Observers: g.observers, Measurements: len(ms)}
	all := make([]float64, len(ms))
	for i, m := range ms {
		all[i] = m.Value
	}
	if o.Mean = stat.Mean(all, nil); len(all) > 1 {
		o.SD = stat.StdDev(all, nil)
	}

	within := square{1, 0, g.dfWithin}
	if g.dfWithin > 0 {
		within.mean = g.ssWithin / g.dfWithin
		o.Within = o.errorOf(within)
	} else {
		o.Within.Needs = "needs a tooth that somebody measured twice"
	}

	observer, rest, df := g.part()
	if df == 0 {
		o.Between.Needs = "needs a tooth that two observers measured"
		o.Total.Needs = o.Between.Needs
	} else {
		observer.weight, rest.weight = observer.df/df, rest.df/df
		o.Between = o.errorOf(observer, rest)
		within.weight = 1 - g.inverse
		o.Total = o.errorOf(observer, rest, within)
	}
	if !finite(o.Mean, o.SD, o.Within.TEM, o.Within.In.High, o.Between.TEM, o.Between.In.High, o.Total.TEM, o.Total.In.High) {
		return ObserverErrors{}, errTooLarge
	}
	return o, nil
}

func (o *ObserverErrors) errorOf(squares ...square) Error {
	e := Error{Known: true}
	e.TEM, e.In = rootOf(squares...)
	if o.Mean != 0 {
		e.Percent = 100 * e.TEM / math.Abs(o.Mean)
	}
	if o.SD > 0 {
		e.Reliability = 1 - e.TEM*e.TEM/(o.SD*o.SD)
	}
	return e
}

// MaxObservers bounds the observers and the teeth of one comparison.
const MaxObservers = 1000

// cell holds what one observer measured of one tooth.
type cell struct {
	tooth, observer int
	mean            float64
	n               int
}

// grid is a table of cells, not all of which need be there. Teeth and
// observers are those that have any.
type grid struct {
	cells              []cell
	teeth, observers   int
	inverse            float64 // mean of 1/n over the cells
	ssWithin, dfWithin float64
}

func gridOf(ms []Measurement) (grid, error) {
	if len(ms) == 0 {
		return grid{}, errors.New("No teeth were measured.")
	}
	var g grid
	at := map[[2]int]int{}
	tooth, observer := map[int]int{}, map[int]int{}
	number := func(m map[int]int, k int) int {
		if _, ok := m[k]; !ok {
			m[k] = len(m)
		}
		return m[k]
	}
	for _, m := range ms {
		if m.Tooth < 0 || m.Observer < 0 {
			return grid{}, errors.New("Teeth and observers are numbered from 0.")
		}
		if !finite(m.Value) {
			return grid{}, errNoNumber
		}
		t, o := number(tooth, m.Tooth), number(observer, m.Observer)
		i, ok := at[[2]int{t, o}]
		if !ok {
			i = len(g.cells)
			at[[2]int{t, o}] = i
			g.cells = append(g.cells, cell{tooth: t, observer: o})
		}
		c := &g.cells[i]
		c.n++
		// Welford's update keeps the sum of squares exact for large values.
		d := m.Value - c.mean
		c.mean += d / float64(c.n)
		g.ssWithin += d * (m.Value - c.mean)
	}
	g.teeth, g.observers = len(tooth), len(observer)
	if g.teeth > MaxObservers || g.observers > MaxObservers {
		return grid{}, errors.New("There are more teeth or observers than can be compared at once.")
	}
	for _, c := range g.cells {
		g.dfWithin += float64(c.n - 1)
		g.inverse += 1 / float64(c.n) / float64(len(g.cells))
	}
	return g, nil
}
