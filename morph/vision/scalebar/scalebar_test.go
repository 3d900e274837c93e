package scalebar_test

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/morph/vision/scalebar"
	"crownbench/testdata/toothphoto"
)

// draw makes a photograph of an invented crown with a bar of the given style,
// anywhere beside it and at any rotation.
func draw(style toothphoto.BarStyle, seed uint64) (toothphoto.Tooth, toothphoto.Shot) {
	r := rand.New(rand.NewPCG(seed, 23))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	mid := between(9, 20)
	tooth := toothphoto.Tooth{Name: "invented", CBL: 12, CBW: 6, CH: 22, AL: 24, MesialBow: 0.1, DistalBow: -0.02, Palette: r.Uint64N(16),
		Distal: toothphoto.Row{Apical: mid, Mid: mid, Basal: mid}}
	shot := toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 900, Height: 700, PxPerMM: between(11, 15), X: 0.27, Y: 0.5, Rotation: between(-20, 20),
		Background: []toothphoto.Background{toothphoto.Grey, toothphoto.Sand, toothphoto.Card, toothphoto.Velvet, toothphoto.Paper}[r.IntN(5)],
		LightFrom:  between(0, 360), Blur: between(0.4, 1.2), Noise: between(0.3, 3), Cracks: r.IntN(4), Seed: seed,
		Bar: toothphoto.ScaleBar{Style: style, Length: 20, Blocks: 4, X: 0.72, Y: 0.5, Rotation: between(0, 360), Size: between(0.028, 0.04)},
	}
	if style == toothphoto.Blocks {
		shot.Bar.Blocks = 2 + r.IntN(4)*2 + r.IntN(2)
		if shot.Bar.Blocks < 4 {
			shot.Bar.Blocks = 10
		}
	}
	return tooth, shot
}

// result is how a proposal compares with the truth.
type result struct {
	refused, wrong bool
	end            float64 // greatest error of an end along the bar, px
	length         float64 // relative error of the length between them
	held           bool    // by ± 1.96 UEnd, both ends
}

func try(tb testing.TB, tooth toothphoto.Tooth, shot toothphoto.Shot) result {
	tb.Helper()
	img, truth, err := toothphoto.Render(tooth, shot)
	if err != nil {
		tb.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		tb.Fatal(err)
	}
	b, err := scalebar.Find(p)
	if err != nil {
		return result{refused: true}
	}
	want := truth.Bar.Ends
	whole := r2.Norm(r2.Sub(want[1], want[0]))
	axis := r2.Scale(1/whole, r2.Sub(want[1], want[0]))
	got := b.Ends
	if r2.Dot(r2.Sub(got[1], got[0]), axis) < 0 {
		got[0], got[1] = got[1], got[0]
	}
	e := [2]float64{r2.Dot(r2.Sub(got[0], want[0]), axis), r2.Dot(r2.Sub(got[1], want[1]), axis)}
	far := max(r2.Norm(r2.Sub(got[0], want[0])), r2.Norm(r2.Sub(got[1], want[1])))
	out := result{end: max(math.Abs(e[0]), math.Abs(e[1])), length: math.Abs(e[1]-e[0]) / whole}
	out.held = out.end <= 1.96*b.UEnd
	// Beside the bar by more than a ruler's own height, or in another place.
	out.wrong = out.end > 3 || far > 50 || string(b.Kind) != string(shot.Bar.Style)
	divisions := shot.Bar.Blocks
	if shot.Bar.Style == toothphoto.Ruler && b.Divisions != divisions {
		divisions = int(shot.Bar.Length)
	}
	if shot.Bar.Style == toothphoto.Line {
		divisions = 0
	}
	out.wrong = out.wrong || b.Divisions != divisions
	return out
}

var styles = []toothphoto.BarStyle{toothphoto.Ruler, toothphoto.Blocks, toothphoto.Line}

// Of a seeded row of photographs on five grounds the ends come out within 1 px
// and the length within 0.5 %, with the right number of divisions; one in six at
// most is left to the person, and none is mistaken.
func TestFindsTheBar(t *testing.T) {
	for _, style := range styles {
		refused := 0
		for seed := range uint64(6) {
			tooth, shot := draw(style, seed)
			what := fmt.Sprintf("%s on %s, turned %.0f°, blur %.1f, noise %.1f", style, shot.Background, shot.Bar.Rotation, shot.Blur, shot.Noise)
			switch r := try(t, tooth, shot); {
			case r.refused:
				refused++
			case r.wrong:
				t.Errorf("%s: something else was found: %+v", what, r)
			case r.end > 1 || r.length > 0.005:
				t.Errorf("%s: an end is %.2f px off, the length %.2f %%", what, r.end, 100*r.length)
			}
		}
		if refused > 1 {
			t.Errorf("%s: %d of 6 not found", style, refused)
		}
	}
}

