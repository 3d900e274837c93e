package toothphoto

import (
	"math"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// polyline spreads vertices and the points between them; closed adds those
// between the last vertex and the first.
func polyline(vs []Vertex, closed bool) []r2.Vec {
	var out []r2.Vec
	for i, v := range vs {
		if i > 0 {
			for _, q := range v.Via {
				out = append(out, r2.Vec{X: q[0], Y: q[1]})
			}
		}
		out = append(out, r2.Vec{X: v.X, Y: v.Y})
	}
	if closed {
		for _, q := range vs[0].Via {
			out = append(out, r2.Vec{X: q[0], Y: q[1]})
		}
	}
	return out
}

func gap(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }

// TestDemoMarksMeasureTrue measures every demo photograph by its marks alone,
// as the program would, and finds the true values: lengths within 0.1 %, areas
// within 0.3 %, densities within 1 % of the density over the counted length
// and within half a denticle of the stated one.
func TestDemoMarksMeasureTrue(t *testing.T) {
	names := map[string]bool{}
	for _, d := range DemoTray() {
		if names[d.Tooth.Name] {
			t.Errorf("%s: two specimens of one name", d.Tooth.Name)
		}
		names[d.Tooth.Name] = true
		if !strings.Contains(d.Note, "invented") {
			t.Errorf("%s: its note does not say that it is invented", d.Tooth.Name)
		}
		if len(d.Photos) < 2 || len(d.Photos) > 4 {
			t.Errorf("%s: %d photographs", d.Tooth.Name, len(d.Photos))
		}
		views := map[bool]int{}
		for _, p := range d.Photos {
			_, truth, err := compose(d.Tooth, p.Shot)
			if err != nil {
				t.Fatalf("%s: %v", p.File, err)
			}
			m := truth.Measurements
			marks := Trace(truth)
			scale := gap(marks.Bar.Ends[0], marks.Bar.Ends[1]) / marks.Bar.Length
			if !near(scale, truth.PxPerMM, 2e-4) {
				t.Errorf("%s: bar gives %g px per mm, want %g", p.File, scale, truth.PxPerMM)
			}
			same := func(what string, got, want, rel float64) {
				if math.Abs(got/want-1) > rel {
					t.Errorf("%s: %s %g, want %g", p.File, what, got, want)
				}
			}
			views[p.Shot.View.CloseUp()]++
			if c := marks.Crown; c != nil {
				at := func(i int) [2]float64 { return [2]float64{c.Path[i].X, c.Path[i].Y} }
				last := len(c.Path) - 1
				if last != 2*carinaVertices || c.Apex != carinaVertices {
					t.Errorf("%s: %d vertices, apex %d", p.File, len(c.Path), c.Apex)
				}
				same("CBL", gap(at(0), at(last))/scale, m.CBL, 1e-3)
				same("CH", gap(at(c.Apex), at(last))/scale, m.CHPreserved, 1e-3)
				same("AL", gap(at(0), at(c.Apex))/scale, m.ALPreserved, 1e-3)
				same("area", math.Abs(area(polyline(c.Path, false)))/scale/scale, m.AreaPlain, 3e-3)
				if c.ApexBroken != (d.Tooth.BrokenApex > 0) {
					t.Errorf("%s: apex broken %v", p.File, c.ApexBroken)
				}
			} else if p.Shot.View.Lateral() {
				t.Errorf("%s: no crown traced", p.File)
			}
			if s := marks.Section; s != nil {
				want, length := m.BaseSection, m.CBL
				if p.Shot.View == MidSection {
					want, length = m.MidSection, m.MCL
				}
				ring := polyline(s.Outline, true)
				a, _, _, _, _ := polygonMoments(ring)
				same("section area", a/scale/scale, want.Area, 3e-3)
				e, f := s.Outline[s.Mesial], s.Outline[s.Distal]
				same("section length", math.Hypot(e.X-f.X, e.Y-f.Y)/scale, length, 1e-3)
			}
			for _, s := range marks.Stretches {
				var long float64
				for i := 1; i < len(s.Line); i++ {
					long += gap(s.Line[i-1], s.Line[i]) / scale
				}
				if s.Serrated {
					same("MSL", long, m.MSL, 2e-3)
					continue
				}
				row := m.Mesial
				if s.Carina == "distal" {
					row = m.Distal
				}
				want := map[Third]DensityTruth{BasalThird: row.Basal, MidThird: row.Mid, ApicalThird: row.Apical}[s.Third]
				per := 5 * float64(len(s.Ticks)) / long
				same(s.Carina+" "+string(s.Third)+" density", per, want.Per5mm, 0.01+0.5/float64(len(s.Ticks)))
			}
			if !p.Shot.View.CloseUp() || d.Tooth.Name == "KB-022" {
				continue
			}
			found := false
			for _, s := range marks.Stretches {
				found = found || strings.HasPrefix(string(p.Shot.View), s.Carina) && s.Third == MidThird
			}
			if !found {
				t.Errorf("%s: no mid-crown count in a close-up of the %s", p.File, p.Shot.View)
			}
		}
		if views[true] == 0 {
			t.Errorf("%s: no close-up", d.Tooth.Name)
		}
	}
	if len(names) != 7 {
		t.Errorf("%d specimens, want 7", len(names))
	}
}

// TestDemoIsPlausible holds each demo tooth within the least and greatest
// values of published teeth of its shape: minima and maxima of the groups
// named beside each, computed from the rows of the crown table of Hendrickx
// et al. 2024 (CALC).
func TestDemoIsPlausible(t *testing.T) {
	type span [2]float64
	for name, want := range map[string]struct {
		cbr, chr, ca, dc, dsdi span
	}{
		"KB-014": {span{0.60, 1.09}, span{0.92, 2.77}, span{41.8, 84.3}, span{4.5, 19}, span{0.74, 1.30}},  // tyrannosaurid lateral, thick half
		"KB-015": {span{0.36, 0.60}, span{1.04, 3.11}, span{34.6, 91.5}, span{8, 17.5}, span{0.67, 1.43}},  // carcharodontosaurid lateral
		"KB-021": {span{0.25, 0.68}, span{1.12, 3.47}, span{27.8, 149}, span{13.5, 60}, span{1.2, 2.03}},   // dromaeosaurid lateral, unlike carinae
		"KB-022": {span{0.61, 1.00}, span{1.66, 3.47}, span{47.8, 97.5}, span{0, 0}, span{0, 0}},           // spinosaurid lateral, unserrated
		"KB-030": {span{0.65, 1.17}, span{1.72, 2.68}, span{52.9, 95.0}, span{9, 13}, span{0.83, 1.28}},    // allosaurid mesial, thick half
		"KB-031": {span{0.36, 0.67}, span{1.42, 3.01}, span{46.3, 83.1}, span{5, 20}, span{0.75, 1.25}},    // megalosaurid lateral
		"KB-038": {span{0.34, 0.88}, span{1.20, 2.78}, span{49.3, 87.5}, span{12.5, 22}, span{0.83, 1.19}}, // neovenatorid lateral
	} {
		found := false
		for _, d := range DemoTray() {
			if d.Tooth.Name != name {
				continue
			}
			found = true
			m, err := Measure(d.Tooth)
			if err != nil {
				t.Fatal(err)
			}
			for _, c := range []struct {
				what  string
				value float64
				in    span
			}{{"CBR", m.CBR, want.cbr}, {"CHR", m.CHR, want.chr}, {"CA", m.CMA, want.ca}, {"DC", m.Distal.Mid.Per5mm, want.dc}, {"DSDI", m.DSDIMid, want.dsdi}} {
				if c.value < c.in[0] || c.value > c.in[1] {
					t.Errorf("%s: %s %.3f outside %v", name, c.what, c.value, c.in)
				}
			}
		}
		if !found {
			t.Errorf("%s is not in the tray", name)
		}
	}
}
