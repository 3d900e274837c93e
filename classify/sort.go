package classify

import (
	"cmp"
	"fmt"
	"slices"

	"crownbench/classify/internal/model"
)

// Options tune a comparison. The zero value is what the page uses.
type Options struct {
	K        int     // nearest teeth to show and count; 0 means 15
	Coverage float64 // of the sets: 0.80, 0.90 or 0.95; 0 means 0.90, others the next higher
	// Brief leaves out what is said in words and what explains: Said, Cautions but
	// for values set aside, Used, Dropped, Missing, Epochs and Continents. Long
	// tables have no use for it.
	Brief bool
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
	a := Answer{Cautions: remarks, Coverage: model.Coverages[o.level()], Own: r.own, Version: r.Version()}
	if pattern == 0 {
		a.CannotSay = "no measurement was given that the published teeth can be compared in"
	} else {
		r.compare(&a, &seen, q, o)
	}
	if !o.Brief {
		a.Used, a.Dropped = account(q)
		a.Missing = r.missing(q, pattern)
		if pattern != 0 {
			a.Cautions = append(a.Cautions, r.cautions(&a, &v, q)...)
		}
		a.Said = said(&a)
	}
	return a
}

// compare fills in what the nearest teeth tell of a tooth of which something is
// known.
func (r *Reference) compare(a *Answer, seen *model.Observation, q Query, o Options) {
	level := o.level()
	clades := r.panel(question("clade", q.Row))
	w := clades.work.Get().(*workspace)
	defer clades.work.Put(w)
	clade := clades.ask(w, seen, q.Individual, o.k())
	a.CladeNeighbours = clade.near
	a.Reach = r.reach(seen, q.Individual, clades, clade.rows)
	a.Clades = cladeShares(clades.task.Classes, &clade)
	if set := clade.set(level); len(set) > 0 {
		a.CladeSet = make([]string, len(set))
		for i, c := range set {
			a.CladeSet[i] = clades.task.Classes[c]
		}
	}
	if !o.Brief {
		a.Epochs = tally(clade.near, func(i int) string { return clade.near[i].Tooth.Epoch })
		a.Continents = tally(clade.near, func(i int) string { return clades.continent[clade.rows[i].Row] })
	}
	if seen.Pattern().Width() {
		r.sayForm(a, seen, q, o)
	} else {
		a.CannotSay = "the crown's width is missing (CBW or the ratio CBR), and width decides the form"
	}
	if a.Reach.Outside {
		a.Form, a.FormSet, a.CladeSet = "", nil, nil
		a.CannotSay = farOutside
	}
}

// farOutside says why a tooth beyond the outermost published ones gets no name.
var farOutside = fmt.Sprintf("the tooth lies farther from every published crown than %d %% of them do from each other", outermost)

// sayForm fills in what the answer says of the form.
func (r *Reference) sayForm(a *Answer, seen *model.Observation, q Query, o Options) {
	p := r.panel(question("form", q.Row))
	w := p.work.Get().(*workspace)
	defer p.work.Put(w)
	v := p.ask(w, seen, q.Individual, o.k())
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
}

func cladeShares(classes []string, v *verdict) []CladeShare {
	list := make([]CladeShare, len(classes))
	for at, c := range v.order {
		list[at] = CladeShare{Clade: classes[c], Share: v.shares[c], Count: v.counts[c]}
	}
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
