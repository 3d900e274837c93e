package classify

import (
	"errors"
	"math"
	"strings"
	"testing"
)

// The counts are those of reference/README.md, recounted from the file.
func TestPublishedTeeth(t *testing.T) {
	r := Published()
	if got := len(r.Teeth()); got != 1334 {
		t.Fatalf("%d teeth, want 1334", got)
	}
	forms := make(map[Form]int)
	individuals := make(map[string]bool)
	for _, tooth := range r.Teeth() {
		forms[tooth.Form]++
		individuals[tooth.Individual] = true
		if _, ok := r.Source(tooth.Source); !ok {
			t.Errorf("%s: source %q is not in sources.csv", tooth.ID, tooth.Source)
		}
	}
	want := map[Form]int{Blade: 725, Robust: 231, Front: 156, "": 222}
	for f, n := range want {
		if forms[f] != n {
			t.Errorf("form %q: %d teeth, want %d", f, forms[f], n)
		}
	}
	if got := len(individuals); got != 600 {
		t.Errorf("%d individuals, want 600", got)
	}
}

// Fixture rows of the table published by Hendrickx and others 2024 (READ):
// lengths as printed, ratios recomputed from them.
var fixtureTeeth = []struct {
	taxon, specimen, position string
	row                       ToothRow
	cbl, cbw, ch, al, mc, dc  float64
	cbr, chr                  float64
	tolerance                 float64
	form                      Form
}{
	{"Tyrannosaurus", "FMNH PR2081", "mx05", Lateral, 45.46, 32.63, 94.06, 108.36, 6.5, 7.5, 0.717774, 2.069072, 1e-6, Robust},
	{"Tyrannosaurus", "BHI 3033", "d13", Lateral, 15.01, 9.22, 15.85, 17.41, 13.6, 15.7, 0.614257, 1.055963, 1e-6, Robust},
	{"Gorgosaurus", "ROM 1247", "d04", Lateral, 21.28, 10.77, 39.68, 45.91, 12.0, 11.0, 0.506109, 1.864662, 1e-6, ""},
	{"Carcharodontosaurus", "SGM Din-1", "mx03", Lateral, 41.46, 15.15, 71.01, 82.32, 8.0, 9.0, 0.365412, 1.712735, 1e-6, Blade},
	{"Acrocanthosaurus", "NCSM 14345", "pm01", Mesial, 21.12, 16.16, 49.12, 50.35, 18, 11.5, 0.7652, 2.3258, 5e-5, Front},
	{"Ceratosaurus", "NMNH 4735", "dt7", Lateral, 19.0, 6.5, 34.8, 40.9, 12.5, 13.0, 0.3421, 1.8316, 5e-5, Blade},
	{"Torvosaurus", "BYUVP 725 12817", "Isolated", Lateral, 42.43, 21.09, 105.28, 105.12, 6, 7, 0.4971, 2.4813, 5e-5, Blade},
	{"Megalosaurus", "BMNH R47152", "Isolated", Lateral, 11.25, 6.37, 22.5, 24.25, 20.625, 20, 0.5662, 2.0000, 5e-5, Blade},
	{"Allosaurus", "UMNH VP 9369", "dt6", Lateral, 11.52, 8.42, 25.69, 28.54, 16.25, 13.75, 0.7309, 2.2300, 5e-5, Blade},
	{"Baryonyx", "BMNH R9951", "Isolated", Lateral, 19.30, 14.41, 42.83, 41.67, 30, 30, 0.7466, 2.2192, 5e-5, Robust},
	{"Suchomimus", "UC G100-4", "Isolated", Lateral, 14.5, 9.5, 37.3, 39.0, 30, 32.5, 0.6552, 2.5724, 5e-5, Robust},
	{"Dromaeosaurus", "AMNH 5356", "mx3", Lateral, 7.95, 4.84, 17.97, 21.66, 15, 17.5, 0.6088, 2.2604, 5e-5, Blade},
	{"Deinonychus", "YPM 5232", "d12", Lateral, 7.06, 3.20, 10.44, 12.81, 30, 16.8, 0.4533, 1.4788, 5e-5, Blade},
	{"Saurornitholestes", "TMP 94.12.844", "mx3", Lateral, 6.65, 2.25, 11.85, 12.44, 30, 21.66, 0.3383, 1.7820, 5e-5, Blade},
	{"Troodon", "BMNH R12568", "Isolated", Lateral, 5.66, 2.72, 8.09, 9.74, 10.5, 10.5, 0.4806, 1.4293, 5e-5, ""},
	{"Eoraptor", "PVSJ 512", "pmx2", Mesial, 2.5, 1.62, 6.74, 7.0, 0, 25, 0.648, 2.696, 5e-5, ""},
}

// find returns the reference tooth with the lengths of a fixture.
func find(t *testing.T, cbl, cbw, ch float64) *Tooth {
	t.Helper()
	teeth := Published().Teeth()
	for i := range teeth {
		v := &teeth[i].values
		if v[iCBL] == cbl && v[iCBW] == cbw && v[iCH] == ch {
			return &teeth[i]
		}
	}
	t.Fatalf("no published tooth with CBL %g, CBW %g, CH %g", cbl, cbw, ch)
	return nil
}

