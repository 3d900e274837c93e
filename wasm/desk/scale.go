package desk

import (
	"fmt"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// MeasureByCard says whether the scale of the photograph on the bench shall come
// from a printed card or from a bar.
func (d *Desk) MeasureByCard(card bool) {
	d.SetTool(bench.Scale)
	d.Bench.MeasureByCard(card)
	d.Laid()
}

// CardCell is a cell of the form for a printed card.
type CardCell string

const (
	CardWidth  CardCell = "card-width"
	CardHeight CardCell = "card-height"
	CardU      CardCell = "card-u" // the standard uncertainty of both sides
)

// SetCard takes what a person typed into a cell of the card on the bench. A side
// may be typed with its uncertainty.
func (d *Desk) SetCard(c CardCell, text string) {
	card, _, _ := d.Bench.Card()
	v, u, err := optional(text)
	switch {
	case err != nil:
	case c != CardU && !(v > 0):
		err = fmt.Errorf("a side of the card is above 0 %s", card.Unit)
	case c == CardU:
		card.USide = v
	default:
		if c == CardWidth {
			card.Width = v
		} else {
			card.Height = v
		}
		if u > 0 {
			card.USide = u
		}
	}
	d.takeCard(c, text, card, err)
}

// SetCardUnit changes the unit of the card's sides.
func (d *Desk) SetCardUnit(u morph.Unit) {
	card, _, _ := d.Bench.Card()
	card.Unit = u
	d.takeCard(CardWidth, "", card, nil)
}

// ConfirmCard takes the sides that the form proposes for a card that has none
// yet.
func (d *Desk) ConfirmCard() {
	card, entered, ok := d.Bench.Card()
	if !ok || entered || !(card.Width > 0 && card.Height > 0) {
		return
	}
	for _, c := range []CardCell{CardWidth, CardHeight, CardU} {
		if _, refused := d.Refused(string(c)); refused {
			return
		}
	}
	d.takeCard(CardWidth, "", card, nil)
}

func (d *Desk) takeCard(c CardCell, text string, card morph.Flat, err error) {
	if err == nil {
		err = d.Bench.SetCard(card.Width, card.Height, card.USide, card.Unit)
	}
	if err != nil {
		d.refuse(string(c), text, err)
		return
	}
	d.accept(string(c))
	d.Laid()
}

// optional reads a number that may be left out, which is 0.
func optional(text string) (v, u float64, err error) {
	if strings.TrimSpace(text) == "" {
		return 0, 0, nil
	}
	return tray.ParsePlain(text)
}

// DepthCell is a cell of the form for how deep the tooth lies.
type DepthCell string

const (
	DepthOffset   DepthCell = "depth"          // mm, above 0; see SetDepthWay
	DepthU        DepthCell = "depth-u"        // mm
	DepthDistance DepthCell = "depth-distance" // mm
)

// SetDepth takes what a person typed of how much nearer to the lens than the
// scale, or farther, the tooth of the photograph on the bench lies. Nothing in
// every cell means that they are level.
func (d *Desk) SetDepth(c DepthCell, text string) {
	depth := d.depth()
	v, u, err := optional(text)
	if err == nil && v < 0 {
		err = fmt.Errorf("write it as a number of 0 or more; whether the tooth lies nearer or farther is chosen beside it")
	}
	if err != nil {
		d.refuse(string(c), text, err)
		return
	}
	switch c {
	case DepthOffset:
		if depth.Offset = v; d.Farther() {
			depth.Offset = -v
		}
		if u > 0 {
			depth.UOffset = u
		}
	case DepthU:
		depth.UOffset = v
	case DepthDistance:
		depth.Distance, depth.UDistance = v, u
	}
	d.accept(string(c))
	d.setDepth(depth)
}

// Farther tells whether the tooth lies, or is to lie, farther from the lens than
// the scale.
func (d *Desk) Farther() bool {
	if o := d.depth().Offset; o != 0 {
		return o < 0
	}
	return d.farther
}

// SetFarther says whether the tooth lies farther from the lens than the scale,
// or nearer.
func (d *Desk) SetFarther(farther bool) {
	depth := d.depth()
	changed := d.Farther() != farther
	d.farther = farther
	if depth.Offset == 0 || !changed {
		d.outside.Refresh()
		return
	}
	depth.Offset = -depth.Offset
	d.setDepth(depth)
}

func (d *Desk) depth() morph.Depth {
	if p := d.Photo(); p != nil && p.Depth != nil {
		return *p.Depth
	}
	return morph.Depth{}
}

func (d *Desk) setDepth(depth morph.Depth) {
	id := d.photo
	d.edit("set the tooth's depth", "", func(s *tray.Specimen) {
		p := s.Photo(id)
		switch {
		case p == nil:
		case depth == morph.Depth{}:
			p.Depth = nil
		default:
			p.Depth = &depth
		}
	})
}

// MarkAgain has the person mark the landmarks of the photograph on the bench
// again, to see how well they point.
func (d *Desk) MarkAgain() {
	d.forgetRemarks()
	if err := d.Bench.MarkAgain(); err != nil {
		d.Remark(Sentence(err))
		return
	}
	d.SetDrawer(false, false)
	d.Laid()
}

// ForgetRepeats takes the repeated marks off the photograph on the bench.
func (d *Desk) ForgetRepeats() {
	id := d.photo
	d.edit("forget the repeated marks", "", func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			p.Repeats = nil
		}
	})
}
