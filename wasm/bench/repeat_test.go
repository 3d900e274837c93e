package bench_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
)

// marked is a photo with a bar and a crown: five landmarks.
func marked() morph.View {
	return morph.View{ID: "p1", Role: morph.LateralLabial, Pointing: 2,
		Bars:  []morph.Bar{bar(100, 750, 900, 750, 10)},
		Crown: &morph.Crown{Path: morph.Path{{X: 300, Y: 600}, {X: 400, Y: 350}, {X: 500, Y: 100}, {X: 560, Y: 600}}, Apex: 2, Done: true}}
}

// CALC: each of five landmarks is marked at x−d, x and x+d, so that the sum of
// squares is 10 d² with 20 degrees of freedom: u = d·√(10/18).
func TestMarkAgain(t *testing.T) {
	s := standOf(t, marked(), 1000, 800)
	if err := s.bench.MarkAgain(); err != nil {
		t.Fatal(err)
	}
	if scene := s.bench.Scene(); len(scene.Marks)+len(scene.Labels)+len(scene.Strokes) != 0 {
		t.Error("what was marked before shows")
	}
	for round, d := range []float64{-3, 0, 3} {
		for i, at := range [][2]float64{{100, 750}, {900, 750}, {300, 600}, {500, 100}, {560, 600}} {
			want := []string{"first end of the scale bar", "second end", "(A)", "(G)", "(B)"}[i]
			if got := s.bench.Prompt().Text; !strings.Contains(got, want) {
				t.Errorf("round %d asks %q, want %q", round+1, got, want)
			}
			s.click(at[0]+d, at[1])
		}
	}
	v := s.view()
	if s.bench.Remarking() || s.edits != 1 {
		t.Errorf("after three rounds: still marking %v, %d edits", s.bench.Remarking(), s.edits)
	}
	e := v.PointingError()
	if e.Source != morph.PointingRepeated || e.Points != 5 || e.Marks != 15 || math.Abs(e.U-3*math.Sqrt(10.0/18)) > 1e-9 {
		t.Errorf("pointing error %+v", e)
	}
	if d := v.Bars[0].From.X; d != 100 {
		t.Error("marking again moved a mark")
	}
	s.undo()
	if v := s.view(); v.Repeats != nil || v.Pointing != 2 {
		t.Errorf("undone: %v, %v", v.Repeats, v.Pointing)
	}
}

func TestMarkAgainEndsEarly(t *testing.T) {
	s := standOf(t, marked(), 1000, 800)
	again := func() {
		if err := s.bench.MarkAgain(); err != nil {
			t.Fatal(err)
		}
	}
	again()
	s.click(100, 750)
	s.key("Escape")
	again()
	s.click(100, 750)
	s.bench.SetTool(bench.Crown)
	if s.bench.Remarking() || s.edits != 0 || s.view().Repeats != nil {
		t.Error("marks that were not kept are in the record")
	}
	again()
	for range 6 {
		s.click(105, 700)
		if s.act("That is enough") {
			t.Error("one mark of a point is enough")
		}
	}
	for range 2 {
		s.click(108, 704)
	}
	s.click(9, 9)
	s.act("Take the last one back")
	if !s.act("That is enough") || s.bench.Remarking() {
		t.Fatalf("three points marked twice are not enough: %q", s.bench.Prompt().Text)
	}
	if e := s.view().PointingError(); e.Points != 3 || e.Marks != 6 {
		t.Errorf("%+v", e)
	}
}

func TestNothingToMarkAgain(t *testing.T) {
	s := newStand(t)
	if err := s.bench.MarkAgain(); err == nil || s.bench.Remarking() {
		t.Errorf("on an empty photo: %v", err)
	}
}
