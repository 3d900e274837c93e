package bench

import "gonum.org/v1/gonum/spatial/r2"

// finest is the distance in device px below which points of a line are drawn
// as one.
const finest = 0.7

// stroke adds a line through photo points to the scene: only its parts that
// can be seen, without points too close to tell apart.
func (d *drafter) stroke(line []r2.Vec, style Stroke) {
	if len(line) < 2 {
		return
	}
	begin := len(d.points)
	length := 0.0
	finish := func() {
		if len(d.points)-begin > 1 {
			s := style
			s.Points = d.points[begin:len(d.points):len(d.points)]
			*d.strokes = append(*d.strokes, s)
		}
		begin = len(d.points)
	}
	from := d.to.At(line[0])
	for i, p := range line[1:] {
		to := d.to.At(p)
		if step := distance(from, to); step < finest && i < len(line)-2 {
			continue
		} else if a, b, ok := clipped(d.clip, from, to); ok {
			if len(d.points) == begin || a != from {
				finish()
				style.Start = length + distance(from, a)
				d.points = append(d.points, a)
			}
			d.points = append(d.points, b)
			if b != to {
				finish()
			}
			length += step
		} else {
			finish()
			length += step
		}
		from = to
	}
	finish()
}

// clipped gives the part of the segment a–b within box (Liang and Barsky's
// parametric clipping); ends that lie inside stay exactly what they are.
func clipped(box r2.Box, a, b r2.Vec) (r2.Vec, r2.Vec, bool) {
	d := r2.Sub(b, a)
	t0, t1 := 0.0, 1.0
	side := func(p, q float64) bool {
		switch {
		case p == 0:
			return q >= 0
		case p < 0:
			t0 = max(t0, q/p)
		default:
			t1 = min(t1, q/p)
		}
		return t0 <= t1
	}
	if !side(-d.X, a.X-box.Min.X) || !side(d.X, box.Max.X-a.X) ||
		!side(-d.Y, a.Y-box.Min.Y) || !side(d.Y, box.Max.Y-a.Y) {
		return a, b, false
	}
	from, to := a, b
	if t0 > 0 {
		from = r2.Add(a, r2.Scale(t0, d))
	}
	if t1 < 1 {
		to = r2.Add(a, r2.Scale(t1, d))
	}
	return from, to, true
}
