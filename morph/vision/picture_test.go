package vision_test

import (
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph/vision"
)

// painted makes a picture from a function of the pixel.
func painted(t testing.TB, w, h int, paint func(x, y int) color.RGBA) *vision.Picture {
	t.Helper()
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, paint(x, y))
		}
	}
	p, err := vision.PictureOf(m)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func grey(v float64) color.RGBA {
	u := uint8(math.Round(max(0, min(v, 255))))
	return color.RGBA{u, u, u, 255}
}

func ExamplePicture() {
	// Two pixels, black and white.
	p, err := vision.NewPicture([]uint8{0, 0, 0, 255, 255, 255, 255, 255}, 2, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	l := p.Level(0)
	fmt.Println(l.SampleGrey(r2.Vec{X: 1, Y: 0.5}), l.Gradient(r2.Vec{X: 1, Y: 0.5}).X)
	// Output: 127.5 127.5
}

func TestPictureNeedsAllItsPixels(t *testing.T) {
	for _, c := range []struct {
		n, w, h int
		want    string
	}{
		{16, 0, 4, "0 × 4"}, {16, 4, -1, "4 × -1"}, {16, 1 << 20, 1, "1 to 32768"}, {15, 2, 2, "15 bytes instead of 16"},
	} {
		_, err := vision.NewPicture(make([]uint8, c.n), c.w, c.h)
		if err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%d bytes for %d × %d: %v, want a sentence with %q", c.n, c.w, c.h, err, c.want)
		}
	}
}

// A plane that rises evenly is the same plane at every level: closed form.
func TestLevelsKeepAPlaneWhereItIs(t *testing.T) {
	p := painted(t, 64, 48, func(x, y int) color.RGBA { return grey(2*float64(x) + 2*float64(y)) })
	rapid.Check(t, func(t *rapid.T) {
		l := p.Level(rapid.IntRange(0, 2).Draw(t, "level"))
		q := r2.Vec{X: rapid.Float64Range(10, 50).Draw(t, "x"), Y: rapid.Float64Range(10, 36).Draw(t, "y")}
		at := r2.Scale(1/l.Factor, q)
		want := 2*(q.X-0.5) + 2*(q.Y-0.5)
		if got := l.SampleGrey(at); math.Abs(got-want) > 1e-9 {
			t.Fatalf("grey at %v of factor %g: %g, want %g", q, l.Factor, got, want)
		}
		g := l.Gradient(at)
		if math.Abs(g.X-2*l.Factor) > 1e-9 || math.Abs(g.Y-2*l.Factor) > 1e-9 {
			t.Fatalf("gradient %v at factor %g", g, l.Factor)
		}
	})
}

func TestLevelsOfAnySize(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 70).Draw(t, "w"), rapid.IntRange(1, 70).Draw(t, "h")
		pix := rapid.SliceOfN(rapid.Byte(), 4*w*h, 4*w*h).Draw(t, "pix")
		p, err := vision.NewPicture(pix, w, h)
		if err != nil {
			t.Fatal(err)
		}
		lo, hi := 255.0, 0.0
		for y := range h {
			for x := range w {
				lo, hi = min(lo, p.Level(0).Grey(x, y)), max(hi, p.Level(0).Grey(x, y))
			}
		}
		for n := range p.Levels() {
			l := p.Level(n)
			if l.Width < 1 || l.Height < 1 || float64(l.Width)*l.Factor < float64(w) || float64(l.Height)*l.Factor < float64(h) {
				t.Fatalf("level %d of %d × %d is %d × %d", n, w, h, l.Width, l.Height)
			}
			q := r2.Vec{X: rapid.Float64().Draw(t, "x"), Y: rapid.Float64().Draw(t, "y")}
			if g := l.SampleGrey(q); !(g >= lo-3 && g <= hi+3) {
				t.Fatalf("grey %g outside %g to %g", g, lo, hi)
			}
		}
	})
}
