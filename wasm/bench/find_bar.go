package bench

import (
	"fmt"

	"crownbench/morph"
	"crownbench/morph/vision/scalebar"
	"gonum.org/v1/gonum/spatial/r2"
)

// findBar has the picture asked for its scale bar.
func (w scaleWalk) findBar() Action {
	return Action{"Find the scale bar", "f", func() {
		w.again = false
		w.ask(search{
			undo: "take the proposed scale bar", find: barIn,
			replaces: func() string { return "" }, // it is one more reading
			take: func(v, found *morph.View) {
				v.Bars = append(v.Bars, found.Bars[0])
			},
		})
	}}
}

func barIn(s Sight, _ r2.Vec) (finding, error) {
	found, err := scalebar.Find(s.Picture)
	if err != nil {
		return finding{}, err
	}
	bar := found.Reading(0, morph.Millimetre)
	bar.Origin = morph.Proposed
	if length, unit, ok := found.Guess(); ok {
		bar.Length, bar.Unit = length, unit
	}
	bar.From, bar.To = s.grow(morph.Path{bar.From})[0], s.grow(morph.Path{bar.To})[0]
	var say string
	switch {
	case found.Kind == scalebar.Line || found.Divisions < 2:
		say = "A plain line, which may be the scale bar. How long is it from end to end?"
	case found.Kind == scalebar.Ruler:
		say = fmt.Sprintf("A ruler of %d even divisions. How long is it from end to end?", found.Divisions)
	default:
		say = fmt.Sprintf("A bar of %d even blocks. How long is it from end to end?", found.Divisions)
	}
	if found.Kind != scalebar.Line && found.Confidence < trusted {
		say += " Look at its ends twice."
	}
	v := morph.View{Bars: []morph.Bar{bar}}
	// The divisions are shown, so that they can be counted.
	for k := 1; k < found.Divisions && found.Divisions <= mostDivisions; k++ {
		at := r2.Add(bar.From.Vec(), r2.Scale(float64(k)/float64(found.Divisions), r2.Sub(bar.To.Vec(), bar.From.Vec())))
		if len(v.Stretches) == 0 {
			v.Stretches = []morph.Stretch{{Line: morph.Path{bar.From, bar.To}}}
		}
		v.Stretches[0].Ticks = append(v.Stretches[0].Ticks, morph.At(at))
	}
	return finding{view: v, say: say, parts: found.Divisions}, nil
}

// mostDivisions is how many divisions are drawn at most; more would hide the bar.
const mostDivisions = 200

// offeredBar gives the bar that is proposed, while one is.
func (b *Bench) offeredBar() (bar *morph.Bar, ok bool) {
	if b.tool != Scale || !b.Offering() || len(b.offer.found.view.Bars) == 0 {
		return nil, false
	}
	return &b.offer.found.view.Bars[0], true
}

// lengthOfLast gives the length that was last entered as one for the proposed
// bar, and the unit alone for a bar that is divided in another way: that is
// another bar, and 50 mm must not be a press away where the picture says 10.
func (b *Bench) lengthOfLast() morph.Bar {
	if n := b.offer.found.parts; n > 0 && b.lastParts > 0 && n != b.lastParts {
		return morph.Bar{Unit: b.lastBar.Unit}
	}
	return b.lastBar
}

// takeBar takes the proposed bar with the length that a person gave it.
func (b *Bench) takeBar(length, u float64, unit morph.Unit) {
	bar, _ := b.offeredBar()
	bar.Length, bar.ULength, bar.Unit = length, u, unit
	b.take()
}
