package bench

import (
	"math"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// kind says to what a marked point belongs.
type kind uint8

const (
	nothing      kind = iota
	barStart          // the first end of a bar whose other end is awaited
	barEnd            // owner: bar; index 0 From, 1 To
	cornerStart       // index of a corner of a card that is not complete
	cardCorner        // index of a corner of the card
	crownPoint        // index in the crown's path
	outlinePoint      // index in the section's outline
	linePoint         // owner: stretch; index in its line
	tickPoint         // owner: stretch; index in its ticks
)

// mark names one marked point of the photo.
type mark struct {
	kind         kind
	owner, index int
}

// path gives the path that a mark is a vertex of, or nil.
func (m mark) path(v *morph.View) *morph.Path {
	if v == nil {
		return nil
	}
	switch m.kind {
	case crownPoint:
		if v.Crown != nil {
			return &v.Crown.Path
		}
	case outlinePoint:
		if v.Section != nil {
			return &v.Section.Outline
		}
	case linePoint, tickPoint:
		if m.owner < 0 || m.owner >= len(v.Stretches) {
			return nil
		}
		if m.kind == linePoint {
			return &v.Stretches[m.owner].Line
		}
		return (*morph.Path)(&v.Stretches[m.owner].Ticks)
	}
	return nil
}

// vertex gives the vertex that a mark names, or nil.
func (m mark) vertex(v *morph.View) *morph.Vertex {
	if m.kind == cardCorner {
		if v == nil || v.Flat == nil || m.index < 0 || m.index >= len(v.Flat.Corners) {
			return nil
		}
		return &v.Flat.Corners[m.index]
	}
	if m.kind == barEnd {
		if v == nil || m.owner < 0 || m.owner >= len(v.Bars) {
			return nil
		}
		if m.index == 0 {
			return &v.Bars[m.owner].From
		}
		return &v.Bars[m.owner].To
	}
	if p := m.path(v); p != nil && m.index >= 0 && m.index < len(*p) {
		return &(*p)[m.index]
	}
	return nil
}

// at gives the position of a marked point in photo px.
func (b *Bench) at(m mark) (r2.Vec, bool) {
	if m.kind == barStart {
		if b.start == nil || b.view == nil {
			return r2.Vec{}, false
		}
		return *b.start, true
	}
	if m.kind == cornerStart {
		if m.index < 0 || m.index >= len(b.corners) || b.view == nil {
			return r2.Vec{}, false
		}
		return b.corners[m.index], true
	}
	if v := m.vertex(b.view); v != nil {
		return v.Vec(), true
	}
	return r2.Vec{}, false
}

// move puts a marked point elsewhere, onto the photo at least.
func (b *Bench) move(m mark, to r2.Vec, merge string) {
	to = b.clamped(to)
	if from, ok := b.at(m); !ok || from == to {
		return
	}
	if m.kind == barStart {
		b.start = &to
		b.redraw()
		return
	}
	if m.kind == cornerStart {
		b.corners[m.index] = to
		b.redraw()
		return
	}
	var before, after [][2]float64
	if p := m.path(b.view); p != nil {
		before, after = b.bent(*p, m.index, m.kind == outlinePoint, to)
	}
	b.edit("move "+b.walk().name(m), merge, func(v *morph.View) {
		if w := m.vertex(v); w == nil {
			return
		} else if m.kind == barEnd || m.kind == cardCorner {
			*w = morph.At(to)
			return
		}
		moved(*m.path(v), m.index, to, before, after)
	})
}

// hit gives the handle nearest to a point of the window that lies within
// reach of it, in CSS px. The selected one wins where several lie as near.
func (b *Bench) hit(s r2.Vec, reach float64) (mark, bool) {
	best, distance := mark{}, reach
	for _, m := range b.walk().handles() {
		p, ok := b.at(m)
		if !ok {
			continue
		}
		d := r2.Norm(r2.Sub(b.cam.screen(p), s))
		if d < distance || d == distance && m == b.active {
			best, distance = m, d
		}
	}
	return best, best.kind != nothing
}

// onLine gives the place on the finished line of the tool in use that lies
// within reach of a point of the window.
func (b *Bench) onLine(s r2.Vec, reach float64) (first mark, where place, ok bool) {
	first, closed, ok := b.walk().line()
	if !ok {
		return mark{}, place{}, false
	}
	path := first.path(b.view)
	if path == nil {
		return mark{}, place{}, false
	}
	where, d := nearest(*path, closed, b.cam.photo(s))
	return first, where, d*b.cam.scale <= reach
}

// insert puts a vertex into a finished line and selects it.
func (b *Bench) insert(first mark, w place, merge string) mark {
	m := first
	m.index = w.index
	b.edit("add a point", merge, func(v *morph.View) { insertInto(v, first, w) })
	b.choose(m)
	return m
}

// insertInto puts a vertex into a line; landmarks stay with their vertices.
func insertInto(v *morph.View, first mark, w place) {
	p := first.path(v)
	if p == nil {
		return
	}
	n := len(*p)
	*p = inserted(*p, w)
	if len(*p) == n {
		return
	}
	shift := func(i *int) {
		if *i >= w.index {
			*i++
		}
	}
	switch first.kind {
	case crownPoint:
		shift(&v.Crown.Apex)
	case outlinePoint:
		shift(&v.Section.Mesial)
		shift(&v.Section.Distal)
	}
}

// shiftAfter moves an index that points behind a removed vertex; an index of
// the removed one becomes Unset.
func shiftAfter(i *int, removed int) {
	switch {
	case *i == removed:
		*i = morph.Unset
	case *i > removed:
		*i--
	}
}

// distance is what drawing spends its time on; math.Hypot guards against
// squares that overflow, which no coordinate here comes near.
func distance(p, q r2.Vec) float64 {
	dx, dy := p.X-q.X, p.Y-q.Y
	return math.Sqrt(dx*dx + dy*dy)
}
