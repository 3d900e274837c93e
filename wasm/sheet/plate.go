package sheet

import (
	"errors"
	"math"
	"strconv"
	"unicode/utf8"

	"crownbench/morph"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"

	"gonum.org/v1/gonum/spatial/r2"
)

// Plate is several teeth side by side at one scale.
type Plate struct {
	Teeth []Outlined
	// Without names the teeth that have no outline with a scale.
	Without []string
}

// Outlined is a tooth by its outlines, in mm, x to the right and y down. The
// crown stands on its base, A–B level and at y = 0, with the apex up, and as it
// was photographed: turned, never mirrored. The section lies with its mesial
// end to the left. Either may be missing.
//
//	    G
//	   / \
//	 _/   \_
//	A ----- B     y = 0
//	 (     )      section
type Outlined struct {
	Name     string
	Invented bool
	Crown    []r2.Vec // open, from A over G to B
	Section  []r2.Vec // closed
}

// PlateOf takes the first side view and the first base view of each tooth that
// were traced and have a scale.
func PlateOf(specimens []*tray.Specimen) Plate {
	var p Plate
	for _, s := range specimens {
		o := Outlined{Name: s.Name, Invented: s.Invented}
		for i := range s.Photos {
			v := s.Photos[i].View
			if o.Crown == nil && v.Role.Lateral() && v.Crown != nil && v.Crown.Done {
				o.Crown = standing(v)
			}
			if o.Section == nil && v.Role == morph.BasalView && v.Section != nil && v.Section.Done {
				o.Section = lying(v)
			}
		}
		if o.Crown == nil && o.Section == nil {
			p.Without = append(p.Without, s.Name)
			continue
		}
		p.Teeth = append(p.Teeth, o)
	}
	return p
}

// standing gives the crown of a side view in mm, on its base; nil without a
// scale or where its landmarks coincide.
func standing(v morph.View) []r2.Vec {
	return upright(v.Crown, func(points []r2.Vec) ([]r2.Vec, error) { return millimetres(v, points) })
}

// upright gives a crown on its base with its points taken elsewhere; nil where
// they have no place there or its landmarks coincide.
func upright(c *morph.Crown, take func(px []r2.Vec) ([]r2.Vec, error)) []r2.Vec {
	if c.Apex <= 0 || c.Apex >= len(c.Path) {
		return nil
	}
	line, err := take(c.Path.Polyline())
	if err != nil || len(line) < 3 {
		return nil
	}
	apex, err := take([]r2.Vec{c.Path[c.Apex].Vec()})
	if err != nil {
		return nil
	}
	a, b := line[0], line[len(line)-1]
	if r2.Cross(r2.Sub(b, a), r2.Sub(apex[0], a)) > 0 { // y is down: the apex lies below A–B
		a, b = b, a
	}
	return turned(line, a, b)
}

// lying gives the section of a base view in mm; nil without a scale.
func lying(v morph.View) []r2.Vec {
	line, err := millimetres(v, v.Section.Outline.Polygon())
	if err != nil || len(line) < 3 {
		return nil
	}
	from, to := r2.Vec{}, r2.Vec{X: 1}
	ends := []int{v.Section.Mesial, v.Section.Distal}
	if n := len(v.Section.Outline); min(ends[0], ends[1]) >= 0 && max(ends[0], ends[1]) < n {
		at, err := millimetres(v, []r2.Vec{v.Section.Outline[ends[0]].Vec(), v.Section.Outline[ends[1]].Vec()})
		if err != nil {
			return nil
		}
		from, to = at[0], at[1]
	}
	return turned(line, from, to)
}

// turned moves from to the origin and turns the line so that to lies right of
// it; nil where the two coincide.
func turned(line []r2.Vec, from, to r2.Vec) []r2.Vec {
	along := r2.Sub(to, from)
	n := r2.Norm(along)
	if !(n > 0) || math.IsInf(n, 0) {
		return nil
	}
	along = r2.Scale(1/n, along)
	out := make([]r2.Vec, len(line))
	for i, p := range line {
		p = r2.Sub(p, from)
		out[i] = r2.Vec{X: r2.Dot(along, p), Y: r2.Cross(along, p)}
	}
	return out
}

