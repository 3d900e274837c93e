package vision

import "math"

// whole tells what is wrong with a thing as an outline of one tooth.
func whole(m *mask) error {
	n := m.count()
	if n < 12 {
		return ErrNoTooth
	}
	if solid(m) < leastSolid || m.neck() < leastNeck {
		return ErrTouching
	}
	return nil
}

// cutOff tells whether a thing runs out of the picture: whether the outermost
// pixels of the photograph itself, where the thing reaches them on the copy,
// look more like the thing than like the ground.
func (f *field) cutOff(p *Picture, thing *mask) bool {
	rest := thing.inverse()
	inside, outside := mix(colours(f.colour, thing), 5), mix(colours(f.colour, rest), 6)
	full := p.Level(0)
	touching, out := 0, 0
	for i, on := range thing.on {
		x, y := i%f.w, i/f.w
		if !on || x > 0 && y > 0 && x < f.w-1 && y < f.h-1 {
			continue
		}
		c := full.Colour(outermost(x, f.w, full.Width, f.level.Factor), outermost(y, f.h, full.Height, f.level.Factor))
		touching++
		if len(outside) == 0 || inside.unlikely(c) < outside.unlikely(c) {
			out++
		}
	}
	return 3*out > touching
}

// outermost is the photograph's pixel in the middle of a copy's pixel, or at
// the very edge for the copy's first and last.
func outermost(x, w, full int, factor float64) int {
	switch x {
	case 0:
		return 0
	case w - 1:
		return full - 1
	}
	return int((float64(x) + 0.5) * factor)
}

const (
	// leastSolid is the least share of its hull that one tooth fills: strongly
	// curved crowns with their root fill four fifths.
	leastSolid = 0.72
	// leastNeck is how narrow one tooth may become between two wide parts.
	leastNeck = 0.6
)

// solid is the share of a thing's convex hull that it fills.
func solid(m *mask) float64 {
	hull := convexHull(m.contour())
	return math.Min(1, float64(m.count())/math.Max(1, math.Abs(area(hull))))
}
