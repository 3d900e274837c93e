package morph_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
)

// typedTooth is a tooth of which only lengths in mm were typed; 0 leaves one
// out.
func typedTooth(cbl, cbw, ch, al float64) morph.Tooth {
	t := morph.Tooth{Typed: map[morph.ID]morph.Typed{}}
	for id, v := range map[morph.ID]float64{morph.CBL: cbl, morph.CBW: cbw, morph.CH: ch, morph.AL: al} {
		if v != 0 {
			t.Typed[id] = morph.Typed{Value: v}
		}
	}
	return t
}

// Lengths and ratios READ in the compiled table of Hendrickx et al. 2024;
// section numbers CALC from them by the closed form of the ellipse.
func TestReadPublishedTeeth(t *testing.T) {
	type want map[morph.ID]float64
	for _, c := range []struct {
		specimen         string
		cbl, cbw, ch, al float64
		want             want
	}{
		{"FMNH PR2081 mx05", 45.46, 32.63, 94.06, 108.36, want{
			morph.CBR: 0.717774, morph.CHR: 2.069072, morph.CMA: 59.763528, morph.CAA: 24.680418, morph.CDA: 95.556054,
			morph.ZMD: 6620.271966, morph.ZLL: 4751.858210, morph.SMD: 70.383500, morph.SLL: 50.519437, morph.ZRatio: 1.393196}},
		{"SGM Din-1 mx03", 41.46, 15.15, 71.01, 82.32, want{
			morph.CBR: 0.365412, morph.CHR: 1.712735, morph.CMA: 59.610506, morph.CAA: 30.241289, morph.CDA: 90.148205,
			morph.ZMD: 2556.649085, morph.ZLL: 934.231395, morph.SMD: 36.004071, morph.SLL: 13.156336, morph.ZRatio: 2.736634}},
		{"BHI 3033 d13", 15.01, 9.22, 15.85, 17.41, want{morph.CBR: 0.614257, morph.CHR: 1.055963, morph.CMA: 57.970994}},
		{"ROM 1247 d04", 21.28, 10.77, 39.68, 45.91, want{morph.CBR: 0.506109, morph.CHR: 1.864662, morph.CMA: 59.691419}},
		{"PVSJ 512 pmx2", 2.5, 1.62, 6.74, 7, want{morph.CBR: 0.648, morph.CHR: 2.696, morph.CDA: 85.442817}},
	} {
		r := morph.Read(typedTooth(c.cbl, c.cbw, c.ch, c.al))
		for id, v := range c.want {
			if !r.Get(id).Known {
				t.Errorf("%s: %s not known: %s", c.specimen, id, r.Get(id).Needs)
			}
			near(t, c.specimen+" "+string(id), r.Get(id).Value, v, max(1, v)*1e-6)
		}
		for _, x := range r {
			if x.Problem != "" {
				t.Errorf("%s: %s has the problem %q", c.specimen, x.ID, x.Problem)
			}
		}
	}
}

// READ in the compiled table of Hendrickx et al. 2024, after Smith 2005: a
// premaxillary tooth whose printed CHR divides by the longer axis of the base.
func TestHeightRatioByLongAxis(t *testing.T) {
	tooth := typedTooth(24, 36.06, 63.65, 0)
	r := morph.Read(tooth)
	near(t, "CBR", r.Get(morph.CBR).Value, 1.5025, 1e-6)
	near(t, "CHR", r.Get(morph.CHR).Value, 2.652083, 1e-6)
	tooth.CHR = morph.CHRByLongAxis
	chr := morph.Read(tooth).Get(morph.CHR)
	near(t, "CHR by the long axis", chr.Value, 1.765114, 1e-6)
	if chr.How != "CH / CBW, the longer axis of the base" {
		t.Errorf("how %q does not name the axis", chr.How)
	}
	// Where the base is longer than wide the two rules agree.
	tooth = typedTooth(45.46, 32.63, 94.06, 0)
	tooth.CHR = morph.CHRByLongAxis
	near(t, "CHR of a lateral tooth", morph.Read(tooth).Get(morph.CHR).Value, 2.069072, 1e-6)
}

