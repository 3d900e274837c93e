package bench

import (
	"errors"
	"fmt"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// rounds is how often each landmark is marked again. With one landmark it is
// the least from which a pointing error can be told.
const rounds = 3

// remarking is the marking of landmarks again, blind to where they were marked
// before. The marks measure nothing but the hand.
type remarking struct {
	points []mark
	marks  []r2.Vec // in order: all points, then all points again
}

// landmarks lists the points that a person placed for what they are, and not
// as one of many along an edge.
func (b *Bench) landmarks() (all []mark) {
	if b.view == nil {
		return nil
	}
	switch {
	case b.view.Flat != nil:
		all = series(mark{kind: cardCorner}, len(b.view.Flat.Corners))
	case len(b.view.Bars) > 0:
		all = []mark{{barEnd, 0, 0}, {barEnd, 0, 1}}
	}
	if c := b.view.Crown; c != nil && c.Done && c.Apex != morph.Unset {
		all = append(all, mark{kind: crownPoint}, mark{kind: crownPoint, index: c.Apex}, mark{kind: crownPoint, index: len(c.Path) - 1})
	}
	if s := b.view.Section; s != nil && s.Done {
		for _, i := range []int{s.Mesial, s.Distal} {
			if i != morph.Unset {
				all = append(all, mark{kind: outlinePoint, index: i})
			}
		}
	}
	return all
}

// nameOf names a point whatever the tool in use.
func (b *Bench) nameOf(m mark) string {
	switch m.kind {
	case cardCorner:
		return cardWalk{b}.name(m)
	case barEnd:
		return scaleWalk{b}.name(m)
	case outlinePoint:
		return sectionWalk{b}.name(m)
	}
	return crownWalk{b}.name(m)
}

// MarkAgain has the person mark the photo's landmarks again, some rounds of
// them, to see how well they point. It refuses, with a sentence, a photo without
// any. Another tool ends it.
func (b *Bench) MarkAgain() error {
	points := b.landmarks()
	if len(points) == 0 {
		return errors.New("There is nothing to mark again yet: set the scale or trace the crown first.")
	}
	b.SetTool(Look)
	b.active = mark{}
	b.remark = &remarking{points: points}
	b.Fit()
	return nil
}

// Remarking tells whether landmarks are being marked again.
func (b *Bench) Remarking() bool { return b.remark != nil }

// repeatWalk is what clicks mean meanwhile.
type repeatWalk struct{ *Bench }

func (repeatWalk) handles() []mark          { return nil }
func (repeatWalk) awaiting() bool           { return true }
func (repeatWalk) twice()                   {}
func (repeatWalk) enter()                   {}
func (repeatWalk) pick(mark) bool           { return false }
func (repeatWalk) miss(r2.Vec, float64)     {}
func (repeatWalk) line() (mark, bool, bool) { return mark{}, false, false }
func (repeatWalk) newest() mark             { return mark{} }
func (repeatWalk) remove(mark)              {}
func (w repeatWalk) name(m mark) string     { return w.nameOf(m) }
func (repeatWalk) progress() Progress       { return UnderWay }

func (w repeatWalk) put(p r2.Vec) {
	a := w.remark
	a.marks = append(a.marks, p)
	if len(a.marks) == rounds*len(a.points) {
		w.keep()
		return
	}
	w.host.Say(w.prompt().Text)
	w.redraw()
}

// lists gives the marks of each point.
func (a *remarking) lists() (all []morph.Path) {
	all = make([]morph.Path, min(len(a.points), len(a.marks)))
	for i, p := range a.marks {
		all[i%len(a.points)] = append(all[i%len(a.points)], morph.At(p))
	}
	return all
}

// enough tells whether a pointing error can be told from the marks so far.
func (a *remarking) enough() bool {
	return morph.View{Repeats: a.lists()}.PointingError().Source == morph.PointingRepeated
}

// keep puts the marks into the record, where they count instead of a pointing
// error that was stated.
func (w repeatWalk) keep() {
	lists := w.remark.lists()
	w.remark = nil
	w.edit("mark the landmarks again", "", func(v *morph.View) {
		v.Repeats = append(v.Repeats, lists...)
		v.Pointing = 0
	})
	w.host.Say("Thank you. How well you point is told with the readings.")
	w.redraw()
}

func (w repeatWalk) stop() {
	w.remark = nil
	w.redraw()
}

func (w repeatWalk) prompt() Prompt {
	a := w.remark
	n := len(a.marks)
	p := Prompt{Text: fmt.Sprintf("Mark %s again, as if for the first time (round %d of %d).", w.nameOf(a.points[n%len(a.points)]), n/len(a.points)+1, rounds)}
	if n > 0 {
		p.Actions = append(p.Actions, Action{"Take the last one back", "", func() { w.TakeBack() }})
	}
	if a.enough() {
		p.Actions = append(p.Actions, Action{"That is enough", "", w.keep})
	}
	p.Actions = append(p.Actions, Action{"Stop", "Escape", w.stop})
	return p
}
