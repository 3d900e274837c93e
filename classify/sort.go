package classify

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"crownbench/classify/internal/model"
)

// Options tune a comparison. The zero value is what the page uses.
type Options struct {
	K        int     // nearest teeth to show and count; 0 means 15
	Coverage float64 // of the sets: 0.80, 0.90 or 0.95; 0 means 0.90, others the next higher
	Brief    bool    // leave out Why and Missing, for long tables
}

func (o Options) k() int {
	if o.K <= 0 {
		return 15
	}
	return o.K
}

// level returns the place of the wanted coverage in model.Coverages.
func (o Options) level() int {
	if o.Coverage == 0 {
		return 1
	}
	for i, c := range model.Coverages {
		if o.Coverage <= c {
			return i
		}
	}
	return len(model.Coverages) - 1
}

// Sort compares q with the published teeth. See [Reference.Sort].
func Sort(q Query, o Options) Answer { return Published().Sort(q, o) }

// Sort compares q with the teeth of r and says what it is most like. It uses
// what the query has; what it lacks is expected from the rest, and the sets
// are those that held their coverage in validation on teeth cut to the same
// measurements. Values that no tooth can have are left out and reported in
// Cautions. Sort never fails; an unanswerable query gets an Answer with
// CannotSay.
func (r *Reference) Sort(q Query, o Options) Answer {
	v, u, remarks := q.usable()
	mesial := stateOf(q.Mesial, v[iMA], v[iMC], v[iMB])
	distal := stateOf(q.Distal, v[iDA], v[iDC], v[iDB])
	seen := observe(&v, &u, mesial, distal)
	pattern := seen.Pattern()
	level := o.level()
	a := Answer{Cautions: remarks, Coverage: model.Coverages[level], Own: r.own, Version: r.Version()}
	a.Used, a.Dropped = account(q)

	if pattern == 0 {
		a.CannotSay = "no measurement was given that the published teeth can be compared in"
		a.Said = said(&a)
		if !o.Brief {
			a.Missing = r.missing(q, pattern)
		}
		return a
	}
	clades := r.panel(question("clade", q.Row))
	clade := clades.ask(&seen, q.Individual, o.k())
	a.CladeNeighbours = clade.near
	a.Reach = r.reach(&seen, q.Individual, clades, clade.rows)
	a.Clades = cladeShares(clades.task.Classes, &clade)
	if set := clade.set(level); len(set) > 0 {
		a.CladeSet = make([]string, len(set))
		for i, c := range set {
			a.CladeSet[i] = clades.task.Classes[c]
		}
	}
	a.Epochs = tally(clade.near, func(i int) string { return clade.near[i].Tooth.Epoch })
	a.Continents = tally(clade.near, func(i int) string { return clades.continent[clade.rows[i].Row] })

	if pattern.Width() {
		r.sayForm(&a, &seen, q, o)
	} else {
		a.CannotSay = "the crown's width is missing (CBW or the ratio CBR), and width decides the form"
	}
	if a.Reach.Outside {
		a.Form, a.FormSet, a.CladeSet = "", nil, nil
		a.CannotSay = fmt.Sprintf("the tooth lies farther from every published crown than %.0f %% of them do from each other", float64(outermost))
	}
	if !o.Brief {
		a.Missing = r.missing(q, pattern)
	}
	a.Cautions = append(a.Cautions, r.cautions(&a, &v, q)...)
	a.Said = said(&a)
	return a
}