// READ: rows whose printed ratio does not follow from their lengths (inverted
// or slipped): the lengths count and the difference is said.
func TestPrintedRatioAgainstLengths(t *testing.T) {
	for _, c := range []struct {
		specimen         string
		id               morph.ID
		printed, follows float64
		tooth            morph.Tooth
	}{
		{"MSNM V 5378", morph.CBR, 1.70, 0.588350, typedTooth(5.15, 3.03, 0, 0)},
		{"RBINS R 448", morph.CHR, 32.90, 2.105169, typedTooth(28.05, 0, 59.05, 0)},
		{"4.78 × 7.76 (Marques et al. 2025)", morph.CHR, 0.616, 1.623431, typedTooth(4.78, 0, 7.76, 0)},
	} {
		c.tooth.Typed[c.id] = morph.Typed{Value: c.printed}
		r := morph.Read(c.tooth).Get(c.id)
		near(t, c.specimen, r.Value, c.follows, 1e-6)
		if r.Key != morph.DerivedKey || !strings.Contains(r.Problem, "differ by") {
			t.Errorf("%s: key %q, problem %q", c.specimen, r.Key, r.Problem)
		}
		c.tooth.Prefer = map[morph.ID]string{c.id: morph.TypedKey}
		near(t, c.specimen+" typed preferred", morph.Read(c.tooth).Get(c.id).Value, c.printed, 0)
	}
}

// The least of a card: height, ratio and density typed without lengths.
func TestTypedRatioAlone(t *testing.T) {
	r := morph.Read(morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.CH: {Value: 30}, morph.CBR: {Value: 0.55}, morph.DC: {Value: 12}}})
	if cbr := r.Get(morph.CBR); !cbr.Known || cbr.Value != 0.55 || cbr.Key != morph.TypedKey {
		t.Errorf("CBR %+v", cbr)
	}
	if chr := r.Get(morph.CHR); chr.Known || chr.Needs != "needs CBL" {
		t.Errorf("CHR known %v, needs %q", chr.Known, chr.Needs)
	}
}

// exactBar sets 80 px per mm with no error but that of the bar's length, given
// as a share; no hand could click so far apart, but it keeps pointing out.
func exactBar(share float64) []morph.Bar {
	return []morph.Bar{{To: morph.Vertex{X: 80 * 99000}, Length: 99000, ULength: 99000 * share, Unit: morph.Millimetre}}
}

// CALC from the base of SGM Din-1 mx03 (READ), 41.46 × 15.15 mm at 80 px per
// mm, clicks good to 2 px and scales to 0.5 %: CBR ± 0.00274 from two
// photographs with a scale each, ± 0.00091 from one.
func TestRatioCancelsScale(t *testing.T) {
	l, w := 41.46*80, 15.15*80
	tooth := morph.Tooth{Views: []morph.View{
		{ID: "basal", Role: morph.BasalView, Pointing: 2, Bars: exactBar(0.005), Section: &morph.Section{
			Outline: morph.Path{{X: 0, Y: 0}, {X: l / 2, Y: w / 2}, {X: l, Y: 0}, {X: l / 2, Y: -w / 2}}, Mesial: 0, Distal: 2, Done: true}},
		{ID: "lateral", Role: morph.LateralLabial, Pointing: 2, Bars: exactBar(0.005), Crown: &morph.Crown{
			Path: morph.Path{{X: 0, Y: 0}, {X: l, Y: -71 * 80}, {X: l, Y: 0}}, Apex: 1, Done: true}},
	}}
	one := morph.Read(tooth).Get(morph.CBR)
	near(t, "CBR", one.Value, 0.365412, 1e-6)
	near(t, "u from one photo", one.U, 0.00091, 5e-6)

	tooth.Prefer = map[morph.ID]string{morph.CBL: "view:lateral"}
	two := morph.Read(tooth).Get(morph.CBR)
	near(t, "CBR", two.Value, 0.365412, 1e-6)
	near(t, "u from two photos", two.U, 0.00274, 5e-6)
}

