package toothphoto

import (
	"fmt"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// carinaPoints is the number of points in a carina's table. The chord error of
// a 100 mm carina at this density is below 1e-5 mm.
const carinaPoints = 4097

// carina is one edge of the crown from its base point to the apex, tabulated
// at even arc length.
type carina struct {
	pts     []r2.Vec
	normals []r2.Vec // unit, pointing away from the crown
	length  float64  // mm along the curve
}

// at returns the point and the outward normal at arc length s in mm; s outside
// the curve is carried on along the end tangents.
func (c *carina) at(s float64) (p, n r2.Vec) {
	step := c.length / float64(len(c.pts)-1)
	f := s / step
	switch {
	case f <= 0:
		t := c.tangent(0)
		return r2.Add(c.pts[0], r2.Scale(s, t)), c.normals[0]
	case f >= float64(len(c.pts)-1):
		last := len(c.pts) - 1
		return r2.Add(c.pts[last], r2.Scale(s-c.length, c.tangent(last))), c.normals[last]
	}
	i := int(f)
	w := f - float64(i)
	p = r2.Add(r2.Scale(1-w, c.pts[i]), r2.Scale(w, c.pts[i+1]))
	n = r2.Unit(r2.Add(r2.Scale(1-w, c.normals[i]), r2.Scale(w, c.normals[i+1])))
	return p, n
}

// tangent returns the unit tangent toward the apex at table index i.
func (c *carina) tangent(i int) r2.Vec {
	a, b := max(i-1, 0), min(i+1, len(c.pts)-1)
	return r2.Unit(r2.Sub(c.pts[b], c.pts[a]))
}

// crossing returns the arc length at which the carina first passes height y
// over the base line, and the point there.
func (c *carina) crossing(y float64) (s float64, p r2.Vec) {
	i := sort.Search(len(c.pts)-1, func(i int) bool { return c.pts[i+1].Y >= y })
	i = min(i, len(c.pts)-2)
	a, b := c.pts[i], c.pts[i+1]
	w := 0.0
	if b.Y != a.Y {
		w = (y - a.Y) / (b.Y - a.Y)
	}
	step := c.length / float64(len(c.pts)-1)
	return (float64(i) + w) * step, r2.Add(r2.Scale(1-w, a), r2.Scale(w, b))
}

// crown is the lateral outline of a tooth: its two carinae, which meet at G.
//
// Each carina is a cubic from its base point, followed by an arc of the tip
// circle, tangent to it, that ends at G. G is the point of the tip circle on
// the bisector of the two edges, so CBL, AL and CH hold exactly.
type crown struct {
	tooth          Tooth
	apex           r2.Vec
	mesial, distal carina
	mesialRow      denticles
	distalRow      denticles
	breakLine      []r2.Vec // from the mesial to the distal carina; nil when whole
	mesialBreak    float64  // arc length at which the mesial carina breaks
	distalBreak    float64
}

// newCrown lays out the crown. It returns an error for lengths that do not
// form a triangle, for bows that leave no apex angle and for bad rows.
func newCrown(t Tooth) (*crown, error) {
	g, err := t.apex()
	if err != nil {
		return nil, err
	}
	if err := t.Section.check(t.CBL, t.CBW); err != nil {
		return nil, err
	}
	if err := t.Mesial.check("mesial"); err != nil {
		return nil, err
	}
	if err := t.Distal.check("distal"); err != nil {
		return nil, err
	}
	if !(t.BrokenApex >= 0 && t.BrokenApex < 0.8) {
		return nil, fmt.Errorf("toothphoto: %s: broken apex %g is outside 0 to 0.8", t.Name, t.BrokenApex)
	}
	if !(t.Root >= 0) {
		return nil, fmt.Errorf("toothphoto: %s: root of %g mm", t.Name, t.Root)
	}
	a, b := r2.Vec{}, r2.Vec{X: t.CBL}
	// A parabola of height s over its chord meets the chord at atan(4s).
	mesialTurn := math.Atan(4 * t.MesialBow)
	distalTurn := math.Atan(4 * t.DistalBow)
	// Directions of travel at the apex; a convex mesial edge turns distally
	// (clockwise), a convex distal edge turns mesially.
	dm := r2.Rotate(r2.Unit(r2.Sub(g, a)), -mesialTurn, r2.Vec{})
	dd := r2.Rotate(r2.Unit(r2.Sub(g, b)), distalTurn, r2.Vec{})
	axis := r2.Unit(r2.Add(dm, dd))
	half := math.Atan2(r2.Cross(dm, dd), r2.Dot(dm, dd)) / 2
	if half < 2*math.Pi/180 {
		return nil, fmt.Errorf("toothphoto: %s: the bows leave an apex angle of %.1f°; it must be at least 4°", t.Name, 2*half*180/math.Pi)
	}
	radius := t.tipRadius()
	centre := r2.Sub(g, r2.Scale(radius, axis))
	c := &crown{tooth: t, apex: g}
	build := func(base, end r2.Vec, turn, skew float64, side float64) (carina, error) {
		// side is +1 for the mesial edge, whose outward normal lies to the
		// left of travel, and -1 for the distal one.
		normal := r2.Scale(side, r2.Vec{X: -end.Y, Y: end.X})
		joint := r2.Add(centre, r2.Scale(radius, normal))
		chord := r2.Sub(g, base)
		start := r2.Rotate(r2.Unit(chord), side*turn, r2.Vec{})
		span := r2.Norm(r2.Sub(joint, base))
		if span < 4*radius {
			return carina{}, fmt.Errorf("toothphoto: %s: tip radius %g mm is too large for the crown", t.Name, radius)
		}
		handle := span / 3 / math.Cos(turn)
		p1 := r2.Add(base, r2.Scale(handle*(1+0.6*skew), start))
		p2 := r2.Sub(joint, r2.Scale(handle*(1-0.6*skew), end))
		from := math.Atan2(normal.Y, normal.X)
		sweep := -side * (math.Pi/2 - half)
		curve := func(u float64) r2.Vec { // u in 0..2: cubic, then arc
			if u >= 2 {
				return g
			}
			if u > 1 {
				at := from + sweep*(u-1)
				return r2.Add(centre, r2.Vec{X: radius * math.Cos(at), Y: radius * math.Sin(at)})
			}
			v := 1 - u
			p := r2.Scale(v*v*v, base)
			p = r2.Add(p, r2.Scale(3*v*v*u, p1))
			p = r2.Add(p, r2.Scale(3*v*u*u, p2))
			return r2.Add(p, r2.Scale(u*u*u, joint))
		}
		return tabulate(curve, side), nil
	}
	if c.mesial, err = build(a, dm, mesialTurn, t.MesialSkew, 1); err != nil {
		return nil, err
	}
	if c.distal, err = build(b, dd, distalTurn, t.DistalSkew, -1); err != nil {
		return nil, err
	}
	if c.mesialRow, err = newDenticles(t.Mesial, c.mesial.length); err != nil {
		return nil, fmt.Errorf("toothphoto: %s: mesial row: %w", t.Name, err)
	}
	if c.distalRow, err = newDenticles(t.Distal, c.distal.length); err != nil {
		return nil, fmt.Errorf("toothphoto: %s: distal row: %w", t.Name, err)
	}
	if t.BrokenApex > 0 {
		c.breakOff()
	}
	return c, nil
}

// tabulate samples curve(u), u from 0 to 2, at even arc length. side is +1
// when the outward normal lies to the left of travel.
func tabulate(curve func(float64) r2.Vec, side float64) carina {
	const fine = 1 << 14
	us := make([]float64, 0, fine+fine/8+1)
	for i := 0; i < fine; i++ {
		us = append(us, float64(i)/fine)
	}
	for i := 0; i <= fine/8; i++ {
		us = append(us, 1+float64(i)/(fine/8))
	}
	arc := make([]float64, len(us))
	last := curve(us[0])
	for i := 1; i < len(us); i++ {
		p := curve(us[i])
		arc[i] = arc[i-1] + r2.Norm(r2.Sub(p, last))
		last = p
	}
	c := carina{
		pts:     make([]r2.Vec, carinaPoints),
		normals: make([]r2.Vec, carinaPoints),
		length:  arc[len(arc)-1],
	}
	j := 0
	for i := range c.pts {
		s := c.length * float64(i) / (carinaPoints - 1)
		for j < len(arc)-2 && arc[j+1] < s {
			j++
		}
		w := 0.0
		if d := arc[j+1] - arc[j]; d > 0 {
			w = (s - arc[j]) / d
		}
		c.pts[i] = curve(us[j] + w*(us[j+1]-us[j]))
	}
	c.pts[0] = curve(0)
	c.pts[carinaPoints-1] = curve(2)
	for i := range c.normals {
		t := c.tangent(i)
		c.normals[i] = r2.Scale(side, r2.Vec{X: -t.Y, Y: t.X})
	}
	return c
}

// breakOff draws the break that removes the apex, a jagged line from one
// carina to the other around the height that remains.
func (c *crown) breakOff() {
	y := c.apex.Y * (1 - c.tooth.BrokenApex)
	rng := newStream(c.tooth.Palette, 0xb4ea)
	ms, m := c.mesial.crossing(y * (0.985 - 0.02*rng.float()))
	ds, d := c.distal.crossing(y * (0.975 - 0.02*rng.float()))
	c.mesialBreak, c.distalBreak = ms, ds
	span := r2.Sub(d, m)
	up := r2.Unit(r2.Vec{X: -span.Y, Y: span.X})
	width := r2.Norm(span)
	const steps = 28
	c.breakLine = append(c.breakLine, m)
	for i := 1; i < steps; i++ {
		f := float64(i) / steps
		rise := 0.16*math.Sin(math.Pi*f) + 0.05*math.Sin(3*math.Pi*f+1) + 0.025*(rng.float()-0.5)
		p := r2.Add(m, r2.Scale(f, span))
		c.breakLine = append(c.breakLine, r2.Add(p, r2.Scale(rise*width, up)))
	}
	c.breakLine = append(c.breakLine, d)
}

// preservedApex returns the highest preserved point over the line A–B.
func (c *crown) preservedApex() r2.Vec {
	if c.breakLine == nil {
		return c.apex
	}
	best := c.breakLine[0]
	for _, p := range c.breakLine {
		if p.Y > best.Y {
			best = p
		}
	}
	return best
}

// limits returns the arc lengths to which the two carinae are preserved.
func (c *crown) limits() (mesial, distal float64) {
	if c.breakLine == nil {
		return c.mesial.length, c.distal.length
	}
	return c.mesialBreak, c.distalBreak
}

// path returns the traced walk A … apex … B along the preserved edge and the
// index of the apex in it. withDenticles follows every denticle.
func (c *crown) path(withDenticles bool) (pts []r2.Vec, apex int) {
	ml, dl := c.limits()
	up := c.mesialRow.edge(&c.mesial, ml, withDenticles)
	down := c.distalRow.edge(&c.distal, dl, withDenticles)
	pts = append(pts, up...)
	if c.breakLine != nil {
		pts = append(pts, c.breakLine...)
	}
	for i := len(down) - 1; i >= 0; i-- {
		if i == len(down)-1 && c.breakLine == nil {
			continue // the apex itself, already there
		}
		pts = append(pts, down[i])
	}
	top := c.preservedApex()
	for i, p := range pts {
		if p == top {
			apex = i
			break
		}
	}
	return pts, apex
}

// cervix returns n+1 points of the enamel base line from B to A.
func (c *crown) cervix(n int) []r2.Vec {
	pts := make([]r2.Vec, n+1)
	for i := range pts {
		f := float64(i) / float64(n)
		pts[i] = r2.Vec{
			X: c.tooth.CBL * (1 - f),
			Y: -c.tooth.Cervix * c.tooth.CBL * 4 * f * (1 - f),
		}
	}
	return pts
}
