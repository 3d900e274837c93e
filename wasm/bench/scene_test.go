package bench_test

import (
	"math"
	"slices"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func letters(s bench.Scene) (out []string) {
	for _, l := range s.Labels {
		out = append(out, l.Text)
	}
	slices.Sort(out)
	return out
}

func shapes(s bench.Scene) map[bench.Shape]int {
	out := map[bench.Shape]int{}
	for _, m := range s.Marks {
		out[m.Shape]++
	}
	return out
}

func dashes(s bench.Scene) map[bench.Dash]int {
	out := map[bench.Dash]int{}
	for _, l := range s.Strokes {
		out[l.Dash]++
	}
	return out
}

func TestSceneOfACrown(t *testing.T) {
	s := walked(t)
	scene := s.bench.Scene()
	if d := cmp.Diff([]string{"A", "B", "G"}, letters(scene)); d != "" {
		t.Errorf("letters (-want +got):\n%s", d)
	}
	want := map[bench.Shape]int{bench.Square: 1, bench.Triangle: 1, bench.Diamond: 1, bench.Dot: 2, bench.Ring: 1}
	if d := cmp.Diff(want, shapes(scene)); d != "" {
		t.Errorf("shapes (-want +got):\n%s", d)
	}
	if d := cmp.Diff(map[bench.Dash]int{bench.Solid: 2}, dashes(scene)); d != "" {
		t.Errorf("lines (-want +got):\n%s", d)
	}
	for _, m := range scene.Marks {
		if m.Shape == bench.Triangle && m.At != scene.Photo.At(r2.Vec{X: 500, Y: 100}) {
			t.Errorf("G is drawn at %v", m.At)
		}
	}

	// Where the fossil is broken, what is drawn is a minimum: dashed.
	for _, test := range []struct {
		name string
		edit func(*morph.Crown)
		want map[bench.Dash]int
	}{
		// Both edges below the points next to G stay solid, and the base.
		{"apex broken", func(c *morph.Crown) { c.ApexBroken = true }, map[bench.Dash]int{bench.Solid: 3, bench.Dashed: 1}},
		{"base broken", func(c *morph.Crown) { c.BaseBroken = true }, map[bench.Dash]int{bench.Solid: 1, bench.Dashed: 1}},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := walked(t)
			s.Edit("break", "", func(v *morph.View) { test.edit(v.Crown) })
			if d := cmp.Diff(test.want, dashes(s.bench.Scene())); d != "" {
				t.Errorf("lines (-want +got):\n%s", d)
			}
		})
	}
}

// Marks of other tools are drawn, quietly, and cannot be taken hold of; the
// Look tool shows all alike.
func TestSceneOfOtherTools(t *testing.T) {
	s := walked(t)
	s.bench.SetTool(bench.Scale)
	for _, l := range s.bench.Scene().Strokes {
		if !l.Quiet {
			t.Error("a line of the crown is not quiet under the Scale tool")
		}
	}
	if n := shapes(s.bench.Scene())[bench.Dot]; n != 0 {
		t.Errorf("%d handles of another tool are drawn", n)
	}
	s.drag([2]float64{500, 100}, [2]float64{520, 100}, [2]float64{540, 100})
	if v := s.view().Crown.Path[2]; v.X != 500 {
		t.Error("a handle of another tool was dragged")
	}
	s.bench.SetTool(bench.Look)
	for _, l := range s.bench.Scene().Strokes {
		if l.Quiet {
			t.Error("a line is quiet under the Look tool")
		}
	}
}

func TestScenePreview(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Crown)
	s.event(bench.Move, 300, 300)
	if n := len(s.bench.Scene().Strokes); n != 0 {
		t.Errorf("%d lines before anything is marked", n)
	}
	s.click(100, 700)
	s.event(bench.Move, 300, 300)
	scene := s.bench.Scene()
	if d := cmp.Diff(map[bench.Dash]int{bench.Dotted: 1}, dashes(scene)); d != "" {
		t.Fatalf("lines (-want +got):\n%s", d)
	}
	line := scene.Strokes[0].Points
	if got, want := line[len(line)-1], scene.Photo.At(r2.Vec{X: 300, Y: 300}); got != want {
		t.Errorf("the preview ends at %v, want the pointer, %v", got, want)
	}
	s.event(bench.Leave, 300, 300)
	if n := len(s.bench.Scene().Strokes); n != 0 {
		t.Error("the preview stays when the pointer has left")
	}
}

