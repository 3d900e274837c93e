package bench_test

import (
	"testing"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
	"crownbench/wasm/bench"
)

// The last bar's length is proposed for one that is divided as that was, and not
// for another bar: the parts are those that the generator drew.
func TestLengthProposedForABarDividedAlike(t *testing.T) {
	find := func(blocks int) *bench.Sight {
		img, _, err := toothphoto.Render(drawn, toothphoto.Shot{
			View: toothphoto.LateralLabial, Width: 1000, Height: 800, X: 0.4, Y: 0.42, PxPerMM: 11, LightFrom: 315, Blur: 0.6, Noise: 1,
			Bar: toothphoto.ScaleBar{Length: 40, Blocks: blocks, X: 0.5, Y: 0.9}, Seed: 3,
		})
		if err != nil {
			t.Fatal(err)
		}
		p, err := vision.PictureOf(img)
		if err != nil {
			t.Fatal(err)
		}
		return &bench.Sight{Picture: p, Factor: 1}
	}
	s := standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial}, 1000, 800)
	four, eight := find(4), find(8)
	s.bench.SetTool(bench.Scale)
	s.sight = four
	s.offer(t, "Find the scale bar")
	if err := s.bench.SetBarLength(4, 0, morph.Centimetre); err != nil {
		t.Fatal(err)
	}
	for i, c := range []struct {
		sight *bench.Sight
		want  float64
	}{{eight, 0}, {four, 4}} {
		next := morph.View{ID: string(rune('q' + i)), Role: morph.BasalView}
		s.bench.Show(&next, 1000, 800)
		s.sight = c.sight
		s.offer(t, "Find the scale bar")
		bar, entered, ok := s.bench.BarLength()
		if bar.Length != c.want || bar.Unit != morph.Centimetre || entered || !ok {
			t.Errorf("bar %d: %v %s is proposed, want %v cm (%q)", i, bar.Length, bar.Unit, c.want, s.bench.Prompt().Text)
		}
	}
}
