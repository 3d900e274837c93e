package toothphoto

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func near(a, b, rel float64) bool {
	return math.Abs(a-b) <= rel*math.Max(1, math.Max(math.Abs(a), math.Abs(b)))
}

// TestSectionProperties holds the closed forms against values computed
// elsewhere from the same closed forms and checked there against numerical
// integration (CALC; the two large ellipses take their lengths from published
// rows, FMNH PR2081 mx05 and SGM Din-1 mx03 in the table of Hendrickx et al.
// 2024: READ lengths, CALC properties).
func TestSectionProperties(t *testing.T) {
	for _, c := range []struct {
		name          string
		section       Section
		length, width float64
		area, md, ll  float64
	}{
		{"ellipse 20×10", Section{}, 20, 10, 157.0796327, 981.7477042, 3926.990817},
		{"circle 10", Section{}, 10, 10, 78.5398163, 490.8738521, 490.8738521},
		{"rhombus 20×10, the superellipse of exponent 1", Section{Exponent: 1}, 20, 10, 100, 416.6666667, 1666.666667},
		{"circular lens 20×10", Section{Shape: Lens}, 20, 10, 139.7797556, 822.7579581, 2960.146704},
		{"circular lens 20×8", Section{Shape: Lens}, 20, 8, 110.0058631, 410.3295944, 2282.183182},
		{"lens 10×10, a circle", Section{Shape: Lens}, 10, 10, 78.5398163, 490.8738521, 490.8738521},
		{"ellipse 45.46×32.63", Section{}, 45.46, 32.63, 1165.028063, 77526.5667, 150478.7818},
		{"ellipse 41.46×15.15", Section{}, 41.46, 15.15, 493.323509, 7076.802818, 52999.33554},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := c.section.Properties(c.length, c.width)
			if err != nil {
				t.Fatal(err)
			}
			if !near(p.Area, c.area, 1e-8) || !near(p.AboutMesiodistal, c.md, 1e-8) || !near(p.AboutLabiolingual, c.ll, 1e-8) {
				t.Errorf("got %+v, want area %g, moments %g and %g", p, c.area, c.md, c.ll)
			}
		})
	}
}

// TestDShapeProperties checks a D against two half ellipses worked by hand:
// a half ellipse of base 2a and depth b has area πab/2, its centroid at 4b/3π
// and second moment πab³/8 about its base (elementary mechanics).
func TestDShapeProperties(t *testing.T) {
	const a, b1, b2 = 5.0, 7.0, 3.0
	p, err := Section{Shape: DShape, Labial: 0.7}.Properties(2*a, b1+b2)
	if err != nil {
		t.Fatal(err)
	}
	area := math.Pi * a * (b1 + b2) / 2
	first := math.Pi*a*b1/2*4*b1/(3*math.Pi) - math.Pi*a*b2/2*4*b2/(3*math.Pi)
	second := math.Pi * a * (b1*b1*b1 + b2*b2*b2) / 8
	if !near(p.Area, area, 1e-12) || !near(p.CentroidY, first/area, 1e-12) ||
		!near(p.AboutMesiodistal, second-first*first/area, 1e-12) ||
		!near(p.AboutLabiolingual, math.Pi*a*a*a*(b1+b2)/8, 1e-12) {
		t.Errorf("got %+v", p)
	}
}

// polygonMoments integrates a polygon by Green's theorem: area, centroid and
// second moments about the centroid.
func polygonMoments(pts []r2.Vec) (a, cx, cy, xx, yy float64) {
	for i, p := range pts {
		q := pts[(i+1)%len(pts)]
		w := p.X*q.Y - q.X*p.Y
		a += w / 2
		cx += (p.X + q.X) * w / 6
		cy += (p.Y + q.Y) * w / 6
		xx += (p.X*p.X + p.X*q.X + q.X*q.X) * w / 12
		yy += (p.Y*p.Y + p.Y*q.Y + q.Y*q.Y) * w / 12
	}
	cx, cy = cx/a, cy/a
	xx -= a * cx * cx
	yy -= a * cy * cy
	if a < 0 {
		a, xx, yy = -a, -xx, -yy
	}
	return a, cx, cy, xx, yy
}

// TestPolygonMoments keeps the yardstick of the next test honest: the L
// (0,0)(4,0)(4,1)(1,1)(1,3)(0,3) has area 6, centroid (1.5, 1) and moments 4
// and 8.5 (CALC).
func TestPolygonMoments(t *testing.T) {
	a, cx, cy, xx, yy := polygonMoments([]r2.Vec{{X: 0, Y: 0}, {X: 4, Y: 0}, {X: 4, Y: 1}, {X: 1, Y: 1}, {X: 1, Y: 3}, {X: 0, Y: 3}})
	for _, c := range [][2]float64{{a, 6}, {cx, 1.5}, {cy, 1}, {yy, 4}, {xx, 8.5}} {
		if !near(c[0], c[1], 1e-12) {
			t.Errorf("got %g, want %g", c[0], c[1])
		}
	}
}

// TestOutlineEnclosesProperties ties the drawn outline to the closed forms:
// any section's polygon has their area and moments.
func TestOutlineEnclosesProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := Section{
			Shape:    SectionShape(rapid.IntRange(0, 2).Draw(t, "shape")),
			Exponent: rapid.Float64Range(1.4, 4).Draw(t, "exponent"),
			Labial:   rapid.Float64Range(0.3, 0.8).Draw(t, "labial"),
		}
		length := rapid.Float64Range(2, 50).Draw(t, "length")
		width := length * rapid.Float64Range(0.2, 1).Draw(t, "ratio")
		pts, err := s.Outline(length, width, 4000)
		if err != nil {
			t.Fatal(err)
		}
		want, err := s.Properties(length, width)
		if err != nil {
			t.Fatal(err)
		}
		a, cx, cy, xx, yy := polygonMoments(pts)
		if !near(a, want.Area, 1e-4) || !near(cx, length/2, 1e-6) || !near(cy, want.CentroidY, 1e-4) ||
			!near(xx, want.AboutLabiolingual, 2e-4) || !near(yy, want.AboutMesiodistal, 2e-4) {
			t.Fatalf("%+v %g×%g: polygon %g %g %g %g %g, closed form %+v", s, length, width, a, cx, cy, xx, yy, want)
		}
		lo, hi := box(pts)
		if !near(hi.X-lo.X, length, 1e-12) || !near(hi.Y-lo.Y, width, 1e-12) {
			t.Fatalf("outline measures %g by %g, want %g by %g", hi.X-lo.X, hi.Y-lo.Y, length, width)
		}
	})
}

func TestSectionRefusals(t *testing.T) {
	for _, c := range []struct {
		name          string
		section       Section
		length, width float64
	}{
		{"lens wider than long", Section{Shape: Lens}, 5, 6},
		{"no width", Section{}, 5, 0},
		{"not a number", Section{}, math.NaN(), 1},
		{"exponent", Section{Exponent: 0.5}, 5, 2},
		{"labial share", Section{Shape: DShape, Labial: 1}, 5, 2},
		{"unknown shape", Section{Shape: 9}, 5, 2},
	} {
		if _, err := c.section.Properties(c.length, c.width); err == nil {
			t.Errorf("%s: properties accepted", c.name)
		}
		if _, err := c.section.Outline(c.length, c.width, 100); err == nil {
			t.Errorf("%s: outline accepted", c.name)
		}
	}
	if _, err := (Section{}).Outline(5, 2, 9); err == nil {
		t.Error("an odd number of points was accepted")
	}
}