// A photograph without a bar gets a sentence, not a row of denticles.
func TestNoBar(t *testing.T) {
	for seed := range uint64(4) {
		tooth, shot := draw(toothphoto.Ruler, seed)
		shot.Bar = toothphoto.ScaleBar{}
		img, _, err := toothphoto.Render(tooth, shot)
		if err != nil {
			t.Fatal(err)
		}
		p, err := vision.PictureOf(img)
		if err != nil {
			t.Fatal(err)
		}
		if b, err := scalebar.Find(p); !errors.Is(err, scalebar.ErrNone) && b.Kind != scalebar.Line {
			t.Errorf("photograph %d on %s: %+v, %v", seed, shot.Background, b, err)
		}
	}
}

// printed draws a ruler exactly: ticks of even width every spacing px, each
// pixel's grey by the share of it that they cover (closed form).
func printed(spacing float64, ticks, major int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, int(spacing*float64(ticks+3)), 400))
	for y := range m.Rect.Dy() {
		for x := range m.Rect.Dx() {
			cover := 0.0
			for i := range ticks {
				long := 40
				if major > 0 && i%major == 0 {
					long = 60
				}
				at := spacing * float64(i+2)
				if y >= 50 && y < 50+long {
					cover += max(0, min(float64(x+1), at+1.5)-max(float64(x), at-1.5))
				}
			}
			g := uint8(math.Round(235 - 205*cover))
			m.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	return m
}

// Closed form: the ends of an exact ruler are where it was drawn, and its taller
// ticks tell millimetres.
func TestExactRuler(t *testing.T) {
	for _, c := range []struct {
		spacing      float64
		ticks, major int
	}{{13.7, 31, 5}, {21.3, 11, 10}, {17, 9, 0}} {
		p, err := vision.PictureOf(printed(c.spacing, c.ticks, c.major))
		if err != nil {
			t.Fatal(err)
		}
		b, err := scalebar.Find(p)
		if err != nil {
			t.Errorf("%+v: %v", c, err)
			continue
		}
		ends := []float64{b.Ends[0].X, b.Ends[1].X}
		slices.Sort(ends)
		if math.Abs(ends[0]-2*c.spacing) > 0.05 || math.Abs(ends[1]-c.spacing*float64(c.ticks+1)) > 0.05 || math.Abs(b.Spacing-c.spacing) > 0.01 {
			t.Errorf("%+v: ends %v, spacing %g", c, ends, b.Spacing)
		}
		if b.Divisions != c.ticks-1 || b.Major != c.major {
			t.Errorf("%+v: %d divisions, every %dth taller", c, b.Divisions, b.Major)
		}
		length, unit, ok := b.Guess()
		if ok != (c.major > 0) || ok && (length != float64(c.ticks-1) || unit != morph.Millimetre) {
			t.Errorf("%+v: taken for %g %s, %v", c, length, unit, ok)
		}
		if s, err := morph.ScaleOf([]morph.Bar{b.Reading(1, morph.Millimetre)}, 0); err != nil || math.Abs(s.PxPerMM-c.spacing) > 0.02 {
			t.Errorf("%+v: %+v, %v", c, s, err)
		}
	}
}

// Every kind is asked for what the picture cannot tell.
func TestAsks(t *testing.T) {
	said := map[string]bool{}
	for _, b := range []scalebar.Bar{{Kind: scalebar.Ruler}, {Kind: scalebar.Ruler, Major: 10}, {Kind: scalebar.Blocks}, {Kind: scalebar.Line}} {
		said[b.Ask()] = true
	}
	if len(said) != 4 || said[""] {
		t.Errorf("%v", said)
	}
	if b := (scalebar.Bar{Kind: scalebar.Line}).Reading(20, morph.Centimetre); b.Length != 20 || b.Unit != morph.Centimetre {
		t.Errorf("a line of 20 cm reads %+v", b)
	}
}

// Whatever the pixels, nothing panics and ends are numbers.
func TestAnyPicture(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 60).Draw(t, "w"), rapid.IntRange(1, 60).Draw(t, "h")
		whole(t, w, h, rapid.SliceOfN(rapid.SampledFrom([]byte{0, 10, 120, 240, 255}), w*h, w*h).Draw(t, "grey"))
	})
}

