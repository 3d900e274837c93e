package morph_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"crownbench/morph"
)

func bar(px, length float64, unit morph.Unit) morph.Bar {
	return morph.Bar{From: morph.Vertex{X: 100, Y: 200}, To: morph.Vertex{X: 100 + 0.6*px, Y: 200 + 0.8*px}, Length: length, Unit: unit}
}

// CALC: a bar of 10 mm over 800 px, each length good to 2 px in all (√2 px a
// point): 80 px per mm, and 3,637 px are 45.4625 ± 0.116373 mm.
func TestScaleAndLength(t *testing.T) {
	s, err := morph.ScaleOf([]morph.Bar{bar(800, 10, morph.Millimetre)}, math.Sqrt2)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "px per mm", s.PxPerMM, 80, 1e-9)
	near(t, "length", s.MM(3637), 45.4625, 1e-6)
	near(t, "relative uncertainty", s.RelU, 2.0/800, 1e-12)
	near(t, "u", s.MM(3637)*math.Hypot(s.RelU, 2.0/3637), 0.116373, 1e-6)

	// The same through the readings of a crown.
	tooth := morph.Tooth{Views: []morph.View{{
		ID: "a", Role: morph.LateralLabial, Pointing: math.Sqrt2, Bars: []morph.Bar{bar(800, 10, morph.Millimetre)},
		Crown: &morph.Crown{Path: morph.Path{{X: 0, Y: 0}, {X: 4000, Y: -3000}, {X: 3637, Y: 0}}, Apex: 1, Done: true},
	}}}
	r := morph.Read(tooth).Get(morph.CBL)
	near(t, "CBL", r.Value, 45.4625, 1e-6)
	near(t, "CBL u", r.U, 0.116373, 1e-6)
}

func TestScaleUnits(t *testing.T) {
	for unit, px := range map[morph.Unit]float64{morph.Millimetre: 100, morph.Centimetre: 10, morph.Inch: 100 / 25.4} {
		s, err := morph.ScaleOf([]morph.Bar{bar(1000, 10, unit)}, 1)
		if err != nil {
			t.Fatal(err)
		}
		nearRel(t, string(unit), s.PxPerMM, px, 1e-12)
	}
}

// CALC: the mean of repeats; the greater of what pointing predicts for it and
// of the standard error seen; the bar's own error in full.
func TestScaleFromRepeats(t *testing.T) {
	close := []morph.Bar{bar(800, 10, morph.Millimetre), bar(800.2, 10, morph.Millimetre)}
	s, err := morph.ScaleOf(close, 1)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "mean", s.PxPerMM, 80.01, 1e-9)
	nearRel(t, "pointing leads", s.RelU, math.Sqrt2/math.Sqrt2/800.1, 1e-6)

	far := []morph.Bar{bar(790, 10, morph.Millimetre), bar(810, 10, morph.Millimetre)}
	s, err = morph.ScaleOf(far, 1)
	if err != nil {
		t.Fatal(err)
	}
	// SD of 79 and 81 is √2, over √2 readings: 1 in 80.
	nearRel(t, "repeats lead", s.RelU, 1.0/80, 1e-9)
	nearRel(t, "spread", s.Spread, 2.0/80, 1e-9)

	for i := range far {
		far[i].ULength = 0.2
	}
	s, err = morph.ScaleOf(far, 1)
	if err != nil {
		t.Fatal(err)
	}
	nearRel(t, "with the bar's length", s.RelU, math.Hypot(1.0/80, 0.02), 1e-9)
}

func TestScaleRefuses(t *testing.T) {
	nan := bar(800, 10, morph.Millimetre)
	nan.To.X = math.NaN()
	for say, bars := range map[string][]morph.Bar{
		"no scale yet":          nil,
		"above 0, not 0":        {bar(800, 0, morph.Millimetre)},
		"above 0, not -1":       {bar(800, -1, morph.Millimetre)},
		"above 0, not infinity": {bar(800, math.Inf(1), morph.Millimetre)},
		"the same point":        {bar(0, 10, morph.Millimetre)},
		"no position":           {nan},
		"px per mm, outside":    {bar(800, 1e6, morph.Centimetre)},
		"is not known":          {bar(800, 10, "furlong")},
		"too short":             {bar(1, 2, morph.Millimetre)},
	} {
		if _, err := morph.ScaleOf(bars, 2); err == nil || !strings.Contains(err.Error(), say) {
			t.Errorf("error %v, want one that says %q", err, say)
		}
	}
}

func ExampleScaleOf() {
	// A bar of 10 mm clicked from (0,0) to (800,0), each click good to 1 px.
	bars := []morph.Bar{{To: morph.Vertex{X: 800}, Length: 10, Unit: morph.Millimetre}}
	s, err := morph.ScaleOf(bars, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f px per mm, ± %.2f %%\n", s.PxPerMM, 100*s.RelU)
	// Output: 80.0 px per mm, ± 0.18 %
}
