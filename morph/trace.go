package morph

import "gonum.org/v1/gonum/spatial/r2"

// trace is a path whose placed points can be shifted: every point of the line
// with the placed vertices whose shifts move it. A Via point goes with the mean
// of the two vertices between which it lies.
type trace struct {
	home     []r2.Vec // as placed
	points   []r2.Vec // as shifted, see place
	from, to []int    // vertices that move each point
	at       []int    // place of each vertex in points
	shift    []r2.Vec // of each vertex, px
	card     *card    // on whose plane the points lie, nil for none
}

// traceOf lays out an open path, or a closed one whose first vertex's Via
// points lead back from the last vertex.
func traceOf(p Path, closed bool) *trace {
	t := &trace{shift: make([]r2.Vec, len(p)), at: make([]int, len(p))}
	add := func(q r2.Vec, from, to int) {
		t.home = append(t.home, q)
		t.from = append(t.from, from)
		t.to = append(t.to, to)
	}
	for i, v := range p {
		if i > 0 {
			for _, q := range v.Via {
				add(r2.Vec{X: q[0], Y: q[1]}, i-1, i)
			}
		}
		t.at[i] = len(t.home)
		add(v.Vec(), i, i)
	}
	if closed && len(p) > 0 {
		for _, q := range p[0].Via {
			add(r2.Vec{X: q[0], Y: q[1]}, len(p)-1, 0)
		}
	}
	t.points = append([]r2.Vec(nil), t.home...)
	return t
}

// place moves the points to where the shifts put them: in px, or in mm on the
// plane of a card.
func (t *trace) place() {
	for k, h := range t.home {
		a, b := t.shift[t.from[k]], t.shift[t.to[k]]
		t.points[k] = r2.Vec{X: h.X + (a.X+b.X)/2, Y: h.Y + (a.Y+b.Y)/2}
		if t.card != nil {
			t.points[k] = t.card.plane.MM(t.points[k])
		}
	}
}

// vertex gives the shifted position of a placed vertex.
func (t *trace) vertex(i int) r2.Vec { return t.points[t.at[i]] }
