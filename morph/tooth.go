package morph

import "gonum.org/v1/gonum/spatial/r2"

// Vertex is one point that a person placed on a photograph, in pixels. Via
// holds the points, in order, that lie between the previous vertex of the path
// and this one where the line between them follows an edge in the picture; an
// empty Via is a straight line.
type Vertex struct {
	X   float64      `json:"x"`
	Y   float64      `json:"y"`
	Via [][2]float64 `json:"via,omitempty"`
}

// Vec gives the vertex's own position.
func (v Vertex) Vec() r2.Vec { return r2.Vec{X: v.X, Y: v.Y} }

// At makes a vertex from a position.
func At(p r2.Vec) Vertex { return Vertex{X: p.X, Y: p.Y} }

// Path is a line through vertices, open or closed by its owner's meaning.
type Path []Vertex

// Polyline gives every point of the open path, in order, Via points included.
// The first vertex's Via is not part of an open path.
func (p Path) Polyline() []r2.Vec {
	var out []r2.Vec
	for i, v := range p {
		if i > 0 {
			for _, q := range v.Via {
				out = append(out, r2.Vec{X: q[0], Y: q[1]})
			}
		}
		out = append(out, v.Vec())
	}
	return out
}

// Polygon gives every point of the closed path, in order from its first
// vertex; the first vertex's Via lies between the last vertex and the first.
func (p Path) Polygon() []r2.Vec {
	out := p.Polyline()
	if len(p) > 0 {
		for _, q := range p[0].Via {
			out = append(out, r2.Vec{X: q[0], Y: q[1]})
		}
	}
	return out
}

// Unset marks an index of a landmark that has not been placed yet.
const Unset = -1

// Crown is a crown traced in a lateral photograph in one walk A → G → B.
type Crown struct {
	// Path runs from A (mesial base point) over the apex to B (distal base
	// point). While the walk is under way it may end before B.
	Path Path `json:"path"`
	// Apex is the index of G in Path, or Unset.
	Apex int `json:"apex"`
	// Done tells that B has been placed: the walk is complete.
	Done bool `json:"done"`
	// ApexBroken and BaseBroken make CH and AL (and what follows from them)
	// minima: the whole crown was longer.
	ApexBroken bool `json:"apexBroken,omitempty"`
	BaseBroken bool `json:"baseBroken,omitempty"`
	// Tip is where the apex was before it broke off, nil for no estimate.
	Tip    *Tip   `json:"tip,omitempty"`
	Origin Origin `json:"origin,omitempty"`
}

// Tip is an estimate of where a lost apex was, in px, with its standard
// uncertainty along the crown. It counts while the apex alone is marked broken.
type Tip struct {
	X float64 `json:"x"`
	Y float64 `json:"y"`
	U float64 `json:"u"`
}

// Section is the closed outline of a cross-section: the crown base in a basal
// photograph, or the crown at half its height.
type Section struct {
	Outline Path `json:"outline"`
	Done    bool `json:"done"`
	// Mesial and Distal are the indices in Outline of the section's mesial
	// and distal ends, or Unset.
	Mesial int    `json:"mesial"`
	Distal int    `json:"distal"`
	Origin Origin `json:"origin,omitempty"`
}

// Unit is a unit that a scale bar's length may be given in.
type Unit string

const (
	Millimetre Unit = "mm"
	Centimetre Unit = "cm"
	Inch       Unit = "in"
)

// Bar is one reading of a scale bar: its two ends in pixels and its length in
// Unit, with the standard uncertainty of that length in the same unit (0 when
// not stated). Reading the same bar again adds another Bar.
type Bar struct {
	From    Vertex  `json:"from"`
	To      Vertex  `json:"to"`
	Length  float64 `json:"length"`
	ULength float64 `json:"uLength,omitempty"`
	Unit    Unit    `json:"unit"`
	Origin  Origin  `json:"origin,omitempty"` // of the ends
}

// Carina is one of the crown's two cutting edges.
type Carina string

const (
	MesialCarina Carina = "mesial"
	DistalCarina Carina = "distal"
)

// Third is the part of a carina where denticles were counted.
type Third string

const (
	Apical Third = "apical"
	Mid    Third = "mid"
	Basal  Third = "basal"
)

// Stretch is a marked length of carina on a photograph. With ticks it is a
// denticle count: one tick a denticle, in any order. With Serrated set it is
// the serrated length of the carina (MSL on the mesial one) and has no ticks.
type Stretch struct {
	Carina   Carina   `json:"carina"`
	Third    Third    `json:"third,omitempty"`
	Serrated bool     `json:"serrated,omitempty"`
	Line     Path     `json:"line"`
	Ticks    []Vertex `json:"ticks,omitempty"`
	Done     bool     `json:"done"`
	Origin   Origin   `json:"origin,omitempty"` // of the ticks
}

