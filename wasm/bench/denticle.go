package bench

import (
	"fmt"
	"slices"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// row is what a stretch of carina is marked as.
type row struct {
	carina   morph.Carina
	third    morph.Third
	serrated bool
}

// rowFor proposes the first row of a photo.
func rowFor(r morph.Role) row {
	if r == morph.MesialView {
		return row{carina: morph.MesialCarina, third: morph.Mid}
	}
	return row{carina: morph.DistalCarina, third: morph.Mid}
}

func rowOf(s morph.Stretch) row { return row{s.Carina, s.Third, s.Serrated} }

func (r row) String() string {
	if r.serrated {
		return fmt.Sprintf("serrated length of the %s carina", r.carina)
	}
	return fmt.Sprintf("%s third of the %s carina", r.third, r.carina)
}

// Row gives what the next stretch of carina will be marked as.
func (b *Bench) Row() (carina morph.Carina, third morph.Third, serrated bool) {
	return b.next.carina, b.next.third, b.next.serrated
}

// SetRow says what the next stretch of carina will be marked as. A stretch that
// is there already keeps what it is marked as; while one is selected that
// differs, the Prompt offers to mark it so. Words that the trade does not have
// are ignored.
func (b *Bench) SetRow(carina morph.Carina, third morph.Third, serrated bool) {
	if carina != morph.MesialCarina && carina != morph.DistalCarina ||
		!slices.Contains([]morph.Third{morph.Apical, morph.Mid, morph.Basal}, third) {
		return
	}
	if r := (row{carina, third, serrated}); b.next != r {
		b.next = r
		b.redraw()
	}
}

// relabel marks the selected stretch as the next one would be.
func (w denticleWalk) relabel() {
	i, r := w.row, w.next
	w.edit("mark the row as "+r.String(), "", func(v *morph.View) {
		if i >= 0 && i < len(v.Stretches) {
			s := &v.Stretches[i]
			s.Carina, s.Third, s.Serrated = r.carina, r.third, r.serrated
		}
	})
}

// denticleWalk is the marking of stretches of carina and of the denticles on
// them. A stretch is Done once its line is laid; ticks follow while it is
// selected.
type denticleWalk struct{ *Bench }

// stretch gives the selected stretch, or nil.
func (w denticleWalk) stretch() *morph.Stretch {
	if w.view == nil || w.row < 0 || w.row >= len(w.view.Stretches) {
		return nil
	}
	return &w.view.Stretches[w.row]
}

func (w denticleWalk) handles() []mark {
	s := w.stretch()
	if s == nil {
		return nil
	}
	return append(series(mark{kind: linePoint, owner: w.row}, len(s.Line)),
		series(mark{kind: tickPoint, owner: w.row}, len(s.Ticks))...)
}

func (w denticleWalk) awaiting() bool {
	s := w.stretch()
	return s == nil || !s.Done || !s.Serrated
}

func (w denticleWalk) put(p r2.Vec) {
	s := w.stretch()
	switch {
	case s == nil:
		if i, ok := w.pointAt(p); ok {
			w.selectRow(i)
			return
		}
		n := len(w.view.Stretches)
		r := w.next
		w.edit("begin the "+r.String(), "", func(v *morph.View) {
			v.Stretches = append(v.Stretches, morph.Stretch{
				Carina: r.carina, Third: r.third, Serrated: r.serrated, Line: appended(nil, p, nil),
			})
		})
		if n < len(w.view.Stretches) {
			w.row = n
		}
		w.choose(mark{linePoint, n, 0})
	case !s.Done:
		i, n := w.row, len(s.Line)
		w.edit("lay the "+rowOf(*s).String(), "", func(v *morph.View) {
			if i < len(v.Stretches) && !v.Stretches[i].Done {
				v.Stretches[i].Line = appended(v.Stretches[i].Line, p, nil)
			}
		})
		w.choose(mark{linePoint, i, n})
	default:
		w.putTick(p)
	}
}

// tickReach is how far from its stretch a denticle may be clicked, in CSS px,
// or as this part of the stretch's length where that is more. What is farther
// off is taken for a mistake.
const (
	tickReach     = 48.0
	tickReachPart = 0.15
)

func (w denticleWalk) putTick(p r2.Vec) {
	s := w.stretch()
	_, d := nearest(s.Line, false, p)
	length := 0.0
	line := s.Line.Polyline()
	for i := 1; i < len(line); i++ {
		length += distance(line[i-1], line[i])
	}
	if d > max(tickReach/w.cam.scale, tickReachPart*length) {
		if i, ok := w.rowAt(p, 8/w.cam.scale); ok {
			w.selectRow(i)
			return
		}
		w.host.Say("That is away from the row being counted. Press Enter to begin another row.")
		return
	}
	i, n := w.row, len(s.Ticks)
	w.edit("mark a denticle", "", func(v *morph.View) {
		if i < len(v.Stretches) && !v.Stretches[i].Serrated {
			v.Stretches[i].Ticks = append(v.Stretches[i].Ticks, morph.At(p))
		}
	})
	w.choose(mark{tickPoint, i, n})
}

// rowAt gives the stretch other than the selected one that passes within
// reach px of p.
func (w denticleWalk) rowAt(p r2.Vec, reach float64) (int, bool) {
	best, distance := noRow, reach
	for i, s := range w.view.Stretches {
		if i == w.row {
			continue
		}
		if _, d := nearest(s.Line, false, p); d <= distance {
			best, distance = i, d
		}
	}
	return best, best != noRow
}

// pointAt gives the stretch that has a point or a denticle where p is clicked.
// Its line alone does not count: rows of one carina may lie on each other.
func (w denticleWalk) pointAt(p r2.Vec) (int, bool) {
	_, pick, _ := Mouse.reach()
	best, far := noRow, pick/w.cam.scale
	for i, s := range w.view.Stretches {
		for _, v := range slices.Concat(s.Line, s.Ticks) {
			if d := distance(v.Vec(), p); d <= far {
				best, far = i, d
			}
		}
	}
	return best, best != noRow
}

func (w denticleWalk) selectRow(i int) {
	w.row = i
	w.choose(mark{})
}

func (w denticleWalk) twice() {
	if s := w.stretch(); s != nil && !s.Done {
		w.endLine()
	}
}

func (w denticleWalk) enter() {
	s := w.stretch()
	switch {
	case s == nil:
	case !s.Done:
		w.endLine()
	default:
		w.nextRow()
	}
}

// endLine ends the stretch of carina at its newest point.
func (w denticleWalk) endLine() {
	s := w.stretch()
	if s == nil {
		return
	}
	if len(s.Line) < 2 {
		w.host.Say("A stretch of carina needs two points at least.")
		return
	}
	i := w.row
	w.edit("end the "+rowOf(*s).String(), "", func(v *morph.View) {
		if i < len(v.Stretches) && len(v.Stretches[i].Line) > 1 {
			v.Stretches[i].Done = true
		}
	})
	w.choose(mark{})
	if s = w.stretch(); s != nil && s.Done && s.Serrated {
		w.nextRow()
	}
}

// nextRow lets go of the row.
func (w denticleWalk) nextRow() {
	w.row = noRow
	w.choose(mark{})
}

// otherRow selects the row before the selected one, or the last.
func (w denticleWalk) otherRow() {
	n := len(w.view.Stretches)
	if n == 0 {
		return
	}
	i := w.row - 1
	if i < 0 {
		i = n - 1
	}
	w.selectRow(i)
	w.host.Say(upperFirst(rowOf(w.view.Stretches[i]).String()) + ".")
}

func (w denticleWalk) removeRow() {
	i := w.row
	w.row = noRow
	w.active = mark{}
	w.edit("remove the row", "", func(v *morph.View) {
		if i >= 0 && i < len(v.Stretches) {
			v.Stretches = slices.Delete(v.Stretches, i, i+1)
		}
	})
}

func (w denticleWalk) pick(mark) bool { return false }

func (w denticleWalk) miss(p r2.Vec, reach float64) {
	if i, ok := w.rowAt(p, reach); ok {
		w.selectRow(i)
		return
	}
	w.choose(mark{})
}

func (w denticleWalk) line() (mark, bool, bool) {
	s := w.stretch()
	// While denticles are counted, a click on the line is a denticle.
	return mark{kind: linePoint, owner: w.row}, false, s != nil && s.Done && s.Serrated && len(s.Line) > 1
}

func (w denticleWalk) newest() mark {
	s := w.stretch()
	switch {
	case s == nil:
	case !s.Done && len(s.Line) > 0:
		return mark{linePoint, w.row, len(s.Line) - 1}
	case s.Done && len(s.Ticks) > 0:
		return mark{tickPoint, w.row, len(s.Ticks) - 1}
	}
	return mark{}
}

func (w denticleWalk) remove(m mark) {
	s := w.stretch()
	if s == nil || m.owner != w.row {
		return
	}
	if m.kind == linePoint && len(s.Line) == 1 {
		w.removeRow()
		return
	}
	w.edit("remove "+w.name(m), "", func(v *morph.View) {
		p := m.path(v)
		if p == nil || m.index >= len(*p) {
			return
		}
		*p = removed(*p, m.index)
		if s := &v.Stretches[m.owner]; len(s.Line) < 2 {
			s.Done = false
		} else if len(s.Ticks) == 0 {
			s.Ticks = nil
		}
	})
}

func (w denticleWalk) name(m mark) string {
	if m.kind == tickPoint {
		return fmt.Sprintf("denticle %d", m.index+1)
	}
	return fmt.Sprintf("point %d of the stretch", m.index+1)
}

func (w denticleWalk) progress() Progress {
	if w.view == nil || len(w.view.Stretches) == 0 {
		return NotBegun
	}
	for _, s := range w.view.Stretches {
		if !s.Done {
			return UnderWay
		}
	}
	return Complete
}

func (w denticleWalk) prompt() Prompt {
	s := w.stretch()
	var p Prompt
	removeRow := Action{"Remove this row", "", w.removeRow}
	switch {
	case s == nil:
		p.Text = fmt.Sprintf("Mark points along the carina to lay the %s.", w.next)
		if len(w.view.Stretches) > 0 {
			p.Text += " Or press a point of a row to go on with it."
		}
	case !s.Done:
		p.Text = fmt.Sprintf("Go on along the %s; press twice where the stretch ends.", rowOf(*s))
		if len(s.Line) > 1 {
			p.Actions = append(p.Actions, Action{"End the stretch here", "e", w.endLine})
		}
		p.Actions = append(p.Actions, removeRow)
	case s.Serrated:
		p.Text = fmt.Sprintf("The %s is marked. Drag a point to correct it.", rowOf(*s))
		p.Actions = append(p.Actions, Action{"Next denticle row", "Enter", w.nextRow}, removeRow)
	default:
		p.Text = fmt.Sprintf("Mark each denticle on the %s: %d so far.", rowOf(*s), len(s.Ticks))
		p.Actions = append(p.Actions, Action{"Next denticle row", "Enter", w.nextRow}, removeRow)
	}
	if find, ok := w.findDenticles(); ok {
		p.Actions = append([]Action{find}, p.Actions...)
	}
	if s != nil && rowOf(*s) != w.next && !(w.next.serrated && len(s.Ticks) > 0) {
		p.Actions = append(p.Actions, Action{"Mark this row as the " + w.next.String(), "", w.relabel})
	}
	if n := len(w.view.Stretches); n > 1 || n == 1 && s == nil {
		p.Actions = append(p.Actions, Action{"Go on with another row", "w", w.otherRow})
	}
	return p
}
