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
// look more like the thing than like the ground, and it does more than touch
// the picture's side there.
func (f *field) cutOff(p *Picture, thing *mask) bool {
	inside, outside := mix(colours(f.colour, thing), 5), mix(colours(f.colour, thing.inverse()), 6)
	full := p.Level(0)
	touching, out := 0, 0
	for _, s := range f.sides() {
		here, like := 0, 0
		for k := range s.long {
			i := s.at(k, 0)
			if !thing.on[i] {
				continue
			}
			x, y := i%f.w, i/f.w
			c := full.Colour(outermost(x, f.w, full.Width, f.level.Factor), outermost(y, f.h, full.Height, f.level.Factor))
			here++
			if len(outside) == 0 || inside.unlikely(c) < outside.unlikely(c) {
				like++
			}
		}
		if s.touched(thing, here) {
			continue
		}
		touching, out = touching+here, out+like
	}
	return 3*out > touching
}

// side is one side of the picture: long pixels along it, at(k, in) the index of
// the k-th of them, in px within.
type side struct {
	long, deep int
	at         func(k, in int) int
}

func (f *field) sides() [4]side {
	return [4]side{
		{f.w, f.h, func(k, in int) int { return in*f.w + k }},
		{f.w, f.h, func(k, in int) int { return (f.h-1-in)*f.w + k }},
		{f.h, f.w, func(k, in int) int { return k*f.w + in }},
		{f.h, f.w, func(k, in int) int { return k*f.w + f.w - 1 - in }},
	}
}

// touched tells whether a thing that reaches a side along n px does no more than
// touch it, as a round flank does: a little within it is at least two and a half times as
// wide. A tip or a base that is cut off is not.
func (s side) touched(thing *mask, n int) bool {
	in := max(2, n/3)
	if n == 0 || in >= s.deep {
		return false
	}
	wide := 0
	for k := range s.long {
		if thing.on[s.at(k, in)] {
			wide++
		}
	}
	return 2*wide >= 5*n
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
