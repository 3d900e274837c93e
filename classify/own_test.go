package classify

import (
	"slices"
	"testing"
)

// A tooth that is in the sample is not its own evidence: with its animal named
// it is sorted as if the animal had never been published. The expected answer
// comes from a sample that lacks the animal, put together here.
func TestOwnAnimalTakesNoPart(t *testing.T) {
	published := Published()
	tooth := &published.teeth[slices.IndexFunc(published.teeth, func(t Tooth) bool { return t.Form == Robust && t.Row == Lateral && t.hasBasics() })]
	q := Query{Values: tooth.Values(), Mesial: tooth.MesialDenticles, Distal: tooth.DistalDenticles, Row: tooth.Row}
	if near := Sort(q, Options{}).Neighbours; near[0].Tooth.ID != tooth.ID {
		t.Fatalf("%s is not its own nearest tooth: %s", tooth.ID, near[0].Tooth.ID)
	}
	q.Individual = tooth.Individual
	a := Sort(q, Options{})
	rest := &Reference{hash: published.hash}
	for _, other := range published.teeth {
		if other.Individual != tooth.Individual {
			rest.teeth = append(rest.teeth, other)
		}
	}
	want := rest.Sort(q, Options{})
	for i, n := range want.Neighbours {
		if a.Neighbours[i].Tooth.ID != n.Tooth.ID {
			t.Errorf("neighbour %d is %s, want %s", i, a.Neighbours[i].Tooth.ID, n.Tooth.ID)
		}
	}
	for i, n := range want.CladeNeighbours {
		if a.CladeNeighbours[i].Tooth.ID != n.Tooth.ID {
			t.Errorf("clade neighbour %d is %s, want %s", i, a.CladeNeighbours[i].Tooth.ID, n.Tooth.ID)
		}
	}
	if a.Reach.Distance != want.Reach.Distance {
		t.Errorf("reach %v, want %v", a.Reach.Distance, want.Reach.Distance)
	}
}

// Added teeth are known as such in every answer they take part in.
func TestOwnTeethAreMarked(t *testing.T) {
	own := Tooth{ID: "own 1", Clade: "Abelisauridae", Form: Blade, Row: Lateral}
	q := Query{Values: map[Measure]float64{CBL: 14.1, CBW: 7.2, CH: 25.9}, Row: Lateral}
	for m, v := range q.Values {
		if err := own.SetValue(m, v); err != nil {
			t.Fatal(err)
		}
	}
	sample, err := Published().With([]Tooth{own})
	if err != nil {
		t.Fatal(err)
	}
	a := sample.Sort(q, Options{})
	if a.Own != 1 || !a.Neighbours[0].Tooth.Own() || a.Neighbours[1].Tooth.Own() {
		t.Errorf("own %d, nearest own: %v, next own: %v", a.Own, a.Neighbours[0].Tooth.Own(), a.Neighbours[1].Tooth.Own())
	}
	if a := Sort(q, Options{}); a.Own != 0 || a.Neighbours[0].Tooth.Own() {
		t.Error("the published sample has teeth of one's own")
	}
}

// Every clade of the list is one that some published tooth has.
func TestCladesAreThoseOfTheTable(t *testing.T) {
	if len(Clades()) == 0 || !slices.IsSorted(Clades()) {
		t.Errorf("clades %q", Clades())
	}
	for _, c := range Clades() {
		if !slices.ContainsFunc(Published().teeth, func(t Tooth) bool { return t.Clade == c }) {
			t.Errorf("no published tooth is of %s", c)
		}
	}
}
