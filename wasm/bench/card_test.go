package bench_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

// quad gives a card's corners from x, y, x, y, …
func quad(xy ...float64) (c [4]morph.Vertex) {
	for i := range c {
		c[i] = morph.Vertex{X: xy[2*i], Y: xy[2*i+1]}
	}
	return c
}

func sized(f morph.Flat, width, height float64) *morph.Flat {
	f.Width, f.Height = width, height
	return &f
}

func TestCard(t *testing.T) {
	four := func(s *stand) {
		s.click(200, 200)
		s.click(700, 220)
		s.click(690, 600)
		s.click(210, 590)
	}
	whole := morph.Flat{Corners: quad(200, 200, 700, 220, 690, 600, 210, 590), Unit: morph.Millimetre}
	side := func(s *stand, width, height float64) {
		if err := s.bench.SetCard(width, height, 0, morph.Millimetre); err != nil {
			t.Error(err)
		}
	}
	for _, test := range []struct {
		name string
		do   func(*stand)
		want *morph.Flat
	}{
		{name: "three corners are not in the record", do: func(s *stand) { s.click(200, 200); s.click(700, 220); s.click(690, 600) }},
		{name: "four corners and two sides", do: func(s *stand) { four(s); side(s, 50, 40) }, want: sized(whole, 50, 40)},
		{name: "one side waits for the other", do: func(s *stand) { four(s); side(s, 50, 0) }, want: sized(whole, 50, 0)},
		{
			name: "a corner is moved before the card is complete",
			do: func(s *stand) {
				s.click(200, 200)
				s.click(700, 230)
				s.key("ArrowUp", "ArrowUp")
				s.drag([2]float64{700, 228}, [2]float64{700, 240}, [2]float64{700, 220})
				s.click(690, 600)
				s.click(210, 590)
			},
			want: &whole,
		},
		{
			name: "a corner is dragged",
			do:   func(s *stand) { four(s); s.drag([2]float64{210, 590}, [2]float64{220, 590}, [2]float64{215, 600}) },
			want: &morph.Flat{Corners: quad(200, 200, 700, 220, 690, 600, 215, 600), Unit: morph.Millimetre},
		},
		{
			name: "a corner is nudged and the step undone",
			do:   func(s *stand) { four(s); s.key("n", "ArrowLeft", "ArrowLeft"); s.undo() },
			want: &whole,
		},
		{name: "Escape lets the corners go", do: func(s *stand) { s.click(10, 10); s.click(50, 50); s.key("Escape"); four(s) }, want: &whole},
		{name: "the last corner is taken back", do: func(s *stand) {
			s.click(200, 200)
			s.click(9, 9)
			s.bench.TakeBack()
			s.click(700, 220)
			s.click(690, 600)
			s.click(210, 590)
		}, want: &whole},
		{name: "two corners in one place are one", do: func(s *stand) {
			s.click(200, 200)
			s.double(200, 200)
			s.click(700, 220)
			s.click(690, 600)
			s.click(210, 590)
		}, want: &whole},
		{
			name: "a corner taken away is asked for again, and the sides with it",
			do: func(s *stand) {
				four(s)
				side(s, 50, 40)
				s.click(200, 200) // P, so that the first of the rest bound the height
				s.key("Delete")
				s.click(200, 200)
				c, entered, ok := s.bench.Card()
				if entered || !ok || c.Width != 40 || c.Height != 50 {
					t.Errorf("proposed %v × %v, entered %v", c.Width, c.Height, entered)
				}
			},
			want: &morph.Flat{Corners: quad(700, 220, 690, 600, 210, 590, 200, 200), Unit: morph.Millimetre},
		},
		{
			name: "crossed corners are put in order",
			do: func(s *stand) {
				s.click(200, 200)
				s.click(690, 600)
				s.click(700, 220)
				s.click(210, 590)
				if s.bench.Progress(bench.Scale) != bench.UnderWay {
					t.Error("a crossed card counts as a scale")
				}
				if !s.act("Put them in order") {
					t.Error("no order is offered")
				}
			},
			want: &whole,
		},
		{
			name: "the width is another side",
			do:   func(s *stand) { four(s); side(s, 40, 50); s.key("w") },
			want: &morph.Flat{Corners: quad(700, 220, 690, 600, 210, 590, 200, 200), Width: 40, Height: 50, Unit: morph.Millimetre},
		},
		{name: "by a bar after all", do: func(s *stand) { four(s); s.bench.MeasureByCard(false) }},
		{name: "and by the card again", do: func(s *stand) { four(s); s.bench.MeasureByCard(false); s.undo() }, want: &whole},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newStand(t)
			s.bench.SetTool(bench.Scale)
			s.bench.MeasureByCard(true)
			test.do(s)
			if d := cmp.Diff(test.want, s.view().Flat); d != "" {
				t.Errorf("card (-want +got):\n%s", d)
			}
		})
	}
}

