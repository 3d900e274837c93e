package morph

import "gonum.org/v1/gonum/spatial/r2"

// tip is an estimated apex that can be shifted along the crown.
type tip struct {
	home, along r2.Vec  // px; along has length 1
	u, shift    float64 // px
}

// LostApex gives where the apex of a crown was before it broke off, px, the
// direction in which the crown points there, of length 1, and the estimate's
// standard uncertainty along it, px; false for no estimate that counts. One
// counts for a finished trace of which nothing but the apex is lost.
func (c *Crown) LostApex() (at, along r2.Vec, u float64, ok bool) {
	t, last := c.Tip, len(c.Path)-1
	if t == nil || !c.Done || !c.ApexBroken || c.BaseBroken || c.Apex < 1 || c.Apex >= last || !finite(t.X+t.Y+t.U) {
		return at, along, 0, false
	}
	at = r2.Vec{X: t.X, Y: t.Y}
	foot := r2.Scale(0.5, r2.Add(c.Path[0].Vec(), c.Path[last].Vec()))
	d := r2.Sub(at, foot)
	if !(r2.Norm(d) > 0) {
		return at, along, 0, false
	}
	return at, r2.Unit(d), max(t.U, 0), true
}

// tipOf gives the estimated apex of a crown that counts, or nil.
func tipOf(c *Crown) *tip {
	at, along, u, ok := c.LostApex()
	if !ok {
		return nil
	}
	return &tip{home: at, along: along, u: u}
}

// restored measures a crown's triangle with the estimated apex at the present
// setting, in the unit of the piece's points.
func (p *piece) restored() Triangle {
	line, t := p.line, p.tip
	g := r2.Add(t.home, r2.Scale(t.shift, t.along))
	if line.card != nil {
		g = line.card.plane.MM(g)
	}
	a, b := line.vertex(0), line.vertex(len(line.at)-1)
	return Triangle{CBL: distance(a, b), AL: distance(a, g), CH: distance(g, b)}
}

// estimated is a number of the crown on a photograph as it was before its apex
// broke off.
func (s *survey) estimated(i int, n crownNumber) way {
	p := &s.photos[i]
	w := way{key: viewKey(p.View) + "#tip", how: "from the estimated apex, " + p.name, state: Estimated, model: true, lacks: s.crownLacks(p, n)}
	w.value = func(s *survey) float64 {
		p := &s.photos[i]
		return measured(n.lost(p.crown.restored()), p.mm, n.power)
	}
	return p.scaled(w, n.power)
}
