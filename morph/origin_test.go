package morph

import (
	"strings"
	"testing"
)

// A reading says how the trace that it rests on came about, and does not change
// with it.
func TestOriginIsSaidAndCountsForNothing(t *testing.T) {
	view := func(o Origin) Tooth {
		return Tooth{Views: []View{{
			ID: "v", Role: LateralLabial,
			Bars:  []Bar{{From: Vertex{X: 0}, To: Vertex{X: 100}, Length: 10, Unit: Millimetre, Origin: o}},
			Crown: &Crown{Path: Path{{X: 0, Y: 400}, {X: 50, Y: 0}, {X: 200, Y: 400}}, Apex: 1, Done: true, Origin: o},
		}}}
	}
	byHand := Read(view(ByHand)).Get("CH")
	for o, want := range map[Origin]string{
		ByHand: "traced by hand, ", Proposed: "proposed and taken, ", Edited: "proposed and edited, ",
	} {
		r := Read(view(o)).Get("CH")
		if !strings.HasPrefix(r.How, want) || r.Value != byHand.Value || r.U != byHand.U {
			t.Errorf("%q: CH %v ± %v, %q", o, r.Value, r.U, r.How)
		}
	}
	if Origin("guessed").Known() {
		t.Error("an origin that there is not is known")
	}
}