// Angles feel neither the scale nor its uncertainty, and need no scale.
func TestAnglesNeedNoScale(t *testing.T) {
	tooth := inventedTooth(40, 0, 30)
	before := morph.Read(tooth)
	tooth.Views[0].Bars = exactBar(0.2)
	uncertain := morph.Read(tooth)
	tooth.Views[0].Bars = nil
	without := morph.Read(tooth)
	for _, id := range []morph.ID{morph.CMA, morph.CAA, morph.CDA, morph.EdgeCurvature} {
		for what, r := range map[string]morph.Readings{"scale uncertain": uncertain, "no scale": without} {
			near(t, string(id)+", "+what, r.Get(id).Value, before.Get(id).Value, 1e-9)
			near(t, string(id)+" u, "+what, r.Get(id).U, before.Get(id).U, 1e-9)
		}
	}
	for _, id := range []morph.ID{morph.CH, morph.AL, morph.CrownArea} {
		if r := without.Get(id); r.Known || r.Needs != "needs a scale on the lateral labial photo" {
			t.Errorf("%s: known %v, needs %q", id, r.Known, r.Needs)
		}
	}
	if r := without.Get(morph.CHR); !r.Known || r.Key != "view:lateral" {
		t.Errorf("CHR of an unscaled crown: known %v, key %q", r.Known, r.Key)
	}

	tooth.Views[1].Bars = nil
	cbr := morph.Read(tooth).Get(morph.CBR)
	if !cbr.Known || cbr.Key != "view:basal" {
		t.Errorf("CBR of an unscaled section: known %v, key %q, needs %q", cbr.Known, cbr.Key, cbr.Needs)
	}
	near(t, "CBR", cbr.Value, before.Get(morph.CBR).Value, 1e-9)
}

// Every quantity can be known, so no row builds on a row below it.
func TestEverythingKnown(t *testing.T) {
	r := morph.Read(fullTooth())
	if len(r) != len(morph.Quantities) {
		t.Fatalf("%d readings of %d quantities", len(r), len(morph.Quantities))
	}
	for i, x := range r {
		if x.ID != morph.Quantities[i].ID {
			t.Errorf("reading %d is of %s, want %s", i, x.ID, morph.Quantities[i].ID)
		}
		if !x.Known || x.U <= 0 || x.How == "" || x.Needs != "" || x.Problem != "" {
			t.Errorf("%s: known %v, u %g, how %q, needs %q, problem %q", x.ID, x.Known, x.U, x.How, x.Needs, x.Problem)
		}
	}
}

// fullTooth is inventedTooth with a mid-crown section, denticles in all six
// places and the serrated stretch.
func fullTooth() morph.Tooth {
	t := inventedTooth(40, 78, 30)
	mid := *t.Views[1].Section
	mid.Outline = slices.Clone(mid.Outline)
	for i := range mid.Outline {
		mid.Outline[i].X *= 0.6
		mid.Outline[i].Y *= 0.6
	}
	t.Views = append(t.Views, morph.View{ID: "mid", Role: morph.MidSection, Bars: t.Views[1].Bars, Section: &mid})
	t.Counts = map[morph.ID]morph.Count{}
	for i, id := range []morph.ID{morph.MA, morph.MC, morph.MB, morph.DA, morph.DB} {
		t.Counts[id] = morph.Count{N: 10 + float64(i), LengthMM: 4}
	}
	lateral := &t.Views[0]
	lateral.Stretches = []morph.Stretch{{Carina: morph.MesialCarina, Serrated: true, Done: true,
		Line: lateral.Crown.Path[4 : lateral.Crown.Apex+1]}}
	return t
}

func TestNothingKnown(t *testing.T) {
	for _, x := range morph.Read(morph.Tooth{}) {
		if x.Known || !strings.HasPrefix(x.Needs, "needs ") {
			t.Errorf("%s: known %v, needs %q", x.ID, x.Known, x.Needs)
		}
	}
}

