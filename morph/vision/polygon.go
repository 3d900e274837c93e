package vision

import (
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// area is the signed area of a closed polygon: positive when it runs clockwise
// as one sees it, y pointing down.
func area(pts []r2.Vec) float64 {
	sum := 0.0
	for i, p := range pts {
		sum += r2.Cross(p, pts[(i+1)%len(pts)])
	}
	return sum / 2
}

// convexHull gives the corners of the hull of some points, in order (Andrew's
// monotone chain).
func convexHull(pts []r2.Vec) []r2.Vec {
	p := append([]r2.Vec(nil), pts...)
	sort.Slice(p, func(i, j int) bool { return p[i].X < p[j].X || p[i].X == p[j].X && p[i].Y < p[j].Y })
	var hull []r2.Vec
	for range 2 {
		low := len(hull)
		for _, q := range p {
			for len(hull) >= low+2 && r2.Cross(r2.Sub(hull[len(hull)-1], hull[len(hull)-2]), r2.Sub(q, hull[len(hull)-1])) <= 0 {
				hull = hull[:len(hull)-1]
			}
			hull = append(hull, q)
		}
		if len(hull) > 0 {
			hull = hull[:len(hull)-1] // the next chain begins with it
		}
		for i, j := 0, len(p)-1; i < j; i, j = i+1, j-1 {
			p[i], p[j] = p[j], p[i]
		}
	}
	return hull
}
