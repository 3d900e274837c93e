package ripple_test

import (
	"errors"
	"fmt"
	"image"
	"image/color"
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/morph/vision/ripple"
	"crownbench/testdata/toothphoto"
)

// CALC: a sine of period 0.5 mm over 10 mm at 0.01 mm has its spectrum's peak at
// 2 per mm and its autocorrelation's at 0.5 mm: 10 per 5 mm.
func TestRhythmOfASine(t *testing.T) {
	profile := make([]float64, 1000)
	for i := range profile {
		profile[i] = 3 + 0.01*float64(i) + math.Sin(2*math.Pi*float64(i)*0.01/0.5)
	}
	r, err := ripple.RhythmOf(profile, 0.01)
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(r.Frequency-2) > 0.1/8 || math.Abs(r.Lag-0.5) > 0.005 || r.Sharpness < 0.97 || r.Over < 1000 {
		t.Errorf("%+v", r)
	}
	if d := morph.Density(1, 1/r.Frequency); math.Abs(d-10) > 0.05 {
		t.Errorf("%g per 5 mm", d)
	}
}

func TestRhythmRefuses(t *testing.T) {
	few := make([]float64, 200)
	for i := range few {
		few[i] = math.Sin(2 * math.Pi * 2.5 * float64(i) / 200)
	}
	for _, c := range []struct {
		profile []float64
		step    float64
		want    string
	}{
		{nil, 1, "too short"}, {make([]float64, 100), 0, "too short"}, {make([]float64, 100), 1, "no ripple"},
		{few, 1, "Fewer than four"}, {append(make([]float64, 100), math.NaN()), 1, "not a number"},
	} {
		if _, err := ripple.RhythmOf(c.profile, c.step); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%d values: %v, want %q", len(c.profile), err, c.want)
		}
	}
}

// wavy draws a dark tooth below an edge that is a sine of the given period and
// amplitude in px, each pixel's grey by the share of it that the tooth covers.
func wavy(w, h int, period, amplitude float64) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for x := range w {
		for y := range h {
			cover := 0.0
			for k := range 8 {
				edge := float64(h)/2 - amplitude*math.Cos(2*math.Pi*(float64(x)+(float64(k)+0.5)/8)/period)
				cover += max(0, min(1, float64(y+1)-edge)) / 8
			}
			g := uint8(math.Round(200 - 120*cover))
			m.SetRGBA(x, y, color.RGBA{g, g, g, 255})
		}
	}
	return m
}

func across(w, h int) []r2.Vec {
	return []r2.Vec{{X: 0, Y: float64(h) / 2}, {X: float64(w), Y: float64(h) / 2}}
}

// Closed form: the denticles of a sine edge stand on its crests, a period apart.
func TestSineEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		period := rapid.Float64Range(4, 30).Draw(t, "period")
		w, h := 400, 90
		p, err := vision.PictureOf(wavy(w, h, period, 0.2*period))
		if err != nil {
			t.Fatal(err)
		}
		line := across(w, h)
		back := rapid.Bool().Draw(t, "back")
		if back {
			line[0], line[1] = line[1], line[0]
		}
		perMM := rapid.Float64Range(5, 60).Draw(t, "px per mm")
		r, err := ripple.Find(p, line, ripple.Options{PxPerMM: perMM, FromApex: back, Third: morph.Mid, Tooth: &r2.Vec{X: 200, Y: 85}})
		if err != nil {
			t.Fatal(err)
		}
		if math.Abs(r.Period/period-1) > 0.012 {
			t.Errorf("period %g, want %g", r.Period, period)
		}
		if want := 400 / period; math.Abs(float64(len(r.Ticks))-want) > 1.6 {
			t.Errorf("%d ticks, want about %.1f", len(r.Ticks), want)
		}
		for _, k := range r.Ticks {
			// A crest, the farthest from the tooth, is at (n + ½)·period … of a
			// cosine: n·period.
			off := math.Abs(math.Remainder(k.At.X, period))
			if k.At.X > period && k.At.X < 400-period && off > 0.06*period {
				t.Errorf("a tick at x %.2f lies %.2f px from the crest", k.At.X, off)
			}
			if k.At.X > period && k.At.X < 400-period && math.Abs(k.At.Y-(45-0.2*period)) > 0.06*period+0.35 {
				t.Errorf("a tick at y %.2f, the crest at %.2f", k.At.Y, 45-0.2*period)
			}
		}
		if len(r.Parts[0].Ticks) > 8 && r.Parts[0].Sharpness < 0.8 {
			t.Errorf("the autocorrelation of a sine peaks at %g", r.Parts[0].Sharpness)
		}
		if len(r.Parts) != 1 || math.Abs(r.Parts[0].Per5mm/morph.Density(1, period/perMM)-1) > 0.02 {
			t.Errorf("parts %+v, want %g per 5 mm", r.Parts, morph.Density(1, period/perMM))
		}
	})
}

