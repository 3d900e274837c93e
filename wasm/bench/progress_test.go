package bench_test

import (
	"testing"

	"crownbench/wasm/bench"
)

// Each walk has not begun, is under way, and is complete in turn.
func TestProgress(t *testing.T) {
	for _, test := range []struct {
		tool  bench.Tool
		begin func(*stand)
		end   func(*stand)
	}{
		{
			bench.Scale,
			func(s *stand) { s.click(100, 750) },
			func(s *stand) {
				s.click(900, 750)
				if got := s.bench.Progress(bench.Scale); got != bench.UnderWay {
					t.Errorf("a bar without a length: %d, want UnderWay", got)
				}
				if err := s.bench.SetBarLength(10, 0, "mm"); err != nil {
					t.Error(err)
				}
			},
		},
		{
			bench.Crown,
			func(s *stand) { s.click(100, 700) },
			func(s *stand) { s.click(300, 100); s.key("g"); s.click(400, 700); s.key("b") },
		},
		{
			bench.Section,
			func(s *stand) { s.click(200, 400) },
			func(s *stand) {
				s.click(500, 200)
				s.click(800, 400)
				s.key("c")
				if got := s.bench.Progress(bench.Section); got != bench.UnderWay {
					t.Errorf("an outline without ends: %d, want UnderWay", got)
				}
				s.click(200, 400)
				s.click(800, 400)
			},
		},
		{
			bench.Denticles,
			func(s *stand) { s.click(100, 700) },
			func(s *stand) { s.double(100, 100) },
		},
	} {
		s := newStand(t)
		s.bench.SetTool(test.tool)
		if got := s.bench.Tool(); got != test.tool {
			t.Fatalf("tool %d, want %d", got, test.tool)
		}
		for i, do := range []func(*stand){func(*stand) {}, test.begin, test.end} {
			do(s)
			if got := s.bench.Progress(test.tool); got != bench.Progress(i) {
				t.Errorf("tool %d, step %d: progress %d", test.tool, i, got)
			}
		}
		s.bench.Show(nil, 0, 0)
		if got := s.bench.Progress(test.tool); got != bench.NotBegun {
			t.Errorf("tool %d without a photo: progress %d", test.tool, got)
		}
	}
}
