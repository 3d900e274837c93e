package bench_test

import (
	"math"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// under gives the photo point that is drawn at a point of the window.
func under(b *bench.Bench, x, y float64) r2.Vec {
	s := b.Scene()
	return s.Photo.Photo(r2.Scale(s.Ratio, r2.Vec{X: x, Y: y}))
}

func near(t *rapid.T, what string, got, want r2.Vec) {
	t.Helper()
	// 1e-9 px on photos of up to 1e5 px is what 64-bit numbers can hold there.
	if d := r2.Norm(r2.Sub(got, want)); !(d <= 1e-9) {
		t.Fatalf("%s is %v, want %v (off by %g)", what, got, want, d)
	}
}

// A photo of any size in a window of any size, drawn somewhere.
func anyBench(t *rapid.T) (b *bench.Bench, w, h int, width, height float64) {
	w, h = bench.EvenInt(t, 1, 12000, "photo width"), bench.EvenInt(t, 1, 12000, "photo height")
	width, height = bench.Even(t, 200, 4000, "window width"), bench.Even(t, 200, 3000, "window height")
	b = bench.New(&silent{})
	b.Resize(width, height, rapid.SampledFrom([]float64{1, 1.25, 2, 3}).Draw(t, "ratio"))
	b.Show(&morph.View{ID: "p"}, w, h)
	return b, w, h, width, height
}

// silent is a host that changes nothing.
type silent struct{}

func (silent) Edit(string, string, func(*morph.View)) {}
func (silent) Redraw()                                {}
func (silent) See(func(bench.Sight, error))           {}
func (silent) Beside(func(func()))                    {}
func (silent) Say(string)                             {}

func inPhoto(p r2.Vec, w, h int) bool {
	return p.X >= 0 && p.Y >= 0 && p.X <= float64(w) && p.Y <= float64(h)
}

func TestWheelKeepsThePointUnderThePointer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, w, h, width, height := anyBench(t)
		for range bench.EvenInt(t, 1, 6, "turns") {
			// A point of the photo as a rule: beside it nothing is promised.
			view := b.Scene()
			at := r2.Scale(1/view.Ratio, view.Photo.At(r2.Vec{
				X: bench.Even(t, 0, 1, "x") * float64(w), Y: bench.Even(t, 0, 1, "y") * float64(h),
			}))
			x, y := min(max(at.X, 0), width), min(max(at.Y, 0), height)
			p := under(b, x, y)
			b.Wheel(bench.WheelEvent{
				X: x, Y: y, DY: bench.Even(t, -500, 500, "dy"),
				Mode: bench.WheelMode(bench.EvenInt(t, 0, 2, "mode")), Ctrl: rapid.Bool().Draw(t, "ctrl"),
			})
			if inPhoto(p, w, h) {
				near(t, "the point under the pointer", under(b, x, y), p)
			}
		}
	})
}

func TestPinchKeepsThePointBetweenTheFingers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, w, h, width, height := anyBench(t)
		place := func(name string) r2.Vec {
			return r2.Vec{X: bench.Even(t, 0, width, name+" x"), Y: bench.Even(t, 0, height, name+" y")}
		}
		touch := func(kind bench.PointerKind, id int, at r2.Vec) {
			b.Pointer(bench.PointerEvent{Kind: kind, ID: id, X: at.X, Y: at.Y, Device: bench.Touch})
		}
		fingers := [2]r2.Vec{place("first"), place("second")}
		touch(bench.Down, 1, fingers[0])
		touch(bench.Down, 2, fingers[1])
		mid := func() r2.Vec { return r2.Scale(0.5, r2.Add(fingers[0], fingers[1])) }
		p := under(b, mid().X, mid().Y)
		for range bench.EvenInt(t, 1, 8, "moves") {
			i := bench.EvenInt(t, 0, 1, "finger")
			fingers[i] = place("to")
			touch(bench.Move, i+1, fingers[i])
			if inPhoto(p, w, h) {
				near(t, "the point between the fingers", under(b, mid().X, mid().Y), p)
			}
		}
	})
}

