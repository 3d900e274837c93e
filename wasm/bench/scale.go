package bench

import (
	"errors"
	"fmt"
	"math"
	"strconv"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// scaleWalk is the reading of a scale bar: one end, the other end, its length.
type scaleWalk struct{ *Bench }

func (w scaleWalk) bars() []morph.Bar {
	if w.view == nil {
		return nil
	}
	return w.view.Bars
}

func (w scaleWalk) handles() []mark {
	var out []mark
	for i := range w.bars() {
		out = append(out, mark{barEnd, i, 0}, mark{barEnd, i, 1})
	}
	if w.start != nil {
		out = append(out, mark{kind: barStart})
	}
	return out
}

func (w scaleWalk) awaiting() bool { return w.start != nil || w.again || len(w.bars()) == 0 }

func (w scaleWalk) put(p r2.Vec) {
	if w.start == nil {
		w.start = &p
		w.choose(mark{kind: barStart})
		return
	}
	from := *w.start
	if from == p {
		w.host.Say("The two ends of the scale bar must lie apart.")
		return
	}
	bar := morph.Bar{From: morph.At(from), To: morph.At(p), Unit: w.lastBar.Unit}
	// Another reading in the same photo is of the same bar.
	if bars := w.bars(); len(bars) > 0 {
		last := bars[len(bars)-1]
		bar.Length, bar.ULength, bar.Unit = last.Length, last.ULength, last.Unit
	}
	n := len(w.bars())
	w.edit("read the scale bar", "", func(v *morph.View) { v.Bars = append(v.Bars, bar) })
	if len(w.bars()) > n { // it was not refused
		w.start, w.again = nil, false
	}
	w.choose(mark{barEnd, n, 1})
}

func (w scaleWalk) twice()               {}
func (w scaleWalk) enter()               {}
func (w scaleWalk) pick(mark) bool       { return false }
func (w scaleWalk) miss(r2.Vec, float64) { w.choose(mark{}) }

func (w scaleWalk) line() (mark, bool, bool) { return mark{}, false, false }

func (w scaleWalk) newest() mark {
	if w.start == nil {
		return mark{}
	}
	return mark{kind: barStart}
}

// remove takes one end away: what is left of the bar awaits its other end.
func (w scaleWalk) remove(m mark) {
	if m.kind == barStart {
		w.start = nil
		w.redraw()
		return
	}
	if m.owner >= len(w.bars()) {
		return
	}
	left, _ := w.at(mark{barEnd, m.owner, 1 - m.index})
	w.removeBar(m.owner)
	w.start = &left
	w.choose(mark{kind: barStart})
}

func (w scaleWalk) removeBar(i int) {
	w.edit("remove the reading of the scale bar", "", func(v *morph.View) {
		if i < len(v.Bars) {
			v.Bars = append(v.Bars[:i], v.Bars[i+1:]...)
		}
	})
}

// readAgain asks for one more reading of the bar.
func (w scaleWalk) readAgain() {
	w.again, w.start = true, nil
	w.choose(mark{})
}

// selected gives the index of the selected bar, or of the newest, or -1.
func (w scaleWalk) selected() int {
	if m := w.active; m.kind == barEnd && m.owner < len(w.bars()) {
		return m.owner
	}
	return len(w.bars()) - 1
}

func (w scaleWalk) name(m mark) string {
	end := "the first end of the scale bar"
	if m.index == 1 {
		end = "the second end of the scale bar"
	}
	if len(w.bars()) > 1 && m.kind == barEnd {
		end += fmt.Sprintf(", reading %d", m.owner+1)
	}
	return end
}

func (w scaleWalk) progress() Progress {
	bars := w.bars()
	switch {
	case len(bars) > 0 && bars[len(bars)-1].Length > 0:
		return Complete
	case len(bars) > 0 || w.start != nil:
		return UnderWay
	}
	return NotBegun
}

func (w scaleWalk) prompt() Prompt {
	var p Prompt
	i := w.selected()
	switch {
	case w.start != nil:
		p.Text = "Mark the other end of the scale bar."
	case w.awaiting():
		p.Text = "Mark one end of the scale bar."
		if !w.alone {
			p.Actions = append(p.Actions, w.findBar())
		}
		if w.again {
			p.Actions = append(p.Actions, Action{"No further reading", "Escape", func() { w.again = false; w.redraw() }})
		}
	case !(w.bars()[i].Length > 0):
		p.Text = "Enter the length of the scale bar."
	default:
		bar := w.bars()[i]
		p.Text = fmt.Sprintf("%.1f px are %s. Drag an end to correct it.", distance(bar.From.Vec(), bar.To.Vec()), barText(bar))
		p.Actions = append(p.Actions, Action{"Read the bar again", "r", w.readAgain})
	}
	if i >= 0 && !w.awaiting() {
		p.Actions = append(p.Actions, Action{"Remove this reading", "x", func() { w.removeBar(i) }})
	}
	return p
}

// barText writes the length of a bar: "10 mm".
func barText(bar morph.Bar) string {
	unit := bar.Unit
	if unit == "" {
		unit = morph.Millimetre
	}
	return strconv.FormatFloat(bar.Length, 'g', -1, 64) + "\u00a0" + string(unit)
}

// SetBarLength takes a proposed bar with its length; else it gives the selected
// bar, or the newest, its length in unit and
// the standard uncertainty u of that length in the same unit (0 when not
// stated). The next photo's bar is proposed to be as long. It refuses, with a
// sentence, a length that is not above 0, an uncertainty below 0, an unknown
// unit, and a photo without a bar.
func (b *Bench) SetBarLength(length, u float64, unit morph.Unit) error {
	_, known := unit.In()
	i := scaleWalk{b}.selected()
	_, proposed := b.offeredBar()
	switch {
	case i < 0 && !proposed:
		return errors.New("Mark the two ends of the scale bar first.")
	case !(length > 0) || math.IsInf(length, 0):
		return errors.New("The length of the scale bar must be a number above 0.")
	case !(u >= 0) || math.IsInf(u, 0):
		return errors.New("The uncertainty of the scale bar's length must be a number of 0 or more.")
	case !known || unit == "":
		return fmt.Errorf("The unit %q is not known: choose mm, cm or in.", string(unit))
	}
	b.lastBar = morph.Bar{Length: length, ULength: u, Unit: unit}
	b.lastParts = 0
	if proposed {
		b.lastParts = b.offer.found.parts
		b.takeBar(length, u, unit)
		return nil
	}
	b.edit("set the length of the scale bar", "", func(v *morph.View) {
		if i < len(v.Bars) {
			v.Bars[i].Length, v.Bars[i].ULength, v.Bars[i].Unit = length, u, unit
		}
	})
	return nil
}

// BarLength gives what a form for SetBarLength should hold: the length of the
// selected or newest bar, or, while it has none, the length that was last
// given on any photo as a proposal. ok is false while there is no bar.
func (b *Bench) BarLength() (bar morph.Bar, entered, ok bool) {
	if bar, ok := b.offeredBar(); ok {
		if bar.Length > 0 {
			return *bar, false, true // a ruler that says so itself
		}
		return b.lengthOfLast(), false, true
	}
	i := scaleWalk{b}.selected()
	if b.view == nil || i < 0 || i >= len(b.view.Bars) {
		return b.lastBar, false, false
	}
	bar = b.view.Bars[i]
	if bar.Length > 0 {
		return bar, true, true
	}
	bar.Length, bar.ULength, bar.Unit = b.lastBar.Length, b.lastBar.ULength, b.lastBar.Unit
	return bar, false, true
}
