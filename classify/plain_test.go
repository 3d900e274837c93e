package classify

import (
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"crownbench/classify/internal/model"
)

// plainShares is what sorting means, written down without any of its shortcuts:
// every tooth's distance, the weight of every one that is not too far off to have
// any (model.Kernel says how far that is), a plain sum.
func plainShares(p *panel, o *model.Observation) (shares []float64, nearest []float64) {
	q := make([]float64, p.space.Dimensions())
	p.space.Place(q, o)
	teeth, heads := map[string]float64{}, map[int]float64{}
	for row, t := range p.teeth {
		teeth[t.Individual]++
		heads[p.crowd.Class(row)]++
	}
	squares := make([]float64, len(p.teeth))
	for row := range p.teeth {
		for j, x := range p.crowd.Point(row) {
			squares[row] += (q[j] - x) * (q[j] - x)
		}
	}
	least := slices.Min(squares)
	shares = make([]float64, len(p.task.Classes))
	for row, t := range p.teeth {
		weight := math.Pow(teeth[t.Individual], -p.task.ByIndividual) * math.Pow(heads[p.crowd.Class(row)], -p.task.Balance)
		shares[p.crowd.Class(row)] += weight * model.Kernel(squares[row]-least)
	}
	var sum float64
	for _, s := range shares {
		sum += s
	}
	for c := range shares {
		shares[c] /= sum
	}
	if c := p.task.Calibration(o.Pattern()); c != nil {
		model.Calibrate(shares, p.task.Prior, c.Power, c.Mix)
	}
	slices.Sort(squares)
	for _, s := range squares {
		nearest = append(nearest, math.Sqrt(s))
	}
	return shares, nearest
}

// subsetQuery draws a crown with any of its measures missing.
func subsetQuery(t *rapid.T) Query {
	q := Query{Values: map[Measure]float64{}, Row: rapid.SampledFrom([]ToothRow{RowUnknown, Mesial, Lateral}).Draw(t, "row")}
	cbl := rapid.Float64Range(2, 50).Draw(t, "CBL")
	for _, x := range []struct {
		m         Measure
		low, high float64
	}{
		{CBL, cbl, cbl}, {CBW, 0.3 * cbl, 1.2 * cbl}, {CH, cbl, 3 * cbl}, {AL, 1.2 * cbl, 3.2 * cbl},
		{MCL, 0.6 * cbl, 0.9 * cbl}, {MCW, 0.2 * cbl, 0.8 * cbl}, {MC, 5, 40}, {DC, 5, 40},
	} {
		if rapid.Bool().Draw(t, "has "+string(x.m)) {
			q.Values[x.m] = x.low
			if x.high > x.low {
				q.Values[x.m] = rapid.Float64Range(x.low, x.high).Draw(t, string(x.m))
			}
		}
	}
	return q
}

// Blocks, bounds and unfinished sums give the answer that the plain way does.
func TestShortcutsChangeNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := subsetQuery(t)
		a := Sort(q, Options{})
		v, u, _ := q.usable()
		seen := observe(&v, &u, stateOf(q.Mesial, v[iMA], v[iMC], v[iMB]), stateOf(q.Distal, v[iDA], v[iDC], v[iDB]))
		if seen.Pattern() == 0 {
			return
		}
		const rounding = 1e-9
		clades := Published().panel(question("clade", q.Row))
		shares, near := plainShares(clades, &seen)
		for _, s := range a.Clades {
			if want := shares[slices.Index(clades.task.Classes, s.Clade)]; math.Abs(s.Share-want) > rounding {
				t.Errorf("%s has %g, plainly %g", s.Clade, s.Share, want)
			}
		}
		for i, n := range a.CladeNeighbours {
			if math.Abs(n.Distance-near[i]) > 1e-9 {
				t.Errorf("neighbour %d at %g, plainly %g", i, n.Distance, near[i])
			}
		}
		deep, least := Published().deep(), make([]float64, 0, len(Published().teeth))
		point := make([]float64, deep.space.Dimensions())
		deep.space.Place(point, &seen)
		for row := range deep.teeth {
			var square float64
			for j, x := range deep.crowd.Point(row) {
				square += (point[j] - x) * (point[j] - x)
			}
			least = append(least, math.Sqrt(square))
		}
		slices.Sort(least)
		if want := least[model.ReachNeighbour-1]; math.Abs(a.Reach.Distance-want) > 1e-9 {
			t.Errorf("the third nearest tooth at %g, plainly %g", a.Reach.Distance, want)
		}
		forms := Published().panel(question("form", q.Row))
		shares, near = plainShares(forms, &seen)
		for _, s := range a.Shares {
			if want := shares[slices.Index(forms.task.Classes, string(s.Form))]; math.Abs(s.Share-want) > rounding {
				t.Errorf("%s has %g, plainly %g", s.Form, s.Share, want)
			}
		}
		for i, n := range a.Neighbours {
			if math.Abs(n.Distance-near[i]) > 1e-9 {
				t.Errorf("neighbour %d at %g, plainly %g", i, n.Distance, near[i])
			}
		}
	})
}
