package morph_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
)

// The rule is READ in Smith 2005 (counts over 2 mm scaled to 5 mm); ten per mm
// is READ in Hendrickx & Mateus 2014.
func TestDensity(t *testing.T) {
	for _, c := range []struct{ n, length, want float64 }{{20, 2, 50}, {10, 1, 50}, {9, 4.5, 10}} {
		near(t, fmt.Sprintf("%g over %g mm", c.n, c.length), morph.Density(c.n, c.length), c.want, 1e-12)
	}
}

// CALC: half a denticle over 1, 2 and 5 mm is 2.5, 1.25 and 0.5 per 5 mm.
func TestCountUncertainty(t *testing.T) {
	for length, u := range map[float64]float64{1: 2.5, 2: 1.25, 5: 0.5} {
		r := morph.Read(morph.Tooth{Counts: map[morph.ID]morph.Count{morph.DC: {N: 4 * length, LengthMM: length}}}).Get(morph.DC)
		near(t, fmt.Sprintf("value over %g mm", length), r.Value, 20, 1e-12)
		near(t, fmt.Sprintf("u over %g mm", length), r.U, u, 1e-9)
		near(t, "interval kept", r.Interval, length, 0)
	}
}

// Densities READ in the compiled table of Hendrickx et al. 2024, means and
// indices with it; printed values are rounded there.
func TestMeansAndIndices(t *testing.T) {
	typed := func(ma, mc, mb, da, dc, db float64) morph.Tooth {
		return morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.MA: {Value: ma}, morph.MC: {Value: mc}, morph.MB: {Value: mb},
			morph.DA: {Value: da}, morph.DC: {Value: dc}, morph.DB: {Value: db}}}
	}
	for _, c := range []struct {
		name                      string
		tooth                     morph.Tooth
		mavg, davg, mid, meanRule float64
	}{
		{"SGM Din-1 isolated", typed(8.5, 7.5, 13, 9, 10, 10.5), 9.666667, 9.833333, 0.75, 0.983051},
		{"MC 6.5, DC 7.5", typed(7.3, 6.5, 12.9, 8.6, 7.5, 11.2), 8.9, 9.1, 0.866667, 0.978022},
	} {
		r := morph.Read(c.tooth)
		near(t, c.name+" MAVG", r.Get(morph.MAVG).Value, c.mavg, 1e-6)
		near(t, c.name+" DAVG", r.Get(morph.DAVG).Value, c.davg, 1e-6)
		near(t, c.name+" DSDI", r.Get(morph.DSDI).Value, c.mid, 1e-6)
		c.tooth.DSDI = morph.DSDIMean
		mean := morph.Read(c.tooth).Get(morph.DSDI)
		near(t, c.name+" DSDI of means", mean.Value, c.meanRule, 1e-6)
		if mean.How != "MAVG / DAVG" {
			t.Errorf("how %q does not name the rule", mean.How)
		}
	}

	deinonychus := morph.Read(morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.MC: {Value: 30}, morph.DC: {Value: 16.8}}})
	near(t, "YPM 5232 d12 DSDI", deinonychus.Get(morph.DSDI).Value, 1.785714, 1e-6)
	if r := deinonychus.Get(morph.MAVG); r.Known || r.Needs != "needs MA and MB" {
		t.Errorf("MAVG of one position: known %v, needs %q", r.Known, r.Needs)
	}
}

// DDL = 5/DC is READ in the compiled table of Hendrickx et al. 2024.
func TestDenticleLength(t *testing.T) {
	r := morph.Read(morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.DC: {Value: 12.5}, morph.MC: {Value: 10}}})
	near(t, "DDL", r.Get(morph.DDL).Value, 0.4, 1e-12)
	near(t, "MDL", r.Get(morph.MDL).Value, 0.5, 1e-12)
}

