package tray_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// READ: Tyrannosaurus FMNH PR2081 mx05 in the table compiled by Hendrickx et
// al. 2024; one length in the wrong unit.
func TestSlipIsFound(t *testing.T) {
	for name, c := range map[string]struct{ id, cell, want string }{
		"a decimal mark": {"CBW", "326.3", "CBW is 32.63 mm rather than 326.3 mm"},
		"in cm":          {"CH", "9.406", "CH is 94.06 mm rather than 9.406 mm"},
	} {
		cells := map[morph.ID]string{"CBL": "45.46", "CBW": "32.63", "CH": "94.06", "AL": "108.36"}
		cells[morph.ID(c.id)] = c.cell
		f := tray.Find(typedSpecimen(t, cells))
		if !f.Answer.Reach.Outside || f.Answer.Form != "" {
			t.Errorf("%s: outside %v, form %q", name, f.Answer.Reach.Outside, f.Answer.Form)
		}
		said := false
		for _, s := range f.Slips {
			said = said || s.Words == c.want
		}
		if !said {
			t.Errorf("%s: slips %+v do not say %q", name, f.Slips, c.want)
		}
	}
	if f := tray.Find(typedSpecimen(t, map[morph.ID]string{"CBL": "45.46", "CBW": "32.63", "CH": "94.06"})); len(f.Slips) > 0 {
		t.Errorf("a published tooth has slips %+v", f.Slips)
	}
}

// CALC from READ lengths (same table): the ellipse 45.46 × 32.63 mm, 94.06 mm
// high, has the strength indices 70.383500 and 50.519437 mm².
func TestBuildOfLengths(t *testing.T) {
	b, ok := tray.Find(typedSpecimen(t, map[morph.ID]string{"CBL": "45.46", "CBW": "32.63", "CH": "94.06"})).Build()
	if !ok || b.Traced || math.Abs(b.Along-70.3835) > 1e-4 || math.Abs(b.Across-50.519437) > 1e-4 || b.Spike != b.Ellipse.Spike {
		t.Errorf("build %+v, %v", b, ok)
	}
	for _, cells := range []map[morph.ID]string{
		{"CBL": "45.46", "CBW": "32.63"},
		{"CBL": "45.46", "CBW": "32.63", "CH": ">94.06"},
		{"CBL": "0", "CBW": "32.63", "CH": "94.06"},
	} {
		if b, ok := tray.Find(typedSpecimen(t, cells)).Build(); ok {
			t.Errorf("%v has the build %+v", cells, b)
		}
	}
}

// A traced base section is taken as it is. The section is a rectangle of 20 ×
// 10 mm at 10 px/mm: CALC Z_MD/Z_LL = 2 as for its ellipse, but each is 16/(3π)
// times the ellipse's, (L²W/6) / (πL²W/32).
func TestBuildOfATracedSection(t *testing.T) {
	s := typedSpecimen(t, map[morph.ID]string{"CH": "40"})
	s.Photos = []tray.Photo{{View: morph.View{
		ID: "v", Role: morph.BasalView,
		Bars: []morph.Bar{{From: morph.Vertex{X: 0, Y: 500}, To: morph.Vertex{X: 100, Y: 500}, Length: 10, Unit: morph.Millimetre}},
		Section: &morph.Section{Outline: morph.Path{
			{X: 100, Y: 150}, {X: 100, Y: 100}, {X: 300, Y: 100}, {X: 300, Y: 150}, {X: 300, Y: 200}, {X: 100, Y: 200},
		}, Done: true, Mesial: 0, Distal: 3},
	}}}
	b, ok := tray.Find(s).Build()
	const more = 16 / (3 * math.Pi)
	if !ok || !b.Traced || math.Abs(b.Along/b.Ellipse.Mesiodistal-more) > 1e-6 || math.Abs(b.Across/b.Ellipse.Labiolingual-more) > 1e-6 {
		t.Errorf("build %+v, %v", b, ok)
	}
}

// A ratio beside the published teeth is theirs, and own columns are dropped
// where nobody has a value.
func TestBesideHasOneCellAColumn(t *testing.T) {
	for _, p := range published {
		side := tray.Find(typedSpecimen(t, p.cells)).Beside()
		if len(side.This) != len(side.Measures) || len(side.Rows) == 0 {
			t.Fatalf("%d columns, %d cells, %d rows", len(side.Measures), len(side.This), len(side.Rows))
		}
		for _, r := range side.Rows {
			if len(r.Cells) != len(side.Measures) || r.Paper < 1 || r.Paper > len(side.Papers) || !strings.Contains(side.Papers[r.Paper-1], " ") {
				t.Errorf("row %+v of %d papers", r, len(side.Papers))
			}
		}
	}
}

// The coverage is the one asked for, and a set at a higher coverage holds
// whatever one at a lower coverage holds.
func TestCoverageOrdersSets(t *testing.T) {
	for _, p := range published {
		s := typedSpecimen(t, p.cells)
		var before classify.Answer
		for _, c := range []float64{0.80, 0.90, 0.95} {
			a := tray.Sorting{Coverage: c}.Find(s).Answer
			if a.Coverage != c {
				t.Errorf("coverage %v, want %v", a.Coverage, c)
			}
			if !holds(a.FormSet, before.FormSet) || !holds(a.CladeSet, before.CladeSet) {
				t.Errorf("at %v the sets %v %v do not hold those below: %v %v", c, a.FormSet, a.CladeSet, before.FormSet, before.CladeSet)
			}
			before = a
		}
	}
}

func holds[E comparable](all, some []E) bool {
	in := map[E]bool{}
	for _, x := range all {
		in[x] = true
	}
	for _, x := range some {
		if !in[x] {
			return false
		}
	}
	return true
}

// The worse a width is known, the less steady is the form; with no error at all
// there is nothing to try. Lengths READ as above.
func TestSteadyFollowsTheErrors(t *testing.T) {
	find := func(cbw string) (tray.Finding, *tray.Specimen) {
		s := typedSpecimen(t, map[morph.ID]string{"CBL": "45.46", "CBW": cbw, "CH": "94.06"})
		return tray.Find(s), s
	}
	f, s := find("32.63")
	steady := func(s *tray.Specimen, f tray.Finding) (classify.Steadiness, bool) {
		on := func() bool { return true }
		return tray.Sorting{}.Steady(f, tray.SpreadOf(s, on), on)
	}
	if got, ok := steady(s, f); ok {
		t.Errorf("without any error: %+v", got)
	}
	f, s = find("32.63 ± 0.03")
	sure, ok := steady(s, f)
	if !ok || sure.Same != 1 || sure.Form != classify.Robust || sure.Draws == 0 {
		t.Errorf("± 0.1 %%: %+v, %v", sure, ok)
	}
	f, s = find("32.63 ± 8")
	unsure, ok := steady(s, f)
	if !ok || unsure.Same >= sure.Same {
		t.Errorf("± 25 %%: %+v, %v", unsure, ok)
	}
	again, _ := steady(s, f)
	if again.Same != unsure.Same {
		t.Error("another try gives another answer")
	}
}
