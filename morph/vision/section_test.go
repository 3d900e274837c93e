package vision_test

import (
	"errors"
	"image"
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
	"crownbench/testdata/toothtrial"
)

// drawSection draws dentine within enamel 8 px thick on a plain ground, as far
// from the outer edge as the distance says (px, positive inside; the edges are a px
// wide), and in the dark behind it a crown that stands out to the right.
func drawSection(inside func(r2.Vec) float64) *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 900, 700))
	over := func(under float64, tone, share float64) float64 {
		share = math.Max(0, math.Min(1, share))
		return under + share*(tone-under)
	}
	for y := range 700 {
		for x := range 900 {
			q := r2.Vec{X: float64(x) + 0.5, Y: float64(y) + 0.5}
			tone := over(90, 60, 130-math.Hypot(q.X-560, q.Y-360)+0.5)
			d := inside(q)
			tone = over(tone, 130, d+0.5)
			tone = over(tone, 200, d-8+0.5)
			img.SetRGBA(x, y, color.RGBA{R: uint8(tone + 0.5), G: uint8(0.95*tone + 0.5), B: uint8(0.9*tone + 0.5), A: 255})
		}
	}
	return img
}

// Closed forms: an ellipse of half axes 200 and 120, and a lens of two arcs of
// radius 260 whose middles lie 240 apart, so that it is 2·(260-120) wide and
// 2·√(260²-120²) long and pointed.
func TestSectionOfKnownForm(t *testing.T) {
	sin, cos := math.Sincos(0.3)
	turned := func(q r2.Vec) (x, y float64) {
		q = r2.Sub(q, r2.Vec{X: 440, Y: 350})
		return q.X*cos + q.Y*sin, q.Y*cos - q.X*sin
	}
	for _, c := range []struct {
		name               string
		inside             func(r2.Vec) float64
		length, wide, area float64
	}{
		{"ellipse", func(q r2.Vec) float64 {
			// To first order in the distance from the line.
			x, y := turned(q)
			f := math.Hypot(x/200, y/120)
			return (1 - f) * f / math.Max(1e-9, math.Hypot(x/200/200, y/120/120))
		}, 400, 240, math.Pi * 200 * 120},
		{"lens", func(q r2.Vec) float64 {
			x, y := turned(q)
			return 260 - math.Max(math.Hypot(x, y-120), math.Hypot(x, y+120))
		}, 2 * math.Sqrt(260*260-120*120), 280, 2*260*260*math.Acos(120./260) - 240*math.Sqrt(260*260-120*120)},
	} {
		s, err := vision.SectionAt(picture(t, drawSection(c.inside)), r2.Vec{X: 420, Y: 360})
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		d := r2.Sub(s.Ends[1], s.Ends[0])
		if math.Abs(r2.Norm(d)-c.length) > 1 || math.Abs(r2.Cross(r2.Unit(d), r2.Vec{X: cos, Y: sin})) > 0.02 || s.Axis < 0.9 || s.Sure < 0.5 {
			t.Errorf("%s: ends %v, %.1f apart, want %.1f; axis %.2f, sure %.2f", c.name, s.Ends, r2.Norm(d), c.length, s.Axis, s.Sure)
		}
		low, high := 0.0, 0.0
		for _, q := range s.Outline {
			_, y := turned(q)
			low, high = math.Min(low, y), math.Max(high, y)
		}
		if math.Abs(high-low-c.wide) > 1 {
			t.Errorf("%s: %.1f wide, want %.1f", c.name, high-low, c.wide)
		}
		sum := 0.0
		poly := s.Traced(0.2).Outline.Polygon()
		for i, p := range poly {
			sum += r2.Cross(p, poly[(i+1)%len(poly)])
		}
		if math.Abs(math.Abs(sum)/2/c.area-1) > 0.006 {
			t.Errorf("%s: area %.0f, want %.0f", c.name, math.Abs(sum)/2, c.area)
		}
	}
}

// Beyond the frame and on bare ground there is no section; the sentence says so.
func TestNoSectionHere(t *testing.T) {
	p := picture(t, drawSection(func(r2.Vec) float64 { return -1000 }))
	if _, err := vision.SectionAt(p, r2.Vec{X: -5, Y: 20}); !errors.Is(err, vision.ErrNoTooth) {
		t.Errorf("outside the picture: %v", err)
	}
	if s, err := vision.SectionAt(p, r2.Vec{X: 150, Y: 150}); err == nil && s.Sure > 0 {
		t.Errorf("on bare ground a section is sure by %.2f", s.Sure)
	}
}

// On drawn photographs, whose truth is that of their generator, of every second
// ground, tooth, size and light: what is sure is within what a measurement may be
// off, and the stated uncertainty holds.
func TestSectionsKnowTheirUncertainty(t *testing.T) {
	sure, good, far, within, lengths := 0, 0, 0, 0, 0
	const n = 24
	for k := range n {
		trial := toothtrial.Basal(uint64(2*k+1), 800)
		img, truth, err := trial.Draw()
		if err != nil {
			t.Fatal(err)
		}
		s := toothtrial.ProposeSection(picture(t, img), truth)
		if s.Refused != nil || s.Confidence < 0.5 {
			continue
		}
		sure++
		if s.Good() {
			good++
		}
		if s.Worst() > 0.03 {
			far++
		}
		for _, e := range [2][2]float64{{s.CBL, s.ULength}, {s.CBW, s.UWidth}} {
			lengths++
			if math.Abs(e[0]) <= e[1] {
				within++
			}
		}
	}
	t.Logf("%d of %d sections sure, %d good, %d far off; %d of %d lengths within what is stated", sure, n, good, far, within, lengths)
	if 2*sure < n || 10*good < 9*sure || far > 0 || 10*within < 9*lengths {
		t.Errorf("of %d sections %d are sure, %d of those good, %d far off; %d of %d lengths within what is stated", n, sure, good, far, within, lengths)
	}
}
