package bench

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strconv"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// cardLetters name the corners of a printed card, in order round it; P–Q is
// its width and Q–R its height.
const cardLetters = "PQRS"

// cardWalk is the marking of a printed card: its four corners, then its sides.
//
//	P ─ width ─ Q
//	│           │ height
//	S ───────── R
//
// Corners are no card before there are four; until then the Bench keeps them.
type cardWalk struct{ *Bench }

func (w cardWalk) flat() *morph.Flat {
	if w.view == nil {
		return nil
	}
	return w.view.Flat
}

func (w cardWalk) handles() []mark {
	if w.flat() != nil {
		return series(mark{kind: cardCorner}, 4)
	}
	return series(mark{kind: cornerStart}, len(w.corners))
}

func (w cardWalk) awaiting() bool { return w.flat() == nil }

func (w cardWalk) put(p r2.Vec) {
	n := len(w.corners)
	if slices.Contains(w.corners, p) {
		w.host.Say("The four corners of the card must lie apart.")
		return
	}
	if n < 3 {
		w.corners = append(w.corners, p)
		w.choose(mark{kind: cornerStart, index: n})
		return
	}
	flat := morph.Flat{Unit: w.lastCard.Unit}
	for i, c := range append(slices.Clone(w.corners), p) {
		flat.Corners[i] = morph.At(c)
	}
	w.edit("mark the card", "", func(v *morph.View) { v.Flat = &flat })
	if w.flat() != nil { // it was not refused
		w.corners = nil
	}
	w.choose(mark{kind: cardCorner, index: n})
}

func (w cardWalk) twice()                   {}
func (w cardWalk) enter()                   {}
func (w cardWalk) pick(mark) bool           { return false }
func (w cardWalk) miss(r2.Vec, float64)     { w.choose(mark{}) }
func (w cardWalk) line() (mark, bool, bool) { return mark{}, false, false }
func (w cardWalk) name(m mark) string       { return "corner " + cardLetter(m.index) + " of the card" }

func cardLetter(i int) string { return cardLetters[i : i+1] }

// sideText writes the length of a side in its unit.
func sideText(length float64, u morph.Unit) string {
	return barText(morph.Bar{Length: length, Unit: u})
}

func (w cardWalk) newest() mark {
	if len(w.corners) == 0 {
		return mark{}
	}
	return mark{kind: cornerStart, index: len(w.corners) - 1}
}

// remove takes one corner away: what is left of the card awaits another one.
func (w cardWalk) remove(m mark) {
	if m.kind == cornerStart {
		if m.index < len(w.corners) {
			w.corners = slices.Delete(w.corners, m.index, m.index+1)
			w.redraw()
		}
		return
	}
	flat := w.flat()
	if flat == nil || m.index >= len(flat.Corners) {
		return
	}
	left := *flat
	w.unmark()
	if w.flat() != nil {
		return
	}
	for k := 1; k < 4; k++ {
		w.corners = append(w.corners, left.Corners[(m.index+k)%4].Vec())
	}
	if w.lastCard = left; m.index%2 == 0 { // the first side is another one now
		w.lastCard.Width, w.lastCard.Height = left.Height, left.Width
	}
	w.choose(w.newest())
}

// unmark takes the card away.
func (w cardWalk) unmark() {
	w.edit("take the card away", "", func(v *morph.View) { v.Flat = nil })
}

// uncross puts the corners in an order round the card, where there is one.
func (w cardWalk) uncross() (order [4]int, ok bool) {
	flat := w.flat()
	for _, order := range [][4]int{{0, 2, 1, 3}, {0, 1, 3, 2}} {
		var c [4]r2.Vec
		for k, i := range order {
			c[k] = flat.Corners[i].Vec()
		}
		if _, err := morph.PlaneOf(c, 1, 1); err == nil {
			return order, true
		}
	}
	return order, false
}

func (w cardWalk) reorder(label string, order [4]int) func() {
	return func() {
		w.edit(label, "", func(v *morph.View) {
			if v.Flat == nil {
				return
			}
			was := v.Flat.Corners
			for k, i := range order {
				v.Flat.Corners[k] = was[i]
			}
		})
	}
}

// problem tells why the corners are no card, or that they are one.
func (w cardWalk) problem() error {
	var c [4]r2.Vec
	for i, v := range w.flat().Corners {
		c[i] = v.Vec()
	}
	_, err := morph.PlaneOf(c, 1, 1)
	return err
}

func (w cardWalk) progress() Progress {
	switch flat := w.flat(); {
	case flat == nil && len(w.corners) == 0:
		return NotBegun
	case flat != nil && w.problem() == nil && flat.Width > 0 && flat.Height > 0:
		return Complete
	}
	return UnderWay
}

