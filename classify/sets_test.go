package classify_test

import (
	"testing"

	"crownbench/classify"
)

// Whatever the coverage, a set holds the likeliest classes first, a form that
// is named is the likeliest, and a larger coverage never rules out more.
func TestSetsFollowTheShares(t *testing.T) {
	for _, tooth := range classify.Published().Teeth() {
		q := classify.Query{Values: tooth.Values(), Mesial: tooth.MesialDenticles, Distal: tooth.DistalDenticles, Row: tooth.Row, Individual: tooth.Individual}
		before, cladesBefore := 0, 0
		for _, coverage := range []float64{0.80, 0.90, 0.95} {
			a := classify.Sort(q, classify.Options{Coverage: coverage})
			for i, f := range a.FormSet {
				if f != a.Shares[i].Form && a.Shares[i].Share != share(a, f) {
					t.Errorf("%s at %g: the set %v passes over a likelier form than it holds: %v", tooth.ID, coverage, a.FormSet, a.Shares)
					break
				}
			}
			for i, c := range a.CladeSet {
				if c != a.Clades[i].Clade && a.Clades[i].Share != cladeShare(a, c) {
					t.Errorf("%s at %g: the set %v passes over a likelier clade than it holds", tooth.ID, coverage, a.CladeSet)
					break
				}
			}
			if a.Form != "" && share(a, a.Form) < a.Shares[0].Share {
				t.Errorf("%s at %g is called %s, which is less likely than %s", tooth.ID, coverage, a.Form, a.Shares[0].Form)
			}
			if len(a.FormSet) < before || len(a.CladeSet) < cladesBefore {
				t.Errorf("%s: a set at %g is smaller than at less coverage", tooth.ID, coverage)
			}
			before, cladesBefore = len(a.FormSet), len(a.CladeSet)
		}
	}
}

func share(a classify.Answer, f classify.Form) float64 {
	for _, s := range a.Shares {
		if s.Form == f {
			return s.Share
		}
	}
	return -1
}

func cladeShare(a classify.Answer, c string) float64 {
	for _, s := range a.Clades {
		if s.Clade == c {
			return s.Share
		}
	}
	return -1
}
