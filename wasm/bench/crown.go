package bench

import (
	"fmt"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// crownWalk is the walk A → G → B round a crown in a lateral photo.
type crownWalk struct{ *Bench }

// crown gives the crown as far as it is traced.
func (w crownWalk) crown() morph.Crown {
	if w.view == nil || w.view.Crown == nil {
		return morph.Crown{Apex: morph.Unset}
	}
	return *w.view.Crown
}

func (w crownWalk) handles() []mark {
	return series(mark{kind: crownPoint}, len(w.crown().Path))
}

// series lists the marks of a path of n vertices.
func series(first mark, n int) []mark {
	out := make([]mark, n)
	for i := range out {
		out[i] = first
		out[i].index = i
	}
	return out
}

func (w crownWalk) awaiting() bool { return !w.crown().Done }

func (w crownWalk) put(p r2.Vec) {
	n := len(w.crown().Path)
	label := "add a point of the crown"
	if n == 0 {
		label = "mark the mesial base (A)"
	}
	via := w.leading(w.crown().Path, p)
	w.edit(label, "", func(v *morph.View) {
		if v.Crown == nil {
			v.Crown = &morph.Crown{Apex: morph.Unset}
		}
		if !v.Crown.Done {
			v.Crown.Path = appended(v.Crown.Path, p, via)
		}
	})
	w.choose(mark{kind: crownPoint, index: n})
}

func (w crownWalk) twice() { w.enter() }

// enter marks the newest point: as the apex first, then as the distal base.
func (w crownWalk) enter() {
	c := w.crown()
	switch {
	case c.Done:
	case c.Apex == morph.Unset:
		w.makeApex(len(c.Path) - 1)
	default:
		w.end()
	}
}

func (w crownWalk) pick(mark) bool       { return false }
func (w crownWalk) miss(r2.Vec, float64) { w.choose(mark{}) }
func (w crownWalk) line() (mark, bool, bool) {
	c := w.crown()
	return mark{kind: crownPoint}, false, c.Done && len(c.Path) > 1
}

// makeApex makes point i of the path the apex G.
func (w crownWalk) makeApex(i int) {
	c := w.crown()
	switch {
	case i < 1:
		w.host.Say("The apex (G) needs a point of its own: mark points up the mesial edge to it first.")
		return
	case c.Done && i >= len(c.Path)-1:
		w.host.Say("The apex (G) must lie between the mesial base (A) and the distal base (B).")
		return
	}
	w.edit("mark the apex (G)", "", func(v *morph.View) {
		if v.Crown != nil && i < len(v.Crown.Path) {
			v.Crown.Apex = i
		}
	})
}

// end makes the newest point the distal base B.
func (w crownWalk) end() {
	c := w.crown()
	n := len(c.Path)
	switch {
	case n < 3:
		w.host.Say("A crown needs at least three points: the mesial base (A), the apex (G) and the distal base (B).")
		return
	case c.Apex == n-1:
		w.host.Say("The distal base (B) needs a point of its own: mark points down the distal edge to it first.")
		return
	}
	w.edit("end at the distal base (B)", "", func(v *morph.View) {
		if v.Crown != nil && len(v.Crown.Path) >= 3 {
			v.Crown.Done = true
			settleApex(v.Crown)
		}
	})
}

// settleApex gives a finished crown an apex between its ends.
func settleApex(c *morph.Crown) {
	if c.Done && len(c.Path) < 3 {
		c.Done = false
	}
	if c.Done && (c.Apex < 1 || c.Apex >= len(c.Path)-1) {
		c.Apex = farthest(c.Path)
	}
	if c.Apex < 1 || c.Apex >= len(c.Path) {
		c.Apex = morph.Unset
	}
}

func (w crownWalk) newest() mark {
	c := w.crown()
	if c.Done || len(c.Path) == 0 {
		return mark{}
	}
	return mark{kind: crownPoint, index: len(c.Path) - 1}
}

func (w crownWalk) remove(m mark) {
	w.edit("remove "+w.name(m), "", func(v *morph.View) {
		c := v.Crown
		if c == nil || m.index >= len(c.Path) {
			return
		}
		c.Path = removed(c.Path, m.index)
		shiftAfter(&c.Apex, m.index)
		if c.Apex == len(c.Path)-1 {
			c.Done = false // nothing is left of the distal edge
		}
		settleApex(c)
		if len(c.Path) == 0 && !c.ApexBroken && !c.BaseBroken {
			v.Crown = nil
		}
	})
}

func (w crownWalk) restart() {
	w.edit("start the crown again", "", func(v *morph.View) {
		if c := v.Crown; c != nil {
			v.Crown = nil
			if c.ApexBroken || c.BaseBroken {
				v.Crown = &morph.Crown{Apex: morph.Unset, ApexBroken: c.ApexBroken, BaseBroken: c.BaseBroken}
			}
		}
	})
}

// swap walks the crown from its other end: what was mesial is distal.
func (w crownWalk) swap() {
	w.edit("swap mesial and distal", "", func(v *morph.View) { turnCrown(v.Crown) })
	if w.active.kind == crownPoint {
		w.choose(mark{kind: crownPoint, index: len(w.crown().Path) - 1 - w.active.index})
	}
}

func (w crownWalk) removeTip() {
	w.edit("remove the estimated tip", "", func(v *morph.View) {
		if v.Crown != nil {
			v.Crown.Tip = nil
		}
	})
}

// turnCrown walks a crown from its other end.
func turnCrown(c *morph.Crown) {
	if c == nil || len(c.Path) == 0 {
		return
	}
	c.Path = reversed(c.Path)
	if c.Apex != morph.Unset {
		c.Apex = len(c.Path) - 1 - c.Apex
	}
}

// letter gives the landmark at point i, or "".
func (w crownWalk) letter(i int) string {
	c := w.crown()
	switch {
	case i == c.Apex:
		return "G"
	case i == 0:
		return "A"
	case c.Done && i == len(c.Path)-1:
		return "B"
	}
	return ""
}

func (w crownWalk) name(m mark) string {
	switch w.letter(m.index) {
	case "A":
		return "the mesial base (A)"
	case "G":
		return "the apex (G)"
	case "B":
		return "the distal base (B)"
	}
	return fmt.Sprintf("point %d of the crown", m.index+1)
}

func (w crownWalk) progress() Progress {
	c := w.crown()
	switch {
	case c.Done:
		return Complete
	case len(c.Path) > 0:
		return UnderWay
	}
	return NotBegun
}

func (w crownWalk) prompt() Prompt {
	c := w.crown()
	n := len(c.Path)
	var p Prompt
	apexHere := Action{"Make this point the apex (G)", "g", func() { w.makeApex(w.active.index) }}
	end := Action{"End at the distal base (B)", "b", w.end}
	restart := Action{"Start again", "", w.restart}
	inner := w.active.kind == crownPoint && w.active.index > 0 && w.active.index != c.Apex
	switch {
	case n == 0:
		p.Text = "Mark the mesial end of the crown base (A)."
		if w.view != nil && w.view.Role.Lateral() && !w.alone {
			p.Text = "Mark the mesial end of the crown base (A), or have it outlined for you."
			p.Actions = append(p.Actions, w.findCrown())
		}
		return p
	case c.Done:
		p.Text = "The crown is traced. Drag a point to correct it, press the line to add one."
		if inner && w.active.index < n-1 {
			p.Actions = append(p.Actions, apexHere)
		}
		if !w.alone && c.ApexBroken && !c.BaseBroken && c.Tip == nil && c.Apex > 0 && c.Apex < n-1 {
			p.Actions = append(p.Actions, w.findTip())
		} else if c.Tip != nil {
			p.Actions = append(p.Actions, Action{"Remove the estimated tip", "", w.removeTip})
		}
		p.Actions = append(p.Actions, Action{"Swap mesial and distal", "s", w.swap})
		if w.view.Role.Lateral() && !w.alone && c.Origin == morph.ByHand { // else the same would be proposed again
			p.Actions = append(p.Actions, w.findCrown())
		}
		p.Actions = append(p.Actions, restart)
		return p
	case c.Apex == morph.Unset:
		p.Text = "Mark points up the mesial edge; press twice on the apex (G)."
		if n > 1 {
			p.Actions = append(p.Actions, Action{"This is the apex (G)", "g", func() { w.makeApex(n - 1) }})
		}
		if inner && w.active.index < n-1 {
			p.Actions[len(p.Actions)-1] = apexHere
		}
		if n > 2 {
			p.Actions = append(p.Actions, end)
		}
	default:
		p.Text = "Mark points down the distal edge; press twice on the distal end of the crown base (B)."
		if n > c.Apex+1 {
			p.Actions = append(p.Actions, end)
		}
		if inner {
			p.Actions = append(p.Actions, apexHere)
		}
	}
	p.Actions = append(p.Actions, restart)
	return p
}
