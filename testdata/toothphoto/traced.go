package toothphoto

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Vertex is a point that a person would have placed, in pixels, with the
// points that lie between the vertex before it and itself where the line
// between them is curved. It is written as {"x", "y", "via"}.
type Vertex struct {
	X   float64      `json:"x"`
	Y   float64      `json:"y"`
	Via [][2]float64 `json:"via,omitempty"`
}

// Traced is a photograph as if a careful person had marked everything on it
// that it shows. The marks come from the truth, rounded to 0.01 px.
type Traced struct {
	Bar *TracedBar `json:"scaleBar,omitempty"`
	// Crown is the walk from A over the apex to B, along the notches of the
	// denticles, in lateral views.
	Crown   *TracedCrown   `json:"crown,omitempty"`
	Section *TracedSection `json:"section,omitempty"`
	// Stretches are counted lengths of carina and, with Serrated, the serrated
	// length of the mesial carina.
	Stretches []TracedStretch `json:"stretches,omitempty"`
}

// TracedBar is the scale bar: its ends in px and the length between them.
type TracedBar struct {
	Ends   [2][2]float64 `json:"ends"`
	Length float64       `json:"lengthMM"`
}

// TracedCrown is the walk A … G … B; Apex is the index of G in Path.
type TracedCrown struct {
	Path       []Vertex `json:"path"`
	Apex       int      `json:"apex"`
	ApexBroken bool     `json:"apexBroken,omitempty"`
}

// TracedSection is a closed outline; Mesial and Distal are indices in it. The
// Via of the first vertex lies between the last vertex and the first.
type TracedSection struct {
	Outline []Vertex `json:"outline"`
	Mesial  int      `json:"mesial"`
	Distal  int      `json:"distal"`
}

// TracedStretch is a length of carina, from the notch before its first
// denticle to the notch after its last, with a tick on every denticle's tip.
type TracedStretch struct {
	Carina   string       `json:"carina"` // "mesial" or "distal"
	Third    Third        `json:"third,omitempty"`
	Serrated bool         `json:"serrated,omitempty"`
	Line     [][2]float64 `json:"line"`
	Ticks    [][2]float64 `json:"ticks,omitempty"`
}

// crownVertices and sectionVertices are how many points a person places.
const (
	carinaVertices  = 8 // per carina, A or B counted and G not
	sectionVertices = 32
)

// Trace marks a photograph from its truth. Thirds of a row are counted where
// every denticle of their window is preserved and shows.
func Trace(truth Truth) Traced {
	var out Traced
	if truth.Bar.Length > 0 {
		out.Bar = &TracedBar{Ends: [2][2]float64{pair(truth.Bar.Ends[0]), pair(truth.Bar.Ends[1])}, Length: truth.Bar.Length}
	}
	if truth.View.Lateral() {
		up := truth.PlainOutline[:truth.PlainApex+1]
		down := truth.PlainOutline[truth.PlainApex:]
		path := append([]Vertex{vertex(up[0])}, along(up, carinaVertices)...)
		apex := len(path) - 1
		path = append(path, along(down, carinaVertices)...)
		out.Crown = &TracedCrown{Path: path, Apex: apex, ApexBroken: truth.Measurements.ApexBroken}
	}
	if truth.View.Section() {
		half := len(truth.Section) / 2
		labial := truth.Section[:half+1]
		lingual := append(append([]r2.Vec{}, truth.Section[half:]...), truth.Section[0])
		outline := append([]Vertex{vertex(labial[0])}, along(labial, sectionVertices/2)...)
		back := along(lingual, sectionVertices/2)
		outline = append(outline, back[:len(back)-1]...)
		outline[0].Via = back[len(back)-1].Via
		out.Section = &TracedSection{Outline: outline, Mesial: 0, Distal: sectionVertices / 2}
	}
	m := truth.Measurements
	for _, side := range []struct {
		name string
		row  RowTruth
		seen []DenticleTruth
	}{{"mesial", m.Mesial, truth.Mesial}, {"distal", m.Distal, truth.Distal}} {
		for _, third := range []struct {
			name Third
			d    DensityTruth
		}{{BasalThird, side.row.Basal}, {MidThird, side.row.Mid}, {ApicalThird, side.row.Apical}} {
			if !third.d.Present || !third.d.Preserved {
				continue
			}
			s := TracedStretch{Carina: side.name, Third: third.name}
			if s.count(side.seen, third.d) {
				out.Stretches = append(out.Stretches, s)
			}
		}
		if side.name == "mesial" && truth.View.Lateral() && side.row.Count > 0 && side.row.Count == side.row.Original && len(side.seen) == side.row.Count {
			var line []r2.Vec
			for _, d := range side.seen {
				line = append(line, d.Notches[0])
			}
			line = append(line, side.seen[len(side.seen)-1].Notches[1])
			out.Stretches = append(out.Stretches, TracedStretch{Carina: side.name, Serrated: true, Line: pairs(thin(line))})
		}
	}
	return out
}

