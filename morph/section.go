package morph

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// SectionShape is what an outlined cross-section measures, in the unit of its
// outline: the distance between its mesial and distal ends, its extent
// perpendicular to the line between them, and its resistance to bending along
// and across that line.
type SectionShape struct {
	Length, Width float64
	Bending
}

// SectionOf measures a closed outline whose mesial and distal ends are given.
// Numbers that the outline does not give, because it has no area or its two
// ends coincide, are 0.
func SectionOf(outline []r2.Vec, mesial, distal r2.Vec) SectionShape {
	m := MomentsOf(outline)
	s := SectionShape{Bending: Bending{Area: m.Area}}
	axis := r2.Sub(distal, mesial)
	length := math.Hypot(axis.X, axis.Y)
	if !(m.Area > 0) || !(length > 0) || math.IsInf(length, 0) {
		return s
	}
	md := r2.Scale(1/length, axis)
	ll := r2.Vec{X: -md.Y, Y: md.X}
	var minMD, maxMD, minLL, maxLL float64 // from the centroid
	for _, p := range outline {
		d := r2.Sub(p, m.Centroid)
		u, v := d.X*md.X+d.Y*md.Y, d.X*ll.X+d.Y*ll.Y
		minMD, maxMD = min(minMD, u), max(maxMD, u)
		minLL, maxLL = min(minLL, v), max(maxLL, v)
	}
	s.Length, s.Width = length, maxLL-minLL
	s.IMD, s.ILL = m.Along(md), m.Along(ll)
	s.ZMD, s.ZLL = s.IMD/max(maxMD, -minMD), s.ILL/max(maxLL, -minLL)
	return s
}

// ended tells whether the section's mesial and distal ends are two of its
// vertices.
func (c *Section) ended() bool {
	n := len(c.Outline)
	return c.Mesial >= 0 && c.Mesial < n && c.Distal >= 0 && c.Distal < n && c.Mesial != c.Distal
}
