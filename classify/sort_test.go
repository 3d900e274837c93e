package classify

import (
	"math"
	"slices"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"crownbench/classify/internal/model"
)

// Published teeth typed in as a user would, with the tooth row (READ, rows of
// the table of Hendrickx and others 2024). Each with a form label must come out
// with its form and never with another one, though a set of two may leave it
// undecided; and the tooth itself must be among its nearest, though measurements
// of it were withheld.
func TestPublishedTeethFindTheirForm(t *testing.T) {
	var kin, inSet, labelled, decided int
	for _, f := range fixtureTeeth {
		t.Run(f.taxon+" "+f.position, func(t *testing.T) {
			q := Query{Values: map[Measure]float64{CBL: f.cbl, CBW: f.cbw, CH: f.ch, AL: f.al, DC: f.dc}, Row: f.row}
			if f.mc > 0 {
				q.Values[MC] = f.mc
			}
			a := Sort(q, Options{})
			self := find(t, f.cbl, f.cbw, f.ch)
			if f.form != "" {
				labelled++
				if a.Form != "" {
					decided++
				}
				if a.Form != "" && a.Form != f.form || !slices.Contains(a.FormSet, f.form) {
					t.Errorf("form %q (%s), published %q", a.Form, a.Said, f.form)
				}
			}
			if !slices.ContainsFunc(a.CladeNeighbours, func(n Neighbour) bool { return n.Tooth == self }) {
				t.Error("the tooth itself is not among its nearest")
			}
			if n, _ := countFirst(a.CladeNeighbours, func(o *Tooth) bool { return o.Clade == self.Clade && o != self }); n > 0 {
				kin++
			}
			if slices.Contains(a.CladeSet, self.Clade) {
				inSet++
			}
			// Currie, Hurum & Sabath 2003: young tyrannosaurid crowns cannot be told
			// by thickness. The answer must own up to it.
			if self.Maturity == Immature && a.Form == Blade && !slices.ContainsFunc(a.Cautions, func(s string) bool { return strings.HasPrefix(s, "Young tyrannosaurids") }) {
				t.Errorf("blade-like without a caution: %q", a.Cautions)
			}
			if slices.Contains(strings.FieldsFunc(a.Said, func(r rune) bool { return !unicode.IsLetter(r) }), f.taxon) {
				t.Errorf("the answer names a genus: %s", a.Said)
			}
		})
	}
	// Sets promise 90 %: of 16 teeth that the sample holds, two may miss.
	if decided < labelled-2 {
		t.Errorf("%d of %d forms decided", decided, labelled)
	}
	if kin < len(fixtureTeeth)-2 {
		t.Errorf("another tooth of the clade is among the nearest of %d of %d teeth", kin, len(fixtureTeeth))
	}
	if inSet < len(fixtureTeeth)-2 {
		t.Errorf("the clade is in the 90 %% set of %d of %d teeth", inSet, len(fixtureTeeth))
	}
}

// The least a quick check gives: crown height, base ratio, denticle density.
func TestQuickCheckGetsAnAnswer(t *testing.T) {
	a := Sort(Query{Values: map[Measure]float64{CH: 94, CBR: 0.72, DC: 7.5}}, Options{})
	if a.Form != Robust {
		t.Errorf("form %q: %s", a.Form, a.Said)
	}
	if want := []Measure{CH, DC, CBR}; !slices.Equal(a.Used, want) {
		t.Errorf("used %v, want %v", a.Used, want)
	}
}

func TestWidthIsNeeded(t *testing.T) {
	a := Sort(Query{Values: map[Measure]float64{CBL: 20, CH: 40, DC: 12}}, Options{})
	if a.Form != "" || !strings.Contains(a.CannotSay, "width") {
		t.Errorf("form %q, reason %q", a.Form, a.CannotSay)
	}
	if a.Missing[0].Measure != CBW {
		t.Errorf("first missing measure %s, want CBW", a.Missing[0].Measure)
	}
	if len(a.Clades) == 0 {
		t.Error("no clade shares, though length, height and denticles were given")
	}
}

func TestBadValuesAreSetAside(t *testing.T) {
	good := Query{Values: map[Measure]float64{CBL: 20, CBW: 10, CH: 40}}
	want := Sort(good, Options{})
	for _, c := range []struct {
		m    Measure
		v    float64
		said string
	}{
		{DC, -3, "DC -3 per 5 mm is not above zero; it was left out."},
		{AL, math.NaN(), "AL is not a finite number; it was left out."},
		{AL, math.Inf(1), "AL is not a finite number; it was left out."},
		{AL, 1e6, "AL 1e+06 mm is beyond any tooth (limit 500); it was left out."},
		{"FABL", 12, `"FABL" is not a measurement this comparison knows; it was left out.`},
		{CBR, 0.9, "CBR was given as 0.9 but the lengths give 0.5; the lengths were used."},
	} {
		q := Query{Values: map[Measure]float64{CBL: 20, CBW: 10, CH: 40, c.m: c.v}}
		got := Sort(q, Options{})
		if !slices.Contains(got.Cautions, c.said) {
			t.Errorf("%s = %g: cautions %q lack %q", c.m, c.v, got.Cautions, c.said)
		}
		ignore := cmpopts.IgnoreFields(Answer{}, "Cautions", "Used")
		if diff := cmp.Diff(want, got, ignore, cmp.AllowUnexported(Tooth{})); diff != "" {
			t.Errorf("%s = %g changed the answer:\n%s", c.m, c.v, diff)
		}
	}
}