func (w cardWalk) prompt() Prompt {
	flat := w.flat()
	if flat == nil {
		n := len(w.corners)
		p := Prompt{Text: fmt.Sprintf("Mark the next corner round the card (%s).", cardLetter(n))}
		if n == 0 {
			p.Text = "Mark a corner of the printed card (P), then the others round it."
		} else {
			p.Actions = append(p.Actions, Action{"Start again", "", func() { w.corners = nil; w.choose(mark{}) }})
		}
		return p
	}
	again := Action{"Mark the card again", "x", w.unmark}
	if err := w.problem(); err != nil {
		p := Prompt{Text: err.Error()}
		if order, ok := w.uncross(); ok {
			p.Actions = append(p.Actions, Action{"Put them in order", "o", w.reorder("put the card's corners in order", order)})
		}
		p.Actions = append(p.Actions, again)
		return p
	}
	p := Prompt{Text: "Enter how wide (P–Q) and how high (Q–R) the card is."}
	if flat.Width > 0 && flat.Height > 0 {
		p.Text = fmt.Sprintf("The card is %s × %s. Drag a corner to correct it.", strconv.FormatFloat(flat.Width, 'g', -1, 64), sideText(flat.Height, flat.Unit))
	}
	p.Actions = append(p.Actions, Action{"The width is the other side", "w", w.reorder("turn the card's sides", [4]int{1, 2, 3, 0})}, again)
	return p
}

// ByCard tells whether the photo's scale comes, or is to come, from a printed
// card rather than from a bar.
func (b *Bench) ByCard() bool { return b.view != nil && b.view.Flat != nil || b.carded }

// MeasureByCard says whether the photo's scale shall come from a printed card.
// A bar counts on until the card is marked; a card that is there is taken away
// for a bar.
func (b *Bench) MeasureByCard(card bool) {
	b.carded = card
	b.start, b.again, b.corners = nil, false, nil
	b.offer = offer{}
	if w := (cardWalk{b}); !card && w.flat() != nil {
		w.unmark()
	}
	b.choose(mark{})
}

// SetCard gives the card its sides in unit and the standard uncertainty u of
// each; a side of 0 is not known yet. The next photo's card is proposed to be
// as large. It refuses, with a sentence, a side or an uncertainty below 0, an
// unknown unit, and a photo without a card.
func (b *Bench) SetCard(width, height, u float64, unit morph.Unit) error {
	_, known := unit.In()
	switch {
	case cardWalk{b}.flat() == nil:
		return errors.New("Mark the four corners of the card first.")
	case !(width >= 0 && height >= 0) || math.IsInf(width+height, 0):
		return errors.New("The sides of the card must be numbers above 0.")
	case !(u >= 0) || math.IsInf(u, 0):
		return errors.New("The uncertainty of the card's sides must be a number of 0 or more.")
	case !known || unit == "":
		return fmt.Errorf("The unit %q is not known: choose mm, cm or in.", string(unit))
	}
	b.lastCard = morph.Flat{Width: width, Height: height, USide: u, Unit: unit}
	b.edit("set the card's sides", "", func(v *morph.View) {
		if v.Flat != nil {
			v.Flat.Width, v.Flat.Height, v.Flat.USide, v.Flat.Unit = width, height, u, unit
		}
	})
	return nil
}

// Card gives what a form for SetCard should hold: the sides of the card, or,
// while it has none, those that were last given on any photo as a proposal. ok
// is false while there is no card.
func (b *Bench) Card() (card morph.Flat, entered, ok bool) {
	flat := cardWalk{b}.flat()
	if flat == nil {
		return b.lastCard, false, false
	}
	card = *flat
	if card.Width > 0 || card.Height > 0 {
		return card, true, true
	}
	card.Width, card.Height, card.USide, card.Unit = b.lastCard.Width, b.lastCard.Height, b.lastCard.USide, b.lastCard.Unit
	return card, false, true
}

// TakeBack takes back the last point that is not in the record yet: an end of
// a scale bar, a corner of a card, or a landmark that was marked again. It tells whether there was one.
func (b *Bench) TakeBack() bool {
	switch n := len(b.corners); {
	case b.remark != nil && len(b.remark.marks) > 0:
		b.remark.marks = b.remark.marks[:len(b.remark.marks)-1]
		b.redraw()
	case n > 0:
		b.corners = b.corners[:n-1]
		b.choose(cardWalk{b}.newest())
	case b.start != nil:
		b.start = nil
		b.choose(mark{})
	default:
		return false
	}
	return true
}