func TestQuantities(t *testing.T) {
	seen := map[morph.ID]bool{}
	for _, q := range morph.Quantities {
		if seen[q.ID] {
			t.Errorf("%s stands twice", q.ID)
		}
		seen[q.ID] = true
		if q.Name == "" || q.Group == "" || q.Definition == "" || q.Source == "" || !strings.HasSuffix(q.Definition, ".") {
			t.Errorf("%s is not fully declared: %+v", q.ID, q)
		}
		if got, ok := morph.QuantityOf(q.ID); !ok || got != q {
			t.Errorf("QuantityOf(%s) = %+v, %v", q.ID, got, ok)
		}
	}
	if _, ok := morph.QuantityOf("no such"); ok {
		t.Error("a quantity that is not there was found")
	}
}

// Which candidate counts.
func TestCandidates(t *testing.T) {
	tooth := inventedTooth(40, 0, 30)
	keys := func(r morph.Reading) string {
		var k []string
		for _, c := range r.Candidates {
			k = append(k, c.Key)
		}
		return r.Key + " of " + strings.Join(k, ", ")
	}
	check := func(what string, id morph.ID, want string) {
		t.Helper()
		if got := keys(morph.Read(tooth).Get(id)); got != want {
			t.Errorf("%s: %s is %s, want %s", what, id, got, want)
		}
	}
	check("traced", morph.CBL, "view:basal of view:basal, view:lateral")
	check("traced", morph.CBW, "view:basal of view:basal")
	check("traced", morph.CBR, " of ")
	check("traced", morph.CMA, "view:lateral of view:lateral, derived")
	check("traced", morph.ZMD, "view:basal of view:basal, ellipse")

	tooth.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: 22.3}}
	check("typed", morph.CBL, "typed of typed, view:basal, view:lateral")
	check("typed", morph.CMA, "derived of derived, view:lateral")
	check("typed", morph.CBR, "derived of derived, view:basal")

	tooth.Prefer = map[morph.ID]string{morph.CBL: "view:lateral"}
	check("preferred", morph.CBL, "view:lateral of typed, view:basal, view:lateral")
	check("preferred", morph.CMA, "view:lateral of view:lateral, derived")

	tooth.Prefer[morph.CBL] = "view:basal"
	check("preferred from another photo", morph.CMA, "derived of derived, view:lateral")

	tooth.Prefer[morph.CBL] = "view:gone"
	check("preferred but gone", morph.CBL, "typed of typed, view:basal, view:lateral")

	tooth.Typed[morph.CBL] = morph.Typed{State: morph.Unknown}
	tooth.Prefer = nil
	check("typed as unknown", morph.CBL, "view:basal of view:basal, view:lateral, typed")
	tooth.Typed[morph.CBL] = morph.Typed{State: morph.NotApplicable}
	check("typed as not applicable", morph.CBL, "typed of typed, view:basal, view:lateral")
	if r := morph.Read(tooth).Get(morph.CBL); r.Known || r.State != morph.NotApplicable {
		t.Errorf("not applicable: known %v, state %q", r.Known, r.State)
	}
}

// A labial and a lingual crown: the labial one counts, and the angles follow
// the crown that CH and AL are taken from.
func TestTwoCrowns(t *testing.T) {
	tooth := inventedTooth(40, 0, 30)
	lingual := tooth.Views[0]
	lingual.ID, lingual.Role = "lingual", morph.LateralLingual
	c := *lingual.Crown
	c.Path = slices.Clone(c.Path)
	c.Path[c.Apex].X += 400
	lingual.Crown = &c
	tooth.Views = append([]morph.View{lingual}, tooth.Views...)
	r := morph.Read(tooth)
	if got := r.Get(morph.CH).Key; got != "view:lateral" {
		t.Errorf("CH from %s", got)
	}
	tooth.Prefer = map[morph.ID]string{morph.CH: "view:lingual", morph.AL: "view:lingual"}
	if got := morph.Read(tooth).Get(morph.CMA).Key; got != "view:lingual" {
		t.Errorf("CMA from %s, though CH and AL are the lingual crown's", got)
	}
}

