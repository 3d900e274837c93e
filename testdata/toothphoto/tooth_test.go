package toothphoto

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// blade and thorn are the teeth of most tests: a flat crown with a straight
// distal edge, and a small recurved one with unlike rows.
func blade() Tooth {
	return Tooth{
		Name: "invented blade", CBL: 22.6, CBW: 10.2, CH: 46, AL: 51,
		MesialBow: 0.10, DistalBow: 0, MesialSkew: 0.2, Cervix: 0.03,
		Section: Section{Shape: Lens},
		Mesial:  Row{Apical: 14, Mid: 13, Basal: 15, From: 0.35, To: 0.97},
		Distal:  Row{Apical: 13, Mid: 12, Basal: 14},
	}
}

func thorn() Tooth {
	return Tooth{
		Name: "invented thorn", CBL: 8.6, CBW: 4.05, CH: 17, AL: 20,
		MesialBow: 0.13, DistalBow: -0.06, Palette: 1,
		Mesial: Row{Apical: 26, Mid: 25, Basal: 27, From: 0.3, To: 0.97},
		Distal: Row{Apical: 17, Mid: 16, Basal: 18},
	}
}

// drawTooth makes a tooth that can be laid out.
func drawTooth(t *rapid.T) Tooth {
	cbl := rapid.Float64Range(2, 50).Draw(t, "CBL")
	ca := rapid.Float64Range(45, 85).Draw(t, "crown angle") * math.Pi / 180
	al := cbl * rapid.Float64Range(1.4, 3).Draw(t, "AL/CBL")
	row := func(name string) Row {
		if rapid.IntRange(0, 3).Draw(t, name+" absent") == 0 {
			return Row{}
		}
		d := rapid.Float64Range(150, 400).Draw(t, name) / (cbl + 6)
		return Row{
			Apical: d * rapid.Float64Range(0.8, 1.2).Draw(t, name+" apical"),
			Mid:    d,
			Basal:  d * rapid.Float64Range(0.8, 1.2).Draw(t, name+" basal"),
			From:   rapid.Float64Range(0.02, 0.5).Draw(t, name+" from"),
			To:     rapid.Float64Range(0.8, 1).Draw(t, name+" to"),
		}
	}
	return Tooth{
		Name: "drawn", CBL: cbl, CBW: cbl * rapid.Float64Range(0.3, 0.9).Draw(t, "CBR"),
		// CH from the angle at A, by the law of cosines.
		CH: math.Sqrt(cbl*cbl + al*al - 2*cbl*al*math.Cos(ca)), AL: al,
		MesialBow: rapid.Float64Range(0.04, 0.14).Draw(t, "mesial bow"),
		DistalBow: rapid.Float64Range(-0.06, 0.03).Draw(t, "distal bow"),
		Cervix:    rapid.Float64Range(-0.05, 0.08).Draw(t, "cervix"),
		Mesial:    row("mesial"), Distal: row("distal"),
		Palette: rapid.Uint64Range(0, 50).Draw(t, "palette"),
	}
}

// TestPublishedTriangles lays out crowns with the lengths of published teeth
// and finds the angles of the same rows (READ in the table of Hendrickx et al.
// 2024, reproduced by the law of cosines: CALC).
func TestPublishedTriangles(t *testing.T) {
	for _, c := range []struct {
		source            string
		cbl, cbw, ch, al  float64
		cbr, chr, a, g, b float64
		bow               float64
	}{
		{"FMNH PR2081 mx05", 45.46, 32.63, 94.06, 108.36, 0.717774, 2.069072, 59.763528, 24.680418, 95.556054, 0.05},
		{"SGM Din-1 mx03", 41.46, 15.15, 71.01, 82.32, 0.365412, 1.712735, 59.610506, 30.241289, 90.148205, 0.05},
		{"PVSJ 512 pmx2", 2.5, 1.62, 6.74, 7.0, 0.648, 2.696, 73.701594, 20.855588, 85.442817, 0.05},
		{"UMNH VP 9369 dt6", 11.52, 8.42, 25.69, 28.54, 0.7309, 2.2300, 64.0959, 23.7890, 92.1151, 0.05},
	} {
		t.Run(c.source, func(t *testing.T) {
			m, err := Measure(Tooth{Name: c.source, CBL: c.cbl, CBW: c.cbw, CH: c.ch, AL: c.al, MesialBow: c.bow})
			if err != nil {
				t.Fatal(err)
			}
			tol := 1e-6
			if c.source == "UMNH VP 9369 dt6" {
				tol = 1e-4 // quoted to four digits
			}
			for _, v := range [][2]float64{{m.CBR, c.cbr}, {m.CHR, c.chr}, {m.CMA, c.a}, {m.CAA, c.g}, {m.CDA, c.b}} {
				if math.Abs(v[0]-v[1]) > tol {
					t.Errorf("got %.7f, want %.7f", v[0], v[1])
				}
			}
		})
	}
	// Apex of FMNH PR2081 mx05 with A at the origin and B at (CBL, 0): CALC.
	g, err := Tooth{CBL: 45.46, CBW: 32.63, CH: 94.06, AL: 108.36}.apex()
	if err != nil || math.Abs(g.X-54.566846) > 1e-5 || math.Abs(g.Y-93.618102) > 1e-5 {
		t.Errorf("apex at %v, %v", g, err)
	}
	// MPCA 245 as printed (0.7, 1.1, 2.2) breaks the triangle inequality: READ.
	if _, err := Measure(Tooth{CBL: 0.7, CBW: 0.4, CH: 1.1, AL: 2.2}); err == nil {
		t.Error("lengths that form no triangle were accepted")
	}
}

