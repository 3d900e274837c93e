package tray_test

import (
	"math"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

func TestParseNumber(t *testing.T) {
	tests := []struct {
		cell   string
		value  float64
		u      float64
		state  morph.State
		source string
	}{
		// The marks of published tables, as in the table compiled by Hendrickx
		// et al. 2024 (READ): "?", "/", ">24.6", "~38", "28.05*", "absent".
		{"?", 0, 0, morph.Unknown, "Hendrickx et al. 2024"},
		{"/", 0, 0, morph.NotApplicable, "Hendrickx et al. 2024"},
		{">24.6", 24.6, 0, morph.Minimum, "Hendrickx et al. 2024"},
		{"~38", 38, 0, morph.Estimated, "Hendrickx et al. 2024"},
		{"28.05*", 28.05, 0, morph.Estimated, "Hendrickx et al. 2024"},
		{"absent", 0, 0, morph.Absent, "Hendrickx et al. 2024"},
		{"0.64800000000000002", 0.648, 0, "", "Hendrickx et al. 2024: decimal tails"},
		{"45.46", 45.46, 0, "", "CBL of FMNH PR2081 mx05, Hendrickx et al. 2024"},

		{" Absent ", 0, 0, morph.Absent, "own rule"},
		{"not  preserved", 0, 0, morph.NotPreserved, "own rule"},
		{"45,46", 45.46, 0, "", "decimal comma"},
		{"1,234", 1.234, 0, "", "a single comma is a decimal mark"},
		{"\u00a045.46\u202f", 45.46, 0, "", "spaces of spreadsheets"},
		{"0", 0, 0, "", "own rule"},
		{".5", 0.5, 0, "", "own rule"},
		{"007", 7, 0, "", "own rule"},
		{"> 24,6", 24.6, 0, morph.Minimum, "own rule"},
		{">=24.6", 0, 0, "refused", "own rule"},
		{"≥24.6", 24.6, 0, morph.Minimum, "own rule"},
		{"~28.05*", 28.05, 0, morph.Estimated, "twice the same mark"},
		{"24.6±0.2", 24.6, 0.2, "", "own rule"},
		{"24.6 ± 0,2", 24.6, 0.2, "", "own rule"},
		{"24.6 +/- 0.2", 24.6, 0.2, "", "own rule"},
		{"24.6+-0.2", 24.6, 0.2, "", "own rule"},
		{">24.6 ± 0.2", 24.6, 0.2, morph.Minimum, "own rule"},
		// 1 in = 25.4 mm exactly (international yard and pound agreement 1959,
		// from memory).
		{"22.6mm", 22.6, 0, "", "own rule"},
		{"2.26 cm", 22.6, 0, "", "own rule"},
		{"2.26 CM ± 0.01", 22.6, 0.1, "", "the unit is that of both"},
		{"2.26 ± 0.01 cm", 22.6, 0.1, "", "the unit is that of both"},
		{"2.26 cm ± 0.1 mm", 22.6, 0.1, "", "each its own unit"},
		{"1 in", 25.4, 0, "", "definition of the inch"},
		{"0,5inch ± 0.01 in", 12.7, 0.254, "", "definition of the inch"},
		{"2 inches", 50.8, 0, "", "definition of the inch"},
	}
	for _, tt := range tests {
		value, u, state, err := tray.ParseNumber(tt.cell)
		if tt.state == "refused" {
			if err == nil {
				t.Errorf("ParseNumber(%q) = %v, %v, %q; want it refused", tt.cell, value, u, state)
			}
			continue
		}
		if err != nil {
			t.Errorf("ParseNumber(%q): %v", tt.cell, err)
			continue
		}
		if !near(value, tt.value) || !near(u, tt.u) || state != tt.state {
			t.Errorf("ParseNumber(%q) = %v, %v, %q; want %v, %v, %q (%s)",
				tt.cell, value, u, state, tt.value, tt.u, tt.state, tt.source)
		}
	}
}

func near(a, b float64) bool { return math.Abs(a-b) <= 1e-12*max(1, math.Abs(b)) }

func TestParseNumberRefuses(t *testing.T) {
	for cell, says := range map[string]string{
		"":                         "nothing was typed",
		" \t ":                     "nothing was typed",
		"1,234.5":                  "groups digits",
		"1.234,5":                  "groups digits",
		"1,234,567":                "groups digits",
		"1 234":                    "groups digits",
		"1'234":                    "groups digits",
		"22.6 22.7":                "groups digits",
		"-3":                       "below zero",
		"−3":                       "below zero",
		"abc":                      `"abc" is not a number`,
		"1e3":                      "not a number",
		"0x10":                     "not a number",
		"NaN":                      "not a number",
		"Inf":                      "not a number",
		"24.6 (broken)":            "not a number",
		"٣":                        "not a number",
		"24.6 kg":                  "not a number",
		"24.6 ± ":                  "after the ±",
		"24.6 ± -0.2":              "after the ±",
		"± 0.2":                    "no number",
		"mm":                       "no number",
		">":                        "no number",
		".":                        "no digits",
		"<24.6":                    "greatest value",
		">24.6*":                   "both as a minimum",
		">~38":                     "both as a minimum",
		"24.6 ± 0.1 ± 0.2":         "after the ±",
		"10000000000":              "larger than anything",
		strings.Repeat("9", 180):   "larger than anything",
		strings.Repeat("1", 10000): "longer than",
	} {
		value, u, state, err := tray.ParseNumber(cell)
		if err == nil {
			t.Errorf("ParseNumber(%.40q) = %v, %v, %q; want it refused", cell, value, u, state)
			continue
		}
		if !strings.Contains(err.Error(), says) {
			t.Errorf("ParseNumber(%.40q) says %q; want it to say %q", cell, err, says)
		}
		if value != 0 || u != 0 || state != "" {
			t.Errorf("ParseNumber(%.40q) = %v, %v, %q beside its error", cell, value, u, state)
		}
	}
}

func TestParseTyped(t *testing.T) {
	quantity := func(id morph.ID) morph.Quantity {
		q, ok := morph.QuantityOf(id)
		if !ok {
			t.Fatalf("no quantity %s", id)
		}
		return q
	}
	for _, tt := range []struct {
		id   morph.ID
		cell string
		want morph.Typed
		says string
	}{
		{morph.CBL, "2.26 cm", morph.Typed{Value: 22.6}, ""},
		{morph.CBL, "~22.6 ± 0.1", morph.Typed{Value: 22.6, U: 0.1, State: morph.Estimated}, ""},
		{morph.CBR, "0.61", morph.Typed{Value: 0.61}, ""},
		{morph.DC, "absent", morph.Typed{State: morph.Absent}, ""},
		{morph.CBR, "0.61 cm", morph.Typed{}, "CBR is a plain number; leave out the cm"},
		{morph.CBR, "0.61 ± 0.1 mm", morph.Typed{}, "leave out the mm"},
		{morph.DC, "12 mm", morph.Typed{}, "DC is given per 5 mm; leave out the mm"},
		{morph.CBL, "x", morph.Typed{}, "not a number"},
	} {
		got, err := tray.ParseTyped(quantity(tt.id), tt.cell)
		if tt.says != "" {
			if err == nil || !strings.Contains(err.Error(), tt.says) || got != tt.want {
				t.Errorf("%s %q = %v, %v; want it to say %q", tt.id, tt.cell, got, err, tt.says)
			}
			continue
		}
		if err != nil || !near(got.Value, tt.want.Value) || !near(got.U, tt.want.U) || got.State != tt.want.State {
			t.Errorf("%s %q = %v, %v; want %v", tt.id, tt.cell, got, err, tt.want)
		}
	}
}

func TestParsePlain(t *testing.T) {
	if v, u, err := tray.ParsePlain("9,5 ± 0.5"); v != 9.5 || u != 0.5 || err != nil {
		t.Errorf("%v ± %v, %v", v, u, err)
	}
	for cell, says := range map[string]string{
		"1 cm": "names a unit", "1 ± 0.1 mm": "names a unit", "~9": "marked as estimated", ">9": "marked as minimum", "?": "marked as unknown", "": "nothing was typed",
	} {
		if v, u, err := tray.ParsePlain(cell); err == nil || !strings.Contains(err.Error(), says) || v != 0 || u != 0 {
			t.Errorf("%q = %v ± %v, %v; want it to say %q", cell, v, u, err, says)
		}
	}
}

// What strconv writes is read back as the same number, with a point or a comma.
func TestParseNumberReadsPlainDecimals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want := rapid.Float64Range(1e-9, 1e6).Draw(t, "value")
		text := strconv.FormatFloat(want, 'f', -1, 64)
		if rapid.Bool().Draw(t, "comma") {
			text = strings.Replace(text, ".", ",", 1)
		}
		got, u, state, err := tray.ParseNumber(text)
		if err != nil || got != want || u != 0 || state != "" {
			t.Fatalf("ParseNumber(%q) = %v, %v, %q, %v; want %v", text, got, u, state, err, want)
		}
	})
}

