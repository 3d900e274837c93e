package tray_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// published are rows of the table compiled by Hendrickx et al. 2024 (J. Vert.
// Paleontol. 43(4): e2311791), read there, typed as a person would copy them.
// The form is what the descriptions say of the dentition, "" where they do not
// say one.
var published = []struct {
	specimen           string
	row                tray.Row
	cells              map[morph.ID]string
	cbr, chr, cma, caa float64 // printed ratios and angles
	form               classify.Form
}{
	{
		"FMNH PR2081", tray.RowLateral, // Tyrannosaurus mx05
		map[morph.ID]string{"CBL": "45.46", "CBW": "32.63", "CH": "94.06", "AL": "108.36", "MC": "6.5", "DC": "7.5"},
		0.717774, 2.069072, 59.763528, 24.680418, classify.Robust,
	},
	{
		"SGM Din-1", tray.RowLateral, // Carcharodontosaurus mx03
		map[morph.ID]string{"CBL": "41.46", "CBW": "15.15", "CH": "71.01", "AL": "82.32", "MC": "8.0", "DC": "9.0"},
		0.365412, 1.712735, 59.610506, 30.241289, classify.Blade,
	},
	{
		"YPM 5232", tray.RowLateral, // Deinonychus d12
		map[morph.ID]string{"CBL": "7.06", "CBW": "3.20", "CH": "10.44", "AL": "12.81", "MC": "30", "DC": "16.8"},
		0.4533, 1.4788, 54.5349, 33.4206, classify.Blade,
	},
	{
		"TMP 94.12.844", tray.RowLateral, // Saurornitholestes mx3
		map[morph.ID]string{"CBL": "6.65", "CBW": "2.25", "CH": "11.85", "AL": "12.44", "MC": "30", "DC": "21.66"},
		0.3383, 1.7820, 69.2739, 31.6590, classify.Blade,
	},
	{
		"BMNH R9951", tray.RowLateral, // Baryonyx, isolated
		map[morph.ID]string{"CBL": "19.30", "CBW": "14.41", "CH": "42.83", "AL": "41.67", "MC": "30", "DC": "30"},
		0.7466, 2.2192, 80.1749, 26.3600, classify.Robust,
	},
}

func typedSpecimen(t testing.TB, cells map[morph.ID]string) *tray.Specimen {
	t.Helper()
	s := &tray.Specimen{ID: "typed", Name: "typed", Typed: map[morph.ID]morph.Typed{}}
	for id, cell := range cells {
		v, u, state, err := tray.ParseNumber(cell)
		if err != nil {
			t.Fatal(err)
		}
		s.Typed[id] = morph.Typed{Value: v, U: u, State: state}
	}
	return s
}

func TestFindPublishedTeeth(t *testing.T) {
	for _, p := range published {
		t.Run(p.specimen, func(t *testing.T) {
			s := typedSpecimen(t, p.cells)
			s.Row = p.row
			f := tray.Find(s)
			for id, want := range map[morph.ID]float64{"CBR": p.cbr, "CHR": p.chr, "CMA": p.cma, "CAA": p.caa} {
				if got := f.Readings.Get(id); !got.Known || math.Abs(got.Value-want) > 1e-4 {
					t.Errorf("%s = %v, printed %v", id, got.Value, want)
				}
			}
			want := map[classify.Measure]float64{}
			for id := range p.cells {
				want[classify.Measure(id)] = s.Typed[id].Value
			}
			if diff := cmp.Diff(want, f.Query.Values); diff != "" {
				t.Errorf("the query differs from what was typed (-typed +asked):\n%s", diff)
			}
			// The tooth itself stands among the published ones.
			if len(f.Answer.CladeNeighbours) == 0 {
				t.Fatalf("no neighbours: %s", f.Answer.Said)
			}
			// Published teeth carry more measurements than were typed, and the
			// distance weighs what is not known of the query, so the tooth
			// itself need not be the very nearest.
			if !slices.ContainsFunc(f.Answer.CladeNeighbours, func(n classify.Neighbour) bool { return strings.HasPrefix(n.Tooth.Specimen, p.specimen) }) {
				t.Errorf("%s itself is not among the nearest published teeth", p.specimen)
			}
			if f.Answer.Form != p.form {
				t.Errorf("sorted as %q (%s), described as %q", f.Answer.Form, f.Answer.Said, p.form)
			}
		})
	}
}

