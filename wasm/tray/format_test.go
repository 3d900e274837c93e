package tray_test

import (
	"math"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

func TestFormatValue(t *testing.T) {
	tests := []struct {
		r    morph.Reading
		want string
	}{
		// Two significant digits of the uncertainty and the value to the same
		// place: common practice, after the GUM (JCGM 100:2008, 7.2.6; from
		// memory).
		{known("mm", 45.4625, 0.116373, ""), "45.46 ± 0.12"}, // length and u of the scale bar example: 3,637 px at 80 px/mm, closed form
		{known("mm", 45.4625, 0.0996, ""), "45.46 ± 0.10"},
		{known("mm", 45.4627, 0.00996, ""), "45.463 ± 0.010"},
		{known("mm", 45.4625, 1.2, ""), "45.5 ± 1.2"},
		{known("mm", 45.4625, 12, ""), "45 ± 12"},
		{known("mm³", 6620.271966, 123, ""), "6620 ± 120"},
		{known("mm³", 6620.271966, 998, ""), "6600 ± 1000"},
		{known("", 0.717774, 0.00274, ""), "0.7178 ± 0.0027"},
		{known("°", 59.763528, 0.55, ""), "59.76 ± 0.55"},
		{known("mm", 0.0004, 0.12, ""), "0.00 ± 0.12"},

		{known("mm", 22.6, 0, ""), "22.6"},
		{known("mm", 45.46, 0, ""), "45.46"},
		{known("mm", 0.05, 0, ""), "0.05"},
		{known("mm", 5/13.6, 0, ""), "0.368"},
		{known("", 0.717774, 0, ""), "0.718"},
		{known("", 0.5, 0, ""), "0.5"},
		{known("°", 59.763528, 0, ""), "59.8"},
		{known("per 5 mm", 9.666667, 0, ""), "9.67"},
		{known("mm⁴", 150478.7818, 0, ""), "150478.8"},
		{known("mm", 100, 0, ""), "100"},
		{known("mm", 0, 0, ""), "0"},

		{known("mm", 38, 0, morph.Estimated), "~38"},
		{known("mm", 24.6, 0.2, morph.Minimum), ">24.60 ± 0.20"},
		{known("mm", 0, 0, morph.Absent), "absent"},
		{known("mm", 0, 0, morph.NotPreserved), "not preserved"},
		{known("mm", 0, 0, morph.NotApplicable), "/"},
		{known("mm", 0, 0, morph.Unknown), "?"},
		{morph.Reading{State: morph.Absent}, "absent"},
		{morph.Reading{}, "—"},
		{known("mm", math.NaN(), 0, ""), "—"},
		{known("mm", math.Inf(1), 0, ""), "—"},
		{known("mm", 2.5, math.Inf(1), ""), "2.5"},
		{known("mm", 2.5, math.NaN(), ""), "2.5"},
	}
	for _, tt := range tests {
		if got := tray.FormatValue(tt.r); got != tt.want {
			t.Errorf("FormatValue(%v ± %v %s, %q) = %q, want %q", tt.r.Value, tt.r.U, tt.r.Unit, tt.r.State, got, tt.want)
		}
	}
}

func known(unit string, value, u float64, state morph.State) morph.Reading {
	return morph.Reading{Quantity: morph.Quantity{Unit: unit}, Known: true, Value: value, U: u, State: state}
}

func TestFormatReading(t *testing.T) {
	tests := []struct {
		r    morph.Reading
		want string
	}{
		{known("mm", 45.4625, 0.116373, ""), "45.46 ± 0.12 mm"},
		{known("°", 59.763528, 0, ""), "59.8°"},
		{known("°", 59.763528, 0.55, ""), "59.76 ± 0.55°"},
		{known("per 5 mm", 9, 0, ""), "9 per 5 mm"},
		{known("", 0.5, 0, ""), "0.5"},
		{known("mm", 0, 0, morph.Absent), "absent"},
		{morph.Reading{Quantity: morph.Quantity{Unit: "mm"}}, "—"},
	}
	for _, tt := range tests {
		if got := tray.FormatReading(tt.r); got != tt.want {
			t.Errorf("FormatReading(%v %s) = %q, want %q", tt.r.Value, tt.r.Unit, got, tt.want)
		}
	}
}

// The shown value is off by no more than half of the last place that the
// uncertainty leaves, and the shown uncertainty by no more than 5 %.
func TestFormatValueRounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(0.01, 1e5).Draw(t, "value")
		u := value * rapid.Float64Range(1e-4, 2).Draw(t, "relative u")
		text := tray.FormatValue(known("mm", value, u, ""))
		v, w, state, err := tray.ParseNumber(text)
		if err != nil || state != "" {
			t.Fatalf("%q reads as %q, %v", text, state, err)
		}
		if math.Abs(v-value) > 0.0501*u || math.Abs(w-u) > 0.0501*u {
			t.Fatalf("%v ± %v shows as %q", value, u, text)
		}
	})
}