func TestFixtureTeethAreCarriedOver(t *testing.T) {
	for _, f := range fixtureTeeth {
		tooth := find(t, f.cbl, f.cbw, f.ch)
		if tooth.Taxon != f.taxon || tooth.Row != f.row || tooth.Form != f.form {
			t.Errorf("%s %s: table has %s, %v, form %q", f.taxon, f.specimen, tooth.Taxon, tooth.Row, tooth.Form)
		}
		for m, want := range map[Measure]float64{AL: f.al, MC: f.mc, DC: f.dc} {
			if got, _ := tooth.Value(m); got != want {
				t.Errorf("%s %s: %s %g, want %g", f.taxon, f.specimen, m, got, want)
			}
		}
		for m, want := range map[Measure]float64{CBR: f.cbr, CHR: f.chr} {
			if got, ok := tooth.Value(m); !ok || math.Abs(got-want) > f.tolerance {
				t.Errorf("%s %s: %s %g, want %g", f.taxon, f.specimen, m, got, want)
			}
		}
	}
}

func TestTyrannosaurusPremaxillaryRatios(t *testing.T) {
	// T. rex pm03, the row printed with CHR on the long axis (READ, Smith 2005
	// as compiled by Hendrickx and others 2024; quotients CALC).
	tooth := find(t, 24, 36.06, 63.65)
	v := &tooth.values
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"CBR", v[iCBR], 1.5025},
		{"CH/CBL", v[iCHR], 2.652083},
		{"CH/long axis", v[iCH] / max(v[iCBL], v[iCBW]), 1.765114},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s = %.7f, want %.7f", c.name, c.got, c.want)
		}
	}
}

// Three published rows break the triangle inequality (READ).
func TestImpossibleTriangles(t *testing.T) {
	var broken []string
	for _, tooth := range Published().Teeth() {
		if !triangle(&tooth.values) {
			broken = append(broken, tooth.ID)
		}
	}
	if got := strings.Join(broken, " "); got != "T1051 T1052 T1066" {
		t.Errorf("teeth that cannot be triangles: %s", got)
	}
}

func TestReadTeethNamesTheBadCell(t *testing.T) {
	heading := strings.Join(toothColumns, ",") + "\n"
	row := func(change map[int]string) string {
		cells := make([]string, len(toothColumns))
		cells[0], cells[2], cells[3], cells[6], cells[7] = "X1", "Somewhere", "lateral", "I1", "adult"
		cells[12], cells[25], cells[26], cells[28] = "10", "unknown", "unknown", "blade"
		for i, c := range change {
			cells[i] = c
		}
		return strings.Join(cells, ",") + "\n"
	}
	good := row(nil)
	if _, err := ReadTeeth(strings.NewReader(heading + good)); err != nil {
		t.Fatalf("good row refused: %v", err)
	}
	for _, c := range []struct {
		name, table  string
		line, column int
		field        string
	}{
		{"comma for point", heading + good + row(map[int]string{0: "X2", 12: `"1,5"`}), 3, 13, "CBL_mm"},
		{"negative", heading + row(map[int]string{12: "-1"}), 2, 13, "CBL_mm"},
		{"not a number", heading + row(map[int]string{12: "NaN"}), 2, 13, "CBL_mm"},
		{"absurd", heading + row(map[int]string{12: "1e9"}), 2, 13, "CBL_mm"},
		{"unknown row word", heading + row(map[int]string{3: "upper"}), 2, 4, "tooth_row"},
		{"unknown form", heading + row(map[int]string{28: "conical"}), 2, 29, "form"},
		{"unknown denticle word", heading + row(map[int]string{26: "maybe"}), 2, 27, "distal_denticles"},
		{"no individual", heading + row(map[int]string{6: ""}), 2, 7, "individual"},
		{"same id twice", heading + good + good, 3, 1, "id"},
		{"another heading", "name,taxon\n", 1, 1, "heading"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, err := ReadTeeth(strings.NewReader(c.table))
			var cell *CellError
			if !errors.As(err, &cell) {
				// A heading row of another length is refused by the CSV reader.
				if c.field == "heading" && err != nil && strings.Contains(err.Error(), "number of fields") {
					return
				}
				t.Fatalf("error %v, want a CellError", err)
			}
			if cell.Line != c.line || cell.Column != c.column || cell.Field != c.field {
				t.Errorf("line %d, column %d, %s; want line %d, column %d, %s", cell.Line, cell.Column, cell.Field, c.line, c.column, c.field)
			}
		})
	}
	if _, err := ReadTeeth(strings.NewReader("")); err == nil {
		t.Error("an empty table was accepted")
	}
}

func FuzzReadTeeth(f *testing.F) {
	lines := strings.SplitAfterN(teethTable, "\n", 6)
	f.Add(strings.Join(lines[:5], ""))
	f.Add(lines[0])
	f.Add(lines[0] + `"` + lines[1])
	f.Add("\xef\xbb\xbf" + lines[0] + lines[2])
	f.Fuzz(func(t *testing.T, table string) {
		teeth, err := ReadTeeth(strings.NewReader(table))
		if err != nil {
			if err.Error() == "" {
				t.Error("an error without a sentence")
			}
			return
		}
		ids := make(map[string]bool)
		for _, tooth := range teeth {
			if ids[tooth.ID] {
				t.Errorf("id %q came through twice", tooth.ID)
			}
			ids[tooth.ID] = true
			for m, v := range tooth.Values() {
				if !(v > 0) || math.IsInf(v, 0) {
					t.Errorf("%s = %g came through", m, v)
				}
			}
		}
	})
}
