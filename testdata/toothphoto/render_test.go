package toothphoto

import (
	"bytes"
	"encoding/json"
	"fmt"
	"image"
	"math"
	"runtime"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func mustRender(t testing.TB, tooth Tooth, s Shot) (*image.RGBA, Truth) {
	t.Helper()
	img, truth, err := Render(tooth, s)
	if err != nil {
		t.Fatal(err)
	}
	return img, truth
}

// mustCompose gives the truth of a photograph without developing it.
func mustCompose(t testing.TB, tooth Tooth, s Shot) Truth {
	t.Helper()
	_, truth, err := compose(tooth, s)
	if err != nil {
		t.Fatal(err)
	}
	return truth
}

// plainShot is a busy but ordinary photograph.
func plainShot(v View) Shot {
	return Shot{
		View: v, Width: 800, Height: 600, Background: Sand, LightFrom: 315,
		Blur: 0.8, Noise: 2, Cracks: 3, Rotation: 25, Seed: 7,
	}
}

// TestDeterminism: the same call gives the same bytes whatever the number of
// processors, and another seed gives others.
func TestDeterminism(t *testing.T) {
	for _, v := range []View{LateralLabial, LateralLingual, Basal, MidSection, MesialCarina, DistalCarina} {
		s := plainShot(v)
		s.Width, s.Height = 400, 300
		one, truthOne := mustRender(t, thorn(), s)
		old := runtime.GOMAXPROCS(1)
		two, truthTwo := mustRender(t, thorn(), s)
		runtime.GOMAXPROCS(old)
		if !bytes.Equal(one.Pix, two.Pix) {
			t.Errorf("%s: two pictures of the same shot differ", v)
		}
		if d := cmp.Diff(truthOne, truthTwo); d != "" {
			t.Errorf("%s: two truths of the same shot differ: %s", v, d)
		}
		s.Seed++
		other, _ := mustRender(t, thorn(), s)
		if bytes.Equal(one.Pix, other.Pix) {
			t.Errorf("%s: another seed gives the same picture", v)
		}
	}
}

// green samples the green channel between pixel centres.
func green(img *image.RGBA, p r2.Vec) float64 {
	x, y := p.X-0.5, p.Y-0.5
	i, j := int(math.Floor(x)), int(math.Floor(y))
	fx, fy := x-float64(i), y-float64(j)
	at := func(i, j int) float64 { return float64(img.RGBAAt(i, j).G) }
	return (1-fy)*((1-fx)*at(i, j)+fx*at(i+1, j)) + fy*((1-fx)*at(i, j+1)+fx*at(i+1, j+1))
}

// crossing walks from p-reach·n to p+reach·n and returns where the picture
// passes half way between its two ends, as a distance from p along n.
func crossing(img *image.RGBA, p, n r2.Vec, reach float64) (float64, bool) {
	const stride = 0.05
	in, out := green(img, r2.Sub(p, r2.Scale(reach, n))), green(img, r2.Add(p, r2.Scale(reach, n)))
	if math.Abs(in-out) < 20 {
		return 0, false
	}
	half := (in + out) / 2
	last := in
	for s := -reach + stride; s <= reach; s += stride {
		v := green(img, r2.Add(p, r2.Scale(s, n)))
		if (last-half)*(v-half) <= 0 && v != last {
			return s - stride*(v-half)/(v-last), true
		}
		last = v
	}
	return 0, false
}

// TestEdgeLiesOnTruth finds the edge of the blurred silhouette and holds it
// against the true outline, in clean two-tone pictures at odd angles, mirrored
// and tilted.
func TestEdgeLiesOnTruth(t *testing.T) {
	smooth := blade()
	smooth.Mesial, smooth.Distal = Row{}, Row{}
	for _, s := range []Shot{
		{View: LateralLabial, Width: 900, Height: 900, Blur: 1, Flat: true},
		{View: LateralLabial, Width: 900, Height: 900, Blur: 1.3, Flat: true, Rotation: 33.4, Mirrored: true},
		{View: LateralLingual, Width: 901, Height: 703, Blur: 0.8, Flat: true, Rotation: 200, Tilt: 12},
		{View: Basal, Width: 800, Height: 700, Blur: 1, Flat: true, Rotation: 52},
		{View: MidSection, Width: 800, Height: 700, Blur: 1, Flat: true, Rotation: -17},
	} {
		t.Run(fmt.Sprintf("%s at %g°", s.View, s.Rotation), func(t *testing.T) {
			img, truth := mustRender(t, smooth, s)
			edge := truth.PlainOutline
			if s.View.Section() {
				edge = truth.Section
			}
			var worst, sum float64
			found := 0
			for i := 20; i < len(edge)-20; i += 7 {
				// Half-way levels hold along straight stretches: leave out corners.
				if turn := bend(edge, i); turn > 0.02 || nearTo(edge[i], truth, 12) {
					continue
				}
				tangent := r2.Unit(r2.Sub(edge[i+1], edge[i-1]))
				d, ok := crossing(img, edge[i], r2.Vec{X: -tangent.Y, Y: tangent.X}, 6)
				if !ok {
					t.Fatalf("no edge at %v", edge[i])
				}
				worst = math.Max(worst, math.Abs(d))
				sum += d
				found++
			}
			if found < 60 {
				t.Fatalf("only %d points tried", found)
			}
			if worst > 0.15 {
				t.Errorf("an edge lies %.3f px off", worst)
			}
			if mean := sum / float64(found); math.Abs(mean) > 0.03 {
				t.Errorf("edges lie %.3f px off on average", mean)
			}
		})
	}
}

// bend returns the turn of a polyline over some points around i, in radians.
func bend(pts []r2.Vec, i int) float64 {
	a, b := r2.Sub(pts[i], pts[i-10]), r2.Sub(pts[i+10], pts[i])
	if r2.Norm(b) < 1 || r2.Norm(a) < 1 {
		return math.Pi
	}
	return math.Abs(math.Atan2(r2.Cross(a, b), r2.Dot(a, b))) / (r2.Norm(a) + r2.Norm(b)) * 4
}

// nearTo tells whether a point lies within so many px of a landmark.
func nearTo(p r2.Vec, truth Truth, px float64) bool {
	for _, l := range []*r2.Vec{truth.A, truth.G, truth.B, truth.MesialEnd, truth.DistalEnd} {
		if l != nil && r2.Norm(r2.Sub(p, *l)) < px {
			return true
		}
	}
	return false
}

// TestShadedEdgeLiesOnTruth repeats the search in shaded, textured pictures.
// Single points move with the texture; the mean must stay close. A shadow that
// deepens toward the crown pulls half-way levels outward, as it does in real
// photographs, by a fraction of a pixel.
func TestShadedEdgeLiesOnTruth(t *testing.T) {
	smooth := blade()
	smooth.Mesial, smooth.Distal = Row{}, Row{}
	for _, c := range []struct {
		name   string
		shadow float64
		mean   float64 // px
	}{{"no shadow", -1, 0.15}, {"shadow", 1, 0.35}} {
		img, truth := mustRender(t, smooth, Shot{
			View: LateralLabial, Width: 1400, Height: 1100, Background: Paper, Blur: 0.8, Noise: 1,
			LightFrom: 315, Rotation: 20, Shadow: c.shadow,
		})
		var sum float64
		var found, close int
		for i := 20; i < len(truth.PlainOutline)-20; i += 5 {
			p := truth.PlainOutline[i]
			if nearTo(p, truth, 25) {
				continue
			}
			tangent := r2.Unit(r2.Sub(truth.PlainOutline[i+1], truth.PlainOutline[i-1]))
			if d, ok := crossing(img, p, r2.Vec{X: -tangent.Y, Y: tangent.X}, 4); ok {
				sum += d
				found++
				if math.Abs(d) < 0.5 {
					close++
				}
			}
		}
		if found < 100 {
			t.Fatalf("%s: only %d edges seen", c.name, found)
		}
		if mean := sum / float64(found); math.Abs(mean) > c.mean || close*10 < found*9 {
			t.Errorf("%s: %d of %d edges within 0.5 px, mean %.3f px", c.name, close, found, mean)
		}
	}
}

// ripple counts the denticles on one carina of a picture from its pixels: it
// follows the carina just outside its notches and counts how often tooth and
// ground change places.
func ripple(img *image.RGBA, c *crown, cam *camera, ca *carina, row *denticles) int {
	dark := func(s, out float64) bool {
		p, n := ca.at(s)
		return green(img, cam.px(r2.Add(p, r2.Scale(out, n)))) < 135
	}
	count := 0
	in := false
	for s := row.from - 0.5*row.pitch(row.from); s < row.to+0.5*row.pitch(row.to); s += row.pitch(s) / 40 {
		now := dark(s, 0.3*row.row.relief()*row.pitch(s))
		if now && !in {
			count++
		}
		in = now
	}
	return count
}

// TestDenticlesShowInSilhouette counts denticles in rendered pixels and finds
// as many as the truth states, in lateral views and in close-ups.
func TestDenticlesShowInSilhouette(t *testing.T) {
	for _, tooth := range []Tooth{blade(), thorn()} {
		worn := tooth
		worn.Distal.WornFrom, worn.Distal.WornTo = 0.45, 0.55
		for _, tooth := range []Tooth{tooth, worn} {
			s := Shot{View: LateralLabial, Width: 2400, Height: 1900, Blur: 0.6, Flat: true, Rotation: 31}
			if tooth.CBL < 10 {
				s.Rotation = 200
			}
			img, truth := mustRender(t, tooth, s)
			c, err := newCrown(tooth)
			if err != nil {
				t.Fatal(err)
			}
			walk, _ := c.path(true)
			cam, err := look(s, append(walk, c.cervix(64)...), 0.68)
			if err != nil {
				t.Fatal(err)
			}
			m := truth.Measurements
			if got := ripple(img, c, cam, &c.distal, &c.distalRow); got != m.Distal.Count {
				t.Errorf("%s: %d distal denticles show, want %d", tooth.Name, got, m.Distal.Count)
			}
			if got := ripple(img, c, cam, &c.mesial, &c.mesialRow); got != m.Mesial.Count {
				t.Errorf("%s: %d mesial denticles show, want %d", tooth.Name, got, m.Mesial.Count)
			}
			if len(truth.Distal) != m.Distal.Count || len(truth.Mesial) != m.Mesial.Count {
				t.Errorf("%s: truth lists %d and %d denticles, counts %d and %d", tooth.Name, len(truth.Mesial), len(truth.Distal), m.Mesial.Count, m.Distal.Count)
			}
			// Each tip stands out: tooth just under it, ground just over it.
			for _, d := range append(truth.Mesial, truth.Distal...) {
				out := r2.Unit(r2.Sub(d.Tip, d.Foot))
				if green(img, r2.Sub(d.Tip, out)) > 135 || green(img, r2.Add(d.Tip, out)) < 135 {
					t.Fatalf("%s: denticle %d does not end at its tip", tooth.Name, d.Index)
				}
			}
		}
	}
}

// TestCloseUps: in a magnified carina every listed denticle is at least 15 px
// long and shows as a lobe of its own, with ground in the notches beside it.
func TestCloseUps(t *testing.T) {
	for _, v := range []View{MesialCarina, DistalCarina} {
		img, truth := mustRender(t, thorn(), Shot{View: v, Width: 1000, Height: 750, Blur: 0.8, Flat: true, CarinaAt: 0.6, Rotation: 20})
		seen := truth.Mesial
		if v == DistalCarina {
			seen = truth.Distal
		}
		if len(seen) < 15 {
			t.Fatalf("%s: only %d denticles show", v, len(seen))
		}
		if truth.A != nil || truth.B != nil {
			t.Errorf("%s: the crown base shows in a close-up of the middle", v)
		}
		for i, d := range seen {
			if long := r2.Norm(r2.Sub(d.Notches[1], d.Notches[0])); long < 15 {
				t.Errorf("%s: denticle %d is %.1f px long", v, d.Index, long)
			}
			out := r2.Unit(r2.Sub(d.Tip, d.Foot))
			if !(Shot{Width: 1000, Height: 750}).inside([]r2.Vec{r2.Add(d.Tip, r2.Scale(5, out))}) {
				continue
			}
			if green(img, r2.Sub(d.Tip, r2.Scale(2, out))) > 135 || green(img, r2.Add(d.Tip, r2.Scale(2, out))) < 135 {
				t.Errorf("%s: denticle %d does not end at its tip", v, d.Index)
			}
			if i > 0 && green(img, r2.Add(d.Notches[0], r2.Scale(3, out))) < 135 {
				t.Errorf("%s: no notch before denticle %d", v, d.Index)
			}
		}
	}
}

// TestTruthMeasuresTrue measures the truth's own points: distances in pixels
// over the scale give the lengths in millimetres, for every view that shows
// them.
func TestTruthMeasuresTrue(t *testing.T) {
	for _, bar := range []ScaleBar{{Length: 20}, {Length: 30, Style: Ruler, Rotation: 12, X: 0.5, Y: 0.84}, {Length: 10, Style: Line}} {
		s := plainShot(LateralLabial)
		s.Width, s.Height = 1200, 1000
		s.Bar, s.PxPerMM, s.Y, s.X = bar, 14, 0.42, 0.5
		truth := mustCompose(t, blade(), s)
		scale := r2.Norm(r2.Sub(truth.Bar.Ends[1], truth.Bar.Ends[0])) / truth.Bar.Length
		if !near(scale, truth.PxPerMM, 1e-12) {
			t.Errorf("bar gives %g px per mm, want %g", scale, truth.PxPerMM)
		}
		m := truth.Measurements
		for _, c := range []struct {
			name string
			p, q *r2.Vec
			want float64
		}{{"CBL", truth.A, truth.B, m.CBL}, {"AL", truth.A, truth.G, m.AL}, {"CH", truth.B, truth.G, m.CH}} {
			if got := r2.Norm(r2.Sub(*c.p, *c.q)) / scale; !near(got, c.want, 1e-9) {
				t.Errorf("%s %g, want %g", c.name, got, c.want)
			}
		}
		if got := math.Abs(area(truth.Outline)) / (scale * scale); !near(got, m.Area, 1e-9) {
			t.Errorf("area %g, want %g", got, m.Area)
		}
		if got := math.Abs(area(append(append([]r2.Vec{}, truth.Outline...), truth.Cervix...))) / (scale * scale); !near(got, m.AreaCervix, 1e-3) {
			t.Errorf("area to the cervix %g, want %g", got, m.AreaCervix)
		}
	}
	for v, want := range map[View][2]float64{Basal: {22.6, 10.2}, MidSection: {0, 7.65}} {
		s := plainShot(v)
		truth := mustCompose(t, blade(), s)
		if want[0] == 0 {
			want[0] = truth.Measurements.MCL
		}
		if got := r2.Norm(r2.Sub(*truth.MesialEnd, *truth.DistalEnd)) / truth.PxPerMM; !near(got, want[0], 1e-9) {
			t.Errorf("%s: length %g, want %g", v, got, want[0])
		}
		if got := r2.Norm(r2.Sub(*truth.LabialMost, *truth.LingualMost)) / truth.PxPerMM; !near(got, want[1], 1e-9) {
			t.Errorf("%s: width %g, want %g", v, got, want[1])
		}
	}
}

// TestTiltShortens: a tilt of 10° shows heights 1.519225 % short and leaves
// the base as long as it is (CALC, cos 10°).
func TestTiltShortens(t *testing.T) {
	s := plainShot(LateralLabial)
	s.Tilt, s.Rotation = 10, 0
	truth := mustCompose(t, blade(), s)
	c, err := newCrown(blade())
	if err != nil {
		t.Fatal(err)
	}
	height := (truth.A.Y - truth.G.Y) / truth.PxPerMM
	if short := height/c.apex.Y - 1; math.Abs(short+0.01519225) > 1e-8 {
		t.Errorf("height changes by %g", short)
	}
	if base := (truth.B.X - truth.A.X) / truth.PxPerMM; !near(base, 22.6, 1e-12) {
		t.Errorf("base %g", base)
	}
}

// TestNoise: the noise of an even picture has the deviation that was asked for.
func TestNoise(t *testing.T) {
	img, _ := mustRender(t, blade(), Shot{View: LateralLabial, Width: 600, Height: 600, Flat: true, Noise: 3, Seed: 5})
	var sums [3]struct{ n, s, ss float64 }
	for y := 0; y < 60; y++ {
		for x := 0; x < 600; x++ {
			for c := range sums {
				v := float64(img.Pix[img.PixOffset(x, y)+c])
				sums[c].n++
				sums[c].s += v
				sums[c].ss += v * v
			}
		}
	}
	for c, k := range sums {
		mean := k.s / k.n
		// Rounding to whole levels adds a variance of 1/12.
		dev := math.Sqrt(k.ss/k.n - mean*mean - 1./12)
		if math.Abs(mean-200) > 0.1 || math.Abs(dev-3) > 0.1 {
			t.Errorf("channel %d: mean %.3f, deviation %.3f; want 200 and 3", c, mean, dev)
		}
	}
}

// TestHardOptions: each option makes the picture harder in its own way and
// leaves the truth alone.
func TestHardOptions(t *testing.T) {
	base := Shot{View: LateralLabial, Width: 500, Height: 500, Background: Paper, LightFrom: 315, Blur: 0.8}
	mean := func(s Shot, inside bool) (level float64, bright int) {
		img, truth := mustRender(t, thorn(), s)
		plain, _ := mustRender(t, thorn(), Shot{View: s.View, Width: s.Width, Height: s.Height, Flat: true})
		n := 0.0
		lo, hi := box(truth.Outline)
		for y := int(lo.Y); y < int(hi.Y); y++ {
			for x := int(lo.X); x < int(hi.X); x++ {
				if (plain.RGBAAt(x, y).G == 70) == inside {
					v := img.RGBAAt(x, y).G
					level += float64(v)
					n++
					if v >= 250 {
						bright++
					}
				}
			}
		}
		return level / n, bright
	}
	in, bright := mean(base, true)
	out, _ := mean(base, false)
	faint := base
	faint.LowContrast = 1
	if got, _ := mean(faint, true); math.Abs(got-out) > 0.5*math.Abs(in-out) {
		t.Errorf("tooth %.0f on ground %.0f, with low contrast still %.0f", in, out, got)
	}
	glare := base
	glare.Glare = 1
	if _, got := mean(glare, true); got < bright+100 {
		t.Errorf("glare burns out %d pixels, %d without it", got, bright)
	}
	dark := base
	dark.Shadow = 1.8
	none := base
	none.Shadow = -1
	low, _ := mean(dark, false)
	high, _ := mean(none, false)
	if !(low < out && out < high) {
		t.Errorf("ground beside the crown: %.1f in deep shadow, %.1f in shadow, %.1f without", low, out, high)
	}
	for _, s := range []Shot{faint, glare, dark} {
		_, a, err := compose(thorn(), base)
		if err != nil {
			t.Fatal(err)
		}
		_, b, err := compose(thorn(), s)
		if err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(a, b); d != "" {
			t.Errorf("truth changes: %s", d)
		}
	}
}

// TestAnyToothRenders: whatever tooth can be laid out can be photographed from
// every side, and its truth lies in the picture.
func TestAnyToothRenders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tooth := drawTooth(t)
		tooth.Section.Shape = SectionShape(rapid.IntRange(0, 2).Draw(t, "section"))
		tooth.MCW = 0.5 * tooth.CBW // a lens must stay longer than wide half way up
		tooth.Root = tooth.CBL * rapid.Float64Range(0, 0.8).Draw(t, "root")
		tooth.BrokenApex = rapid.SampledFrom([]float64{0, 0, 0.1, 0.3}).Draw(t, "broken")
		tooth.Flutes = rapid.IntRange(0, 9).Draw(t, "flutes")
		s := Shot{
			View:  rapid.SampledFrom([]View{LateralLabial, LateralLingual, Basal, MidSection, MesialCarina, DistalCarina}).Draw(t, "view"),
			Width: rapid.IntRange(64, 120).Draw(t, "width"), Height: rapid.IntRange(64, 120).Draw(t, "height"),
			Rotation:   rapid.Float64Range(-180, 180).Draw(t, "rotation"),
			Tilt:       rapid.Float64Range(-20, 20).Draw(t, "tilt"),
			Background: rapid.SampledFrom([]Background{Grey, Sand, Card, Velvet, Paper}).Draw(t, "ground"),
			Blur:       rapid.Float64Range(0, 2).Draw(t, "blur"),
			Cracks:     rapid.IntRange(0, 3).Draw(t, "cracks"),
			Glare:      rapid.SampledFrom([]float64{0, 0.7}).Draw(t, "glare"),
			LightFrom:  rapid.Float64Range(0, 360).Draw(t, "light"),
		}
		img, truth, err := Render(tooth, s)
		if err != nil {
			t.Fatal(err)
		}
		if img.Rect.Dx() != s.Width || img.Rect.Dy() != s.Height {
			t.Fatalf("picture of %v", img.Rect)
		}
		switch {
		case s.View.Lateral():
			if !s.inside(truth.Outline) || !s.inside(truth.Cervix) {
				t.Fatal("the outline leaves the picture")
			}
		case s.View.Section():
			if !s.inside(truth.Section) {
				t.Fatal("the section leaves the picture")
			}
		}
		Trace(truth)
	})
}

