package bench

import (
	"fmt"
	"math"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// sectionWalk is the walk round a cross-section, and the choice of its ends.
type sectionWalk struct{ *Bench }

func (w sectionWalk) section() morph.Section {
	if w.view == nil || w.view.Section == nil {
		return morph.Section{Mesial: morph.Unset, Distal: morph.Unset}
	}
	return *w.view.Section
}

func (w sectionWalk) handles() []mark {
	return series(mark{kind: outlinePoint}, len(w.section().Outline))
}

func (w sectionWalk) awaiting() bool {
	s := w.section()
	return !s.Done || s.Mesial == morph.Unset || s.Distal == morph.Unset
}

func (w sectionWalk) put(p r2.Vec) {
	s := w.section()
	if s.Done {
		w.chooseEnd(p)
		return
	}
	n := len(s.Outline)
	via := w.leading(s.Outline, p)
	w.edit("add a point of the outline", "", func(v *morph.View) {
		if v.Section == nil {
			v.Section = &morph.Section{Mesial: morph.Unset, Distal: morph.Unset}
		}
		if !v.Section.Done {
			v.Section.Outline = appended(v.Section.Outline, p, via)
		}
	})
	w.choose(mark{kind: outlinePoint, index: n})
}

func (w sectionWalk) twice() {
	if !w.section().Done {
		w.close()
	}
}

func (w sectionWalk) enter() {
	s := w.section()
	switch {
	case !s.Done:
		w.close()
	case w.awaiting() && w.active.kind == outlinePoint:
		w.setEnd(w.active.index)
	}
}

// close joins the last point of the outline to the first.
func (w sectionWalk) close() {
	if len(w.section().Outline) < 3 {
		w.host.Say("An outline needs at least three points before it can be closed.")
		return
	}
	via := w.leading(w.section().Outline, w.section().Outline[0].Vec())
	w.edit("close the outline", "", func(v *morph.View) {
		if v.Section != nil && len(v.Section.Outline) >= 3 {
			v.Section.Done = true
			v.Section.Outline[0].Via = nilIfEmpty(via)
		}
	})
	w.choose(mark{})
}

func (w sectionWalk) pick(m mark) bool {
	s := w.section()
	switch {
	case !s.Done && m.index == 0 && len(s.Outline) >= 3:
		w.close()
		return true
	case s.Done && w.awaiting():
		w.setEnd(m.index)
		return true
	}
	return false
}

func (w sectionWalk) miss(r2.Vec, float64) { w.choose(mark{}) }

// endReach is how far from where an end is clicked on the outline a vertex
// still counts as meant, in CSS px.
const endReach = 8.0

// chooseEnd makes the point of the outline that is nearest to p the end that
// is asked for.
func (w sectionWalk) chooseEnd(p r2.Vec) {
	s := w.section()
	where, d := nearest(s.Outline, true, p)
	if math.IsInf(d, 1) {
		return
	}
	for i, v := range s.Outline {
		if distance(v.Vec(), where.at)*w.cam.scale <= endReach {
			w.setEnd(i)
			return
		}
	}
	first := mark{kind: outlinePoint}
	label, _ := w.wanted()
	w.edit(label, "", func(v *morph.View) {
		insertInto(v, first, where)
		if v.Section != nil && where.index < len(v.Section.Outline) {
			putEnd(v.Section, where.index)
		}
	})
	w.choose(mark{kind: outlinePoint, index: where.index})
}

// wanted gives the label of choosing the end that is asked for, and the other
// end.
func (w sectionWalk) wanted() (label string, other int) {
	s := w.section()
	if s.Mesial == morph.Unset {
		return "choose the mesial end (M)", s.Distal
	}
	return "choose the distal end (D)", s.Mesial
}

// setEnd makes vertex i the end that is asked for.
func (w sectionWalk) setEnd(i int) {
	label, other := w.wanted()
	if i == other {
		w.host.Say("The mesial and the distal end cannot be the same point.")
		return
	}
	w.edit(label, "", func(v *morph.View) {
		if v.Section != nil && i < len(v.Section.Outline) {
			putEnd(v.Section, i)
		}
	})
	w.choose(mark{kind: outlinePoint, index: i})
}

func putEnd(s *morph.Section, i int) {
	switch {
	case s.Mesial == morph.Unset:
		s.Mesial = i
	case s.Distal == morph.Unset:
		s.Distal = i
	}
}

// makeEnd makes vertex i the mesial or the distal end; an end that was there
// before changes over.
func (w sectionWalk) makeEnd(i int, mesial bool) {
	label := "choose the distal end (D)"
	if mesial {
		label = "choose the mesial end (M)"
	}
	w.edit(label, "", func(v *morph.View) {
		s := v.Section
		if s == nil || i >= len(s.Outline) {
			return
		}
		this, that := &s.Distal, &s.Mesial
		if mesial {
			this, that = that, this
		}
		if *that == i {
			*that = *this
		}
		*this = i
	})
}

func (w sectionWalk) swap() {
	w.edit("swap mesial and distal", "", func(v *morph.View) {
		if s := v.Section; s != nil {
			s.Mesial, s.Distal = s.Distal, s.Mesial
		}
	})
}

func (w sectionWalk) rechoose() {
	w.edit("choose the ends again", "", func(v *morph.View) {
		if v.Section != nil {
			v.Section.Mesial, v.Section.Distal = morph.Unset, morph.Unset
		}
	})
	w.choose(mark{})
}

func (w sectionWalk) restart() {
	w.edit("start the outline again", "", func(v *morph.View) { v.Section = nil })
}

func (w sectionWalk) line() (mark, bool, bool) {
	s := w.section()
	return mark{kind: outlinePoint}, true, s.Done && len(s.Outline) > 1
}

func (w sectionWalk) newest() mark {
	s := w.section()
	if s.Done || len(s.Outline) == 0 {
		return mark{}
	}
	return mark{kind: outlinePoint, index: len(s.Outline) - 1}
}

func (w sectionWalk) remove(m mark) {
	w.edit("remove "+w.name(m), "", func(v *morph.View) {
		s := v.Section
		if s == nil || m.index >= len(s.Outline) {
			return
		}
		s.Outline = removed(s.Outline, m.index)
		shiftAfter(&s.Mesial, m.index)
		shiftAfter(&s.Distal, m.index)
		if len(s.Outline) < 3 {
			s.Done, s.Mesial, s.Distal = false, morph.Unset, morph.Unset
		}
		if len(s.Outline) == 0 {
			v.Section = nil
		}
	})
}

// letter gives the end at point i, or "".
func (w sectionWalk) letter(i int) string {
	s := w.section()
	switch i {
	case s.Mesial:
		return "M"
	case s.Distal:
		return "D"
	}
	return ""
}

func (w sectionWalk) name(m mark) string {
	switch w.letter(m.index) {
	case "M":
		return "the mesial end (M)"
	case "D":
		return "the distal end (D)"
	}
	return fmt.Sprintf("point %d of the outline", m.index+1)
}

func (w sectionWalk) progress() Progress {
	s := w.section()
	switch {
	case !w.awaiting():
		return Complete
	case len(s.Outline) > 0:
		return UnderWay
	}
	return NotBegun
}

func (w sectionWalk) prompt() Prompt {
	s := w.section()
	n := len(s.Outline)
	restart := Action{"Start again", "", w.restart}
	var p Prompt
	switch {
	case n == 0:
		p.Text = "Mark a point on the edge of the section, then go round it."
		if w.view != nil && w.view.Role.Sectional() && !w.alone {
			p.Actions = append(p.Actions, w.findSection())
		}
		return p
	case !s.Done:
		p.Text = "Go on round the edge; press the first point, or press twice, to close the outline."
		if n >= 3 {
			p.Actions = append(p.Actions, Action{"Close the outline", "c", w.close})
		}
		p.Actions = append(p.Actions, restart)
		return p
	case s.Mesial == morph.Unset:
		p.Text = "Mark the mesial end of the section (M)."
	case s.Distal == morph.Unset:
		p.Text = "Mark the distal end of the section (D)."
	default:
		p.Text = "The section is outlined. Drag a point to correct it, press the line to add one."
	}
	if m := w.active; m.kind == outlinePoint {
		if m.index != s.Mesial {
			p.Actions = append(p.Actions, Action{"Make this point the mesial end (M)", "m", func() { w.makeEnd(w.active.index, true) }})
		}
		if m.index != s.Distal {
			p.Actions = append(p.Actions, Action{"Make this point the distal end (D)", "d", func() { w.makeEnd(w.active.index, false) }})
		}
	}
	if !w.awaiting() {
		if w.view.Role.Sectional() && !w.alone && s.Origin == morph.ByHand { // else the same would be proposed again
			p.Actions = append(p.Actions, w.findSection())
		}
		p.Actions = append(p.Actions, Action{"Swap mesial and distal", "s", w.swap}, Action{"Choose the ends again", "e", w.rechoose})
	}
	p.Actions = append(p.Actions, restart)
	return p
}