// However it is moved, the photo is shown between a quarter of fitting and 64
// CSS px a pixel, and some of it stays in sight.
func TestCameraLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b, w, h, width, height := anyBench(t)
		fit := b.Scene().Photo.Scale / b.Scene().Ratio
		for range bench.EvenInt(t, 1, 20, "steps") {
			x, y := bench.Even(t, 0, width, "x"), bench.Even(t, 0, height, "y")
			switch bench.EvenInt(t, 0, 2, "what") {
			case 0:
				b.Wheel(bench.WheelEvent{X: x, Y: y, DY: rapid.SampledFrom([]float64{-400, 400}).Draw(t, "dy")})
			case 1:
				b.Zoom(rapid.SampledFrom([]float64{1e-9, 0.5, 2, 1e9}).Draw(t, "factor"))
			case 2:
				b.Pointer(bench.PointerEvent{Kind: bench.Down, ID: 1, X: x, Y: y, Button: bench.MiddleButton})
				b.Pointer(bench.PointerEvent{Kind: bench.Move, ID: 1, X: 2*x - width, Y: 2*y - height})
				b.Pointer(bench.PointerEvent{Kind: bench.Up, ID: 1, X: 2*x - width, Y: 2*y - height})
			}
			s := b.Scene()
			if scale := s.Photo.Scale / s.Ratio; scale < fit/4*(1-1e-12) || scale > 64*(1+1e-12) {
				t.Fatalf("%g CSS px a photo px; fitting is %g", scale, fit)
			}
			lo := s.Photo.At(r2.Vec{})
			hi := s.Photo.At(r2.Vec{X: float64(w), Y: float64(h)})
			if hi.X < 0 || hi.Y < 0 || lo.X > s.Size.X || lo.Y > s.Size.Y {
				t.Fatalf("the photo lies out of sight, from %v to %v", lo, hi)
			}
		}
	})
}

// A fitted photo lies in the part of the window that is free, as large as it
// can be with a margin of 20 CSS px, and stays so when the window changes.
func TestFit(t *testing.T) {
	b := bench.New(&silent{})
	b.Resize(1000, 800, 2)
	b.Cover(200, 50, 300, 100)
	b.Show(&morph.View{ID: "p"}, 1000, 500)
	check := func(what string, lo, hi r2.Vec) {
		t.Helper()
		s := b.Scene()
		gotLo, gotHi := s.Photo.At(r2.Vec{}), s.Photo.At(r2.Vec{X: 1000, Y: 500})
		if r2.Norm(r2.Sub(gotLo, r2.Scale(2, lo))) > 1e-9 || r2.Norm(r2.Sub(gotHi, r2.Scale(2, hi))) > 1e-9 {
			t.Errorf("%s: from %v to %v device px, want from %v to %v CSS px", what, gotLo, gotHi, lo, hi)
		}
	}
	// 500 × 650 CSS px are free, 460 of them wide without margins.
	check("beside panels", r2.Vec{X: 220, Y: 260}, r2.Vec{X: 680, Y: 490})
	b.Cover(0, 0, 0, 0)
	check("without panels", r2.Vec{X: 20, Y: 160}, r2.Vec{X: 980, Y: 640})
	b.Resize(540, 800, 2)
	check("in a narrow window", r2.Vec{X: 20, Y: 275}, r2.Vec{X: 520, Y: 525})
	b.Cover(270, 0, 269, 0)
	check("behind panels that leave nothing free", r2.Vec{X: 20, Y: 275}, r2.Vec{X: 520, Y: 525})

	// Once moved, it stays where it is when a panel comes.
	b.Cover(0, 0, 0, 0)
	b.Zoom(2)
	p := under(b, 100, 100)
	b.Cover(100, 0, 0, 0)
	if q := under(b, 100, 100); q != p {
		t.Errorf("a panel moved the photo from %v to %v", p, q)
	}
	b.Fit()
	check("fitted again", r2.Vec{X: 120, Y: 300}, r2.Vec{X: 520, Y: 500})
}