func TestSceneOfBarsAndDenticles(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Scale)
	s.click(100, 750)
	s.click(900, 750)
	if err := s.bench.SetBarLength(2.5, 0, morph.Centimetre); err != nil {
		t.Fatal(err)
	}
	s.bench.SetTool(bench.Denticles)
	s.click(100, 700)
	s.double(100, 100)
	s.click(104, 600)
	s.click(104, 560)
	scene := s.bench.Scene()
	if d := cmp.Diff([]string{"2", "2.5\u00a0cm"}, letters(scene)); d != "" {
		t.Errorf("labels (-want +got):\n%s", d)
	}
	want := map[bench.Shape]int{bench.BarEnd: 2, bench.Tick: 2, bench.Dot: 2, bench.Ring: 1}
	if d := cmp.Diff(want, shapes(scene)); d != "" {
		t.Errorf("shapes (-want +got):\n%s", d)
	}
	for _, m := range scene.Marks {
		// The carina runs up the picture.
		if m.Shape == bench.Tick && math.Abs(math.Abs(m.Angle)-math.Pi/2) > 1e-9 {
			t.Errorf("the carina at a denticle runs at %g rad", m.Angle)
		}
	}
}

// The magnifier lies in the free part of the window, away from the point it
// shows, which is at its middle 4 to 8 times as large.
func TestMagnifier(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := bench.New(&silent{})
		ratio := rapid.SampledFrom([]float64{1, 1.5, 2}).Draw(t, "ratio")
		b.Resize(1280, 720, ratio)
		left, right, bottom := bench.Even(t, 0, 240, "left"), bench.Even(t, 0, 380, "right"), bench.Even(t, 0, 120, "bottom")
		b.Cover(left, 48, right, bottom)
		b.Show(&morph.View{ID: "p"}, 6000, 4000)
		b.SetTool(bench.Crown)
		zoom := math.Exp2(bench.Even(t, 0, 3, "zoom"))
		b.Zoom(zoom)
		for range 10 {
			x := bench.Even(t, left, 1280-right, "x")
			y := bench.Even(t, 48, 720-bottom, "y")
			b.Pointer(bench.PointerEvent{Kind: bench.Move, ID: 1, X: x, Y: y})
			s := b.Scene()
			m := s.Magnifier
			if m == nil {
				continue
			}
			pointer := r2.Scale(ratio, r2.Vec{X: x, Y: y})
			if f := m.Frame; f.Min.X < left*ratio || f.Max.X > (1280-right)*ratio || f.Min.Y < 48*ratio || f.Max.Y > (720-bottom)*ratio {
				t.Fatalf("the magnifier, %v, lies behind a panel", f)
			}
			if f := m.Frame; pointer.X > f.Min.X && pointer.X < f.Max.X && pointer.Y > f.Min.Y && pointer.Y < f.Max.Y {
				t.Fatalf("the pointer at %v is under the magnifier %v", pointer, f)
			}
			if d := r2.Norm(r2.Sub(m.Photo.At(s.Photo.Photo(pointer)), m.Centre)); d > 1e-6 {
				t.Fatalf("the pointer's point is %g device px off the magnifier's middle", d)
			}
			if power := m.Photo.Scale / s.Photo.Scale; power < 4*(1-1e-9) || power > 8*(1+1e-9) {
				t.Fatalf("magnified %g times", power)
			}
		}
	})
}

// It is still while nothing is being placed.
func TestMagnifierKeepsCalm(t *testing.T) {
	s := standOf(t, morph.View{ID: "p", Role: morph.LateralLabial, Crown: &aCrown}, 1000, 800)
	s.bench.SetTool(bench.Crown)
	s.event(bench.Move, 300, 300)
	if s.bench.Scene().Magnifier != nil {
		t.Error("shown while a pointer hovers over a finished crown")
	}
	s.bench.SetTool(bench.Section)
	if s.bench.Scene().Magnifier == nil {
		t.Error("not shown where a point is awaited under the pointer")
	}
	s.bench.SetTool(bench.Crown)
	s.event(bench.Down, 500, 100)
	if s.bench.Scene().Magnifier == nil {
		t.Error("not shown while a handle is held")
	}
	s.event(bench.Up, 500, 100)
	if s.bench.Scene().Magnifier != nil {
		t.Error("stays when the handle is let go")
	}
	s.key("ArrowLeft")
	if s.bench.Scene().Magnifier == nil {
		t.Error("not shown while keys move a point")
	}
	s.key("Escape")
	if s.bench.Scene().Magnifier != nil {
		t.Error("stays when the point is let go")
	}
}

func TestCursor(t *testing.T) {
	s := walked(t)
	for _, test := range []struct {
		x, y float64
		want string
	}{{500, 100, "move"}, {150, 550, "copy"}, {800, 300, "grab"}} {
		s.event(bench.Move, test.x, test.y)
		if got := s.bench.Cursor(); got != test.want {
			t.Errorf("over %g, %g: %q, want %q", test.x, test.y, got, test.want)
		}
	}
	s.bench.SetTool(bench.Section)
	if got := s.bench.Cursor(); got != "crosshair" {
		t.Errorf("where a point is awaited: %q, want crosshair", got)
	}
}
