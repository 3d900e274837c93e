package desk_test

import (
	"math"
	"slices"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	"crownbench/wasm/tray"
)

// onCard puts a photograph on the bench that has a card of 40 × 25 mm, 10 px
// per mm and level.
func onCard(d *desk.Desk) {
	p := photo("side", "a.jpg")
	p.Flat = &morph.Flat{Corners: [4]morph.Vertex{{}, {X: 400}, {X: 400, Y: 250}, {Y: 250}}, Unit: morph.Millimetre}
	d.AddPhotos(p)
}

func TestCardCells(t *testing.T) {
	d, _ := newDesk()
	onCard(d)
	if d.Bench.Tool() != bench.Scale {
		t.Error("a card without sides is taken for a scale")
	}
	for _, c := range []struct {
		cell desk.CardCell
		text string
		why  string
	}{
		{desk.CardWidth, "forty", "forty"},
		{desk.CardWidth, "", "above 0"},
		{desk.CardHeight, "-25", "below zero"},
		{desk.CardU, "-1", "below zero"},
	} {
		d.SetCard(c.cell, c.text)
		if r, refused := d.Refused(string(c.cell)); !refused || !strings.Contains(r.Why, c.why) {
			t.Errorf("%s %q: %+v, want a sentence with %q", c.cell, c.text, r, c.why)
		}
	}
	d.SetCard(desk.CardWidth, "40 ± 0,1")
	d.SetCard(desk.CardHeight, "25")
	if _, refused := d.Refused("card-width"); refused {
		t.Error("a good width is still refused")
	}
	if f := d.Photo().Flat; f.Width != 40 || f.Height != 25 || f.USide != 0.1 {
		t.Errorf("the card is %+v", f)
	}
	if s, err := d.Photo().Scale(); err != nil || math.Abs(s.PxPerMM-10) > 1e-9 {
		t.Errorf("scale %v, %v", s, err)
	}
	d.SetCardUnit(morph.Centimetre)
	if s, _ := d.Photo().Scale(); math.Abs(s.PxPerMM-1) > 1e-9 {
		t.Errorf("in cm: %v px per mm", s.PxPerMM)
	}
}

// The sides of one photograph's card are proposed for the next, and count only
// once they are confirmed.
func TestCardConfirmed(t *testing.T) {
	d, _ := newDesk()
	onCard(d)
	d.SetCard(desk.CardWidth, "40")
	d.SetCard(desk.CardHeight, "25")
	next := photo("base", "base.jpg")
	next.Hash = strings.Repeat("cd", 32)
	next.Flat = &morph.Flat{Corners: d.Photo().Flat.Corners, Unit: morph.Millimetre}
	d.AddPhotos(next)
	d.SelectPhoto("base")
	if d.Photo().Scaled() {
		t.Fatal("a proposal counts")
	}
	d.ConfirmCard()
	if f := d.Photo().Flat; f.Width != 40 || f.Height != 25 || !d.Photo().Scaled() {
		t.Errorf("confirmed, the card is %+v", f)
	}
}

// CALC: 10 mm nearer to a lens 500 mm away, lengths are multiplied by
// 1 − 10/500 = 0.98.
func TestDepthCells(t *testing.T) {
	d, _ := newDesk()
	onCard(d)
	d.SetCard(desk.CardWidth, "40")
	d.SetCard(desk.CardHeight, "25")
	d.SetDepth(desk.DepthOffset, "10 ± 2")
	d.SetDepth(desk.DepthDistance, "500 ± 20")
	if got, want := *d.Photo().Depth, (morph.Depth{Offset: 10, UOffset: 2, Distance: 500, UDistance: 20}); got != want {
		t.Errorf("depth %+v, want %+v", got, want)
	}
	if without, with, err := d.Photo().DepthEffect(); err != nil || math.Abs(with.Depth-0.98) > 1e-12 || with.RelU <= without.RelU {
		t.Errorf("effect: %v → %v, %v", without, with, err)
	}
	d.SetFarther(true)
	if got := d.Photo().Depth.Offset; got != -10 || !d.Farther() {
		t.Errorf("farther: %v", got)
	}
	d.SetDepth(desk.DepthU, "-1")
	if _, refused := d.Refused("depth-u"); !refused {
		t.Error("an uncertainty below 0 was taken")
	}
	d.SetDepth(desk.DepthOffset, "")
	d.SetDepth(desk.DepthU, "")
	d.SetDepth(desk.DepthDistance, "")
	if d.Photo().Depth != nil {
		t.Errorf("emptied: %+v", d.Photo().Depth)
	}
	// The way is kept for what is typed next.
	d.SetDepth(desk.DepthOffset, "3")
	if got := d.Photo().Depth.Offset; got != -3 {
		t.Errorf("after farther, 3 mm is %v", got)
	}
}