func TestAbsentDenticlesAreNotACount(t *testing.T) {
	a := Sort(Query{
		Values: map[Measure]float64{CBL: 14, CBW: 12, CH: 36, DC: 30},
		Mesial: DenticlesAbsent, Distal: DenticlesAbsent,
	}, Options{})
	if slices.Contains(a.Used, DC) {
		t.Error("a count on a carina without denticles was compared")
	}
	if slices.ContainsFunc(a.Missing, func(m Missing) bool { return m.Measure == DC }) {
		t.Error("a density is called missing though there are no denticles")
	}
}

func anyQuery() *rapid.Generator[Query] {
	return rapid.Custom(func(t *rapid.T) Query {
		q := Query{Values: make(map[Measure]float64)}
		for _, m := range Measures() {
			switch rapid.IntRange(0, 5).Draw(t, string(m)) {
			case 0, 1, 2:
			case 3, 4:
				high := 60.0
				if m.Unit() == "" {
					high = 3
				}
				q.Values[m] = rapid.Float64Range(0.2, high).Draw(t, "value")
			case 5:
				q.Values[m] = rapid.Float64().Draw(t, "any value")
			}
		}
		q.Mesial = rapid.SampledFrom([]DenticleState{DenticlesUnknown, DenticlesPresent, DenticlesAbsent}).Draw(t, "mesial")
		q.Distal = rapid.SampledFrom([]DenticleState{DenticlesUnknown, DenticlesPresent, DenticlesAbsent}).Draw(t, "distal")
		q.Row = rapid.SampledFrom([]ToothRow{RowUnknown, Mesial, Lateral, Mesiolateral}).Draw(t, "row")
		return q
	})
}

// Whatever is asked: the same answer twice, shares that sum to one, and either
// a form or a reason.
func TestAnyQueryIsAnswered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuery().Draw(t, "query")
		a := Sort(q, Options{})
		if diff := cmp.Diff(a, Sort(q, Options{}), cmp.AllowUnexported(Tooth{})); diff != "" {
			t.Fatalf("two answers to one query:\n%s", diff)
		}
		if (a.Form == "") == (a.CannotSay == "") {
			t.Fatalf("form %q with reason %q", a.Form, a.CannotSay)
		}
		if a.Said == "" {
			t.Fatal("nothing said")
		}
		var forms, clades float64
		for _, s := range a.Shares {
			forms += s.Share
		}
		for _, s := range a.Clades {
			clades += s.Share
		}
		if len(a.Shares) > 0 && math.Abs(forms-1) > 1e-9 {
			t.Fatalf("form shares sum to %g", forms)
		}
		if len(a.Clades) > 0 && math.Abs(clades-1) > 1e-9 {
			t.Fatalf("clade shares sum to %g", clades)
		}
		for _, n := range a.Neighbours {
			if n.Tooth.Form == "" || math.IsNaN(n.Distance) {
				t.Fatalf("neighbour %s, form %q, distance %g", n.Tooth.ID, n.Tooth.Form, n.Distance)
			}
		}
	})
}

// Two spellings of the same tooth: lengths, or ratios with one length.
func TestRatiosStandInForLengths(t *testing.T) {
	lengths := Sort(Query{Values: map[Measure]float64{CBL: 20, CBW: 12, CH: 40}}, Options{})
	ratios := Sort(Query{Values: map[Measure]float64{CBL: 20, CBR: 0.6, CHR: 2}}, Options{})
	ignore := cmpopts.IgnoreFields(Answer{}, "Used")
	if diff := cmp.Diff(lengths, ratios, ignore, cmp.AllowUnexported(Tooth{}), cmpopts.EquateApprox(0, 1e-9)); diff != "" {
		t.Errorf("the answers differ:\n%s", diff)
	}
}