func TestDisagreement(t *testing.T) {
	tooth := inventedTooth(40, 0, 30) // CH is 44.2 mm
	tooth.Typed = map[morph.ID]morph.Typed{morph.CH: {Value: 40}}
	want := "CH 40 (typed) and 44.18 (traced by hand, lateral labial photo) differ by 10 %."
	if r := morph.Read(tooth).Get(morph.CH); !r.Known || r.Problem != want {
		t.Errorf("problem %q, want %q", r.Problem, want)
	}
	tooth.Typed[morph.CH] = morph.Typed{Value: 44}
	if r := morph.Read(tooth).Get(morph.CH); r.Problem != "" {
		t.Errorf("problem %q, want none", r.Problem)
	}
	// A wide uncertainty makes a difference no wonder.
	tooth.Typed[morph.CH] = morph.Typed{Value: 40, U: 3}
	if r := morph.Read(tooth).Get(morph.CH); r.Problem != "" {
		t.Errorf("problem %q, want none", r.Problem)
	}
}

// What follows from a broken crown.
func TestBrokenCrown(t *testing.T) {
	for what, breakIt := range map[string]func(*morph.Crown){
		"apex": func(c *morph.Crown) { c.ApexBroken = true },
		"base": func(c *morph.Crown) { c.BaseBroken = true },
	} {
		tooth := fullTooth()
		breakIt(tooth.Views[0].Crown)
		r := morph.Read(tooth)
		for _, id := range []morph.ID{morph.CH, morph.AL, morph.CHR, morph.Slenderness, morph.CrownArea, morph.MSL} {
			if x := r.Get(id); !x.Known || x.State != morph.Minimum {
				t.Errorf("%s broken: %s known %v, state %q, want a minimum", what, id, x.Known, x.State)
			}
		}
		for id, why := range map[morph.ID]string{
			morph.CMA: "not known of a broken crown", morph.CAA: "not known of a broken crown", morph.CDA: "not known of a broken crown",
			morph.EdgeCurvature: "not known of a broken crown",
			morph.SMD:           "not known: CH is a minimum, so this would be a maximum", morph.SLL: "not known: CH is a minimum, so this would be a maximum",
		} {
			if x := r.Get(id); x.Known || x.Needs != why {
				t.Errorf("%s broken: %s known %v, needs %q, want %q", what, id, x.Known, x.Needs, why)
			}
		}
		for _, id := range []morph.ID{morph.CBL, morph.CBW, morph.CBR, morph.ZMD, morph.DC} {
			if x := r.Get(id); !x.Known || x.State != morph.MeasuredState {
				t.Errorf("%s broken: %s known %v, state %q", what, id, x.Known, x.State)
			}
		}
		tooth.Typed = map[morph.ID]morph.Typed{morph.CH: {Value: 44}}
		if x := morph.Read(tooth).Get(morph.CH); !strings.Contains(x.Problem, "bears no mark") {
			t.Errorf("%s broken: typed CH without a mark has the problem %q", what, x.Problem)
		}
	}
}

// The trade's marks on typed values, and what follows from them.
func TestTypedStates(t *testing.T) {
	tooth := typedTooth(20, 10, 40, 0)
	tooth.Typed[morph.CH] = morph.Typed{Value: 40, State: morph.Estimated}
	r := morph.Read(tooth)
	for _, id := range []morph.ID{morph.CH, morph.CHR, morph.SMD} {
		if x := r.Get(id); !x.Known || x.State != morph.Estimated {
			t.Errorf("%s known %v, state %q, want estimated", id, x.Known, x.State)
		}
	}
	tooth.Typed[morph.CBW] = morph.Typed{State: morph.Unknown}
	r = morph.Read(tooth)
	if x := r.Get(morph.CBW); x.Known || x.State != morph.Unknown {
		t.Errorf("CBW known %v, state %q, want unknown", x.Known, x.State)
	}
	if x := r.Get(morph.CBR); x.Known || x.Needs != "not known: CBW is unknown" {
		t.Errorf("CBR known %v, needs %q", x.Known, x.Needs)
	}
	tooth.Typed[morph.CBL] = morph.Typed{Value: 20, State: morph.Minimum}
	if x := morph.Read(tooth).Get(morph.CHR); x.Known || !strings.Contains(x.Needs, "CBL is a minimum") {
		t.Errorf("CHR over a minimum: known %v, needs %q", x.Known, x.Needs)
	}
}