// By keys alone: the crosshair puts four corners, and one of them is moved.
func TestCardByKeys(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Scale)
	s.bench.MeasureByCard(true)
	for _, way := range []string{"ArrowRight", "ArrowDown", "ArrowLeft", "ArrowUp"} {
		s.key(slices.Repeat([]string{way}, 20)...)
		s.key("Enter")
	}
	flat := s.view().Flat
	if flat == nil {
		t.Fatalf("no card; the bench says %q", s.bench.Prompt().Text)
	}
	for i, want := range quad(700, 400, 700, 600, 500, 600, 500, 400) {
		if got := flat.Corners[i]; math.Abs(got.X-want.X) > 1e-9 || math.Abs(got.Y-want.Y) > 1e-9 {
			t.Errorf("corner %d at %v, want %v", i, got, want)
		}
	}
	if !slices.ContainsFunc(s.said, func(x string) bool { return strings.Contains(x, "Corner S of the card") }) {
		t.Errorf("said: %q", s.said)
	}
	s.key("Escape", "n", "ArrowLeft")
	if got := s.view().Flat.Corners[0].X; math.Abs(got-699) > 1e-9 {
		t.Errorf("P at x %g after a nudge from 700", got)
	}
}

// What is wrong with a card is morph's sentence in the step.
func TestCardProblemsAreSaid(t *testing.T) {
	for words, at := range map[string][]float64{
		"crossed order": {200, 200, 690, 600, 700, 220, 210, 590},
		"on one line":   {200, 200, 400, 200, 700, 200, 210, 590},
		"inside":        {200, 200, 700, 220, 400, 300, 210, 590},
	} {
		s := newStand(t)
		s.bench.SetTool(bench.Scale)
		s.bench.MeasureByCard(true)
		for i := 0; i < len(at); i += 2 {
			s.click(at[i], at[i+1])
		}
		if got := s.bench.Prompt().Text; !strings.Contains(got, words) {
			t.Errorf("the step says %q, want %q", got, words)
		}
	}
}

// The card is drawn with its letters and sides; a bar beside it steps back.
func TestCardIsDrawn(t *testing.T) {
	s := standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial, Bars: []morph.Bar{bar(100, 750, 900, 750, 10)},
		Flat: &morph.Flat{Corners: quad(200, 200, 700, 220, 690, 600, 210, 590), Width: 50, Height: 40, Unit: morph.Millimetre}}, 1000, 800)
	s.bench.SetTool(bench.Scale)
	scene := s.bench.Scene()
	var texts []string
	for _, l := range scene.Labels {
		if !l.Quiet {
			texts = append(texts, l.Text)
		}
	}
	slices.Sort(texts)
	if want := []string{"40\u00a0mm", "50\u00a0mm", "P", "Q", "R", "S"}; !slices.Equal(texts, want) {
		t.Errorf("labels %q, want %q", texts, want)
	}
	for _, l := range scene.Labels {
		if l.Text == "10\u00a0mm" && !l.Quiet {
			t.Error("the bar beside a card is drawn as if it counted")
		}
	}
}

func TestSetCardRefused(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Scale)
	if err := s.bench.SetCard(50, 40, 0, morph.Millimetre); err == nil || !strings.Contains(err.Error(), "four corners") {
		t.Errorf("without a card: %v", err)
	}
	s.bench.MeasureByCard(true)
	for _, at := range [][2]float64{{200, 200}, {700, 220}, {690, 600}, {210, 590}} {
		s.click(at[0], at[1])
	}
	for _, test := range []struct {
		width, height, u float64
		unit             morph.Unit
		word             string
	}{
		{-1, 40, 0, morph.Millimetre, "above 0"},
		{50, math.NaN(), 0, morph.Millimetre, "above 0"},
		{math.Inf(1), 40, 0, morph.Millimetre, "above 0"},
		{50, 40, -1, morph.Millimetre, "uncertainty"},
		{50, 40, 0, "span", "span"},
	} {
		if err := s.bench.SetCard(test.width, test.height, test.u, test.unit); err == nil || !strings.Contains(err.Error(), test.word) {
			t.Errorf("SetCard(%v, %v, %v, %q) = %v, want a sentence with %q", test.width, test.height, test.u, test.unit, err, test.word)
		}
	}
	if f := s.view().Flat; f.Width != 0 || f.Height != 0 {
		t.Errorf("refused sides were taken: %v", f)
	}
}