// errNowhere tells that a marked point has no place in the plane of the card.
var errNowhere = errors.New("a point lies beyond the plane of the card")

// millimetres takes points of a photograph from px into mm, in the plane of its
// card where it has one.
func millimetres(v morph.View, points []r2.Vec) ([]r2.Vec, error) {
	scale, err := v.Scale()
	if err != nil {
		return nil, err
	}
	at := func(q r2.Vec) r2.Vec { return r2.Scale(1/scale.PxPerMM, q) }
	if v.Flat != nil {
		unit, _ := v.Flat.Unit.In()
		var corners [4]r2.Vec
		for i, c := range v.Flat.Corners {
			corners[i] = c.Vec()
		}
		plane, err := morph.PlaneOf(corners, unit*v.Flat.Width, unit*v.Flat.Height)
		if err != nil {
			return nil, err
		}
		depth := scale.Depth
		if depth == 0 {
			depth = 1
		}
		at = func(q r2.Vec) r2.Vec { return r2.Scale(depth, plane.MM(q)) }
	}
	out := make([]r2.Vec, len(points))
	for i, q := range points {
		out[i] = at(q)
		if math.IsNaN(out[i].X+out[i].Y) || math.IsInf(out[i].X+out[i].Y, 0) {
			return nil, errNowhere
		}
	}
	return out, nil
}

// The plate on paper, in mm.
const (
	plateWidth  = 180.0 // both A4 and Letter leave it
	plateTall   = 60.0  // what the tallest tooth may take
	plateGap    = 6.0
	plateCell   = 24.0 // what a name needs at least
	plateLetter = 2.8
	plateLabel  = 5.0  // a line for the name
	plateFoot   = 16.0 // scale bar and what it says
)

// magnifications are the round ones that a plate is drawn at.
var magnifications = []float64{20, 10, 5, 4, 3, 2, 1.5, 1, 0.75, 0.5, 0.25, 0.1}

// Magnification is how much larger than the teeth the plate is on paper.
func (p Plate) Magnification() float64 {
	tall, wide := 0.0, 0.0
	for _, t := range p.Teeth {
		for _, line := range [][]r2.Vec{t.Crown, t.Section} {
			b := boxOf(line)
			tall, wide = max(tall, height(b)), max(wide, width(b))
		}
	}
	const room = 1e-6 // mm, for what turning rounds
	for _, x := range magnifications {
		if x*tall <= plateTall+room && x*wide <= plateWidth {
			return x
		}
	}
	return min(plateTall/tall, plateWidth/wide)
}

func boxOf(line []r2.Vec) r2.Box {
	if len(line) == 0 {
		return r2.Box{}
	}
	b := r2.Box{Min: line[0], Max: line[0]}
	for _, p := range line {
		b.Min = r2.Vec{X: min(b.Min.X, p.X), Y: min(b.Min.Y, p.Y)}
		b.Max = r2.Vec{X: max(b.Max.X, p.X), Y: max(b.Max.Y, p.Y)}
	}
	return b
}

// placed is a tooth of a plate with the room that it takes, in mm on paper.
type placed struct {
	Outlined
	crown, section r2.Box
	width          float64
}

// Node draws the plate. Its units are mm on paper; printed as it is, it is true
// to the magnification that it states.
func (p Plate) Node() *m.Node {
	x := p.Magnification()
	paper := &platePaper{magnification: x}
	var row []placed
	used := 0.0
	for _, t := range p.Teeth {
		c := placed{Outlined: t, crown: boxOf(t.Crown), section: boxOf(t.Section)}
		c.width = max(plateCell, x*width(c.crown), x*width(c.section)) + plateGap
		if used+c.width > plateWidth && len(row) > 0 {
			paper.row(row)
			row, used = nil, 0
		}
		row, used = append(row, c), used+c.width
	}
	paper.row(row)
	paper.foot(p)
	h := px(paper.y)
	return m.El("svg.sizes", m.Class("tall", paper.y > plateWidth), m.Attr("xmlns", "http://www.w3.org/2000/svg"), m.Attr("role", "img"),
		m.Attr("aria-label", plural(len(p.Teeth), "tooth", "teeth")+" outlined at one scale"),
		m.Attr("viewBox", "0 0 "+px(plateWidth)+" "+h), m.Attr("width", px(plateWidth)+"mm"), m.Attr("height", h+"mm"),
		m.El("rect", m.Attr("width", px(plateWidth)), m.Attr("height", h), m.Attr("fill", "#ffffff")), m.List(paper.nodes))
}