func TestProblems(t *testing.T) {
	for _, c := range []struct {
		what  string
		tooth morph.Tooth
		id    morph.ID
		known bool
		say   string
	}{
		// READ: MPCA 245 in the compiled table of Hendrickx et al. 2024.
		{"broken triangle", typedTooth(0.7, 0, 1.1, 2.2), morph.CMA, false, "cannot be the sides of one triangle"},
		{"broken triangle", typedTooth(0.7, 0, 1.1, 2.2), morph.AL, true, "cannot be the sides of one triangle"},
		{"no width", typedTooth(20, 0, 40, 0), morph.CBW, false, ""},
		{"negative width", typedTooth(20, -3, 40, 0), morph.CBW, false, "CBW -3 mm cannot be: it must be above 0."},
		{"negative width", typedTooth(20, -3, 40, 0), morph.CBR, false, ""},
		{"not a number", typedTooth(math.NaN(), 3, 40, 0), morph.CBL, false, "not a number"},
		{"swapped ends", typedTooth(10, 31, 40, 0), morph.CBW, true, "CBW is 3.1 times CBL"},
		{"swapped ends", typedTooth(10, 31, 40, 0), morph.CBR, true, "swapped"},
		{"flat crown", typedTooth(30, 10, 5, 0), morph.CH, true, "less than a fifth of CBL"},
		{"wrong unit", typedTooth(22600, 0, 0, 0), morph.CBL, true, "far from any published crown"},
		{"mid-crown", morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.CBL: {Value: 20}, morph.MCL: {Value: 31}}}, morph.MCL, true, "far more than CBL"},
		{"serrated", morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.AL: {Value: 20}, morph.MSL: {Value: 31}}}, morph.MSL, true, "far more than AL"},
		{"uncertain", morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.AL: {Value: 20, U: 30}}}, morph.AL, true, "larger than the value itself"},
	} {
		r := morph.Read(c.tooth).Get(c.id)
		if r.Known != c.known || !strings.Contains(r.Problem, c.say) {
			t.Errorf("%s: %s known %v, problem %q, want %v, %q", c.what, c.id, r.Known, r.Problem, c.known, c.say)
		}
	}
	// The zero typed into a form is a problem, not a missing value.
	zero := morph.Tooth{Typed: map[morph.ID]morph.Typed{morph.CBW: {}}}
	if r := morph.Read(zero).Get(morph.CBW); r.Known || r.Problem == "" || len(r.Candidates) != 1 {
		t.Errorf("CBW 0: %+v", r)
	}
	// A scale that cannot be says so beside each length that needs it.
	tooth := inventedTooth(40, 0, 30)
	tooth.Views[0].Bars = []morph.Bar{{Length: 10, Unit: morph.Millimetre}}
	if r := morph.Read(tooth).Get(morph.CH); r.Known || !strings.Contains(r.Problem, "same point") {
		t.Errorf("CH without a working scale: known %v, problem %q", r.Known, r.Problem)
	}
	tooth.Views[0].Bars = []morph.Bar{bar(800, 10, morph.Millimetre), bar(900, 10, morph.Millimetre)}
	if r := morph.Read(tooth).Get(morph.CH); !r.Known || !strings.Contains(r.Problem, "differ by 12 %") {
		t.Errorf("CH with two scales: known %v, problem %q", r.Known, r.Problem)
	}
}