// A corner that is not in the record yet is what Undo takes back first.
func TestUndoTakesBackACorner(t *testing.T) {
	d, _ := newDesk()
	d.AddPhotos(photo("side", "a.jpg"))
	d.MeasureByCard(true)
	d.Bench.Resize(440, 340, 1)
	for i, x := range []float64{100, 200} {
		for _, kind := range []bench.PointerKind{bench.Down, bench.Up} {
			d.Bench.Pointer(bench.PointerEvent{Kind: kind, ID: 1, X: x, Y: 100 + float64(50*i)})
		}
	}
	before := d.Specimen()
	d.Undo()
	if got := d.Bench.Prompt().Text; !strings.Contains(got, "(Q)") || d.Specimen() != before {
		t.Errorf("after one undo the step says %q", got)
	}
	d.Undo()
	d.Undo()
	if d.Photo() != nil {
		t.Error("the third undo did not take the photograph back")
	}
}

// Intervals are drawn only where a reading is open, after the person has paused,
// and hold for the tooth as it is.
func TestSpreadAfterAPause(t *testing.T) {
	d, out := newDesk()
	din1(d)
	d.TypeValue("CBW", "15.15 ± 0.2", desk.Done)
	if out.rested != nil {
		t.Error("draws nobody looks at")
	}
	d.ToggleReading("CBW")
	d.TypeValue("CBW", "15.15 ± 0.3", desk.Done)
	if _, there := d.Spread(d.Specimen()); there || len(out.rested) != 2 {
		t.Fatalf("%d orders; drawn before a pause: %v", len(out.rested), there)
	}
	turns := 0
	out.turn = func() { turns++ }
	out.rested[0]()
	if turns != 0 {
		t.Error("draws of what is there no more")
	}
	out.rested[1]()
	x, there := d.Spread(d.Specimen())
	if !there || x.Drawn.Draws != tray.Draws || turns < tray.Draws {
		t.Fatalf("drawn %v, %d draws, %d turns", there, x.Drawn.Draws, turns)
	}
	// CALC: 15.15 ± 1.96 · 0.3; the ends of 2,000 draws are good to 0.02.
	low, high, ok := x.Interval("CBW")
	if !ok || math.Abs(low-(15.15-0.588)) > 0.05 || math.Abs(high-(15.15+0.588)) > 0.05 {
		t.Errorf("interval %g to %g", low, high)
	}
	if _, _, ok := x.Interval("CH"); ok {
		t.Error("an interval of a value that no ± is stated of")
	}
	d.ToggleReading("CH")
	if len(out.rested) != 2 {
		t.Error("drawn again for the same state")
	}
	d.Undo()
	if _, there := d.Spread(d.Specimen()); there {
		t.Error("the draws of another state are shown")
	}
}

// A tooth that was left before the pause is drawn when it is taken up again.
func TestSpreadOfAToothTakenUpAgain(t *testing.T) {
	d, out := newDesk()
	din1(d)
	d.TypeValue("CBW", "15.15 ± 0.2", desk.Done)
	d.ToggleReading("CBW")
	id := d.Specimen().ID
	d.Select("")
	out.rested[0]()
	d.Select(id)
	if len(out.rested) != 2 {
		t.Fatalf("%d orders", len(out.rested))
	}
	out.rested[1]()
	if _, there := d.Spread(d.Specimen()); !there {
		t.Error("not drawn")
	}
}

// A tooth that is changed while it is drawn is left to be drawn anew.
func TestSpreadIsBrokenOff(t *testing.T) {
	d, out := newDesk()
	din1(d)
	d.TypeValue("CBW", "15.15 ± 0.2", desk.Done)
	d.ToggleReading("CBW")
	turns := 0
	out.turn = func() {
		if turns++; turns == 10 {
			d.TypeValue("CBW", "15.15 ± 0.4", desk.Done)
		}
	}
	slices.Clone(out.rested)[0]()
	if _, there := d.Spread(d.Specimen()); there || turns > 20 {
		t.Errorf("after %d turns: drawn %v", turns, there)
	}
	if len(out.rested) != 2 {
		t.Fatalf("%d orders", len(out.rested))
	}
	out.rested[1]()
	if _, there := d.Spread(d.Specimen()); !there {
		t.Error("the new state was not drawn")
	}
}