// Of a seeded row of photographs, densities come out within 3 % of the truth
// (one third in twenty may miss by more) wherever they are given at all, and
// ± 1.96 u holds it in 90 of 100 or more.
func TestDensityOnPhotographs(t *testing.T) {
	var a tally
	photos := 0
	for _, pitch := range []float64{4.5, 6.5, 10} {
		for seed := range uint64(7) {
			row, truth, err := draw(pitch, seed%3 == 2, 50+seed+1000*uint64(10*pitch)).read(t)
			a.add(row, truth, err)
			photos++
		}
	}
	if a.refused > photos/4 || a.missed > a.thirds/8 || a.thirds < 25 {
		t.Errorf("of %d photographs %d were refused, of the thirds of the others %d counted and %d not", photos, a.refused, a.thirds, a.missed)
	}
	if a.within(0.03) < 0.95 {
		t.Errorf("%.0f %% of %d densities within 3 %%: %v", 100*a.within(0.03), a.thirds, a.off)
	}
	if held := float64(a.held) / float64(a.thirds); held < 0.9 {
		t.Errorf("%.0f %% held by ± 1.96 u", 100*held)
	}
	if a.worn > 0 {
		t.Errorf("%d worn thirds were counted", a.worn)
	}
}

// A row whose apical part is worn away ends there, and the proposal says so; its
// stretches are what morph counts.
func TestWornRow(t *testing.T) {
	row, truth, err := draw(9, true, 5).read(t)
	if err != nil {
		t.Fatal(err)
	}
	end := row.Guide[0]
	length := 0.0
	for _, q := range row.Guide[1:] {
		length += r2.Norm(r2.Sub(q, end))
		end = q
	}
	apical := row.Parts[2]
	if apical.Third != morph.Apical || apical.Per5mm != 0 || !strings.Contains(apical.Problem, "apical") {
		t.Errorf("apical third: %+v", apical)
	}
	if len(row.Bare) == 0 || row.Bare[0].From > 1 || math.Abs(row.Bare[0].To/length-0.3) > 0.06 || !strings.Contains(row.Bare[0].Say, "to the apex") {
		t.Errorf("bare: %+v of %.0f px", row.Bare, length)
	}
	if n := truth.Measurements.Distal.Count; math.Abs(float64(len(row.Ticks)-n)) > 2 {
		t.Errorf("%d ticks of %d denticles", len(row.Ticks), n)
	}
	view := morph.View{ID: "a", Role: morph.LateralLabial, Bars: []morph.Bar{{To: morph.Vertex{X: 10 * truth.PxPerMM}, Length: 10, Unit: morph.Millimetre}}}
	for _, p := range row.Parts {
		view.Stretches = append(view.Stretches, p.Stretch(morph.DistalCarina))
	}
	r := morph.Read(morph.Tooth{Views: []morph.View{view}})
	for id, p := range map[morph.ID]ripple.Part{morph.DB: row.Parts[0], morph.DC: row.Parts[1]} {
		if got := r.Get(id); math.Abs(got.Value/p.Per5mm-1) > 0.005 {
			t.Errorf("%s = %g, proposed %g (%s)", id, got.Value, p.Per5mm, got.Problem)
		}
	}
	if got := r.Get(morph.DA); got.Known {
		t.Errorf("DA = %g on a worn third", got.Value)
	}
}

// Edges without denticles get a sentence: carinae that never had any, under
// grain, noise and cracks.
func TestPlainEdgesAreRefused(t *testing.T) {
	for seed := range uint64(10) {
		x := draw(10, false, 900+seed)
		x.tooth.Distal = toothphoto.Row{}
		if row, _, err := x.read(t); !errors.Is(err, ripple.ErrNoRow) {
			t.Errorf("%v: %d ticks, share %.2f, %v", x, len(row.Ticks), row.Share, err)
		}
	}
}