func TestSidesAndMirrors(t *testing.T) {
	for _, c := range []struct {
		view   View
		mirror bool
		left   bool // mesial on the left
	}{{LateralLabial, false, true}, {LateralLabial, true, false}, {LateralLingual, false, false}, {LateralLingual, true, true}} {
		_, truth := mustRender(t, blade(), Shot{View: c.view, Mirrored: c.mirror, Width: 200, Height: 200})
		if (truth.A.X < truth.B.X) != c.left {
			t.Errorf("%s, mirrored %v: mesial base at %v, distal at %v", c.view, c.mirror, *truth.A, *truth.B)
		}
	}
}

func TestShotRefusals(t *testing.T) {
	for name, change := range map[string]func(*Shot){
		"no size":       func(s *Shot) { s.Width = 0 },
		"huge":          func(s *Shot) { s.Width, s.Height = 100000, 100000 },
		"no view":       func(s *Shot) { s.View = "" },
		"background":    func(s *Shot) { s.Background = "lava" },
		"bar style":     func(s *Shot) { s.Bar.Style = "dots" },
		"bar too long":  func(s *Shot) { s.Bar.Length = 500 },
		"too close":     func(s *Shot) { s.PxPerMM = 100 },
		"out of frame":  func(s *Shot) { s.X, s.Y = 0.05, 0.05 },
		"tilt":          func(s *Shot) { s.Tilt = 89 },
		"negative blur": func(s *Shot) { s.Blur = -1 },
		"negative zoom": func(s *Shot) { s.PxPerMM = -3 },
	} {
		s := plainShot(LateralLabial)
		change(&s)
		if img, _, err := Render(blade(), s); err == nil || img != nil {
			t.Errorf("%s: accepted", name)
		}
	}
}

// TestTruthIsJSON writes every truth as JSON and reads it back unchanged.
func TestTruthIsJSON(t *testing.T) {
	for _, v := range []View{LateralLabial, Basal, DistalCarina} {
		truth := mustCompose(t, thorn(), plainShot(v))
		text, err := json.Marshal(truth)
		if err != nil {
			t.Fatal(err)
		}
		var back Truth
		if err := json.Unmarshal(text, &back); err != nil {
			t.Fatal(err)
		}
		if d := cmp.Diff(truth, back); d != "" {
			t.Errorf("%s: %s", v, d)
		}
	}
}

func BenchmarkRender(b *testing.B) {
	for _, size := range []struct {
		name string
		w, h int
	}{{"1MP", 1155, 866}, {"6MP", 2828, 2121}, {"24MP", 5656, 4242}} {
		for _, ground := range []Background{Grey, Sand} {
			b.Run(size.name+"/"+string(ground), func(b *testing.B) {
				s := Shot{View: LateralLabial, Width: size.w, Height: size.h, Background: ground, Blur: 1, Noise: 2, LightFrom: 315, Cracks: 3}
				for b.Loop() {
					mustRender(b, blade(), s)
				}
			})
		}
	}
}
