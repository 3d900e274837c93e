package bench_test

import (
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

// The corners of a section, clicked round.
var corners = [][2]float64{{200, 400}, {500, 200}, {800, 400}, {500, 600}}

func TestSectionWalk(t *testing.T) {
	ends := func(mesial, distal int, outline ...[2]float64) *morph.Section {
		return &morph.Section{Outline: at(outline...), Done: true, Mesial: mesial, Distal: distal}
	}
	round := func(s *stand) {
		for _, c := range corners {
			s.click(c[0], c[1])
		}
	}
	closed := func(s *stand) { round(s); s.key("Enter") }
	for _, test := range []struct {
		name string
		do   func(*stand)
		want *morph.Section
		says int
	}{
		{
			name: "closed at the first point",
			do:   func(s *stand) { round(s); s.click(203, 404) },
			want: ends(noPoint, noPoint, corners...),
		},
		{
			name: "closed by a double-click, which puts one point",
			do: func(s *stand) {
				s.click(200, 400)
				s.click(500, 200)
				s.click(800, 400)
				s.double(500, 600)
			},
			want: ends(noPoint, noPoint, corners...),
		},
		{
			name: "closed by Enter",
			do:   closed,
			want: ends(noPoint, noPoint, corners...),
		},
		{
			name: "closed by its action",
			do:   func(s *stand) { round(s); s.act("Close the outline") },
			want: ends(noPoint, noPoint, corners...),
		},
		{
			name: "two points cannot be closed",
			do:   func(s *stand) { s.click(200, 400); s.double(500, 200) },
			want: &morph.Section{Outline: at(corners[:2]...), Mesial: noPoint, Distal: noPoint},
			says: 1,
		},
		{
			name: "a vertex near the click becomes the end",
			do:   func(s *stand) { closed(s); s.click(190, 402); s.click(803, 397) },
			want: ends(0, 2, corners...),
		},
		{
			name: "away from vertices one is put into the line",
			do:   func(s *stand) { closed(s); s.click(350, 300); s.click(350, 500) },
			want: ends(1, 5, [2]float64{200, 400}, [2]float64{350, 300}, [2]float64{500, 200}, [2]float64{800, 400}, [2]float64{500, 600}, [2]float64{350, 500}),
		},
		{
			name: "a click off the line means its nearest point",
			// (350, 300) is the foot of the perpendicular from there.
			do:   func(s *stand) { closed(s); s.click(330, 270); s.click(803, 397) },
			want: ends(1, 3, [2]float64{200, 400}, [2]float64{350, 300}, [2]float64{500, 200}, [2]float64{800, 400}, [2]float64{500, 600}),
		},
		{
			name: "both ends at one point are refused",
			do:   func(s *stand) { closed(s); s.click(200, 400); s.click(201, 400) },
			want: ends(0, noPoint, corners...),
			says: 1,
		},
		{
			name: "swapped",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.act("Swap mesial and distal")
			},
			want: ends(2, 0, corners...),
		},
		{
			name: "chosen again",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.act("Choose the ends again")
				s.click(500, 200)
				s.click(500, 600)
			},
			want: ends(1, 3, corners...),
		},
		{
			name: "another point made the mesial end",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.click(500, 200)
				s.key("m")
			},
			want: ends(1, 2, corners...),
		},
		{
			name: "the distal end made the mesial one changes them over",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.key("m")
			},
			want: ends(2, 0, corners...),
		},
		{
			name: "an end is dragged",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.drag([2]float64{200, 400}, [2]float64{180, 400}, [2]float64{150, 410})
			},
			want: ends(0, 2, [2]float64{150, 410}, [2]float64{500, 200}, [2]float64{800, 400}, [2]float64{500, 600}),
		},
		{
			name: "a point put in before the ends leaves them where they are",
			do: func(s *stand) {
				closed(s)
				s.click(500, 200)
				s.click(500, 600)
				s.click(350, 300)
			},
			want: ends(2, 4, [2]float64{200, 400}, [2]float64{350, 300}, [2]float64{500, 200}, [2]float64{800, 400}, [2]float64{500, 600}),
		},
		{
			name: "an end that is taken away is asked for again",
			do: func(s *stand) {
				closed(s)
				s.click(200, 400)
				s.click(800, 400)
				s.key("[", "[", "Delete") // from the distal end back to the mesial one
			},
			want: ends(noPoint, 1, corners[1:]...),
			says: 2, // the points gone through
		},
		{
			name: "fewer than three points are an open outline",
			do: func(s *stand) {
				s.click(200, 400)
				s.click(500, 200)
				s.click(800, 400)
				s.key("Enter", "n", "Delete")
			},
			want: &morph.Section{Outline: at(corners[1:3]...), Mesial: noPoint, Distal: noPoint},
			says: 1,
		},
		{
			name: "start again",
			do:   func(s *stand) { closed(s); s.act("Start again") },
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newStand(t)
			s.bench.SetTool(bench.Section)
			test.do(s)
			if d := cmp.Diff(test.want, s.view().Section); d != "" {
				t.Errorf("section (-want +got):\n%s", d)
			}
			if len(s.said) != test.says {
				t.Errorf("said %q, want %d sentences", s.said, test.says)
			}
		})
	}
}
