package bench

import (
	"math"
	"testing"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// What is cut from a line to the window is the line, and all of it that shows.
func TestStrokeShowsTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		clip := r2.Box{Max: r2.Vec{X: 100, Y: 80}}
		coordinate := func(label string) float64 {
			if EvenInt(t, 0, 4, "far") == 0 {
				return Even(t, -1e7, 1e7, label)
			}
			return Even(t, -60, 160, label)
		}
		var line []r2.Vec
		for range EvenInt(t, 2, 12, "points") {
			line = append(line, r2.Vec{X: coordinate("x"), Y: coordinate("y")})
		}
		var strokes []Stroke
		d := &drafter{to: Placement{Scale: 1}, clip: clip, strokes: &strokes, scene: &Scene{}}
		d.stroke(line, Stroke{})

		toLine := func(p r2.Vec) float64 {
			far := math.Inf(1)
			for i := 1; i < len(line); i++ {
				far = min(far, distance(onSegment(line[i-1], line[i], p), p))
			}
			return far
		}
		for _, s := range strokes {
			for _, p := range s.Points {
				if p.X < -1e-6 || p.Y < -1e-6 || p.X > 100+1e-6 || p.Y > 80+1e-6 {
					t.Fatalf("%v is drawn, outside the window", p)
				}
				if far := toLine(p); far > finest {
					t.Fatalf("%v is drawn, %g off the line", p, far)
				}
			}
		}
		for i := 1; i < len(line); i++ {
			// Points of the line that show, found by cutting it finely.
			for k := range 200 {
				p := r2.Add(line[i-1], r2.Scale(float64(k)/200, r2.Sub(line[i], line[i-1])))
				// Points that are drawn as one may differ at the very edge.
				if !within(r2.Box{Min: r2.Vec{X: 1, Y: 1}, Max: r2.Vec{X: 99, Y: 79}}, p) {
					continue
				}
				far := math.Inf(1)
				for _, s := range strokes {
					for j := 1; j < len(s.Points); j++ {
						far = min(far, distance(onSegment(s.Points[j-1], s.Points[j], p), p))
					}
				}
				if far > 2*finest {
					t.Fatalf("%v is not drawn: the nearest stroke is %g away", p, far)
				}
			}
		}
	})
}

// Dashes do not crawl: where a line enters the window is told by its length so
// far.
func TestStrokeStart(t *testing.T) {
	var strokes []Stroke
	d := &drafter{to: Placement{Scale: 2, Shift: r2.Vec{X: -100}}, clip: r2.Box{Max: r2.Vec{X: 100, Y: 80}}, strokes: &strokes, scene: &Scene{}}
	d.stroke([]r2.Vec{{X: 0, Y: 10}, {X: 20, Y: 10}, {X: 70, Y: 10}, {X: 70, Y: 90}}, Stroke{})
	// In device px the line goes from −100 by −60 to 40, then down from 20.
	if len(strokes) != 1 || strokes[0].Start != 100 || strokes[0].Points[0] != (r2.Vec{X: 0, Y: 20}) {
		t.Errorf("strokes %+v, want one that starts at 0, 20 after 100 px", strokes)
	}
}

// The points of a long traced path that fall together on the screen are drawn
// as few.
func TestStrokeThins(t *testing.T) {
	var line []r2.Vec
	for i := range 20001 {
		line = append(line, r2.Vec{X: float64(i), Y: 100})
	}
	var strokes []Stroke
	d := &drafter{to: Placement{Scale: 0.05}, clip: r2.Box{Max: r2.Vec{X: 2000, Y: 2000}}, strokes: &strokes, scene: &Scene{}}
	d.stroke(line, Stroke{})
	if n := len(strokes[0].Points); n > 1500 {
		t.Errorf("%d points are drawn on 1000 device px", n)
	}
	if end := strokes[0].Points[len(strokes[0].Points)-1]; end.X != 1000 {
		t.Errorf("the line ends at %v, want 1000", end)
	}
}

// longBench shows a photo of 24 megapixels with n points traced round a crown
// shape.
func longBench(n int) *Bench {
	c := &morph.Crown{Apex: n / 2, Done: true}
	for i := range n {
		a := math.Pi * float64(i) / float64(n-1)
		c.Path = append(c.Path, morph.Vertex{X: 3000 - 1500*math.Cos(a), Y: 3500 - 3000*math.Sin(a) + 4*math.Sin(400*a)})
	}
	b := New(quiet{})
	b.Resize(1600, 900, 1.5)
	b.Show(&morph.View{ID: "p", Role: morph.LateralLabial, Crown: c}, 6000, 4000)
	b.SetTool(Crown)
	return b
}

type quiet struct{}

func (quiet) Edit(string, string, func(*morph.View)) {}
func (quiet) Redraw()                                {}
func (quiet) See(func(Sight, error))                 {}
func (quiet) Beside(func(func()))                    {}
func (quiet) Say(string)                             {}

// BenchmarkFrame is the part of a frame that is Go's: scene and triangles,
// while the photo is moved about.
func BenchmarkFrame(b *testing.B) {
	for _, size := range []struct {
		name string
		n    int
		zoom float64
	}{{"2000points/fit", 2000, 1}, {"2000points/zoomed", 2000, 12}, {"20000points/fit", 20000, 1}} {
		b.Run(size.name, func(b *testing.B) {
			bench := longBench(size.n)
			bench.Zoom(size.zoom)
			var p pen
			b.ReportAllocs()
			for i := 0; b.Loop(); i++ {
				bench.pan(r2.Vec{X: float64(i%3 - 1), Y: float64(i%5 - 2)})
				s := bench.Scene()
				p.draw(&s, light)
			}
		})
	}
}

// BenchmarkHit is looking for the handle under a press.
func BenchmarkHit(b *testing.B) {
	bench := longBench(2000)
	for b.Loop() {
		bench.hit(r2.Vec{X: 800, Y: 450}, 12)
		bench.onLine(r2.Vec{X: 800, Y: 450}, 8)
	}
}
