package bench

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Limits of the camera.
const (
	maxScale   = 64.0 // CSS px a photo px: beyond this a pixel is a wall
	shrink     = 4.0  // the photo may be shown this much smaller than fitting
	fitMargin  = 20.0 // CSS px left free round a fitted photo
	keptInView = 64.0 // CSS px of the photo that panning leaves in view
)

// camera maps photo px to CSS px: screen = photo·scale + shift.
type camera struct {
	scale float64
	shift r2.Vec
}

func (c camera) screen(p r2.Vec) r2.Vec { return r2.Add(r2.Scale(c.scale, p), c.shift) }
func (c camera) photo(s r2.Vec) r2.Vec  { return r2.Scale(1/c.scale, r2.Sub(s, c.shift)) }

// holding gives the camera of that scale that shows the photo point p at s.
func holding(p, s r2.Vec, scale float64) camera {
	return camera{scale, r2.Sub(s, r2.Scale(scale, p))}
}

// window is the window in CSS px and what panels cover of it at each side.
type window struct {
	w, h, ratio              float64
	left, top, right, bottom float64
}

// leastFree is the width and height in CSS px below which the uncovered part
// of the window is not worth keeping to.
const leastFree = 80.0

// free gives the part of the window that no panel covers, or the whole window
// where next to nothing is free.
func (w window) free() r2.Box {
	box := r2.Box{Min: r2.Vec{X: w.left, Y: w.top}, Max: r2.Vec{X: w.w - w.right, Y: w.h - w.bottom}}
	if box.Max.X-box.Min.X < leastFree {
		box.Min.X, box.Max.X = 0, w.w
	}
	if box.Max.Y-box.Min.Y < leastFree {
		box.Min.Y, box.Max.Y = 0, w.h
	}
	return box
}

func middle(b r2.Box) r2.Vec { return r2.Scale(0.5, r2.Add(b.Min, b.Max)) }

func within(b r2.Box, p r2.Vec) bool {
	return p.X >= b.Min.X && p.X <= b.Max.X && p.Y >= b.Min.Y && p.Y <= b.Max.Y
}

// fitting gives the camera that shows a whole photo of w × h px in the middle
// of box.
func fitting(box r2.Box, w, h float64) camera {
	size := r2.Sub(box.Max, box.Min)
	room := r2.Vec{X: max(size.X-2*fitMargin, 1), Y: max(size.Y-2*fitMargin, 1)}
	scale := min(room.X/w, room.Y/h, maxScale)
	return holding(r2.Vec{X: w / 2, Y: h / 2}, middle(box), scale)
}

// limited keeps a scale between a quarter of fitting and maxScale.
func limited(scale, fit float64) float64 {
	if math.IsNaN(scale) {
		return fit
	}
	return min(max(scale, fit/shrink), maxScale)
}

// kept moves a camera as little as needed so that part of a photo of w × h px
// stays within box.
func (c camera) kept(box r2.Box, w, h float64) camera {
	c.shift.X += pull(c.shift.X, c.shift.X+w*c.scale, box.Min.X, box.Max.X)
	c.shift.Y += pull(c.shift.Y, c.shift.Y+h*c.scale, box.Min.Y, box.Max.Y)
	return c
}

// pull gives by how much the interval a–b must move to overlap lo–hi by
// keptInView, or by all of the shorter of the two.
func pull(a, b, lo, hi float64) float64 {
	need := min(keptInView, b-a, hi-lo)
	switch {
	case b < lo+need:
		return lo + need - b
	case a > hi-need:
		return hi - need - a
	}
	return 0
}
