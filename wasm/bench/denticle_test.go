package bench_test

import (
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

func TestDenticleRows(t *testing.T) {
	laid := func(s *stand) { s.click(100, 700); s.click(100, 400); s.double(100, 100) }
	line := at([2]float64{100, 700}, [2]float64{100, 400}, [2]float64{100, 100})
	mid := func(done bool, ticks ...[2]float64) morph.Stretch {
		return morph.Stretch{Carina: morph.DistalCarina, Third: morph.Mid, Line: line, Ticks: at(ticks...), Done: done}
	}
	for _, test := range []struct {
		name string
		do   func(*stand)
		want []morph.Stretch
		says int
	}{
		{
			name: "a stretch being laid",
			do:   func(s *stand) { s.click(100, 700); s.click(100, 400); s.click(100, 100) },
			want: []morph.Stretch{mid(false)},
		},
		{
			name: "laid, and three denticles",
			do:   func(s *stand) { laid(s); s.click(102, 600); s.click(102, 560); s.click(102, 520) },
			want: []morph.Stretch{mid(true, [2]float64{102, 600}, [2]float64{102, 560}, [2]float64{102, 520})},
		},
		{
			name: "a double-click marks one denticle",
			do:   func(s *stand) { laid(s); s.double(102, 600); s.click(102, 560) },
			want: []morph.Stretch{mid(true, [2]float64{102, 600}, [2]float64{102, 560})},
		},
		{
			name: "denticles six px apart",
			do:   func(s *stand) { laid(s); s.click(102, 600); s.click(102, 594); s.click(102, 588) },
			want: []morph.Stretch{mid(true, [2]float64{102, 600}, [2]float64{102, 594}, [2]float64{102, 588})},
		},
		{
			name: "a click far from the row is no denticle",
			do:   func(s *stand) { laid(s); s.click(800, 400) },
			want: []morph.Stretch{mid(true)},
			says: 1,
		},
		{
			name: "a denticle is moved, another removed",
			do: func(s *stand) {
				laid(s)
				s.click(102, 600)
				s.click(102, 560)
				s.drag([2]float64{102, 600}, [2]float64{110, 610}, [2]float64{112, 620})
				s.click(102, 560)
				s.key("Delete")
			},
			want: []morph.Stretch{mid(true, [2]float64{112, 620})},
		},
		{
			name: "one point is no stretch",
			do:   func(s *stand) { s.double(100, 700) },
			want: []morph.Stretch{{Carina: morph.DistalCarina, Third: morph.Mid, Line: line[:1]}},
			says: 1,
		},
		{
			name: "its only point taken away, the row is gone",
			do:   func(s *stand) { s.click(100, 700); s.key("Delete") },
		},
		{
			name: "the next row is what was chosen for it",
			do: func(s *stand) {
				laid(s)
				s.click(102, 600)
				s.key("Enter")
				s.bench.SetRow(morph.MesialCarina, morph.Basal, false)
				s.click(600, 700)
				s.click(600, 400)
				s.key("Enter")
				s.click(600, 650)
			},
			want: []morph.Stretch{
				mid(true, [2]float64{102, 600}),
				{Carina: morph.MesialCarina, Third: morph.Basal, Line: at([2]float64{600, 700}, [2]float64{600, 400}), Ticks: at([2]float64{600, 650}), Done: true},
			},
		},
		{
			name: "choosing the next row changes no row",
			do: func(s *stand) {
				laid(s)
				s.click(102, 600)
				s.bench.SetRow(morph.MesialCarina, morph.Basal, true)
			},
			want: []morph.Stretch{mid(true, [2]float64{102, 600})},
		},
		{
			name: "a row is marked as another when asked",
			do: func(s *stand) {
				laid(s)
				s.bench.SetRow(morph.MesialCarina, morph.Apical, false)
				s.act("Mark this row as the apical third of the mesial carina")
			},
			want: []morph.Stretch{{Carina: morph.MesialCarina, Third: morph.Apical, Line: line, Done: true}},
		},
		{
			name: "the serrated length has no denticles",
			do: func(s *stand) {
				s.bench.SetRow(morph.MesialCarina, morph.Mid, true)
				laid(s)
				s.click(500, 500) // begins another
			},
			want: []morph.Stretch{
				{Carina: morph.MesialCarina, Third: morph.Mid, Serrated: true, Line: line, Done: true},
				{Carina: morph.MesialCarina, Third: morph.Mid, Serrated: true, Line: at([2]float64{500, 500})},
			},
		},
		{
			name: "a row may lie on another",
			do: func(s *stand) {
				laid(s)
				s.key("Enter")
				s.bench.SetRow(morph.DistalCarina, morph.Mid, true)
				s.click(100, 650)
				s.double(100, 150)
			},
			want: []morph.Stretch{
				mid(true),
				{Carina: morph.DistalCarina, Third: morph.Mid, Serrated: true, Line: at([2]float64{100, 650}, [2]float64{100, 150}), Done: true},
			},
		},
		{
			name: "a row is gone on with by a click on one of its points",
			do: func(s *stand) {
				laid(s)
				s.key("Enter")
				s.click(100, 400)
				s.click(102, 600)
			},
			want: []morph.Stretch{mid(true, [2]float64{102, 600})},
		},
		{
			name: "and by its action",
			do: func(s *stand) {
				laid(s)
				s.key("Enter", "w")
				s.click(102, 600)
			},
			want: []morph.Stretch{mid(true, [2]float64{102, 600})},
			says: 1, // which row it is
		},
		{
			name: "a row is removed",
			do:   func(s *stand) { laid(s); s.act("Remove this row") },
		},
		{
			name: "unknown words are ignored",
			do: func(s *stand) {
				s.bench.SetRow("left", morph.Mid, false)
				s.bench.SetRow(morph.MesialCarina, "quarter", false)
				laid(s)
			},
			want: []morph.Stretch{mid(true)},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newStand(t)
			s.bench.SetTool(bench.Denticles)
			test.do(s)
			if d := cmp.Diff(test.want, s.view().Stretches, cmpEmpty); d != "" {
				t.Errorf("stretches (-want +got):\n%s", d)
			}
			if len(s.said) != test.says {
				t.Errorf("said %q, want %d sentences", s.said, test.says)
			}
		})
	}
}

