package bench_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

func bar(x0, y0, x1, y1, length float64) morph.Bar {
	return morph.Bar{From: morph.Vertex{X: x0, Y: y0}, To: morph.Vertex{X: x1, Y: y1}, Length: length, Unit: morph.Millimetre}
}

func TestScaleBar(t *testing.T) {
	first := func(s *stand) { s.click(100, 750); s.click(900, 750) }
	length := func(s *stand, mm float64) {
		if err := s.bench.SetBarLength(mm, 0, morph.Millimetre); err != nil {
			t.Error(err)
		}
	}
	for _, test := range []struct {
		name string
		do   func(*stand)
		want []morph.Bar
	}{
		{
			name: "two clicks and a length",
			do:   func(s *stand) { first(s); length(s, 10) },
			want: []morph.Bar{bar(100, 750, 900, 750, 10)},
		},
		{
			name: "one end alone is not in the record",
			do:   func(s *stand) { s.click(100, 750) },
		},
		{
			name: "a third click is no further bar",
			do:   func(s *stand) { first(s); s.click(500, 300) },
			want: []morph.Bar{bar(100, 750, 900, 750, 0)},
		},
		{
			name: "read again, it is the same bar",
			do: func(s *stand) {
				first(s)
				length(s, 10)
				s.act("Read the bar again")
				s.click(101, 740)
				s.click(899, 740)
			},
			want: []morph.Bar{bar(100, 750, 900, 750, 10), bar(101, 740, 899, 740, 10)},
		},
		{
			name: "the first end is moved before the second is put",
			do: func(s *stand) {
				s.click(100, 750)
				s.key("ArrowLeft")
				s.drag([2]float64{99, 750}, [2]float64{90, 740}, [2]float64{79, 750})
				s.click(900, 750)
			},
			want: []morph.Bar{bar(79, 750, 900, 750, 0)},
		},
		{
			name: "the first end is let go",
			do:   func(s *stand) { s.click(100, 750); s.key("Escape"); s.click(200, 750); s.click(900, 750) },
			want: []morph.Bar{bar(200, 750, 900, 750, 0)},
		},
		{
			name: "both ends in one place are no bar",
			do:   func(s *stand) { s.click(100, 750); s.double(100, 750) },
		},
		{
			name: "an end taken away is asked for again",
			do:   func(s *stand) { first(s); s.click(100, 750); s.key("Delete"); s.click(300, 700) },
			want: []morph.Bar{bar(900, 750, 300, 700, 0)},
		},
		{
			name: "a length goes to the selected bar",
			do: func(s *stand) {
				first(s)
				length(s, 10)
				s.act("Read the bar again")
				s.click(101, 700)
				s.click(899, 700)
				s.click(100, 750)
				length(s, 20)
			},
			want: []morph.Bar{bar(100, 750, 900, 750, 20), bar(101, 700, 899, 700, 10)},
		},
		{
			name: "a reading is removed",
			do: func(s *stand) {
				first(s)
				length(s, 10)
				s.key("r")
				s.click(101, 700)
				s.click(899, 700)
				s.act("Remove this reading")
			},
			want: []morph.Bar{bar(100, 750, 900, 750, 10)},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newStand(t)
			s.bench.SetTool(bench.Scale)
			test.do(s)
			if d := cmp.Diff(test.want, s.view().Bars); d != "" {
				t.Errorf("bars (-want +got):\n%s", d)
			}
		})
	}
}

func TestBarLengthRefused(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Scale)
	if err := s.bench.SetBarLength(10, 0, morph.Millimetre); err == nil || !strings.Contains(err.Error(), "two ends") {
		t.Errorf("without a bar: %v", err)
	}
	s.click(100, 750)
	s.click(900, 750)
	for _, test := range []struct {
		length, u float64
		unit      morph.Unit
		word      string
	}{
		{0, 0, morph.Millimetre, "above 0"},
		{-1, 0, morph.Millimetre, "above 0"},
		{math.NaN(), 0, morph.Millimetre, "above 0"},
		{math.Inf(1), 0, morph.Millimetre, "above 0"},
		{10, -1, morph.Millimetre, "uncertainty"},
		{10, math.NaN(), morph.Millimetre, "uncertainty"},
		{10, 0, "furlong", "furlong"},
		{10, 0, "", "unit"},
	} {
		err := s.bench.SetBarLength(test.length, test.u, test.unit)
		if err == nil || !strings.Contains(err.Error(), test.word) {
			t.Errorf("SetBarLength(%v, %v, %q) = %v, want a sentence with %q", test.length, test.u, test.unit, err, test.word)
		}
	}
	if got := s.view().Bars[0].Length; got != 0 {
		t.Errorf("a refused length was taken: %v", got)
	}
}

// The length last given is proposed for the next photo, and only proposed.
func TestBarLengthProposed(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Scale)
	s.click(100, 750)
	s.click(900, 750)
	if _, entered, ok := s.bench.BarLength(); entered || !ok {
		t.Errorf("a new bar: entered %v, ok %v", entered, ok)
	}
	if err := s.bench.SetBarLength(2, 0.1, morph.Centimetre); err != nil {
		t.Fatal(err)
	}
	if b, entered, ok := s.bench.BarLength(); b.Length != 2 || !entered || !ok {
		t.Errorf("the bar: %v, entered %v, ok %v", b, entered, ok)
	}

	next := morph.View{ID: "p2", Role: morph.BasalView, Bars: []morph.Bar{bar(0, 0, 10, 0, 0)}}
	s.bench.Show(&next, 1000, 800)
	b, entered, ok := s.bench.BarLength()
	if b.Length != 2 || b.ULength != 0.1 || b.Unit != morph.Centimetre || entered || !ok {
		t.Errorf("proposed %v, entered %v, ok %v; want 2 ± 0.1 cm, not entered", b, entered, ok)
	}
	if next.Bars[0].Length != 0 {
		t.Error("the proposal went into the record")
	}
}