// The plain cut at CBR 0.60 on the lateral crowns with a width. On the
// published table it gives [[717,116],[44,194]] (CALC from Hendrickx and others
// 2024); ten of the 833 crowns that are not tyrannosaurid or spinosaurid were
// left out of this table, all below the cut.
func TestThicknessRuleOnPublishedTeeth(t *testing.T) {
	var below, above, missed, caught int
	for i := range Published().Teeth() {
		tooth := &Published().Teeth()[i]
		cbr, ok := tooth.Value(CBR)
		if !ok || tooth.Row != Lateral {
			continue
		}
		thick := tooth.Clade == "Tyrannosauridae" || tooth.Clade == "Spinosauridae"
		form, _ := ThicknessRule(cbr, tooth.Row)
		switch {
		case thick && form == Robust:
			caught++
		case thick:
			missed++
		case form == Robust:
			above++
		default:
			below++
		}
	}
	if got, want := [4]int{below, above, missed, caught}, [4]int{717 - 10, 116, 44, 194}; got != want {
		t.Errorf("[[%d,%d],[%d,%d]], want %v", got[0], got[1], got[2], got[3], want)
	}
}

// READ rows, rule from memory: FMNH PR2081 mx05, SGM Din-1 mx03, and the
// mesial NCSM 14345 pm01.
func TestThicknessRule(t *testing.T) {
	for _, c := range []struct {
		cbl, cbw float64
		row      ToothRow
		form     Form
	}{
		{45.46, 32.63, Lateral, Robust},
		{41.46, 15.15, Lateral, Blade},
		{21.12, 16.16, Mesial, ""},
	} {
		if form, said := ThicknessRule(c.cbw/c.cbl, c.row); form != c.form {
			t.Errorf("%g / %g: %q (%s), want %q", c.cbw, c.cbl, form, said, c.form)
		}
	}
}

// log10 of the lengths of SGM Din-1 mx03 (READ lengths, CALC logs).
func TestComparisonIsInDecimalLogs(t *testing.T) {
	seen := find(t, 41.46, 15.15, 71.01).observation()
	for channel, want := range map[int]float64{model.CBL: 1.617629, model.CBW: 1.180413, model.CH: 1.851320, model.AL: 1.915505} {
		if got := seen.Value[channel]; !seen.Has(channel) || math.Abs(got-want) > 1e-6 {
			t.Errorf("channel %d: %.6f, want %.6f", channel, got, want)
		}
	}
}

// Common practice, no source: large tyrannosaurid lateral crowns are thicker
// for their length, and so relatively stronger sideways, than those of every
// blade-toothed clade. For an elliptic base the ratio of the labiolingual to
// the mesiodistal section modulus is CBW/CBL (CALC).
func TestLargeTyrannosauridsAreThickest(t *testing.T) {
	ratio := make(map[string][]float64)
	for _, tooth := range Published().Teeth() {
		cbl, cbw := tooth.values[iCBL], tooth.values[iCBW]
		if tooth.Row != Lateral || cbl <= 20 || cbw == 0 {
			continue
		}
		if tooth.Form != Blade && tooth.Clade != "Tyrannosauridae" {
			continue
		}
		zLL := math.Pi * cbl * cbw * cbw / 32
		zMD := math.Pi * cbl * cbl * cbw / 32
		ratio[tooth.Clade] = append(ratio[tooth.Clade], zLL/zMD)
	}
	median := func(x []float64) float64 {
		slices.Sort(x)
		return (x[(len(x)-1)/2] + x[len(x)/2]) / 2
	}
	tyrannosaurids := median(ratio["Tyrannosauridae"])
	if len(ratio) < 6 {
		t.Fatalf("only %d clades have large lateral crowns", len(ratio))
	}
	for clade, x := range ratio {
		if m := median(x); clade != "Tyrannosauridae" && m >= tyrannosaurids {
			t.Errorf("%s: median CBR %.3f of %d crowns, Tyrannosauridae %.3f", clade, m, len(x), tyrannosaurids)
		}
	}
}

func BenchmarkSort(b *testing.B) {
	q := Query{Values: map[Measure]float64{CBL: 20, CBW: 12, CH: 40, AL: 43, DC: 11}, Row: Lateral}
	Sort(q, Options{})
	for _, c := range []struct {
		name string
		o    Options
	}{{"brief", Options{Brief: true}}, {"in words", Options{}}} {
		b.Run(c.name, func(b *testing.B) {
			b.ReportAllocs()
			for b.Loop() {
				Sort(q, c.o)
			}
		})
	}
}

func BenchmarkWhy(b *testing.B) {
	q := Query{Values: map[Measure]float64{CBL: 20, CBW: 12, CH: 40, AL: 43, DC: 11}, Row: Lateral}
	a := Sort(q, Options{})
	b.ReportAllocs()
	for b.Loop() {
		Published().Why(q, &a)
	}
}

func BenchmarkReadTeeth(b *testing.B) {
	for b.Loop() {
		if _, err := ReadTeeth(strings.NewReader(teethTable)); err != nil {
			b.Fatal(err)
		}
	}
}
