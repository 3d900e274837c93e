package classify

import (
	"cmp"
	"math"
	"slices"

	"crownbench/classify/internal/model"
)

// Pull says what one measure does to the share of the likeliest form: what the
// share is, and what it would be were that measure unknown.
type Pull struct {
	Measure       Measure
	Form          Form
	With, Without float64
}

// Why says how each measure of q moved the share of the form that a, the answer
// to q, holds likeliest: strongest first, none where no form was compared. It
// sorts the tooth once more for each measure, so it is asked for apart.
func (r *Reference) Why(q Query, a *Answer) []Pull {
	if len(a.Shares) == 0 {
		return nil
	}
	v, u, _ := q.usable()
	seen := observe(&v, &u, stateOf(q.Mesial, v[iMA], v[iMC], v[iMB]), stateOf(q.Distal, v[iDA], v[iDC], v[iDB]))
	p := r.panel(question("form", q.Row))
	w := p.work.Get().(*workspace)
	defer p.work.Put(w)
	likeliest := a.Shares[0]
	class := slices.Index(p.task.Classes, string(likeliest.Form))
	var pulls []Pull
	without := func(m Measure, channel int) {
		if !seen.Has(channel) {
			return
		}
		pull := Pull{Measure: m, Form: likeliest.Form, With: likeliest.Share, Without: p.task.Prior[class]}
		if less := seen.Without(channel); less.Mask != 0 {
			p.share(&less, p.without(q.Individual), w, w.shares)
			pull.Without = w.shares[class]
		}
		pulls = append(pulls, pull)
	}
	for c, i := range compared {
		without(measures[i].id, c)
	}
	without(CBR, model.CBR)
	without(CHR, model.CHR)
	slices.SortStableFunc(pulls, func(x, y Pull) int {
		return cmp.Compare(math.Abs(y.With-y.Without), math.Abs(x.With-x.Without))
	})
	return pulls
}
