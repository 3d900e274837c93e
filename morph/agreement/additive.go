package agreement

import "math"

// part parts the sum of squares of the cells' means within teeth into what
// observers do on every tooth and what is left. df is their degrees of freedom
// together; 0 where no tooth has two observers.
func (g *grid) part() (observer, rest square, df float64) {
	toothN, observerN := make([]float64, g.teeth), make([]float64, g.observers)
	for _, c := range g.cells {
		toothN[c.tooth]++
		observerN[c.observer]++
	}
	within := g.residuals(make([]float64, g.observers), toothN)
	total := sumOfSquares(within)
	for _, n := range toothN {
		df += n - 1
	}
	if df == 0 {
		return square{}, square{}, 0
	}
	left := sumOfSquares(g.residuals(g.fit(toothN, observerN), toothN))
	// Where no path of shared teeth joins two groups of observers, their
	// difference cannot be told: each group is short of one.
	observer.df = min(df, float64(g.observers-g.groups()))
	rest.df = df - observer.df
	if rest.df == 0 {
		left = 0 // the model has a number for every cell
	} else {
		rest.mean = left / rest.df
	}
	if observer.df > 0 {
		observer.mean = max(0, total-left) / observer.df
	}
	return observer, rest, df
}

// residuals gives what each cell's mean differs from that of its tooth, after
// the observers' effects are taken off.
func (g *grid) residuals(effect, toothN []float64) []float64 {
	mean := make([]float64, g.teeth)
	for _, c := range g.cells {
		mean[c.tooth] += (c.mean - effect[c.observer]) / toothN[c.tooth]
	}
	r := make([]float64, len(g.cells))
	for i, c := range g.cells {
		r[i] = c.mean - effect[c.observer] - mean[c.tooth]
	}
	return r
}

// sweeps bounds the fitting; a full table is done after one sweep, and where
// cells are missing the remainder shrinks with each.
const sweeps = 500

// fit gives the observers' effects in the additive model by least squares: each
// sweep takes out what the residuals of each observer have in common.
func (g *grid) fit(toothN, observerN []float64) []float64 {
	effect := make([]float64, g.observers)
	for range sweeps {
		step := make([]float64, g.observers)
		for i, r := range g.residuals(effect, toothN) {
			o := g.cells[i].observer
			step[o] += r / observerN[o]
		}
		var most, size float64
		for o, s := range step {
			effect[o] += s
			most, size = max(most, math.Abs(s)), max(size, math.Abs(effect[o]))
		}
		if most <= 1e-12*size {
			break
		}
	}
	return effect
}

// groups counts the sets of observers that are joined by teeth they share.
func (g *grid) groups() int {
	lead := make([]int, g.observers)
	for o := range lead {
		lead[o] = o
	}
	var top func(int) int
	top = func(o int) int {
		for lead[o] != o {
			o = lead[o]
		}
		return o
	}
	first := map[int]int{} // an observer of each tooth
	n := g.observers
	for _, c := range g.cells {
		f, ok := first[c.tooth]
		if !ok {
			first[c.tooth] = c.observer
			continue
		}
		if a, b := top(f), top(c.observer); a != b {
			lead[a] = b
			n--
		}
	}
	return n
}

func sumOfSquares(xs []float64) float64 {
	var s float64
	for _, x := range xs {
		s += x * x
	}
	return s
}
