package vision_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph/vision"
)

// Whatever the picture, a click gives a line within it or one of the sentences.
func TestSilhouetteOfAnyPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 80).Draw(t, "w"), rapid.IntRange(1, 80).Draw(t, "h")
		pix := make([]uint8, 4*w*h)
		ground, tone := rapid.Byte().Draw(t, "ground"), rapid.Byte().Draw(t, "tone")
		noise := rapid.SliceOfN(rapid.Byte(), 1, 200).Draw(t, "noise")
		strength := rapid.IntRange(0, 255).Draw(t, "strength")
		left, top := rapid.IntRange(0, w-1).Draw(t, "left"), rapid.IntRange(0, h-1).Draw(t, "top")
		right, low := rapid.IntRange(left, w-1).Draw(t, "right"), rapid.IntRange(top, h-1).Draw(t, "low")
		for i := range w * h {
			x, y := i%w, i/w
			v := ground
			if x >= left && x <= right && y >= top && y <= low {
				v = tone
			}
			for c := range 3 {
				pix[4*i+c] = v + uint8(int(noise[(7*i+c)%len(noise)])*strength/255)
			}
		}
		p, err := vision.NewPicture(pix, w, h)
		if err != nil {
			t.Fatal(err)
		}
		at := r2.Vec{X: rapid.Float64Range(-2, 82).Draw(t, "x"), Y: rapid.Float64Range(-2, 82).Draw(t, "y")}
		o, err := vision.Silhouette(p, at)
		if err != nil {
			for _, known := range []error{vision.ErrNoTooth, vision.ErrTouching, vision.ErrCutOff, vision.ErrTooBusy} {
				if errors.Is(err, known) {
					return
				}
			}
			t.Fatal(err)
		}
		if len(o.Points) < 3 || !(o.Confidence >= 0 && o.Confidence <= 1) {
			t.Fatalf("%d points, confidence %g", len(o.Points), o.Confidence)
		}
		for _, q := range o.Points {
			if !p.Holds(q) {
				t.Fatalf("%v lies outside", q)
			}
		}
		l, err := vision.Landmarks(p, o)
		if err != nil {
			if !errors.Is(err, vision.ErrNoCrown) {
				t.Fatal(err)
			}
			return
		}
		for _, c := range []float64{l.Base, l.Apex, l.Sides} {
			if !(c >= 0 && c <= 1) {
				t.Fatalf("confidence %g", c)
			}
		}
		if n := len(l.Crown(0.5).Path); n != 3 {
			t.Fatalf("%d vertices", n)
		}
	})
}

// A picture of one colour, whatever it is, holds no tooth, nor does pure noise:
// a sentence says so, or at the least the line is not trusted.
func TestNothingIsFoundInNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 120).Draw(t, "w"), rapid.IntRange(1, 120).Draw(t, "h")
		tone := rapid.SliceOfN(rapid.Byte(), 3, 3).Draw(t, "tone")
		grain := rapid.IntRange(0, 1).Draw(t, "grain") * rapid.IntRange(1, 255).Draw(t, "strength")
		state := rapid.Uint64().Draw(t, "seed")
		pix := make([]uint8, 4*w*h)
		for i := range pix {
			state = state*6364136223846793005 + 1442695040888963407
			pix[i] = uint8(max(0, min(255, int(tone[i%4%3])+(int(state>>56)-128)*grain/255)))
		}
		p, err := vision.NewPicture(pix, w, h)
		if err != nil {
			t.Fatal(err)
		}
		at := r2.Vec{X: rapid.Float64Range(0, float64(w)).Draw(t, "x"), Y: rapid.Float64Range(0, float64(h)).Draw(t, "y")}
		o, err := vision.Silhouette(p, at)
		if err == nil && grain == 0 {
			t.Fatalf("a line of %d points in a picture of one colour", len(o.Points))
		}
		if err != nil {
			return
		}
		if l, err := vision.Landmarks(p, o); err == nil && min(o.Confidence, l.Base, l.Apex) >= 0.5 {
			t.Fatalf("a crown is trusted by %.2f in noise", min(o.Confidence, l.Base, l.Apex))
		}
	})
}

func ExampleSilhouette() {
	// A crown seen from the side: a light triangle on a dark ground.
	pix := make([]uint8, 4*200*200)
	for i := range 200 * 200 {
		x, y := i%200, i/200
		tone := uint8(40)
		if y >= 30 && y < 160 && x > 60 && x < 60+(y-30)/2 {
			tone = 200
		}
		copy(pix[4*i:], []uint8{tone, tone, tone, 255})
	}
	p, err := vision.NewPicture(pix, 200, 200)
	if err != nil {
		fmt.Println(err)
		return
	}
	outline, err := vision.Silhouette(p, r2.Vec{X: 75, Y: 130})
	if err != nil {
		fmt.Println(err)
		return
	}
	crown, err := vision.Landmarks(p, outline)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("base %.0f px, height %.0f px, root: %v\n", r2.Norm(r2.Sub(crown.A, crown.B)), crown.A.Y-crown.G.Y, crown.Root)
	// Output: base 63 px, height 126 px, root: false
}

// A round thing that touches the picture's side is whole; one of which the tip
// lies beyond it is not.
func TestTouchingTheSideIsNotCutOff(t *testing.T) {
	const w, h = 300, 240
	draw := func(inside func(x, y float64) bool) *vision.Picture {
		pix := make([]uint8, 4*w*h)
		for i := range w * h {
			c := []uint8{40, 42, 50, 255}
			if inside(float64(i%w)+0.5, float64(i/w)+0.5) {
				c = []uint8{200, 180, 140, 255}
			}
			copy(pix[4*i:], c)
		}
		p, err := vision.NewPicture(pix, w, h)
		if err != nil {
			t.Fatal(err)
		}
		return p
	}
	for _, beyond := range []float64{-2, 0.3} {
		disc := draw(func(x, y float64) bool { return math.Hypot(x-(w-70+beyond), y-120) < 70 })
		o, err := vision.Silhouette(disc, r2.Vec{X: w - 70, Y: 120})
		if err != nil {
			t.Errorf("a disc that reaches %g px beyond: %v", beyond, err)
			continue
		}
		sum := 0.0
		for i, q := range o.Points {
			sum += r2.Cross(q, o.Points[(i+1)%len(o.Points)]) / 2
		}
		if want := math.Pi * 70 * 70; math.Abs(sum/want-1) > 0.015 {
			t.Errorf("a disc that reaches %g px beyond: area %.0f, want %.0f", beyond, sum, want)
		}
	}
	wedge := draw(func(x, y float64) bool { return x > 100 && math.Abs(y-120) < 0.2*(w+40-x) })
	if _, err := vision.Silhouette(wedge, r2.Vec{X: 150, Y: 120}); !errors.Is(err, vision.ErrCutOff) {
		t.Errorf("a tip beyond the side: %v", err)
	}
}