// The same photo keeps the camera, another one is fitted.
func TestCameraAndPhotos(t *testing.T) {
	s := newStand(t)
	s.bench.Zoom(3)
	p := s.bench.Scene().Photo
	s.bench.SetTool(bench.Crown)
	s.click(100, 100)
	if got := s.bench.Scene().Photo; got != p {
		t.Errorf("a click moved the camera from %v to %v", p, got)
	}
	s.bench.Show(&morph.View{ID: "p2", Role: morph.BasalView}, 1000, 800)
	if got := s.bench.Scene().Photo; got.Scale != 1 {
		t.Errorf("another photo is shown at %v", got.Scale)
	}
	if _, ok := s.bench.Active(); ok {
		t.Error("a point of the photo before is still selected")
	}
}

func TestWaysToPan(t *testing.T) {
	for _, test := range []struct {
		name   string
		button int
		space  bool
	}{{"the middle button", bench.MiddleButton, false}, {"space and drag", bench.MainButton, true}} {
		t.Run(test.name, func(t *testing.T) {
			s := walked(t)
			before := s.edits
			p := s.bench.Scene().Photo.Shift
			if test.space {
				s.bench.Key(bench.KeyEvent{Key: " "})
			}
			// On the handle of the apex, which must not move.
			for kind, q := range []r2.Vec{{X: 520, Y: 120}, {X: 530, Y: 150}, {X: 540, Y: 150}} {
				s.bench.Pointer(bench.PointerEvent{Kind: bench.PointerKind(kind), ID: 1, X: q.X, Y: q.Y, Button: test.button})
			}
			if test.space {
				s.bench.Key(bench.KeyEvent{Key: " ", Up: true})
			}
			if got := r2.Sub(s.bench.Scene().Photo.Shift, p); got != (r2.Vec{X: 20, Y: 30}) {
				t.Errorf("the photo moved by %v, want 20, 30", got)
			}
			if s.edits != before {
				t.Error("a mark was changed")
			}
		})
	}
}