// ticked is a view of a bent carina at 100 px per mm with denticles every
// given number of mm, the ticks a little off the line.
func ticked(n int, everyMM float64) morph.View {
	v := morph.View{ID: "d", Role: morph.DistalView,
		Bars: []morph.Bar{{To: morph.Vertex{X: 1000}, Length: 10, Unit: morph.Millimetre}},
		Stretches: []morph.Stretch{{Carina: morph.DistalCarina, Third: morph.Mid, Done: true,
			Line: morph.Path{{X: 50, Y: 50}, {X: 350, Y: 50}, {X: 350, Y: 450}}}}}
	for i := range n {
		s := 20 + 100*everyMM*float64(i) // along the line, px
		x, y := 50+s, 55.0
		if s > 300 {
			x, y = 345, 50+s-300
		}
		v.Stretches[0].Ticks = append(v.Stretches[0].Ticks, morph.Vertex{X: x, Y: y})
	}
	return v
}

// Ticks count along the line, round its corner, in any order.
func TestTicks(t *testing.T) {
	v := ticked(13, 0.5)
	ticks := v.Stretches[0].Ticks
	ticks[0], ticks[7], ticks[12] = ticks[7], ticks[12], ticks[0]
	r := morph.Read(morph.Tooth{Views: []morph.View{v}}).Get(morph.DC)
	near(t, "DC", r.Value, 10, 1e-9)
	near(t, "interval", r.Interval, 6, 1e-9)
	if r.Key != "view:d#0" || r.How != "13 ticks over 6 mm, distal carina photo" || r.Problem != "" {
		t.Errorf("key %q, how %q, problem %q", r.Key, r.How, r.Problem)
	}
	// 1 px each of the first and the last tick along the line, of the line's
	// corner along both its arms, and of the scale bar's ends.
	nearRel(t, "u", r.U/r.Value, math.Sqrt(4/600.0/600+2/1000.0/1000), 0.01)
}

func TestTickSpan(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A line along x, ticks off it by any amount: their x counts.
		n := rapid.IntRange(2, 30).Draw(t, "n")
		var ticks []r2.Vec
		lo, hi := math.Inf(1), math.Inf(-1)
		for range n {
			p := r2.Vec{X: rapid.Float64Range(0, 100).Draw(t, "x"), Y: rapid.Float64Range(-50, 50).Draw(t, "y")}
			lo, hi = min(lo, p.X), max(hi, p.X)
			ticks = append(ticks, p)
		}
		span, gaps := morph.TickSpan(points(0, 0, 30, 0, 100, 0), ticks)
		near(t, "span", span, hi-lo, 1e-9)
		var sum float64
		for _, g := range gaps {
			if g < 0 {
				t.Errorf("gap %g", g)
			}
			sum += g
		}
		near(t, "gaps together", sum, span, 1e-9)
	})
}

func TestUnevenTicks(t *testing.T) {
	double := ticked(10, 0.5)
	st := &double.Stretches[0]
	st.Ticks = append(st.Ticks, morph.Vertex{X: st.Ticks[3].X + 5, Y: 55})
	passed := ticked(10, 0.5)
	st = &passed.Stretches[0]
	st.Ticks = append(st.Ticks[:4:4], st.Ticks[5:]...)
	for say, v := range map[string]morph.View{"may mark one denticle": double, "may have been passed over": passed} {
		r := morph.Read(morph.Tooth{Views: []morph.View{v}}).Get(morph.DC)
		if !r.Known || !strings.Contains(r.Problem, say) {
			t.Errorf("known %v, problem %q, want one that says %q", r.Known, r.Problem, say)
		}
	}
}

func TestDensityLimits(t *testing.T) {
	for _, c := range []struct {
		value float64
		known bool
		say   string
	}{
		{900, false, "cannot be: published counts run from 4 to 80 per 5 mm"},
		{0.5, false, "cannot be: published counts run"},
		{0, false, "must be above 0"},
		{-3, false, "must be above 0"},
		{95, true, "outside the published counts, 4 to 80"},
		{3, true, "outside the published counts"},
		{80, true, ""},
		{4, true, ""},
	} {
		r := morph.Read(morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.DC: {Value: c.value}}})
		dc := r.Get(morph.DC)
		if dc.Known != c.known || !strings.Contains(dc.Problem, c.say) || c.say == "" && dc.Problem != "" {
			t.Errorf("DC %g: known %v, problem %q, want %v, %q", c.value, dc.Known, dc.Problem, c.known, c.say)
		}
		if r.Get(morph.DDL).Known != c.known {
			t.Errorf("DC %g: DDL known %v", c.value, !c.known)
		}
	}
}

