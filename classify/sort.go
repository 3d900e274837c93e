package classify

import (
	"cmp"
	"fmt"
	"slices"
)

// Options tune a comparison. The zero value is what the page uses.
type Options struct {
	// K is how many nearest teeth answer; 0 means 15, which did best on forms
	// in the validation that reference/README.md lists.
	K int
}

func (o Options) k() int {
	if o.K <= 0 {
		return 15
	}
	return o.K
}

const (
	method = "1" // raised whenever the same query may get another answer

	fewestTeeth   = 100  // below this a sample is too small to compare with
	fewestOfForm  = 15   // and so is one with fewer of any form than neighbours asked
	enoughForForm = 0.60 // share of the neighbours that a form needs to be said
)

// Sort compares q with the published teeth. See [Reference.Sort].
func Sort(q Query, o Options) Answer { return Published().Sort(q, o) }

// Sort compares q with the teeth of r and says what it is most like. It uses
// what the query has: teeth lacking one of its features are left aside, and
// when too few remain the least useful feature goes instead. Values that no
// tooth can have are left out and reported in Cautions. Sort never fails; an
// unanswerable query gets an Answer with CannotSay.
func (r *Reference) Sort(q Query, o Options) Answer {
	v, remarks := q.usable()
	a := Answer{Cautions: remarks, Version: "teeth " + r.version + ", method " + method}
	have := featuresOf(&v)
	if have.has(size) {
		have = have.without(base) // size and height hold it already
	}
	a.Missing = missing(&v, q)

	if s, used, ok := r.comparable(sampleKey{forClade, q.Row, have}); ok {
		a.CladeNeighbours = s.neighbours(&v, o.k())
		a.Clades = cladeShares(a.CladeNeighbours)
		a.Used, a.Dropped = account(q, have, used)
	}
	switch {
	case have == 0:
		a.CannotSay = "no measurement was given that the published teeth can be compared in"
	case !have.has(width):
		a.CannotSay = "the crown's width is missing (CBW or the ratio CBR), and width decides the form"
	case len(have.list()) < 2:
		a.CannotSay = "a width alone is too little; give a size too (crown height CH or base length CBL)"
	default:
		s, used, ok := r.comparable(sampleKey{forForm, q.Row, have})
		if !ok {
			a.CannotSay = "too few published teeth can be compared with this one"
			break
		}
		a.Used, a.Dropped = account(q, have, used)
		a.Comparable = len(s.teeth)
		a.Neighbours = s.neighbours(&v, o.k())
		a.Shares = formShares(a.Neighbours)
		if top := a.Shares[0]; top.Share >= enoughForForm {
			a.Form = top.Form
		} else {
			a.CannotSay = fmt.Sprintf("the nearest published crowns disagree: %s", countForms(a.Shares))
		}
	}
	a.Cautions = append(a.Cautions, cautions(&a, &v, q)...)
	a.Said = said(&a)
	return a
}

// comparable returns the sample for k, with the least useful features taken
// away until it is large enough, and the features that remain.
func (r *Reference) comparable(k sampleKey) (*sample, featureSet, bool) {
	for k.features != 0 {
		s := r.sample(k)
		if s.enough(k.task) {
			return s, k.features, true
		}
		list := k.features.list()
		k.features = k.features.without(list[len(list)-1])
		if k.task == forForm && len(list) <= 2 {
			break
		}
	}
	return nil, 0, false
}

func (s *sample) enough(t task) bool {
	if len(s.teeth) < fewestTeeth {
		return false
	}
	if t != forForm {
		return true
	}
	count := make(map[Form]int)
	for _, t := range s.teeth {
		count[t.Form]++
	}
	for _, n := range count {
		if n < fewestOfForm {
			return false
		}
	}
	return len(count) > 1
}

func (s *sample) neighbours(v *values, k int) []Neighbour {
	hits := s.cloud.nearest(s.point(v), k)
	list := make([]Neighbour, len(hits))
	for i, h := range hits {
		list[i] = Neighbour{Tooth: s.teeth[h.row], Distance: h.distance}
	}
	return list
}

// formShares counts forms; of equal shares the form with the nearest tooth
// comes first.
func formShares(near []Neighbour) []FormShare {
	shares := make([]FormShare, 0, len(Forms()))
	first := make(map[Form]int)
	for _, f := range Forms() {
		n, at := countFirst(near, func(t *Tooth) bool { return t.Form == f })
		first[f] = at
		shares = append(shares, FormShare{Form: f, Count: n, Share: float64(n) / float64(len(near))})
	}
	slices.SortStableFunc(shares, func(a, b FormShare) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(first[a.Form], first[b.Form]))
	})
	return shares
}

// cladeShares counts clades with the same rule for ties.
func cladeShares(near []Neighbour) []CladeShare {
	var shares []CladeShare
	for _, n := range near { // clades enter in order of their nearest tooth
		at := slices.IndexFunc(shares, func(s CladeShare) bool { return s.Clade == n.Tooth.Clade })
		if at < 0 {
			at = len(shares)
			shares = append(shares, CladeShare{Clade: n.Tooth.Clade})
		}
		shares[at].Count++
		shares[at].Share = float64(shares[at].Count) / float64(len(near))
	}
	slices.SortStableFunc(shares, func(a, b CladeShare) int { return cmp.Compare(b.Count, a.Count) })
	return shares
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

// account divides the measures that the query gives into those that entered
// the comparison and those that did not.
func account(q Query, have, used featureSet) (in []Measure, out []Dropped) {
	enters := func(s featureSet, m Measure) bool {
		return slices.ContainsFunc(s.list(), func(f feature) bool { return slices.Contains(f.madeOf(), m) })
	}
	for _, m := range Measures() {
		v, given := q.Values[m]
		switch {
		case !given || CheckValue(m, v) != nil:
		case enters(used, m):
			in = append(in, m)
		case enters(have, m):
			out = append(out, Dropped{m, "too few published teeth have it together with the other measurements given"})
		default:
			out = append(out, Dropped{m, "it does not enter this comparison"})
		}
	}
	return in, out
}

// missing lists what the query lacks, what decides most first. The order is
// that of the features, which the validation set.
func missing(v *values, q Query) []Missing {
	var list []Missing
	if v[iCBR] == 0 {
		list = append(list, Missing{CBW, "width decides between blade-like and robust; it needs a basal view"})
	}
	if v[iCH] == 0 {
		list = append(list, Missing{CH, "size separates small thin crowns from large thick ones"})
	}
	if v[iCBL] == 0 {
		list = append(list, Missing{CBL, "with it the crown's proportions can be compared"})
	}
	if v[iDC] == 0 && q.Distal != DenticlesAbsent {
		list = append(list, Missing{DC, "denticle density tells clades of like-shaped crowns apart"})
	}
	if v[iAL] == 0 {
		list = append(list, Missing{AL, "with it the crown's curvature can be compared"})
	}
	if v[iMC] == 0 && q.Mesial != DenticlesAbsent {
		list = append(list, Missing{MC, "mesial denticles finer than distal ones mark some clades"})
	}
	return list
}
