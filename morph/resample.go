package morph

import (
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/stat"
)

// Distribution is what a tooth's readings could be, given the uncertainty of
// everything a person placed, typed or counted.
type Distribution struct {
	// Draws is the number of draws it holds.
	Draws  int
	values [][]float64 // by place in the table, one for each draw
}

// Resample draws all readings of a tooth anew the given number of times, each
// time with every input shifted by its own normal error: placed points by the
// view's pointing error, the scale of each photograph or the corners of its
// card, typed values by their
// uncertainties, typed counts by CountU. The same candidates count as in Read.
// Equal seeds give equal draws. Draws in which a reading has no value, as may
// happen when points are marked within their own error of each other, are left
// out.
func Resample(t Tooth, draws int, seed uint64) Distribution {
	return ResampleInTurns(t, draws, seed, func() bool { return true })
}

// ResampleInTurns is Resample for where other work must not wait: it calls turn
// before each draw, and ends with the draws there are when that gives false.
func ResampleInTurns(t Tooth, draws int, seed uint64, turn func() bool) Distribution {
	s := surveyOf(&t)
	out := make([]float64, len(s.read()))
	d := Distribution{values: make([][]float64, len(table))}
	var known []int
	for i, r := range s.readings {
		if r.Known {
			known = append(known, i)
			d.values[i] = make([]float64, 0, max(0, draws))
		}
	}
	if len(known) == 0 {
		return d
	}
	random := rand.New(rand.NewPCG(seed, 0))
	for range draws {
		if !turn() {
			break
		}
		for _, in := range s.inputs {
			in.set(random.NormFloat64())
		}
		for _, c := range s.cards {
			c.solve()
		}
		for _, p := range s.pieces {
			p.remeasure()
		}
		s.evaluate(out)
		if slices.ContainsFunc(known, func(i int) bool { return !finite(s.value[i]) }) {
			continue
		}
		for _, i := range known {
			d.values[i] = append(d.values[i], s.value[i])
		}
		d.Draws++
	}
	return d
}

// Values gives the values of a quantity, one for each draw; the same place in
// the values of two quantities is the same draw. It is nil where the quantity
// is not known. The caller must not change it.
func (d Distribution) Values(id ID) []float64 {
	if i, ok := index[id]; ok && i < len(d.values) {
		return d.values[i]
	}
	return nil
}

// Interval gives the middle share of a quantity's values, such as 0.95, by its
// quantiles; false where the quantity is not known or the share is not between
// 0 and 1.
func (d Distribution) Interval(id ID, share float64) (low, high float64, ok bool) {
	values := slices.Clone(d.Values(id))
	if len(values) == 0 || !(share > 0 && share < 1) {
		return 0, 0, false
	}
	slices.Sort(values)
	tail := (1 - share) / 2
	return stat.Quantile(tail, stat.LinInterp, values, nil), stat.Quantile(1-tail, stat.LinInterp, values, nil), true
}