func FuzzParseNumber(f *testing.F) {
	for _, s := range []string{"45.46", "45,46 ± 0,12 mm", ">24.6", "~38*", "?", "/", "absent", "1,234.5", "2 in +/- 1 mm", "±", "≈\xff"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		value, u, state, err := tray.ParseNumber(s)
		if err != nil {
			if value != 0 || u != 0 || state != "" || err.Error() == "" {
				t.Fatalf("ParseNumber(%q) = %v, %v, %q beside %q", s, value, u, state, err)
			}
			return
		}
		if !(value >= 0 && value <= tray.MaxNumber) || !(u >= 0 && u <= tray.MaxNumber) {
			t.Fatalf("ParseNumber(%q) = %v ± %v", s, value, u)
		}
		// What was understood can be kept, and reads as it is shown.
		sp := &tray.Specimen{ID: "x", Typed: map[morph.ID]morph.Typed{"CBL": {Value: value, U: u, State: state}}}
		if err := sp.Check(); err != nil {
			t.Fatalf("ParseNumber(%q) cannot be kept: %v", s, err)
		}
		shown := tray.FormatValue(morph.Reading{Quantity: morph.Quantity{Unit: "mm"}, Known: true, Value: value, U: u, State: state})
		_, _, again, err := tray.ParseNumber(shown)
		if err != nil || again != state {
			t.Fatalf("%q shows as %q, which reads as %q, %v", s, shown, again, err)
		}
	})
}