func FuzzFind(f *testing.F) {
	f.Add(uint8(9), []byte("stripes  stripes  stripes"))
	f.Fuzz(func(t *testing.T, width uint8, grey []byte) {
		if w := int(width); w > 0 && len(grey) >= w && len(grey) < 1<<16 {
			whole(t, w, len(grey)/w, grey)
		}
	})
}

func whole(t interface{ Errorf(string, ...any) }, w, h int, grey []byte) {
	pix := make([]uint8, 4*w*h)
	for i := range pix {
		pix[i] = grey[i/4]
	}
	p, err := vision.NewPicture(pix, w, h)
	if err != nil {
		t.Errorf("%v", err)
		return
	}
	b, err := scalebar.Find(p)
	if err != nil {
		return
	}
	for _, v := range []float64{b.Ends[0].X, b.Ends[0].Y, b.Ends[1].X, b.Ends[1].Y, b.Spacing, b.UEnd, b.Confidence} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%+v", b)
			return
		}
	}
}

// BenchmarkErrors prints what a grid of seeded photographs comes to.
func BenchmarkErrors(b *testing.B) {
	const photos = 40
	for _, style := range styles {
		b.Run(string(style), func(b *testing.B) {
			var off []float64
			var refused, wrong, held float64
			for range b.N {
				off, refused, wrong, held = nil, 0, 0, 0
				for seed := range uint64(photos) {
					tooth, shot := draw(style, 100+seed)
					switch r := try(b, tooth, shot); {
					case r.refused:
						refused++
					case r.wrong:
						wrong++
					default:
						off = append(off, r.end)
						if r.held {
							held++
						}
					}
				}
			}
			slices.Sort(off)
			n := max(1, float64(len(off)))
			b.ReportMetric(100*refused/photos, "%refused")
			b.ReportMetric(100*wrong/photos, "%wrong")
			if len(off) > 0 {
				b.ReportMetric(off[len(off)/2], "px-off-median")
				b.ReportMetric(off[len(off)*95/100], "px-off-95th")
			}
			b.ReportMetric(100*held/n, "%held")
			b.ReportMetric(0, "ns/op")
		})
	}
}

func BenchmarkFind(b *testing.B) {
	for _, side := range []int{1, 2, 4} {
		tooth, shot := draw(toothphoto.Ruler, 1)
		shot.Width, shot.Height, shot.PxPerMM = side*shot.Width, side*shot.Height, float64(side)*shot.PxPerMM
		img, _, err := toothphoto.Render(tooth, shot)
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("%.1fMP", float64(shot.Width*shot.Height)/1e6), func(b *testing.B) {
			for b.Loop() {
				p, err := vision.PictureOf(img)
				if err != nil {
					b.Fatal(err)
				}
				if _, err := scalebar.Find(p); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func ExampleFind() {
	p, err := vision.PictureOf(printed(20, 21, 10))
	if err != nil {
		fmt.Println(err)
		return
	}
	b, err := scalebar.Find(p)
	if err != nil {
		fmt.Println(err)
		return
	}
	length, unit, _ := b.Guess()
	fmt.Printf("%s of %d divisions, %.1f px each, perhaps %g %s\n", b.Kind, b.Divisions, b.Spacing, length, unit)
	// Output: ruler of 20 divisions, 20.0 px each, perhaps 20 mm
}

// A watched search finds the same bar, and ends wherever it is stopped.
func TestWatched(t *testing.T) {
	tooth, shot := draw(toothphoto.Blocks, 1)
	img, _, err := toothphoto.Render(tooth, shot)
	if err != nil {
		t.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		t.Fatal(err)
	}
	want, err := scalebar.Find(p)
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	if got, err := scalebar.Find(p.Watched(func() bool { asked++; return true })); err != nil || got != want {
		t.Errorf("watched, it finds %+v and %v, else %+v", got, err, want)
	}
	for _, last := range []int{1, asked / 2, asked} {
		left := last
		if _, err := scalebar.Find(p.Watched(func() bool { left--; return left > 0 })); !errors.Is(err, vision.ErrStopped) || left != 0 {
			t.Errorf("stopped at the %dth time of %d, it asked %d times more and ends with %v", last, asked, -left, err)
		}
	}
}