// A walk under way gives what it can and says what comes next.
func TestUnfinishedWalk(t *testing.T) {
	whole := inventedTooth(40, 0, 30)
	path, apex := whole.Views[0].Crown.Path, whole.Views[0].Crown.Apex
	crown := func(c morph.Crown) morph.Readings {
		whole.Views[0].Crown = &c
		whole.Views[1].Section = nil
		return morph.Read(whole)
	}
	r := crown(morph.Crown{Path: path[:5], Apex: morph.Unset})
	if x := r.Get(morph.AL); x.Known || x.Needs != "needs the apex (G) on the lateral labial photo" {
		t.Errorf("before G: AL known %v, needs %q", x.Known, x.Needs)
	}
	r = crown(morph.Crown{Path: path[:apex+3], Apex: apex})
	if x := r.Get(morph.AL); !x.Known {
		t.Errorf("after G: AL needs %q", x.Needs)
	}
	for _, id := range []morph.ID{morph.CBL, morph.CH, morph.CMA, morph.CrownArea} {
		if x := r.Get(id); x.Known || x.Needs != "needs the outline finished at B on the lateral labial photo" {
			t.Errorf("after G: %s known %v, needs %q", id, x.Known, x.Needs)
		}
	}
	r = crown(morph.Crown{Path: path, Apex: morph.Unset, Done: true})
	if x := r.Get(morph.CBL); !x.Known {
		t.Errorf("without G: CBL needs %q", x.Needs)
	}
	whole.Views[1].Section = &morph.Section{Outline: morph.Path{{X: 1}, {X: 2, Y: 2}}, Mesial: morph.Unset, Distal: morph.Unset}
	if x := morph.Read(whole).Get(morph.CBW); x.Needs != "needs the section closed on the basal photo" {
		t.Errorf("open section: CBW needs %q", x.Needs)
	}
	whole.Views[1].Section = &morph.Section{Outline: morph.Path{{X: 1}, {X: 200, Y: 200}, {X: 300}}, Mesial: morph.Unset, Distal: morph.Unset, Done: true}
	r = morph.Read(whole)
	if x := r.Get(morph.CBW); x.Needs != "needs the section's mesial and distal ends on the basal photo" {
		t.Errorf("section without ends: CBW needs %q", x.Needs)
	}
	if x := r.Get(morph.BaseArea); !x.Known {
		t.Errorf("section without ends: area needs %q", x.Needs)
	}
}

// moved is a view with every point moved by f.
func moved(v morph.View, f func(x, y float64) (float64, float64)) morph.View {
	point := func(p morph.Vertex) morph.Vertex {
		p.X, p.Y = f(p.X, p.Y)
		p.Via = slices.Clone(p.Via)
		for i, q := range p.Via {
			p.Via[i][0], p.Via[i][1] = f(q[0], q[1])
		}
		return p
	}
	path := func(p morph.Path) morph.Path {
		p = slices.Clone(p)
		for i := range p {
			p[i] = point(p[i])
		}
		return p
	}
	v.Bars = slices.Clone(v.Bars)
	for i := range v.Bars {
		v.Bars[i].From, v.Bars[i].To = point(v.Bars[i].From), point(v.Bars[i].To)
	}
	if v.Crown != nil {
		c := *v.Crown
		c.Path = path(c.Path)
		v.Crown = &c
	}
	if v.Section != nil {
		c := *v.Section
		c.Outline = path(c.Outline)
		v.Section = &c
	}
	v.Stretches = slices.Clone(v.Stretches)
	for i := range v.Stretches {
		v.Stretches[i].Line, v.Stretches[i].Ticks = path(v.Stretches[i].Line), path(v.Stretches[i].Ticks)
	}
	return v
}