// Role says what a photograph shows.
type Role string

const (
	LateralLabial  Role = "lateral labial"
	LateralLingual Role = "lateral lingual"
	BasalView      Role = "basal"
	MidSection     Role = "mid-crown section"
	MesialView     Role = "mesial carina"
	DistalView     Role = "distal carina"
	OtherView      Role = "other"
)

// Roles lists every role in the order in which a page offers them.
var Roles = []Role{LateralLabial, LateralLingual, BasalView, MidSection, MesialView, DistalView, OtherView}

// Lateral tells whether crowns are traced in a photograph of this role.
func (r Role) Lateral() bool { return r == LateralLabial || r == LateralLingual }

// Sectional tells whether sections are outlined in a photograph of this role.
func (r Role) Sectional() bool { return r == BasalView || r == MidSection }

// View is what was marked on one photograph.
type View struct {
	ID   string `json:"id"`
	Role Role   `json:"role"`
	// Pointing is the standard uncertainty of one placed point along x and
	// along y, in px; 0 leaves it to Repeats, see View.PointingError.
	Pointing float64 `json:"pointing,omitempty"`
	// Repeats are marks of the same point again and again, a list for each
	// point. They measure nothing but the hand that made them.
	Repeats []Path `json:"repeats,omitempty"`
	Bars    []Bar  `json:"bars,omitempty"`
	// Flat undoes the photograph's tilt and then sets its scale; Bars do not
	// count beside it.
	Flat *Flat `json:"flat,omitempty"`
	// Depth is that of the tooth over the scale, nil where they are level.
	Depth     *Depth    `json:"depth,omitempty"`
	Crown     *Crown    `json:"crown,omitempty"`
	Section   *Section  `json:"section,omitempty"`
	Stretches []Stretch `json:"stretches,omitempty"`
}

// DefaultPointing is the pointing error assumed when none is given, in px of
// the photograph: what a careful hand reaches at the magnifier's zoom.
const DefaultPointing = 1.0

// Typed is a value a person entered instead of measuring it here, in the
// quantity's own unit, with its standard uncertainty (0 when not stated) and
// the trade's mark as its state (MeasuredState when unmarked).
type Typed struct {
	Value float64 `json:"value"`
	U     float64 `json:"u,omitempty"`
	State State   `json:"state,omitempty"`
}

// Count is a typed denticle count: N denticles over LengthMM of carina.
type Count struct {
	N        float64 `json:"n"`
	LengthMM float64 `json:"lengthMM"`
}

// CarinaState says what is known of a carina's denticles as a whole.
// "Absent" is a character of the tooth; "not preserved" is a state of the
// fossil; they are never the same.
type CarinaState string

const (
	DenticlesUnknown      CarinaState = ""
	DenticlesPresent      CarinaState = "present"
	DenticlesAbsent       CarinaState = "absent"
	DenticlesNotPreserved CarinaState = "not preserved"
)

// DSDIRule names the definition of the denticle size density index in use.
type DSDIRule string

const (
	// DSDIMid is MC / DC, as in the table compiled by Hendrickx et al. 2024.
	DSDIMid DSDIRule = "MC/DC"
	// DSDIMean is MAVG / DAVG (Smith 2005).
	DSDIMean DSDIRule = "MAVG/DAVG"
)

// CHRRule names the axis by which CHR divides the crown height.
type CHRRule string

const (
	// CHRByLength is CH / CBL.
	CHRByLength CHRRule = "CH/CBL"
	// CHRByLongAxis divides by the longer of CBL and CBW, as Smith 2005 does
	// for premaxillary and first dentary tyrannosaurid teeth.
	CHRByLongAxis CHRRule = "CH/long axis"
)

// Tooth is everything known of one tooth that readings follow from.
// The zero value is a tooth of which nothing is known.
type Tooth struct {
	Views []View
	// Typed values by quantity; Counts by denticle density (MA … DB).
	Typed  map[ID]Typed
	Counts map[ID]Count
	Mesial CarinaState
	Distal CarinaState
	// Prefer names, by quantity, the candidate (Candidate.Key) that counts
	// where several are at hand; without an entry the first one counts.
	Prefer map[ID]string
	DSDI   DSDIRule // "" is DSDIMid
	CHR    CHRRule  // "" is CHRByLength
}