func TestFindRefuses(t *testing.T) {
	p, err := vision.PictureOf(wavy(100, 60, 12, 3))
	if err != nil {
		t.Fatal(err)
	}
	flat, err := vision.PictureOf(image.NewRGBA(image.Rect(0, 0, 100, 60)))
	if err != nil {
		t.Fatal(err)
	}
	v := func(x, y float64) r2.Vec { return r2.Vec{X: x, Y: y} }
	for _, c := range []struct {
		picture *vision.Picture
		line    []r2.Vec
		want    string
	}{
		{p, nil, "two points"}, {p, []r2.Vec{v(5, 5)}, "two points"}, {p, []r2.Vec{v(5, 5), v(6, 5)}, "two points"},
		{p, []r2.Vec{v(5, 5), v(500, 5)}, "leaves the photo"}, {p, []r2.Vec{v(5, 5), v(math.NaN(), 5)}, "leaves the photo"},
		{p, []r2.Vec{v(5, 30), v(40, 30)}, "No even ripple"}, // three denticles
		{flat, []r2.Vec{v(5, 30), v(95, 30)}, "hardly stands out"},
	} {
		if r, err := ripple.Find(c.picture, c.line, ripple.Options{}); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%v: %d ticks, %v, want %q", c.line, len(r.Ticks), err, c.want)
		}
	}
}

// Whatever the pixels and the line, nothing panics and ticks are in order.
func TestAnyEdge(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		w, h := rapid.IntRange(1, 80).Draw(t, "w"), rapid.IntRange(1, 40).Draw(t, "h")
		grey := rapid.SliceOfN(rapid.SampledFrom([]byte{0, 90, 200, 255}), w*h, w*h).Draw(t, "grey")
		n := rapid.IntRange(0, 5).Draw(t, "points")
		var line []r2.Vec
		for range n {
			line = append(line, r2.Vec{X: rapid.Float64Range(0, float64(w)).Draw(t, "x"), Y: rapid.Float64Range(0, float64(h)).Draw(t, "y")})
		}
		whole(t, w, h, grey, line)
	})
}

func FuzzFind(f *testing.F) {
	f.Add(uint8(40), []byte(strings.Repeat("   ###", 200)), uint8(3), uint8(5), uint8(38), uint8(6))
	f.Fuzz(func(t *testing.T, width uint8, grey []byte, x0, y0, x1, y1 uint8) {
		if w := int(width); w > 0 && len(grey) >= w && len(grey) < 1<<14 {
			whole(t, w, len(grey)/w, grey, []r2.Vec{{X: float64(x0), Y: float64(y0)}, {X: float64(x1), Y: float64(y1)}})
		}
	})
}

func whole(t interface{ Errorf(string, ...any) }, w, h int, grey []byte, line []r2.Vec) {
	pix := make([]uint8, 4*w*h)
	for i := range pix {
		pix[i] = grey[i/4]
	}
	p, err := vision.NewPicture(pix, w, h)
	if err != nil {
		t.Errorf("%v", err)
		return
	}
	r, err := ripple.Find(p, line, ripple.Options{PxPerMM: 3})
	if err != nil {
		return
	}
	for i, k := range r.Ticks {
		if math.IsNaN(k.At.X+k.At.Y) || i > 0 && k.Along <= r.Ticks[i-1].Along {
			t.Errorf("tick %d of %+v", i, r.Ticks)
		}
	}
	for _, part := range r.Parts {
		if math.IsNaN(part.Per5mm) || math.IsInf(part.Per5mm, 0) || math.IsNaN(part.U) {
			t.Errorf("%+v", part)
		}
	}
}

func BenchmarkFind(b *testing.B) {
	for _, length := range []int{300, 1000, 4000} {
		p, err := vision.PictureOf(wavy(length, 120, 9, 2))
		if err != nil {
			b.Fatal(err)
		}
		b.Run(fmt.Sprintf("line=%dpx", length), func(b *testing.B) {
			for b.Loop() {
				if _, err := ripple.Find(p, across(length, 120), ripple.Options{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func ExampleFind() {
	// An edge with a denticle every 12 px, at 24 px per mm.
	p, err := vision.PictureOf(wavy(300, 80, 12, 2.5))
	if err != nil {
		fmt.Println(err)
		return
	}
	row, err := ripple.Find(p, across(300, 80), ripple.Options{PxPerMM: 24, Third: morph.Mid})
	if err != nil {
		fmt.Println(err)
		return
	}
	part := row.Parts[0]
	fmt.Printf("%d denticles, %.1f per 5 mm\n", len(part.Ticks), part.Per5mm)
	// Output: 10 denticles, 10.0 per 5 mm
}
