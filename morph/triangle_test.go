package morph_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
)

// Lengths in mm and angles in degrees: lengths and angles READ in the
// compiled table of Hendrickx et al. 2024; angles marked (4) are printed there
// to more digits and given here to four. Where a row's own number is from
// another hand it says so.
var publishedTriangles = []struct {
	specimen      string
	cbl, al, ch   float64
	cma, caa, cda float64
	tol           float64
}{
	{"FMNH PR2081 mx05", 45.46, 108.36, 94.06, 59.763528, 24.680418, 95.556054, 1e-6},
	{"SGM Din-1 mx03", 41.46, 82.32, 71.01, 59.610506, 30.241289, 90.148205, 1e-6},
	{"PVSJ 512 pmx2", 2.5, 7, 6.74, 73.701594, 20.855588, 85.442817, 1e-6},
	{"BHI 3033 d13", 15.01, 17.41, 15.85, 57.970994, 53.403132, 68.625874, 1e-6},
	{"ROM 1247 d04", 21.28, 45.91, 39.68, 59.691419, 27.580225, 92.728355, 1e-6},
	{"NCSM 14345 pm01 (4)", 21.12, 50.35, 49.12, 74.4988, 24.4770, 81.0243, 1e-4},
	{"NMNH 4735 dt7 (4)", 19.0, 40.9, 34.8, 58.0361, 27.5936, 94.3703, 1e-4},
	{"BYUVP 725 12817 (4)", 42.43, 105.12, 105.28, 78.5774, 23.2683, 78.1542, 1e-4},
	{"BMNH R47152 (4)", 11.25, 24.25, 22.5, 67.5485, 27.5228, 84.9287, 1e-4},
	{"UMNH VP 9369 dt6 (4)", 11.52, 28.54, 25.69, 64.0959, 23.7890, 92.1151, 1e-4},
	{"BMNH R9951 (278) (4)", 19.30, 41.67, 42.83, 80.1749, 26.3600, 73.4651, 1e-4},
	{"UC G100-4 (4)", 14.5, 39.0, 37.3, 72.5073, 21.7627, 85.7300, 1e-4},
	{"AMNH 5356 mx3 (4)", 7.95, 21.66, 17.97, 52.5454, 20.5605, 106.8941, 1e-4},
	{"YPM 5232 d12 (4)", 7.06, 12.81, 10.44, 54.5349, 33.4206, 92.0444, 1e-4},
	{"TMP 94.12.844 mx3 (4)", 6.65, 12.44, 11.85, 69.2739, 31.6590, 79.0670, 1e-4},
	{"BMNH R12568 (4)", 5.66, 9.74, 8.09, 56.1251, 35.5119, 88.3630, 1e-4},
}

func TestAnglesOfPublishedCrowns(t *testing.T) {
	for _, c := range publishedTriangles {
		a, err := morph.Triangle{CBL: c.cbl, AL: c.al, CH: c.ch}.Angles()
		if err != nil {
			t.Errorf("%s: %v", c.specimen, err)
			continue
		}
		near(t, c.specimen+" CMA", a.CMA, c.cma, c.tol)
		near(t, c.specimen+" CAA", a.CAA, c.caa, c.tol)
		near(t, c.specimen+" CDA", a.CDA, c.cda, c.tol)
		near(t, c.specimen+" sum", a.CMA+a.CAA+a.CDA, 180, 1e-9)
	}
}

// Crown angles that papers print for lengths that they print too.
func TestCrownAngleAgainstPrint(t *testing.T) {
	for _, c := range []struct {
		specimen       string
		cbl, al, ch    float64
		cma            float64 // CALC from the READ lengths
		printed, close float64 // READ
	}{
		{"MOR 553 (Smith 2005)", 4.92, 8.66, 7.22, 56.467241, 56.53, 0.1},
		{"RBINS R 447 (Hendrickx et al. 2024)", 12, 25.35, 25.25, 75.817972, 76, 0.5},
	} {
		a, err := morph.Triangle{CBL: c.cbl, AL: c.al, CH: c.ch}.Angles()
		if err != nil {
			t.Fatal(err)
		}
		near(t, c.specimen, a.CMA, c.cma, 1e-6)
		near(t, c.specimen+" as printed", a.CMA, c.printed, c.close)
	}
}

