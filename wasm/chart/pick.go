package chart

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Nearest returns the index of the point nearest to a place and at most within
// px away from it, or -1. Of points at one place the last is on top.
func Nearest(points []r2.Vec, place r2.Vec, within float64) int {
	found, best := -1, within
	for i, p := range points {
		if d := r2.Norm(r2.Sub(p, place)); d <= best {
			found, best = i, d
		}
	}
	return found
}

// Direction is one of four ways on a plot.
type Direction int

const (
	Left Direction = iota
	Right
	Up
	Down
)

// along returns the parts of a step that go in a direction and across it; px
// count downwards.
func (d Direction) along(v r2.Vec) (ahead, aside float64) {
	switch d {
	case Left:
		return -v.X, math.Abs(v.Y)
	case Right:
		return v.X, math.Abs(v.Y)
	case Up:
		return -v.Y, math.Abs(v.X)
	}
	return v.Y, math.Abs(v.X)
}

// onward tells whether a direction goes through points at one place in their
// order, or against it.
func (d Direction) onward() bool { return d == Right || d == Down }

// Towards returns the index of the point that a step from one leads to, or -1
// when there is none in that direction: the next at the very same place, else
// the nearest within 45° of the direction, else the nearest on that side.
//
//	  ╲ aside
//	   ╲
//	●───────► ahead
//	   ╱
//	  ╱
func Towards(points []r2.Vec, from int, d Direction) int {
	if from < 0 || from >= len(points) {
		return -1
	}
	start := points[from]
	step := 1
	if !d.onward() {
		step = -1
	}
	for i := from + step; i >= 0 && i < len(points); i += step {
		if points[i] == start {
			return i
		}
	}
	inside, beside := -1, -1
	bestIn, bestBy := math.Inf(1), math.Inf(1)
	nearer := func(dist, best float64) bool {
		// Of points at one place the walk enters at the end it does not leave by.
		return dist < best || dist == best && !d.onward()
	}
	for i, p := range points {
		v := r2.Sub(p, start)
		ahead, aside := d.along(v)
		if !(ahead > 0) {
			continue
		}
		dist := r2.Norm(v)
		if aside <= ahead && nearer(dist, bestIn) {
			inside, bestIn = i, dist
		}
		if nearer(dist, bestBy) {
			beside, bestBy = i, dist
		}
	}
	if inside >= 0 {
		return inside
	}
	return beside
}