// sayForm fills in what the answer says of the form.
func (r *Reference) sayForm(a *Answer, seen *model.Observation, q Query, o Options) {
	p := r.panel(question("form", q.Row))
	v := p.ask(seen, q.Individual, o.k())
	a.Comparable = len(p.teeth)
	a.Neighbours = v.near
	a.Shares = make([]FormShare, 0, len(p.task.Classes))
	for c, class := range p.task.Classes {
		a.Shares = append(a.Shares, FormShare{Form: Form(class), Share: v.shares[c], Count: v.counts[c]})
	}
	slices.SortStableFunc(a.Shares, func(x, y FormShare) int { return cmp.Compare(y.Share, x.Share) })
	for _, c := range v.set(o.level()) {
		a.FormSet = append(a.FormSet, Form(p.task.Classes[c]))
	}
	switch len(a.FormSet) {
	case 1:
		a.Form = a.FormSet[0]
	case 0:
		a.CannotSay = fmt.Sprintf("no form has enough of the published crowns near for a set that holds %.0f %% of teeth", 100*a.Coverage)
	case len(Forms()):
		a.CannotSay = "the nearest published crowns are of every form"
	default:
		a.CannotSay = "between " + formsInWords(a.FormSet)
	}
	if o.Brief {
		return
	}
	top := slices.Index(p.task.Classes, string(a.Shares[0].Form))
	for c, i := range compared {
		if seen.Has(c) {
			a.pull(p, seen, q, top, measures[i].id, c)
		}
	}
	if seen.Has(model.CBR) {
		a.pull(p, seen, q, top, CBR, model.CBR)
	}
	if seen.Has(model.CHR) {
		a.pull(p, seen, q, top, CHR, model.CHR)
	}
	slices.SortStableFunc(a.Why, func(x, y Pull) int {
		return cmp.Compare(math.Abs(y.With-y.Without), math.Abs(x.With-x.Without))
	})
}

// pull records what the share of a class would be without one channel.
func (a *Answer) pull(p *panel, seen *model.Observation, q Query, class int, m Measure, channel int) {
	less := seen.Without(channel)
	without := p.task.Prior[class]
	if less.Mask != 0 {
		w := p.work.Get().(*workspace)
		p.share(&less, 0, p.without(q.Individual), w, w.shares)
		without = w.shares[class]
		p.work.Put(w)
	}
	a.Why = append(a.Why, Pull{Measure: m, Form: Form(p.task.Classes[class]), With: a.Shares[0].Share, Without: without})
}

func cladeShares(classes []string, v *verdict) []CladeShare {
	list := make([]CladeShare, len(classes))
	for c, clade := range classes {
		list[c] = CladeShare{Clade: clade, Share: v.shares[c], Count: v.counts[c]}
	}
	slices.SortStableFunc(list, func(a, b CladeShare) int { return cmp.Compare(b.Share, a.Share) })
	return list
}

// countFirst counts the neighbours that match and returns the place of the
// nearest one, len(near) when there is none.
func countFirst(near []Neighbour, match func(*Tooth) bool) (n, first int) {
	first = len(near)
	for i := range near {
		if match(near[i].Tooth) {
			n++
			first = min(first, i)
		}
	}
	return n, first
}

// tally counts neighbours by name, most frequent first, equally frequent ones
// by the nearest.
func tally(near []Neighbour, name func(i int) string) []Tally {
	list := make([]Tally, 0, min(len(near), 6))
	for i := range near {
		word := name(i)
		at := slices.IndexFunc(list, func(t Tally) bool { return t.Name == word })
		if at < 0 {
			at = len(list)
			list = append(list, Tally{Name: word})
		}
		list[at].Count++
	}
	slices.SortStableFunc(list, func(a, b Tally) int { return cmp.Compare(b.Count, a.Count) })
	return list
}

// account divides the measures that the query gives into those that enter the
// comparison and those that do not.
func account(q Query) (in []Measure, out []Dropped) {
	for i := range measures {
		m := measures[i].id
		v, given := q.Values[m]
		switch {
		case !given || CheckValue(m, v) != nil:
		case m == MC && q.Mesial == DenticlesAbsent, m == DC && q.Distal == DenticlesAbsent:
			out = append(out, Dropped{m, "the carina is recorded as having no denticles"})
		case slices.Contains(compared[:], i) || m == CBR || m == CHR:
			if in == nil {
				in = make([]Measure, 0, len(q.Values))
			}
			in = append(in, m)
		default:
			out = append(out, Dropped{m, "too few published teeth have it; it does not enter the comparison"})
		}
	}
	return in, out
}