// CALC: the 3-4-5 triangle has its right angle between the sides 3 and 4.
func TestRightAngle(t *testing.T) {
	a, err := morph.Triangle{CBL: 3, AL: 4, CH: 5}.Angles()
	if err != nil {
		t.Fatal(err)
	}
	nearRel(t, "CMA", a.CMA, 90, 1e-9)
	nearRel(t, "CAA", a.CAA, math.Atan2(3, 4)*180/math.Pi, 1e-9)
}

// CALC from the lengths of FMNH PR2081 mx05 (READ): how far CMA moves when one
// side grows by 1 %.
func TestAngleSensitivity(t *testing.T) {
	cma := func(cbl, al, ch float64) float64 {
		a, err := morph.Triangle{CBL: 45.46 * cbl, AL: 108.36 * al, CH: 94.06 * ch}.Angles()
		if err != nil {
			t.Fatal(err)
		}
		return a.CMA
	}
	home := cma(1, 1, 1)
	near(t, "CBL", cma(1.01, 1, 1)-home, 0.054, 5e-4)
	near(t, "AL", cma(1, 1.01, 1)-home, -1.250, 5e-4)
	near(t, "CH", cma(1, 1, 1.01)-home, 1.190, 5e-4)
}

// READ: MPCA 245 in the compiled table of Hendrickx et al. 2024, a row that
// breaks the triangle inequality.
func TestImpossibleTriangle(t *testing.T) {
	_, err := morph.Triangle{CBL: 0.7, CH: 1.1, AL: 2.2}.Angles()
	if err == nil || !strings.Contains(err.Error(), "AL is longer than the other two together") {
		t.Errorf("error %v, want one that says which side is too long", err)
	}
	for _, bad := range []morph.Triangle{{}, {1, 1, -1}, {math.NaN(), 1, 1}, {1, math.Inf(1), 1}} {
		if _, err := bad.Angles(); err == nil {
			t.Errorf("%v: no error", bad)
		}
		if _, err := bad.Apex(); err == nil {
			t.Errorf("%v: an apex but no triangle", bad)
		}
	}
}

// CALC from the lengths of FMNH PR2081 mx05 (READ): a recurved crown, its apex
// 9.107 mm beyond the distal base point.
func TestApex(t *testing.T) {
	g, err := morph.Triangle{CBL: 45.46, AL: 108.36, CH: 94.06}.Apex()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "x", g.X, 54.566846, 1e-5)
	near(t, "y", g.Y, 93.618102, 1e-5)
	near(t, "beyond B", g.X-45.46, 9.107, 5e-4)
}

func TestTriangleFromThreePoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// A at the origin, B at (cbl, 0), the apex anywhere above.
		cbl := rapid.Float64Range(0.1, 100).Draw(t, "cbl")
		x := rapid.Float64Range(-100, 200).Draw(t, "x")
		y := rapid.Float64Range(0.5, 200).Draw(t, "y")
		tri := morph.Triangle{CBL: cbl, AL: math.Hypot(x, y), CH: math.Hypot(x-cbl, y)}
		a, err := tri.Angles()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "CMA", a.CMA, math.Atan2(y, x)*180/math.Pi, 1e-5)
		near(t, "CDA", a.CDA, math.Atan2(y, cbl-x)*180/math.Pi, 1e-5)
		near(t, "sum", a.CMA+a.CAA+a.CDA, 180, 1e-5)
		g, err := tri.Apex()
		if err != nil {
			t.Fatal(err)
		}
		near(t, "apex x", g.X, x, 1e-4)
		near(t, "apex y", g.Y, y, 1e-4)
	})
}

func ExampleTriangle_Angles() {
	// Maxillary tooth FMNH PR2081 mx05: CBL, AL and CH in mm.
	a, err := morph.Triangle{CBL: 45.46, AL: 108.36, CH: 94.06}.Angles()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("CMA %.2f°, CAA %.2f°, CDA %.2f°\n", a.CMA, a.CAA, a.CDA)
	// Output: CMA 59.76°, CAA 24.68°, CDA 95.56°
}