// Document gives the plate as an SVG file.
func (p Plate) Document() []byte {
	return []byte("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + p.Node().String() + "\n")
}

// platePaper collects the pieces of a plate from the top down.
type platePaper struct {
	magnification float64
	y             float64 // where the next row begins, mm
	nodes         []*m.Node
}

func (d *platePaper) row(row []placed) {
	above, below, bases := 0.0, 0.0, 0.0
	for _, c := range row {
		above, below = max(above, -c.crown.Min.Y), max(below, c.crown.Max.Y)
		bases = max(bases, height(c.section))
	}
	x := d.magnification
	base := d.y + plateGap + x*above
	sections := base + x*below + plateGap/2
	names := sections + x*bases
	if bases > 0 {
		names += plateGap / 2
	}
	left := plateGap / 2
	for _, c := range row {
		middle := left + (c.width-plateGap)/2
		d.line(c.Crown, middle-x*(c.crown.Min.X+c.crown.Max.X)/2, base, "")
		d.line(c.Section, middle-x*(c.section.Min.X+c.section.Max.X)/2, sections-x*c.section.Min.Y, "1 0.8")
		d.name(c, middle, names+plateLetter)
		left += c.width
	}
	d.y = names + plateLabel
}

func (d *platePaper) line(line []r2.Vec, dx, dy float64, dashes string) {
	if len(line) == 0 {
		return
	}
	path := ""
	for i, p := range line {
		path += string("ML"[min(i, 1)]) + px(dx+d.magnification*p.X) + " " + px(dy+d.magnification*p.Y)
	}
	n := m.El("path", m.Attr("d", path+"Z"), m.Attr("fill", "#f0eee8"), m.Attr("stroke", "#101010"),
		m.Attr("stroke-width", "0.3"), m.Attr("stroke-linejoin", "round"))
	if dashes != "" {
		n.Attrs["stroke-dasharray"], n.Attrs["fill"] = dashes, "none"
	}
	d.nodes = append(d.nodes, n)
}

// name writes a tooth's name, cut where its cell ends.
func (d *platePaper) name(c placed, middle, y float64) {
	const letterWidth = 0.52 // of the height, on the whole
	text := c.Name
	if c.Invented {
		text += " (invented)"
	}
	if most := int(c.width / (letterWidth * plateLetter)); utf8.RuneCountInString(text) > most {
		text = string([]rune(text)[:most-1]) + "…"
	}
	n := d.text(text, middle, y, "middle")
	n.Children = append(n.Children, m.El("title", m.Text(c.Name)))
}

func (d *platePaper) text(text string, x, y float64, anchor string) *m.Node {
	n := m.El("text", m.Attr("x", px(x)), m.Attr("y", px(y)), m.Attr("font-size", px(plateLetter)), m.Attr("font-family", "Helvetica, Arial, sans-serif"),
		m.Attr("text-anchor", anchor), m.Attr("fill", "#101010"), m.Text(text))
	d.nodes = append(d.nodes, n)
	return n
}

// foot draws the scale bar and says what the plate shows.
func (d *platePaper) foot(p Plate) {
	x := d.magnification
	mm := roundLength(50 / x)
	d.y += plateGap
	d.nodes = append(d.nodes, m.El("rect.scale-bar", m.Attr("x", px(plateGap/2)), m.Attr("y", px(d.y)),
		m.Attr("width", px(x*mm)), m.Attr("height", "1"), m.Attr("fill", "#101010")))
	d.text(strconv.FormatFloat(mm, 'f', -1, 64)+" mm", plateGap/2+x*mm+1.5, d.y+1.8, "start")
	d.text("× "+strconv.FormatFloat(x, 'g', 3, 64)+". Crowns stand on A–B, apex up, turned but not mirrored. Dashed: base section, mesial end to the left.", plateGap/2, d.y+6, "start")
	d.y += plateFoot - plateGap
}