// Absent, not preserved and unknown denticles are three things.
func TestCarinaStates(t *testing.T) {
	dc := map[morph.ID]morph.Typed{morph.DC: {Value: 20}}
	for _, c := range []struct {
		carina            morph.CarinaState
		mc, mdl, mavg     morph.State
		dsdiNeeds, mcNeed string
	}{
		{morph.DenticlesUnknown, "", "", "", "needs MC", "needs a count, or ticks along the carina"},
		{morph.DenticlesPresent, "", "", "", "needs MC", "needs a count, or ticks along the carina"},
		{morph.DenticlesAbsent, morph.Absent, morph.Absent, morph.Absent, "not known: MC is absent", ""},
		{morph.DenticlesNotPreserved, morph.NotPreserved, morph.NotPreserved, morph.NotPreserved, "not known: MC is not preserved", ""},
	} {
		r := morph.Read(morph.Tooth{Typed: dc, Mesial: c.carina})
		for id, want := range map[morph.ID]morph.State{morph.MC: c.mc, morph.MDL: c.mdl, morph.MAVG: c.mavg} {
			if got := r.Get(id); got.Known || got.State != want {
				t.Errorf("%q: %s known %v, state %q, want state %q", c.carina, id, got.Known, got.State, want)
			}
		}
		if got := r.Get(morph.DSDI).Needs; got != c.dsdiNeeds {
			t.Errorf("%q: DSDI needs %q, want %q", c.carina, got, c.dsdiNeeds)
		}
		if got := r.Get(morph.MC).Needs; got != c.mcNeed {
			t.Errorf("%q: MC needs %q, want %q", c.carina, got, c.mcNeed)
		}
		if got := r.Get(morph.DC); !got.Known || got.State != morph.MeasuredState {
			t.Errorf("%q: DC known %v, state %q", c.carina, got.Known, got.State)
		}
	}
	// A count beside a record of absence: one of the two is wrong.
	r := morph.Read(morph.Tooth{Typed: dc, Distal: morph.DenticlesAbsent}).Get(morph.DC)
	if r.Known || !strings.Contains(r.Problem, "distal denticles absent") {
		t.Errorf("count on an absent carina: known %v, problem %q", r.Known, r.Problem)
	}
	r = morph.Read(morph.Tooth{Typed: dc, Distal: morph.DenticlesNotPreserved}).Get(morph.DC)
	if !r.Known || !strings.Contains(r.Problem, "distal denticles not preserved") {
		t.Errorf("count on a worn carina: known %v, problem %q", r.Known, r.Problem)
	}
}

func TestCountRefuses(t *testing.T) {
	for say, c := range map[string]morph.Count{
		"mark its denticles as absent": {N: 0, LengthMM: 5},
		"denticles must be above 0":    {N: -2, LengthMM: 5},
		"counted over must be above":   {N: 9, LengthMM: 0},
		"length of carina":             {N: 9, LengthMM: math.NaN()},
		"number of denticles":          {N: math.Inf(1), LengthMM: 5},
	} {
		r := morph.Read(morph.Tooth{Counts: map[morph.ID]morph.Count{morph.MB: c}}).Get(morph.MB)
		if r.Known || !strings.Contains(r.Problem, say) {
			t.Errorf("%+v: known %v, problem %q, want one that says %q", c, r.Known, r.Problem, say)
		}
	}
}

func ExampleDensity() {
	// Nine denticles counted over 4.5 mm of carina.
	fmt.Println(morph.Density(9, 4.5), "per 5 mm")
	// Output: 10 per 5 mm
}