func TestTouch(t *testing.T) {
	finger := func(s *stand, kind bench.PointerKind, id int, x, y float64) {
		s.bench.Pointer(bench.PointerEvent{Kind: kind, ID: id, X: x + margin, Y: y + margin, Device: bench.Touch, Time: s.now})
	}
	points := func(s *stand) int {
		if c := s.view().Crown; c != nil {
			return len(c.Path)
		}
		return 0
	}
	t.Run("a tap puts a point, a trembling one too", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		finger(s, bench.Down, 7, 300, 300)
		finger(s, bench.Move, 7, 306, 303)
		finger(s, bench.Up, 7, 305, 304)
		if c := s.view().Crown; c == nil || c.Path[0].X != 300 || c.Path[0].Y != 300 {
			t.Errorf("crown %v, want a point at 300, 300", c)
		}
	})
	t.Run("a finger 20 px beside a handle drags it by the magnifier", func(t *testing.T) {
		s := walked(t)
		finger(s, bench.Down, 7, 516, 112)
		if s.bench.Scene().Magnifier == nil {
			t.Error("no magnifier over a finger on a handle")
		}
		finger(s, bench.Move, 7, 546, 132)
		m := s.bench.Scene().Magnifier
		if m == nil {
			t.Fatal("no magnifier in a drag")
		}
		if got := m.Photo.At(r2.Vec{X: 530, Y: 120}); r2.Norm(r2.Sub(got, m.Centre)) > 1e-9 {
			t.Errorf("the magnifier shows the dragged point at %v, not at its middle %v", got, m.Centre)
		}
		finger(s, bench.Up, 7, 546, 132)
		if v := s.view().Crown.Path[2]; v.X != 530 || v.Y != 120 {
			t.Errorf("the apex is at %v, want 530, 120", v)
		}
		if s.bench.Scene().Magnifier != nil {
			t.Error("the magnifier stays after the drag")
		}
	})
	t.Run("elsewhere a finger moves the photo", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		p := s.bench.Scene().Photo.Shift
		finger(s, bench.Down, 7, 300, 300)
		finger(s, bench.Move, 7, 340, 300)
		finger(s, bench.Up, 7, 340, 300)
		if got := s.bench.Scene().Photo.Shift.X - p.X; got != 40 || points(s) != 0 {
			t.Errorf("the photo moved by %v and %d points were put", got, points(s))
		}
	})
	t.Run("rested first, it aims", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		finger(s, bench.Down, 7, 300, 300)
		s.now += 600 * time.Millisecond
		finger(s, bench.Move, 7, 330, 310)
		finger(s, bench.Move, 7, 350, 320)
		if points(s) != 0 || s.bench.Scene().Magnifier == nil {
			t.Error("aiming needs the magnifier and puts nothing yet")
		}
		finger(s, bench.Up, 7, 350, 320)
		if c := s.view().Crown; c == nil || c.Path[0].X != 350 || c.Path[0].Y != 320 {
			t.Errorf("crown %v, want a point at 350, 320", c)
		}
	})
	t.Run("a second finger keeps what the first dragged", func(t *testing.T) {
		s := walked(t)
		finger(s, bench.Down, 7, 500, 100)
		finger(s, bench.Move, 7, 540, 140)
		finger(s, bench.Down, 8, 700, 500)
		finger(s, bench.Move, 7, 300, 300)
		finger(s, bench.Up, 7, 300, 300)
		finger(s, bench.Move, 8, 710, 500)
		finger(s, bench.Up, 8, 710, 500)
		if v := s.view().Crown.Path[2]; v.X != 540 || v.Y != 140 || points(s) != 5 {
			t.Errorf("the apex is at %v of %d points, want 540, 140 of 5", v, points(s))
		}
	})
	t.Run("two fingers put nothing", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		for _, id := range []int{1, 2, 3} {
			finger(s, bench.Down, id, 300, float64(300+100*id))
		}
		for _, id := range []int{2, 1, 3} {
			finger(s, bench.Up, id, 300, float64(300+100*id))
		}
		if points(s) != 0 {
			t.Errorf("%d points were put", points(s))
		}
	})
	t.Run("a double tap ends", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		for _, p := range [][2]float64{{100, 700}, {500, 100}, {510, 112}} {
			s.now += 300 * time.Millisecond
			finger(s, bench.Down, 7, p[0], p[1])
			finger(s, bench.Up, 7, p[0], p[1])
		}
		if c := s.view().Crown; len(c.Path) != 2 || c.Apex != 1 {
			t.Errorf("crown %v, want two points and the apex", c)
		}
	})
	t.Run("a lost lift is made good", func(t *testing.T) {
		s := newStand(t)
		s.bench.SetTool(bench.Crown)
		finger(s, bench.Down, 7, 300, 300)
		s.bench.Release()
		finger(s, bench.Down, 8, 400, 300)
		finger(s, bench.Up, 8, 400, 300)
		if points(s) != 1 {
			t.Errorf("%d points, want 1", points(s))
		}
	})
}

// Nothing is drawn as a number that is none.
func TestStrangeSizes(t *testing.T) {
	for _, w := range []float64{0, 1e-300, 1, 500, 1e6} {
		for _, photo := range [][2]int{{0, 0}, {-5, 10}, {1, 1}, {1, 100000}, {100000, 1}, {100000, 100000}} {
			b := bench.New(&silent{})
			b.Resize(w, 300, 1)
			b.Resize(math.NaN(), 300, 1)
			b.Resize(w, math.Inf(1), 1)
			b.Cover(math.NaN(), 0, 0, 0)
			b.Cover(w, w, w, w)
			b.Show(&morph.View{ID: "p"}, photo[0], photo[1])
			b.SetTool(bench.Crown)
			for kind := bench.Down; kind <= bench.Leave; kind++ {
				b.Pointer(bench.PointerEvent{Kind: kind, X: math.NaN()})
				b.Pointer(bench.PointerEvent{Kind: kind, X: math.Inf(-1), Y: 1e308})
			}
			b.Wheel(bench.WheelEvent{DY: math.NaN()})
			b.Zoom(math.NaN())
			b.Zoom(0)
			s := b.Scene()
			for _, x := range []float64{s.Photo.Scale, s.Photo.Shift.X, s.Photo.Shift.Y, s.Size.X, s.Size.Y} {
				if math.IsNaN(x) || math.IsInf(x, 0) {
					t.Fatalf("window %g, photo %v: %+v", w, photo, s)
				}
			}
		}
	}
}
