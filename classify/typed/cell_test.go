package typed_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/classify/typed"
)

// The units are exact by definition: 1 in = 25.4 mm, 1 cm = 10 mm; a count over
// 2 mm is scaled to 5 mm (READ Smith 2005), one over 1 mm too (READ Hendrickx &
// Mateus 2014: 10 per mm, which is 50 per 5 mm).
func TestCells(t *testing.T) {
	for _, c := range []struct {
		heading, cell string
		number, u     float64
		mark          typed.Mark
	}{
		{"CBL", "45.46", 45.46, 0, typed.Measured},
		{"CBL", "45,46", 45.46, 0, typed.Measured},
		{"CBL", "\u200f45.46\u00a0", 45.46, 0, typed.Measured},
		{"CBL", "45.46 ± 0.12", 45.46, 0.12, typed.Measured},
		{"CBL", "~38 +/- 1", 38, 1, typed.Estimated},
		{"CBL", "4.546 cm", 45.46, 0, typed.Measured},
		{"CBL", "2 ± 0.1 cm", 20, 1, typed.Measured},
		{"CBL", "2 cm ± 0.1", 20, 1, typed.Measured},
		{"CBL", "20 mm ± 0.1 cm", 20, 1, typed.Measured},
		{"CBL_cm", "4.546", 45.46, 0, typed.Measured},
		{"CBL_cm", "45.46 mm", 45.46, 0, typed.Measured},
		{"CBL (in)", "1", 25.4, 0, typed.Measured},
		{"CBL", "1in", 25.4, 0, typed.Measured},
		{"MC/2mm", "20", 50, 0, typed.Measured},
		{"MC/mm", "10", 50, 0, typed.Measured},
		{"CBL", "~38", 38, 0, typed.Estimated},
		{"CBL", "28.05*", 28.05, 0, typed.Estimated},
		{"CH", ">24.6", 24.6, 0, typed.Minimum},
		{"CH", "≥ 24.6 mm", 24.6, 0, typed.Minimum},
		{"CH", "?", 0, 0, typed.Unknown},
		{"CH", "/", 0, 0, typed.NotApplicable},
		{"DC", "absent", 0, 0, typed.Absent},
		{"DC", "Not preserved", 0, 0, typed.NotPreserved},
	} {
		tooth := only(t, c.heading, c.cell)
		if len(tooth.Problems) > 0 || len(tooth.Values) != 1 {
			t.Errorf("%s %q: %+v", c.heading, c.cell, tooth)
			continue
		}
		if v := tooth.Values[0]; math.Abs(v.Number-c.number) > 1e-12*c.number || math.Abs(v.U-c.u) > 1e-12 || v.Mark != c.mark {
			t.Errorf("%s %q is %+v, want %v ± %v, mark %d", c.heading, c.cell, v, c.number, c.u, c.mark)
		}
	}
}

func TestRefusedCells(t *testing.T) {
	for cell, want := range map[string]string{
		"-3": "above zero", "0": "above zero", "1e9": "above zero", "600": "above zero",
		"NaN": "a number", "Inf": "a number", "0x10": "a number", "1,234.5": "a number", "1 234": "a number",
		">~3": "a number", ">3*": "a number", "<3": "a number", "absent": "a number", "mm": "a number", "> ": "a number",
		"=1+1": "a number", "\u202e5.54": "a number", "3 ± x": "uncertainty", "3 ± -1": "uncertainty",
		strings.Repeat("9", typed.MaxCell+1): "no more than 10000 bytes",
	} {
		tooth := only(t, "CBL", cell)
		if len(tooth.Problems) != 1 || !strings.Contains(tooth.Problems[0].Want, want) || len(tooth.Values) > 0 {
			t.Errorf("%.20q: %.200v", cell, tooth.Problems)
		}
	}
}

// What a column beside the value says of it, as the table of a tray has it.
func TestStandingColumn(t *testing.T) {
	for state, want := range map[string]typed.Mark{
		"": typed.Measured, "measured": typed.Measured, "estimated": typed.Estimated, "minimum": typed.Minimum,
	} {
		tooth := only(t, "CH_mm;CH_u_mm;CH_state", "24.6;0.5;"+state)
		if v := tooth.Values[0]; v.Mark != want || v.U != 0.5 {
			t.Errorf("%q: %+v", state, v)
		}
		if _, asked := tooth.Query.Values[classify.CH]; asked == (want == typed.Minimum) {
			t.Errorf("%q: the query is %v", state, tooth.Query.Values)
		}
	}
	tooth := only(t, "CH;DC_per5mm;DC_state", "20;;absent")
	if tooth.Query.Distal != classify.DenticlesAbsent {
		t.Errorf("%+v", tooth.Query)
	}
	if tooth := only(t, "CH;CH_state", "20;good"); len(tooth.Problems) != 1 {
		t.Errorf("a standing that no table has: %v", tooth.Problems)
	}
}

// only reads a table of one row; cells are parted by semicolons.
func only(t *testing.T, heading, row string) typed.Row {
	t.Helper()
	f, err := typed.Open([]byte("id;" + heading + "\nx;" + row + "\n"))
	if err != nil {
		t.Fatal(err)
	}
	tooth, ok, err := f.Rows().Next()
	if err != nil || !ok {
		t.Fatalf("%q %q: %v", heading, row, err)
	}
	return tooth
}
