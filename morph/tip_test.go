package morph

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// CALC: A and B 200 px apart, the apex estimated 400 px over their middle, 10 px
// to the mm: CH = AL = √(100² + 400²) px, and an uncertainty of u px along the
// crown gives them u·400/√(100² + 400²) px.
func TestEstimatedApex(t *testing.T) {
	tooth := func(change func(*Crown)) Tooth {
		c := &Crown{
			Path: Path{{X: 0, Y: 400}, {X: 75, Y: 100}, {X: 100, Y: 90}, {X: 125, Y: 100}, {X: 200, Y: 400}},
			Apex: 2, Done: true, ApexBroken: true, Tip: &Tip{X: 100, Y: 0, U: 12},
		}
		if change != nil {
			change(c)
		}
		return Tooth{Views: []View{{
			ID: "v", Role: LateralLabial, Pointing: 1e-6, Crown: c,
			Bars: []Bar{{From: Vertex{X: 0}, To: Vertex{X: 100}, Length: 10, Unit: Millimetre}},
		}}}
	}
	side := math.Hypot(100, 400)
	rs := Read(tooth(nil))
	for _, id := range []ID{CH, AL} {
		r := rs.Get(id)
		if !r.Known || r.State != Estimated || math.Abs(r.Value-side/10) > 1e-6 || math.Abs(r.U-1.2*400/side) > 1e-3 {
			t.Errorf("%s is %v ± %v, %q; want %v ± %v, estimated", id, r.Value, r.U, r.State, side/10, 1.2*400/side)
		}
		if r.Problem != "" {
			t.Errorf("%s: %s", id, r.Problem)
		}
		if n := len(r.Candidates); n != 2 || r.Candidates[1].State != Minimum {
			t.Errorf("%s: what is left of the crown is no candidate: %+v", id, r.Candidates)
		}
	}
	if r := rs.Get(CHR); r.State != Estimated {
		t.Errorf("CHR is %q", r.State)
	}
	if r := rs.Get("CROWN_AREA"); r.State != Minimum {
		t.Errorf("the area is %q", r.State)
	}
	left := r2.Norm(r2.Vec{X: 100, Y: 310}) / 10 // of CH, CALC
	for name, change := range map[string]func(*Crown){
		"the base is broken too": func(c *Crown) { c.BaseBroken = true },
		"no estimate":            func(c *Crown) { c.Tip = nil },
		"no number":              func(c *Crown) { c.Tip.X = math.NaN() },
		"on the base line":       func(c *Crown) { c.Tip.X, c.Tip.Y = 100, 400 },
	} {
		if r := Read(tooth(change)).Get(CH); r.State != Minimum || math.Abs(r.Value-left) > 1e-6 {
			t.Errorf("%s: CH is %v, %q", name, r.Value, r.State)
		}
	}
	if r := Read(tooth(func(c *Crown) { c.ApexBroken = false })).Get(CH); r.State != MeasuredState {
		t.Errorf("an apex that is whole is estimated: %q", r.State)
	}
}
