package vision_test

import (
	"fmt"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph/vision"
)

// disc is a soft-edged dark disc on a light ground; its edge is a circle, the
// closed form that lines are held to.
func disc(t testing.TB, w, h int, middle r2.Vec, radius, noise float64) *vision.Picture {
	state := uint32(1)
	return painted(t, w, h, func(x, y int) color.RGBA {
		d := math.Hypot(float64(x)+0.5-middle.X, float64(y)+0.5-middle.Y) - radius
		state = state*1664525 + 1013904223
		return grey(130 + 60*math.Erf(d) + noise*(float64(state>>8)/(1<<23)-1))
	})
}

func ExampleEdge() {
	// A dark sheet on the left of x = 40, a light one on the right.
	pix := make([]uint8, 4*80*60)
	for i := range 80 * 60 {
		if i%80 >= 40 {
			copy(pix[4*i:], []uint8{220, 220, 220, 255})
		}
	}
	p, err := vision.NewPicture(pix, 80, 60)
	if err != nil {
		fmt.Println(err)
		return
	}
	e := vision.NewEdge(p)
	e.From(r2.Vec{X: 40, Y: 5})
	line, confidence := e.To(r2.Vec{X: 40, Y: 55})
	fmt.Println(line, confidence)
	// Output: [{40 5} {40 55}] 1
}

func TestEdgeFollowsACircle(t *testing.T) {
	for _, c := range []struct {
		size          int
		radius, noise float64
		most          float64 // px off the circle
	}{
		{200, 60, 0, 0.3}, {200, 60, 20, 0.8}, {900, 300, 0, 0.3}, {900, 300, 20, 0.9}, {2400, 1000, 20, 1.2},
	} {
		middle := r2.Vec{X: float64(c.size)/2 + 0.3, Y: float64(c.size)/2 - 0.4}
		e := vision.NewEdge(disc(t, c.size, c.size, middle, c.radius, c.noise))
		at := func(turn float64) r2.Vec {
			sin, cos := math.Sincos(turn)
			return r2.Add(middle, r2.Scale(c.radius, r2.Vec{X: cos, Y: sin}))
		}
		e.From(at(0.2))
		for _, turn := range []float64{0.7, 1.1, 1.9} {
			line, confidence := e.To(at(turn))
			if confidence < 0.9 {
				t.Errorf("size %d noise %g: confidence %g", c.size, c.noise, confidence)
			}
			worst := 0.0
			for i := 1; i < len(line); i++ {
				for _, q := range []r2.Vec{line[i], r2.Scale(0.5, r2.Add(line[i-1], line[i]))} {
					worst = max(worst, math.Abs(r2.Norm(r2.Sub(q, middle))-c.radius))
				}
			}
			if worst > c.most {
				t.Errorf("size %d noise %g turn %g: %.2f px off the circle, %d points", c.size, c.noise, turn, worst, len(line))
			}
		}
	}
}

func TestEdgeIsStraightWithoutAnEdge(t *testing.T) {
	plain := painted(t, 300, 200, func(x, y int) color.RGBA { return grey(120) })
	state := uint32(7)
	noise := painted(t, 300, 200, func(x, y int) color.RGBA {
		state = state*1664525 + 1013904223
		return grey(100 + float64(state>>27))
	})
	for name, p := range map[string]*vision.Picture{"plain": plain, "noise": noise} {
		e := vision.NewEdge(p)
		a, b := r2.Vec{X: 20, Y: 30}, r2.Vec{X: 250, Y: 150}
		e.From(a)
		line, confidence := e.To(b)
		if confidence != 0 || len(line) != 2 || line[0] != a || line[1] != b {
			t.Errorf("%s: %d points with confidence %g, want the straight line with 0", name, len(line), confidence)
		}
	}
}

func TestEdgeInAnyPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 60).Draw(t, "w"), rapid.IntRange(1, 60).Draw(t, "h")
		pix := rapid.SliceOfN(rapid.Byte(), 4*w*h, 4*w*h).Draw(t, "pix")
		p, err := vision.NewPicture(pix, w, h)
		if err != nil {
			t.Fatal(err)
		}
		e := vision.NewEdge(p)
		for range 3 {
			point := func() r2.Vec {
				return r2.Vec{X: rapid.Float64().Draw(t, "x"), Y: rapid.Float64().Draw(t, "y")}
			}
			from, to := point(), point()
			e.From(from)
			line, confidence := e.To(to)
			if !(confidence >= 0 && confidence <= 1) || len(line) < 2 || line[0] != p.Clamp(from) || line[len(line)-1] != p.Clamp(to) {
				t.Fatalf("%v to %v: %v, %g", from, to, line, confidence)
			}
			for _, q := range line {
				if !p.Holds(q) {
					t.Fatalf("%v lies outside", q)
				}
			}
		}
	})
}

func BenchmarkEdgePath(b *testing.B) {
	for _, size := range []struct {
		name string
		w, h int
	}{{"1MP", 1200, 900}, {"6MP", 2900, 2200}, {"24MP", 6000, 4000}} {
		middle := r2.Vec{X: float64(size.w) / 2, Y: float64(size.h) / 2}
		radius := 0.4 * float64(size.h)
		p := disc(b, size.w, size.h, middle, radius, 10)
		e := vision.NewEdge(p)
		for n := range p.Levels() {
			p.Level(n)
		}
		for _, far := range []struct {
			name string
			turn float64
		}{{"near", 0.05}, {"middle", 0.4}, {"far", 1.5}} {
			b.Run(size.name+"/"+far.name, func(b *testing.B) {
				k := 0
				for b.Loop() {
					if k%8 == 0 { // a new start now and then, as a hand gives it
						e.From(r2.Add(middle, r2.Vec{X: radius}))
					}
					sin, cos := math.Sincos(far.turn * (1 + 0.02*float64(k%8)))
					e.To(r2.Add(middle, r2.Scale(radius, r2.Vec{X: cos, Y: sin})))
					k++
				}
			})
		}
	}
}
