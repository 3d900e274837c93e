package bench

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Measures of the magnifier, in CSS px unless said otherwise.
const (
	lensSide   = 168.0
	lensLeast  = 64.0 // a smaller one shows nothing
	lensMargin = 12.0
	lensClear  = 56.0 // it keeps this far from the pointer
	lensGoal   = 4.0  // CSS px a photo px that it tries to show,
	lensMin    = 4.0  // within this
	lensMax    = 8.0  // and this much larger than the window shows
	// A mouse does not hide what it points at: with pixels this large the
	// magnifier has nothing to add.
	lensNeedless = 8.0
	// While a mouse only hovers the magnifier is shown below this scale.
	lensHover = 2.0
)

// subject gives the photo point that the magnifier shows.
func (b *Bench) subject() (r2.Vec, bool) {
	p := &b.pointing
	hidden := p.device == Touch && p.gesture > idle && p.gesture <= dragging
	if !hidden && b.cam.scale >= lensNeedless {
		return r2.Vec{}, false
	}
	switch {
	case p.gesture == dragging || p.gesture == pressing && p.mark.kind != nothing:
		return b.at(p.mark)
	case p.gesture == panning || p.gesture == pinching:
		return r2.Vec{}, false
	case b.keys.cross == nil && b.active.kind != nothing && b.keys.nudged == b.active:
		return b.at(b.active)
	case b.keys.cross == nil && p.gesture == idle && b.cam.scale >= lensHover:
		return r2.Vec{}, false
	}
	return b.aim()
}

// lens gives the magnifier's frame in CSS px in one of the corners of the free
// part of the window: 0 top left, 1 top right, 2 bottom left, 3 bottom right.
func (b *Bench) lens(corner int) (r2.Box, bool) {
	free := b.win.free()
	size := r2.Sub(free.Max, free.Min)
	side := math.Floor(min(lensSide, 0.45*min(size.X, size.Y)))
	if side < lensLeast {
		return r2.Box{}, false
	}
	at := r2.Add(free.Min, r2.Vec{X: lensMargin, Y: lensMargin})
	if corner&1 != 0 {
		at.X = free.Max.X - lensMargin - side
	}
	if corner&2 != 0 {
		at.Y = free.Max.Y - lensMargin - side
	}
	return r2.Box{Min: at, Max: r2.Add(at, r2.Vec{X: side, Y: side})}, true
}

// redraw asks for a frame. The magnifier stays in its corner until what it
// shows comes too close; then it goes to the farthest one, rather to a top one
// since hands come from below.
func (b *Bench) redraw() {
	if b.view != nil {
		if p, ok := b.subject(); ok {
			s := b.cam.screen(p)
			if frame, ok := b.lens(b.corner); ok && gap(frame, s) < lensClear {
				best := math.Inf(-1)
				for corner := range 4 {
					frame, _ := b.lens(corner)
					far := gap(frame, s)
					if corner < 2 {
						far *= 1.5
					}
					if far > best {
						b.corner, best = corner, far
					}
				}
			}
		}
	}
	b.host.Redraw()
}

// gap gives the distance from a point to a box.
func gap(b r2.Box, p r2.Vec) float64 {
	return math.Hypot(max(b.Min.X-p.X, p.X-b.Max.X, 0), max(b.Min.Y-p.Y, p.Y-b.Max.Y, 0))
}

// magnifier gives the magnifier as it is to be drawn, or nil.
func (b *Bench) magnifier() *Magnifier {
	p, ok := b.subject()
	if !ok {
		return nil
	}
	frame, ok := b.lens(b.corner)
	if !ok {
		return nil
	}
	scale := min(max(lensGoal, lensMin*b.cam.scale), lensMax*b.cam.scale, max(maxScale, b.cam.scale))
	r := b.win.ratio
	m := &Magnifier{
		Frame:  r2.Box{Min: r2.Scale(r, frame.Min), Max: r2.Scale(r, frame.Max)},
		Centre: r2.Scale(r, middle(frame)),
	}
	m.Photo = Placement{scale * r, r2.Sub(m.Centre, r2.Scale(scale*r, p))}
	d := &drafter{Bench: b, scene: &Scene{}, to: m.Photo, clip: m.Frame, strokes: &m.Strokes, bare: true}
	for _, t := range []Tool{Scale, Section, Denticles, Crown} {
		d.draw(t)
	}
	for i := range m.Strokes {
		m.Strokes[i].Thin = true
	}
	return m
}
