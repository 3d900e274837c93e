package bench

import (
	"slices"

	"crownbench/morph"
	"crownbench/morph/vision"
	"gonum.org/v1/gonum/spatial/r2"
)

// following draws lines along the edges of the picture.
type following struct {
	on       bool // as the person chose
	straight bool // the Shift key is held: not this one
	asked    bool // for the pixels of the photo that is shown
	// walk leads to where the next point would be, drag from the neighbours of a
	// point that is moved.
	walk tether
	drag [2]tether
}

// tether is a line whose one end moves.
type tether struct {
	edge     *vision.Edge // nil until it is first needed
	from, to r2.Vec       // photo px
	via      [][2]float64 // photo px, between the two
	ok       bool         // there is an edge to follow
}

// clearEdge is the share of a line along which the picture has to change clearly
// from side to side for the line to count as an edge. Below it a straight line is
// more honest.
const clearEdge = 0.6

// reaching gives the points between two photo points along the edge that joins
// them; ok is false where there is none.
func (t *tether) reaching(s *Sight, from, to r2.Vec) (via [][2]float64, ok bool) {
	switch {
	case t.edge == nil:
		t.edge = vision.NewEdge(s.Picture)
		t.edge.From(s.in(from))
	case t.from != from:
		t.edge.From(s.in(from))
	case t.to == to:
		return t.via, t.ok
	}
	t.from, t.to, t.via, t.ok = from, to, nil, false
	line, sure := t.edge.To(s.in(to))
	if sure < clearEdge || len(line) < 3 {
		return nil, false
	}
	for _, q := range s.out(line[1 : len(line)-1]) {
		t.via = append(t.via, [2]float64{q.X, q.Y})
	}
	t.ok = true
	return t.via, true
}

// FollowEdge says whether the lines of crowns and sections follow the edge in
// the picture from point to point. Held, the Shift key makes one straight.
func (b *Bench) FollowEdge(yes bool) {
	if b.follow.on != yes {
		b.follow.on = yes
		b.watch()
		b.redraw()
	}
}

// Following tells whether lines follow the edge.
func (b *Bench) Following() bool { return b.follow.on }

// follows tells whether the tool in use draws lines that follow edges. A stretch
// of carina does not: its length is that of the carina, not of its denticles'
// outline.
func (b *Bench) follows() bool {
	return b.follow.on && (b.tool == Crown || b.tool == Section)
}

// watch asks for the pixels as soon as the tool in use could follow an edge.
func (b *Bench) watch() {
	if b.view != nil && b.follows() && b.sight == nil && !b.follow.asked {
		b.follow.asked = true
		b.see(func(error) {}) // without pixels lines are straight
	}
}

// see has the pixels of the photo at hand and then goes on; err says why they
// are not. Once another photo is shown nothing comes of it.
func (b *Bench) see(then func(err error)) {
	id := b.view.ID
	b.host.See(func(s Sight, err error) {
		if b.view == nil || b.view.ID != id {
			return
		}
		if err == nil && b.sight == nil {
			b.sight = &s
		}
		then(err)
		b.redraw()
	})
}

// along gives the points that lead to where the next point would be put.
func (b *Bench) along(from, to r2.Vec) (via [][2]float64, ok bool) {
	if !b.follows() || b.follow.straight || b.sight == nil || from == to {
		return nil, false
	}
	return b.follow.walk.reaching(b.sight, from, to)
}

// leading gives the points that lead from a path's last vertex to a new one.
func (b *Bench) leading(p morph.Path, at r2.Vec) [][2]float64 {
	if len(p) == 0 {
		return nil
	}
	via, _ := b.along(p[len(p)-1].Vec(), at)
	return slices.Clone(via)
}

// bent gives what leads to and from vertex i of a path once it is moved: what
// followed an edge before follows it again, as far as there is one.
func (b *Bench) bent(p morph.Path, i int, closed bool, to r2.Vec) (before, after [][2]float64) {
	n := len(p)
	if !b.follows() || b.follow.straight || b.sight == nil || n < 2 {
		return nil, nil
	}
	if len(p[i].Via) > 0 && (i > 0 || closed) {
		via, _ := b.follow.drag[0].reaching(b.sight, p[(i+n-1)%n].Vec(), to)
		before = slices.Clone(via)
	}
	if next := (i + 1) % n; len(p[next].Via) > 0 && (next > 0 || closed) {
		via, _ := b.follow.drag[1].reaching(b.sight, p[next].Vec(), to)
		after = slices.Clone(via)
		slices.Reverse(after)
	}
	return before, after
}

// hold says whether the Shift key is down.
func (b *Bench) hold(shift bool) {
	if b.follow.straight != shift {
		b.follow.straight = shift
		if b.follows() {
			b.redraw()
		}
	}
}
