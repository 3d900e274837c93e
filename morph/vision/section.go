package vision

import (
	"errors"
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
	// Sure is how far to trust the outline and what is measured on it, 0 to 1: by
	// how clearly the enamel's two edges run around the section, and by ULength
	// and UWidth against what a measurement may be off. It is 0 where no enamel
	// was made out: the outline is then that of all that stands out from the
	// ground, with the crown behind the section if it shows.
	Sure float64
	// ULength and UWidth are how far the distance of the ends and the width
	// across may be off, px: nineteen of twenty lie nearer to the truth, as long
	// as it is the section's own edge that was found.
	ULength, UWidth float64
}

// ErrNoSection says why no section is proposed.
var ErrNoSection = errors.New("no section can be made out here: outline it by hand")

// SectionAt proposes the outline of the section that a point lies in.
//
// A section shows enamel as a band of even width around the dentine. The band's
// two edges are sought together, so that neither the dentine's edge inside nor
// that of the crown behind the section is taken for the section's; then the
// outer one is placed to a fraction of a pixel, and smooth curves through it tell
// how far it reaches along the section's axes.
//
// The error is ErrNoSection or one of those of Silhouette.
func SectionAt(p *Picture, at r2.Vec) (s Section, err error) {
	defer Stopped(&err)
	if !p.Holds(at) {
		return Section{}, ErrNoTooth
	}
	var start []oval
	level, f, body, err := lookAt(p, at)
	if err == nil {
		if o, ok := ovalOf(body.contour()); ok {
			start = append(start, o.scaled(float64(int(1)<<level)))
		}
	}
	if n, r, clear := ringAround(p, at, start); clear > leastClear {
		e := sharpenRim(p, n, r)
		if s, ok := sectionIn(e); ok {
			// Once more, along a line that has the corners that were found.
			if s, ok := sectionIn(p.Level(0).settleRim(s.Outline, e.thick)); ok {
				s.Sure *= math.Max(0, math.Min(1, 0.5+(clear-clearly)/0.44))
				return s, nil
			}
		}
	}
	if err != nil {
		return Section{}, err
	}
	o, err := sharpen(p, level, f, body)
	if err != nil {
		return Section{}, err
	}
	s, ok := sectionIn(rim{placedEdge: placedEdge{points: o.Points, u: make([]float64, len(o.Points)), blur: 1}})
	if !ok {
		return Section{}, ErrNoSection
	}
	s.Sure = 0
	return s, nil
}

const (
	// leastClear is the clearness below which a ring is none.
	leastClear = 0.6
	// clearly is that from which a ring is trusted by a half (even seeds of
	// toothtrial: nearly all above it are the enamel's, of those below about half).
	clearly = 1.02
)

// sectionIn finds the ends and sides of the section with a rim; false when the
// rim has none.
func sectionIn(e rim) (Section, bool) {
	o, ok := ovalOf(e.points)
	if !ok || len(e.points) < 24 {
		return Section{}, false
	}
	long, short := r2.Norm(o.long), r2.Norm(o.short)
	s := Section{Outline: append([]r2.Vec(nil), e.points...)}
	// The ends, which may be corners, and the sides.
	var most [4]extreme
	for k, d := range [4]r2.Vec{r2.Scale(-1, o.long), o.long, r2.Scale(-1, o.short), o.short} {
		f, reach := frameOf(o.middle, d), 0.26*short
		if k > 1 {
			reach = 0.44 * long
		}
		if most[k], ok = e.extreme(f, math.Max(8, reach), k < 2); !ok {
			return Section{}, false
		}
		most[k].draw(s.Outline)
	}
	for k := range s.Ends {
		s.Ends[k] = most[k].top()
		s.Outline = withVertex(s.Outline, s.Ends[k])
	}
	s.ULength, s.UWidth = 2*math.Hypot(most[0].u, most[1].u), 2*math.Hypot(most[2].u, most[3].u)
	s.Axis = math.Max(0, math.Min(1, 4*(1-short/long)))
	s.Sure = min(held(s.ULength, most[0].height()+most[1].height()), held(s.UWidth, most[2].height()+most[3].height()))
	return s, true
}

// withVertex puts a point into a closed line where it lies nearest to it.
func withVertex(line []r2.Vec, q r2.Vec) []r2.Vec {
	at, least := 0, math.Inf(1)
	for i, p := range line {
		if d := offSegment(q, p, line[(i+1)%len(line)]); d < least {
			at, least = i+1, d
		}
	}
	out := append([]r2.Vec(nil), line[:at]...)
	return append(append(out, q), line[at:]...)
}

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
