package vision

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
)

// Section is a proposal of a cross-section's outline with its two ends on the
// mesiodistal axis, px.
type Section struct {
	Outline []r2.Vec
	// Ends are the outermost points along the long axis. Which of them is
	// mesial a section does not tell.
	Ends [2]r2.Vec
	// Axis is how far to trust that the long axis is the mesiodistal one, 0 to
	// 1: round sections have none.
	Axis float64
	// Even is how far to trust that the outline is that of one section, 0 to 1:
	// both its ends are alike. Of a crown that stands out behind the section on
	// one side they are not.
	Even float64
}

// SectionOf proposes the ends of a section from its outline: where the axis of
// its greatest second moment reaches farthest.
//
// The error is ErrNoCrown for an outline without area.
func SectionOf(o Outline) (Section, error) {
	if len(o.Points) < 12 || !(math.Abs(area(o.Points)) > 20) {
		return Section{}, ErrNoCrown
	}
	line := resample(o.Points, true, 1.5)
	middle, along := axis(line)
	f := frameOf(middle, along)
	s := Section{Outline: line}
	low, high, left, right := 0.0, 0.0, 0.0, 0.0
	for _, p := range line {
		a, r := f.in(p)
		if a < low {
			low, s.Ends[0] = a, p
		}
		if a > high {
			high, s.Ends[1] = a, p
		}
		left, right = math.Min(left, r), math.Max(right, r)
	}
	s.Axis = math.Max(0, math.Min(1, 4*(1-(right-left)/(high-low))))
	s.Even = evenness(line, s.Ends)
	return s, nil
}

// evenness tells how alike both ends of an outline are, 0 to 1: by how much its
// widths on either side of the line between the ends differ from those as far
// from the other end, as a share of the length.
func evenness(line []r2.Vec, ends [2]r2.Vec) float64 {
	const cuts = 24
	var reach [2][cuts]float64
	f := frameOf(ends[0], r2.Sub(ends[1], ends[0]))
	long := r2.Norm(r2.Sub(ends[1], ends[0]))
	for i, p := range line {
		a, r := f.in(p)
		b, q := f.in(line[(i+1)%len(line)])
		for k := range cuts {
			x := long * (float64(k) + 0.5) / cuts
			if a == b || (a-x)*(b-x) > 0 {
				continue
			}
			off, side := r+(q-r)*(x-a)/(b-a), 0
			if off < 0 {
				side = 1
			}
			reach[side][k] = math.Max(reach[side][k], math.Abs(off))
		}
	}
	most := 0.0
	for _, side := range reach {
		for k := range cuts / 2 {
			most = math.Max(most, math.Abs(side[k]-side[cuts-1-k]))
		}
	}
	uneven := most / long / allowedUneven
	return math.Exp2(-uneven * uneven)
}

// allowedUneven is the difference between both ends of a section, as a share of
// its length, at which an outline is trusted by a half (even seeds of
// toothtrial).
const allowedUneven = 0.006

// Traced gives the proposal as an outlined section: two vertices at its ends,
// the first of them taken for the mesial one, with the outline between them to
// within tolerance px.
func (s Section) Traced(tolerance float64) *morph.Section {
	at := 0
	for i, p := range s.Outline {
		if p == s.Ends[0] {
			at = i
		}
	}
	var there, back []r2.Vec
	n := len(s.Outline)
	half := &there
	for k := range n + 1 {
		p := s.Outline[(at+k)%n]
		*half = append(*half, p)
		if p == s.Ends[1] {
			half = &back
			back = append(back, p)
		}
	}
	return &morph.Section{
		Outline: morph.Path{vertexAfter(back, tolerance), vertexAfter(there, tolerance)},
		Done:    true, Mesial: 0, Distal: 1,
	}
}

// vertexAfter is the vertex at the end of a line, with what leads to it.
func vertexAfter(line []r2.Vec, tolerance float64) morph.Vertex {
	line = simplify(line, tolerance)
	v := morph.At(line[len(line)-1])
	for _, p := range line[1 : len(line)-1] {
		v.Via = append(v.Via, [2]float64{p.X, p.Y})
	}
	return v
}