// count fills a stretch with the denticles that lie wholly within a window. It
// tells whether the picture shows them all.
func (s *TracedStretch) count(seen []DenticleTruth, d DensityTruth) bool {
	pitch := 5 / d.Per5mm
	last := -1
	for _, t := range seen {
		if t.Along < d.From+pitch/2 || t.Along > d.To-pitch/2 {
			continue
		}
		if last < 0 {
			s.Line = append(s.Line, pair(t.Notches[0]))
		} else if t.Index != last+1 {
			return false
		}
		last = t.Index
		s.Line = append(s.Line, pair(t.Notches[1]))
		s.Ticks = append(s.Ticks, pair(t.Tip))
	}
	// At either end up to one denticle is cut by the window.
	return float64(len(s.Ticks)) > d.Window/pitch-2.5
}

// along places n vertices evenly on a polyline, after its first point and up
// to its last, with the thinned curve between them.
func along(pts []r2.Vec, n int) []Vertex {
	arc := make([]float64, len(pts))
	for i := 1; i < len(pts); i++ {
		arc[i] = arc[i-1] + r2.Norm(r2.Sub(pts[i], pts[i-1]))
	}
	total := arc[len(arc)-1]
	var out []Vertex
	from := 0
	for k := 1; k <= n; k++ {
		to := len(pts) - 1
		if k < n {
			to = from + 1
			for to < len(pts)-1 && arc[to] < total*float64(k)/float64(n) {
				to++
			}
		}
		v := vertex(pts[to])
		between := thin(pts[from : to+1])
		v.Via = pairs(between[1 : len(between)-1])
		out = append(out, v)
		from = to
	}
	return out
}

// thin drops points of a polyline that lie within a fifth of a pixel of the
// line through those that stay (Douglas and Peucker 1973, from memory).
func thin(pts []r2.Vec) []r2.Vec {
	const off = 0.2 // px
	if len(pts) <= 2 {
		return pts
	}
	a, b := pts[0], pts[len(pts)-1]
	worst, at := 0.0, 0
	for i, p := range pts[1 : len(pts)-1] {
		d := r2.Norm(r2.Sub(p, a))
		if n := r2.Norm(r2.Sub(b, a)); n > 0 {
			d = math.Abs(r2.Cross(r2.Sub(b, a), r2.Sub(p, a))) / n
		}
		if d > worst {
			worst, at = d, i+1
		}
	}
	if worst <= off {
		return []r2.Vec{a, b}
	}
	left, right := thin(pts[:at+1]), thin(pts[at:])
	return append(append([]r2.Vec{}, left...), right[1:]...)
}

func vertex(p r2.Vec) Vertex { q := pair(p); return Vertex{X: q[0], Y: q[1]} }

// pair rounds a point to 0.01 px.
func pair(p r2.Vec) [2]float64 {
	return [2]float64{math.Round(p.X*100) / 100, math.Round(p.Y*100) / 100}
}

func pairs(pts []r2.Vec) [][2]float64 {
	var out [][2]float64
	for _, p := range pts {
		out = append(out, pair(p))
	}
	return out
}