func TestFindAsksOnlyWhatIsFit(t *testing.T) {
	whole := map[morph.ID]string{"CBL": "45.46 ± 0.1", "CBW": "~32.63", "CH": "94.06", "AL": "108.36", "DC": "7.5"}
	with := func(id morph.ID, cell string) map[morph.ID]string {
		m := map[morph.ID]string{}
		for k, v := range whole {
			m[k] = v
		}
		m[id] = cell
		return m
	}
	all := []classify.Measure{"AL", "CBL", "CBW", "CH", "DC"}
	tests := []struct {
		name  string
		cells map[morph.ID]string
		edit  func(*tray.Specimen)
		asks  []classify.Measure
	}{
		{"measured and estimated", whole, nil, all},
		{"a minimum height", with("CH", ">94.06"), nil, []classify.Measure{"AL", "CBL", "CBW", "DC"}},
		{"an unknown width", with("CBW", "?"), nil, []classify.Measure{"AL", "CBL", "CH", "DC"}},
		{"a length that does not apply", with("AL", "/"), nil, []classify.Measure{"CBL", "CBW", "CH", "DC"}},
		{"absent denticles", with("DC", "absent"), nil, []classify.Measure{"AL", "CBL", "CBW", "CH"}},
		{"zero, which no length is", with("CBW", "0"), nil, []classify.Measure{"AL", "CBL", "CH", "DC"}},
		{"a ratio without its lengths", map[morph.ID]string{"CBR": "0.718", "CH": "94.06"}, nil, []classify.Measure{"CBR", "CH"}},
		{"a height ratio without its lengths", map[morph.ID]string{"CBR": "0.718", "CHR": "2.07"}, nil, []classify.Measure{"CBR", "CHR"}},
		{
			"a height ratio by the long axis", map[morph.ID]string{"CBR": "0.718", "CHR": "2.07"},
			func(s *tray.Specimen) { s.CHR = morph.CHRByLongAxis },
			[]classify.Measure{"CBR"},
		},
		{
			"a ratio that was chosen over the lengths", with("CBR", "0.6"),
			func(s *tray.Specimen) { s.Prefer = map[morph.ID]string{"CBR": morph.TypedKey} },
			[]classify.Measure{"AL", "CBL", "CBR", "CBW", "CH", "DC"},
		},
		{"nothing", nil, nil, nil},
	}
	for _, tt := range tests {
		s := typedSpecimen(t, tt.cells)
		if tt.edit != nil {
			tt.edit(s)
		}
		f := tray.Find(s)
		want := map[classify.Measure]bool{}
		for _, m := range tt.asks {
			want[m] = true
		}
		got := map[classify.Measure]bool{}
		for m := range f.Query.Values {
			got[m] = true
		}
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%s: asks for (-want +got):\n%s", tt.name, diff)
		}
		if f.Answer.Said == "" {
			t.Errorf("%s: nothing said", tt.name)
		}
	}
	if u := tray.Find(typedSpecimen(t, whole)).Query.U; len(u) != 1 || math.Abs(u["CBL"]-0.1) > 1e-12 {
		t.Errorf("uncertainties %v, want that of CBL, 0.1", u)
	}
}

// Smith 2005 divides CH by the long axis for T. rex pm03, whose row in the
// compiled table is CBL 24, CBW 36.06, CH 63.65 and CHR 1.765114 (read there);
// the published teeth are compared in CH / CBL all the same, 2.652083.
func TestFindLongAxis(t *testing.T) {
	s := typedSpecimen(t, map[morph.ID]string{"CBL": "24", "CBW": "36.06", "CH": "63.65"})
	s.CHR = morph.CHRByLongAxis
	f := tray.Find(s)
	if r := f.Readings.Get(morph.CHR); math.Abs(r.Value-1.765114) > 1e-6 {
		t.Errorf("CHR reads %v, printed 1.765114", r.Value)
	}
	if v, ok := f.Query.Values[classify.CHR]; ok {
		t.Errorf("asks with CHR %v by the long axis", v)
	}
	for _, c := range f.Answer.Cautions {
		if c != "" && c[:3] == "CHR" {
			t.Errorf("the answer stumbles over CHR: %s", c)
		}
	}
}