// TestOutlineHoldsLengths measures drawn outlines of any crown: the lengths
// put in come out again, edges are as smooth as a curve with a rounded tip
// can be, and every denticle is where its row says.
func TestOutlineHoldsLengths(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tooth := drawTooth(t)
		c, err := newCrown(tooth)
		if err != nil {
			t.Fatal(err)
		}
		for _, with := range []bool{false, true} {
			walk, apex := c.path(with)
			a, b, g := walk[0], walk[len(walk)-1], walk[apex]
			if d := r2.Norm(r2.Sub(b, a)); !near(d, tooth.CBL, 1e-12) {
				t.Fatalf("CBL %g, want %g", d, tooth.CBL)
			}
			if d := r2.Norm(r2.Sub(g, b)); !near(d, tooth.CH, 1e-12) {
				t.Fatalf("CH %g, want %g", d, tooth.CH)
			}
			if d := r2.Norm(r2.Sub(g, a)); !near(d, tooth.AL, 1e-12) {
				t.Fatalf("AL %g, want %g", d, tooth.AL)
			}
		}
		for _, ca := range []*carina{&c.mesial, &c.distal} {
			step := ca.length / (carinaPoints - 1)
			for i := 1; i < len(ca.pts); i++ {
				if d := r2.Norm(r2.Sub(ca.pts[i], ca.pts[i-1])); math.Abs(d-step) > 0.01*step {
					t.Fatalf("points %g mm apart, want %g", d, step)
				}
			}
		}
		for _, d := range []*denticles{&c.mesialRow, &c.distalRow} {
			for i := 0; i < d.count; i++ {
				if got := d.phaseAt(d.tip(i)); math.Abs(got-float64(i)-0.5) > 1e-9 {
					t.Fatalf("tip %d at phase %g", i, got)
				}
			}
		}
		m, err := c.measure()
		if err != nil {
			t.Fatal(err)
		}
		if m.Area < m.AreaPlain {
			t.Fatalf("area %g with denticles is less than %g without", m.Area, m.AreaPlain)
		}
	})
}

// TestCrownAreaClosedForm checks the area within the carinae against the
// exact integral of the same cubics and tip arcs, for crowns whose curve is
// symmetric: a parabola of height s over a chord c encloses 2sc/3, and the
// triangle A-B-G has Heron's area.
func TestCrownAreaClosedForm(t *testing.T) {
	tooth := Tooth{CBL: 20, CBW: 9, CH: 42, AL: 45, MesialBow: 0.08, DistalBow: 0.02, TipRadius: 1e-4}
	m, err := Measure(tooth)
	if err != nil {
		t.Fatal(err)
	}
	half := (20. + 42 + 45) / 2
	heron := math.Sqrt(half * (half - 20) * (half - 42) * (half - 45))
	want := heron + 2./3*0.08*45*45 + 2./3*0.02*42*42
	// A tip of radius r moves the ends of the parabolas by r, so the area by
	// about r(AL+CH)/2 = 0.004 mm².
	if math.Abs(m.AreaPlain-want) > 0.01 {
		t.Errorf("area %.4f, want %.4f", m.AreaPlain, want)
	}
	if m.Area != m.AreaPlain {
		t.Error("a crown without denticles has two areas")
	}
}