// A photograph taken from elsewhere, turned, mirrored or enlarged with its
// scale bar gives the same readings with the same uncertainties, when the hand
// errs by the same share of the picture.
func TestReadingsInvariant(t *testing.T) {
	full := fullTooth()
	before := morph.Read(full)
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(0, 7).Draw(t, "angle")
		size := rapid.Float64Range(0.2, 5).Draw(t, "size")
		dx, dy := rapid.Float64Range(-5e3, 5e3).Draw(t, "dx"), rapid.Float64Range(-5e3, 5e3).Draw(t, "dy")
		mirror := rapid.Bool().Draw(t, "mirror")
		sin, cos := math.Sincos(angle)
		tooth := full
		tooth.Views = slices.Clone(full.Views)
		for i, v := range tooth.Views {
			tooth.Views[i] = moved(v, func(x, y float64) (float64, float64) {
				if mirror {
					x = -x
				}
				return size*(x*cos-y*sin) + dx, size*(x*sin+y*cos) + dy
			})
			tooth.Views[i].Pointing = size * morph.DefaultPointing
		}
		after := morph.Read(tooth)
		for i, r := range before {
			if !after[i].Known {
				t.Fatalf("%s not known: %s", r.ID, after[i].Needs)
			}
			nearRel(t, string(r.ID), after[i].Value, r.Value, 1e-7)
			// Differences are taken along other directions; where a number has
			// a kink, as a width has between vertices, they differ a little.
			nearRel(t, string(r.ID)+" u", after[i].U, r.U, 0.02)
		}
	})
}

// An outline may be walked either way round.
func TestSectionEitherWayRound(t *testing.T) {
	tooth := fullTooth()
	before := morph.Read(tooth)
	c := *tooth.Views[1].Section
	c.Outline = slices.Clone(c.Outline)
	slices.Reverse(c.Outline)
	c.Mesial, c.Distal = len(c.Outline)-1-c.Mesial, len(c.Outline)-1-c.Distal
	tooth.Views[1].Section = &c
	after := morph.Read(tooth)
	for i, r := range before {
		nearRel(t, string(r.ID), after[i].Value, r.Value, 1e-9)
		nearRel(t, string(r.ID)+" u", after[i].U, r.U, 1e-6)
	}
}

// Adding the Via points of a straight line between vertices changes no value.
func TestViaOnTheLine(t *testing.T) {
	tooth := fullTooth()
	before := morph.Read(tooth)
	c := *tooth.Views[1].Section
	c.Outline = slices.Clone(c.Outline)
	n := len(c.Outline)
	for i := range c.Outline {
		a, b := c.Outline[(i+n-1)%n], c.Outline[i]
		c.Outline[i].Via = [][2]float64{{0.7*a.X + 0.3*b.X, 0.7*a.Y + 0.3*b.Y}, {0.2*a.X + 0.8*b.X, 0.2*a.Y + 0.8*b.Y}}
	}
	tooth.Views[1].Section = &c
	after := morph.Read(tooth)
	for i, r := range before {
		nearRel(t, string(r.ID), after[i].Value, r.Value, 1e-9)
	}
}

func ExampleRead() {
	// An invented tooth measured with callipers, good to 0.1 mm.
	tooth := morph.Tooth{
		Typed: map[morph.ID]morph.Typed{
			morph.CBL: {Value: 22.6, U: 0.1},
			morph.CBW: {Value: 11.2, U: 0.1},
			morph.CH:  {Value: 46.1, U: 0.1},
		},
		Counts: map[morph.ID]morph.Count{morph.DC: {N: 9, LengthMM: 4.5}},
	}
	readings := morph.Read(tooth)
	for _, id := range []morph.ID{morph.CBR, morph.CHR, morph.CMA, morph.DC} {
		r := readings.Get(id)
		if !r.Known {
			fmt.Printf("%s %s\n", r.ID, r.Needs)
			continue
		}
		fmt.Printf("%s %.3f ± %.3f (%s)\n", r.ID, r.Value, r.U, r.How)
	}
	// Output:
	// CBR 0.496 ± 0.005 (CBW / CBL)
	// CHR 2.040 ± 0.010 (CH / CBL)
	// CMA needs AL
	// DC 10.000 ± 0.556 (9 denticles over 4.5 mm)
}