// cmpEmpty takes no points and an empty list of points for the same.
var cmpEmpty = cmp.Transformer("points", func(v []morph.Vertex) map[int]morph.Vertex {
	m := map[int]morph.Vertex{}
	for i, q := range v {
		m[i] = q
	}
	return m
})

// The row that was being counted is gone on with after a reload.
func TestDenticlesGoOn(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Denticles)
	s.click(100, 700)
	s.double(100, 100)
	s.click(102, 600)

	again := standOf(t, *s.view(), 1000, 800)
	again.bench.SetTool(bench.Denticles)
	if p := again.bench.Prompt().Text; !strings.Contains(p, "1 so far") {
		t.Errorf("after a reload the prompt is %q", p)
	}
	again.click(102, 560)
	if n := len(again.view().Stretches[0].Ticks); n != 2 {
		t.Errorf("%d denticles, want 2", n)
	}
}

// Photos of one carina propose it.
func TestFirstRow(t *testing.T) {
	for role, want := range map[morph.Role]morph.Carina{
		morph.MesialView: morph.MesialCarina, morph.DistalView: morph.DistalCarina, morph.LateralLingual: morph.DistalCarina,
	} {
		s := standOf(t, morph.View{ID: "p", Role: role}, 100, 100)
		if c, third, serrated := s.bench.Row(); c != want || third != morph.Mid || serrated {
			t.Errorf("%s: %s %s %v, want %s mid", role, c, third, serrated, want)
		}
	}
}

// A row is also gone to by a click on its line while nothing else is awaited
// there, and a stretch that loses its points is laid again.
func TestDenticleRowChosen(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Denticles)
	s.click(100, 700)
	s.double(100, 100)
	s.key("Enter")
	s.bench.SetRow(morph.MesialCarina, morph.Mid, true)
	s.click(600, 700)
	s.double(600, 100)
	s.click(600, 700) // the serrated length again, by its point

	s.click(103, 400) // the line of the first row
	s.click(103, 300)
	if n := len(s.view().Stretches[0].Ticks); n != 1 {
		t.Fatalf("%d denticles on the first row, want 1", n)
	}

	s.click(100, 700)
	s.key("Delete")
	if st := s.view().Stretches[0]; st.Done || len(st.Line) != 1 {
		t.Errorf("with one point left the stretch is %+v, want it not done", st)
	}
	s.double(100, 650)
	if st := s.view().Stretches[0]; !st.Done || len(st.Line) != 2 || len(st.Ticks) != 1 {
		t.Errorf("laid again the stretch is %+v, want two points and its denticle", st)
	}
}