// TestDensityOfEvenRow: an even row of d per 5 mm has 5/d mm between tips and
// the same density in every third (READ: 20 denticles in 2 mm are 50 per 5 mm
// in Smith 2005's rule; DC 12.5 per 5 mm is a denticle length of 0.4 mm in the
// table of Hendrickx et al. 2024).
func TestDensityOfEvenRow(t *testing.T) {
	tooth := blade()
	tooth.Distal = Row{Apical: 12.5, Mid: 12.5, Basal: 12.5}
	m, err := Measure(tooth)
	if err != nil {
		t.Fatal(err)
	}
	for _, d := range []DensityTruth{m.Distal.Basal, m.Distal.Mid, m.Distal.Apical} {
		if !d.Present || !d.Preserved || !near(d.Per5mm, 12.5, 1e-12) || !near(d.Window, 5, 1e-12) {
			t.Errorf("got %+v", d)
		}
	}
	c, err := newCrown(tooth)
	if err != nil {
		t.Fatal(err)
	}
	for i := 1; i < c.distalRow.count; i++ {
		if gap := c.distalRow.tip(i) - c.distalRow.tip(i-1); !near(gap, 0.4, 1e-9) {
			t.Fatalf("tips %g mm apart, want 0.4", gap)
		}
	}
	if want := int(0.94 * m.DistalArc / 0.4); m.Distal.Count != want {
		t.Errorf("%d denticles on %.2f mm, want %d", m.Distal.Count, 0.94*m.DistalArc, want)
	}
	if m.Mesial.Basal.Present {
		t.Error("a row that starts at 0.35 of the carina has a basal density")
	}
}

func TestWearAndBreakage(t *testing.T) {
	whole, err := Measure(blade())
	if err != nil {
		t.Fatal(err)
	}
	worn := blade()
	worn.Distal.WornFrom, worn.Distal.WornTo = 0.4, 0.6
	m, err := Measure(worn)
	if err != nil {
		t.Fatal(err)
	}
	if m.Distal.Original != whole.Distal.Original || m.Distal.Count >= whole.Distal.Count {
		t.Errorf("worn row keeps %d of %d", m.Distal.Count, m.Distal.Original)
	}
	if m.Distal.Mid.Preserved || !m.Distal.Basal.Preserved || !m.Distal.Mid.Present {
		t.Errorf("mid %+v, basal %+v", m.Distal.Mid, m.Distal.Basal)
	}
	broken := blade()
	broken.BrokenApex = 0.2
	b, err := Measure(broken)
	if err != nil {
		t.Fatal(err)
	}
	if !b.ApexBroken || b.CH != whole.CH || b.CHPreserved >= b.CH || b.ALPreserved >= b.AL || b.Area >= whole.Area || b.Distal.Count >= whole.Distal.Count {
		t.Errorf("broken crown: %+v", b)
	}
	c, err := newCrown(broken)
	if err != nil {
		t.Fatal(err)
	}
	walk, apex := c.path(true)
	for _, p := range walk {
		if p.Y > walk[apex].Y {
			t.Fatalf("%v lies above the preserved apex %v", p, walk[apex])
		}
	}
}

func TestMidCrown(t *testing.T) {
	// A triangle with straight sides is half as long at half its height.
	m, err := Measure(Tooth{CBL: 20, CBW: 9, CH: 42, AL: 45, TipRadius: 0.01, MCW: 7})
	if err != nil {
		t.Fatal(err)
	}
	if !near(m.MCL, 10, 1e-3) || m.MCW != 7 || !near(m.MCR, 0.7, 1e-3) {
		t.Errorf("MCL %g, MCW %g, MCR %g", m.MCL, m.MCW, m.MCR)
	}
}

func TestToothRefusals(t *testing.T) {
	for name, change := range map[string]func(*Tooth){
		"no length":        func(t *Tooth) { t.CBL = 0 },
		"not a number":     func(t *Tooth) { t.CH = math.NaN() },
		"no apex angle":    func(t *Tooth) { t.MesialBow, t.DistalBow = 0, 0.0; t.MesialBow = -0.3 },
		"half a row":       func(t *Tooth) { t.Mesial = Row{Mid: 12} },
		"row backwards":    func(t *Tooth) { t.Mesial.From, t.Mesial.To = 0.9, 0.2 },
		"row too short":    func(t *Tooth) { t.Mesial.From, t.Mesial.To = 0.5, 0.501 },
		"broken away":      func(t *Tooth) { t.BrokenApex = 0.9 },
		"negative root":    func(t *Tooth) { t.Root = -1 },
		"tip over the lot": func(t *Tooth) { t.TipRadius = 30 },
	} {
		tooth := blade()
		change(&tooth)
		if _, err := Measure(tooth); err == nil {
			t.Errorf("%s: accepted", name)
		}
	}
}
