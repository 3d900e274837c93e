package bench_test

import (
	"slices"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

// to moves the crosshair to a point of the 1000 × 800 photo, whose px are CSS
// px: by 10 with an arrow key, by 50 with Shift, by 1 with Alt. from is where
// the crosshair is.
func (s *stand) to(from *[2]float64, x, y float64) {
	go1 := func(back, forth string, by float64) {
		key := forth
		if by < 0 {
			key, by = back, -by
		}
		for _, step := range []struct {
			size       float64
			shift, alt bool
		}{{50, true, false}, {10, false, false}, {1, false, true}} {
			for ; by >= step.size; by -= step.size {
				s.bench.Key(bench.KeyEvent{Key: key, Shift: step.shift, Alt: step.alt})
			}
		}
	}
	go1("ArrowLeft", "ArrowRight", x-from[0])
	go1("ArrowUp", "ArrowDown", y-from[1])
	*from = [2]float64{x, y}
}

// The whole job without a pointer: a scale, a crown with a corrected point, a
// section, a row of denticles.
func TestKeyboardAlone(t *testing.T) {
	s := newStand(t)
	cross := [2]float64{500, 400} // it appears in the middle

	s.bench.SetTool(bench.Scale)
	s.to(&cross, 100, 750)
	s.key("Enter")
	s.to(&cross, 900, 750)
	s.key(" ")
	if err := s.bench.SetBarLength(10, 0, morph.Millimetre); err != nil {
		t.Fatal(err)
	}

	s.bench.SetTool(bench.Crown)
	for i, v := range traced {
		s.to(&cross, v.X, v.Y)
		s.key("Enter")
		if i == 2 || i == 4 {
			s.key("Enter") // a second time in one place: the apex, the end
		}
	}
	// Back along the walk to the apex, and a nudge.
	s.key("p", "p", "p")
	s.key("ArrowUp", "ArrowUp", "Escape")

	s.bench.SetTool(bench.Section)
	cross = [2]float64{500, 98} // where the point was that was let go
	for _, c := range corners {
		s.to(&cross, c[0], c[1])
		s.key("Enter")
	}
	s.key("c")
	s.to(&cross, corners[0][0], corners[0][1])
	s.key("Enter")
	s.to(&cross, corners[2][0], corners[2][1])
	s.key("Enter")

	s.bench.SetTool(bench.Denticles)
	for _, y := range []float64{700, 400} {
		s.to(&cross, 100, y)
		s.key("Enter")
	}
	s.key("Enter")
	for _, y := range []float64{680, 640, 600} {
		s.to(&cross, 103, y)
		s.key("Enter")
	}

	want := morph.View{
		ID: "p1", Role: morph.LateralLabial,
		Bars:  []morph.Bar{bar(100, 750, 900, 750, 10)},
		Crown: &morph.Crown{Path: slices.Clone(traced), Apex: 2, Done: true},
		Section: &morph.Section{
			Outline: at(corners...), Done: true, Mesial: 0, Distal: 2,
		},
		Stretches: []morph.Stretch{{
			Carina: morph.DistalCarina, Third: morph.Mid, Done: true,
			Line:  at([2]float64{100, 700}, [2]float64{100, 400}),
			Ticks: at([2]float64{103, 680}, [2]float64{103, 640}, [2]float64{103, 600}),
		}},
	}
	want.Crown.Path[2].Y -= 2
	if d := cmp.Diff(&want, s.view(), near1e9); d != "" {
		t.Errorf("view (-want +got):\n%s", d)
	}
	for _, tool := range []bench.Tool{bench.Scale, bench.Crown, bench.Section, bench.Denticles} {
		if got := s.bench.Progress(tool); got != bench.Complete {
			t.Errorf("progress of tool %d is %d, want Complete", tool, got)
		}
	}
	for _, word := range []string{"The mesial base (A), at 100.0, 700.0.", "The apex (G), at 500.0, 100.0.", "The mesial end (M)", "Denticle 3"} {
		if !slices.ContainsFunc(s.said, func(line string) bool { return strings.HasPrefix(line, word) }) {
			t.Errorf("%q was not said; said were %q", word, s.said)
		}
	}
}

// near1e9 takes positions for the same that differ by rounding.
var near1e9 = cmp.Comparer(func(a, b float64) bool { return a-b < 1e-9 && b-a < 1e-9 })

func TestKeys(t *testing.T) {
	for _, test := range []struct {
		name    string
		event   bench.KeyEvent
		handled bool
	}{
		{"zoom in", bench.KeyEvent{Key: "+"}, true},
		{"zoom out", bench.KeyEvent{Key: "-"}, true},
		{"fit", bench.KeyEvent{Key: "0"}, true},
		{"next point", bench.KeyEvent{Key: "]"}, true},
		{"next point by letter", bench.KeyEvent{Key: "n"}, true},
		{"next point by capital letter", bench.KeyEvent{Key: "N", Shift: true}, true},
		{"an action", bench.KeyEvent{Key: "s"}, true},
		{"a letter without meaning", bench.KeyEvent{Key: "q"}, false},
		{"undo is the page's", bench.KeyEvent{Key: "z", Ctrl: true}, false},
		{"zoom of the page is the page's", bench.KeyEvent{Key: "+", Ctrl: true}, false},
		{"the next field is the page's", bench.KeyEvent{Key: "Tab"}, false},
		{"a key going up", bench.KeyEvent{Key: "n", Up: true}, false},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := walked(t)
			if got := s.bench.Key(test.event); got != test.handled {
				t.Errorf("handled %v, want %v", got, test.handled)
			}
		})
	}
	t.Run("Escape lets go step by step, then is the page's", func(t *testing.T) {
		s := walked(t)
		s.key("Escape", "ArrowLeft") // the selected end, then a crosshair
		for i, want := range []bool{true, false} {
			if got := s.bench.Key(bench.KeyEvent{Key: "Escape"}); got != want {
				t.Errorf("Escape %d: handled %v, want %v", i+1, got, want)
			}
		}
	})
	t.Run("without a photo all keys are the page's", func(t *testing.T) {
		b := bench.New(&silent{})
		for _, k := range []string{"Enter", "ArrowLeft", " ", "+", "Delete"} {
			if b.Key(bench.KeyEvent{Key: k}) {
				t.Errorf("%q was handled", k)
			}
		}
	})
}

// A point that is gone to is brought into sight.
func TestStepReveals(t *testing.T) {
	s := walked(t)
	s.bench.Zoom(20)
	for range 5 {
		s.key("n")
		p, ok := s.bench.Active()
		if !ok {
			t.Fatal("no point selected")
		}
		scene := s.bench.Scene()
		if q := scene.Photo.At(p); q.X < 0 || q.Y < 0 || q.X > scene.Size.X || q.Y > scene.Size.Y {
			t.Errorf("%v is drawn at %v, outside %v", p, q, scene.Size)
		}
	}
}
