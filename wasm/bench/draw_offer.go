package bench

import (
	"math"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// drawOffer draws what is proposed: chained lines, and a question mark after
// each letter.
func (d *drafter) drawOffer() {
	if !d.Offering() {
		return
	}
	d.quiet = false
	o := &d.offer
	style := Stroke{Dash: Chained}
	if c := o.found.view.Crown; c != nil && c.Tip != nil {
		d.tip(*c, Chained, "G?")
	} else if c != nil {
		d.stroke(o.lines.crown, style)
		n := len(c.Path)
		d.stroke([]r2.Vec{c.Path[n-1].Vec(), c.Path[0].Vec()}, Stroke{Dash: Chained, Thin: true})
		d.proposed(c.Path, 0, "A?", Square)
		d.proposed(c.Path, c.Apex, "G?", Triangle)
		d.proposed(c.Path, n-1, "B?", Diamond)
	}
	if s := o.found.view.Section; s != nil {
		d.stroke(o.lines.section, style)
		d.proposed(s.Outline, s.Mesial, "M?", Square)
		d.proposed(s.Outline, s.Distal, "D?", Diamond)
	}
	for _, bar := range o.found.view.Bars {
		from, to := bar.From.Vec(), bar.To.Vec()
		along := r2.Sub(to, from)
		angle := math.Atan2(along.Y, along.X)
		d.stroke([]r2.Vec{from, to}, style)
		d.mark(from, BarEnd, angle)
		d.mark(to, BarEnd, angle)
		d.label(from, r2.Scale(-1, along), "?")
		d.label(to, along, "?")
	}
	for i, s := range o.found.view.Stretches {
		d.stroke(o.lines.stretches[i], Stroke{Dash: Chained, Thin: true})
		for _, t := range s.Ticks {
			if d.visible(t.Vec()) {
				d.mark(t.Vec(), Tick, directionAt(s.Line, t.Vec()))
			}
		}
	}
}

// tip draws an estimated apex, joined to what is left of the edges.
func (d *drafter) tip(c morph.Crown, dash Dash, text string) {
	if c.Apex < 1 || c.Apex >= len(c.Path)-1 {
		return
	}
	at := r2.Vec{X: c.Tip.X, Y: c.Tip.Y}
	d.stroke([]r2.Vec{c.Path[c.Apex-1].Vec(), at, c.Path[c.Apex+1].Vec()}, Stroke{Dash: dash, Thin: true, Quiet: d.quiet})
	d.mark(at, Triangle, 0)
	d.label(at, r2.Sub(at, centroid(c.Path)), text)
}

// proposed draws a landmark of a proposal.
func (d *drafter) proposed(p morph.Path, i int, text string, shape Shape) {
	if i < 0 || i >= len(p) {
		return
	}
	at := p[i].Vec()
	d.mark(at, shape, 0)
	d.label(at, r2.Sub(at, centroid(p)), text)
}