func TestFindContext(t *testing.T) {
	s := typedSpecimen(t, map[morph.ID]string{"MC": "absent", "DC": "12"})
	s.Row, s.Age, s.Country = tray.RowMesial, "Late Cretaceous", "Canada"
	q := tray.Find(s).Query
	if q.Row != classify.Mesial || q.Epoch != "Late Cretaceous" || q.Country != "Canada" {
		t.Errorf("row %v, epoch %q, country %q", q.Row, q.Epoch, q.Country)
	}
	if q.Mesial != classify.DenticlesAbsent || q.Distal != classify.DenticlesPresent {
		t.Errorf("mesial denticles %v, distal %v; want absent, present", q.Mesial, q.Distal)
	}
	for said, want := range map[morph.CarinaState]classify.DenticleState{
		morph.DenticlesUnknown:      classify.DenticlesUnknown,
		morph.DenticlesPresent:      classify.DenticlesPresent,
		morph.DenticlesAbsent:       classify.DenticlesAbsent,
		morph.DenticlesNotPreserved: classify.DenticlesUnknown, // never the same as absent
	} {
		s := &tray.Specimen{ID: "x", Mesial: said, Distal: said}
		if q := tray.Find(s).Query; q.Mesial != want || q.Distal != want {
			t.Errorf("%q: mesial %v, distal %v; want %v", said, q.Mesial, q.Distal, want)
		}
	}
}

// Whatever can be kept can be read and sorted, with finite numbers.
func TestFindAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := specimen().Draw(t, "specimen")
		f := tray.Find(s)
		if len(f.Readings) != len(morph.Quantities) {
			t.Fatalf("%d readings of %d quantities", len(f.Readings), len(morph.Quantities))
		}
		for _, r := range f.Readings {
			if r.Known && (math.IsNaN(r.Value) || math.IsInf(r.Value, 0)) || !(r.U >= 0) || math.IsInf(r.U, 0) {
				t.Errorf("%s = %v ± %v", r.ID, r.Value, r.U)
			}
		}
		for m := range f.Query.Values {
			if r := f.Readings.Get(morph.ID(m)); r.Value != f.Query.Values[m] || r.State == morph.Minimum {
				t.Errorf("asks %s %v; it reads %v, %q", m, f.Query.Values[m], r.Value, r.State)
			}
		}
		if f.Answer.Said == "" {
			t.Error("nothing said")
		}
	})
}

func TestFinderRemembers(t *testing.T) {
	var finder tray.Finder
	s := typedSpecimen(t, published[0].cells)
	first := finder.Find(s)
	if diff := cmp.Diff(tray.Find(s).Answer.Said, first.Answer.Said); diff != "" {
		t.Error(diff)
	}
	// Remembered: the very same readings, not equal ones.
	if again := finder.Find(s); &again.Readings[0] != &first.Readings[0] {
		t.Error("found anew for the same specimen")
	}
	// Another state of the specimen is another question.
	changed := s.Clone()
	changed.Typed["CBW"] = morph.Typed{Value: 15}
	if f := finder.Find(changed); f.Readings.Get("CBW").Value != 15 {
		t.Errorf("CBW = %v after a change to 15", f.Readings.Get("CBW").Value)
	}
	// What is looked at stays while others pass by; memory does not grow with them.
	for range 3000 {
		finder.Find(&tray.Specimen{ID: "passing"})
		if again := finder.Find(s); &again.Readings[0] != &first.Readings[0] {
			t.Fatal("forgot what is looked at all the time")
		}
	}
}

func BenchmarkFind(b *testing.B) {
	s := typedSpecimen(b, published[0].cells)
	for b.Loop() {
		tray.Find(s)
	}
}
