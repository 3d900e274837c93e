package morph

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// arcLength is the length of an open polyline.
func arcLength(line []r2.Vec) float64 {
	var sum float64
	for i := 1; i < len(line); i++ {
		sum += stride(line[i-1], line[i])
	}
	return sum
}

// spread writes into dst points evenly spaced along the polyline, both ends
// included, and returns it. An empty or pointlike line gives its point
// throughout.
func spread(dst, line []r2.Vec) []r2.Vec {
	if len(line) == 0 {
		return dst[:0]
	}
	step := arcLength(line) / float64(len(dst)-1)
	var passed float64 // length of the line up to its point i-1
	i, k := 1, 1
	dst[0] = line[0]
	for ; i < len(line) && k < len(dst)-1; i++ {
		p, q := line[i-1], line[i]
		seg := stride(p, q)
		for k < len(dst)-1 && float64(k)*step <= passed+seg && seg > 0 {
			f := (float64(k)*step - passed) / seg
			dst[k] = r2.Vec{X: p.X + f*(q.X-p.X), Y: p.Y + f*(q.Y-p.Y)}
			k++
		}
		passed += seg
	}
	for ; k < len(dst); k++ {
		dst[k] = line[len(line)-1]
	}
	return dst
}

// along gives the distance along an open polyline, from its start, of the point
// on it that lies nearest to p.
func along(line []r2.Vec, p r2.Vec) float64 {
	var passed, at float64
	best := math.Inf(1)
	for i := 1; i < len(line); i++ {
		a, d := line[i-1], r2.Sub(line[i], line[i-1])
		seg2 := d.X*d.X + d.Y*d.Y
		if seg2 == 0 {
			continue
		}
		f := ((p.X-a.X)*d.X + (p.Y-a.Y)*d.Y) / seg2
		f = max(0, min(1, f))
		x, y := a.X+f*d.X-p.X, a.Y+f*d.Y-p.Y
		seg := math.Sqrt(seg2)
		if off := x*x + y*y; off < best {
			best, at = off, passed+f*seg
		}
		passed += seg
	}
	return at
}

// stride is the distance between neighbouring points of a line. Unlike
// math.Hypot it overflows for coordinates beyond 1e150 px, which no photograph
// has, and is twice as fast over lines of thousands of points.
func stride(p, q r2.Vec) float64 {
	x, y := q.X-p.X, q.Y-p.Y
	return math.Sqrt(x*x + y*y)
}
