package sheet

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// Picture says where a photograph can be shown from.
type Picture struct {
	Hash string // of the photograph, as in tray.Photo
	URL  string // blob: or data: address of the upright picture
}

// How a figure is drawn. Lines have a light core in a dark halo, so that they
// show on any photograph and on paper, and are told apart by letters and
// shapes. Widths are in CSS px of the page, whatever the scale of the figure.
const (
	coreWidth = 1.4
	haloWidth = 3.6
	core      = "#ffffff"
	halo      = "#101010"
	lettering = 1.0 / 26 // height of letters over the longer side of the figure
	margin    = 0.16     // kept round the marks, over the longer side of their box
)

// figure is one photograph with what was marked on it, cut to the marks, in
// pixels of the photograph. With a scale, a bar of a round length is drawn at
// its lower left.
func figure(p tray.Photo, url string) *m.Node {
	box := cut(p)
	d := &drawing{box: box, letter: lettering * math.Max(width(box), height(box))}
	for _, b := range p.Bars {
		d.bar(b)
	}
	if p.Flat != nil {
		d.card(p.Flat)
	}
	if p.Section != nil {
		d.section(p.Section)
	}
	for _, s := range p.Stretches {
		d.stretch(s)
	}
	if p.Crown != nil {
		d.crown(p.Crown)
	}
	if s, err := p.Scale(); err == nil {
		d.scaleBar(box, s)
	}
	svg := m.El("svg.marked",
		m.Attr("xmlns", "http://www.w3.org/2000/svg"), m.Attr("role", "img"), m.Attr("aria-label", altText(p)),
		m.Attr("viewBox", fmt.Sprintf("%s %s %s %s", px(box.Min.X), px(box.Min.Y), px(width(box)), px(height(box)))),
		m.Attr("width", px(width(box))), m.Attr("height", px(height(box))))
	if url != "" && p.Width > 0 && p.Height > 0 {
		svg.Children = append(svg.Children, m.El("image", m.Attr("href", url),
			m.Attr("x", "0"), m.Attr("y", "0"), m.Attr("width", strconv.Itoa(p.Width)), m.Attr("height", strconv.Itoa(p.Height)),
			m.Attr("preserveAspectRatio", "none")))
	} else {
		svg.Children = append(svg.Children, m.El("rect.no-photo", m.Attr("x", px(box.Min.X)), m.Attr("y", px(box.Min.Y)),
			m.Attr("width", px(width(box))), m.Attr("height", px(height(box))), m.Attr("fill", "#808080")))
	}
	svg.Children = append(svg.Children, d.nodes...)
	return svg
}

// cut is the part of a photograph that a figure shows: round what is marked,
// else all of it.
func cut(p tray.Photo) r2.Box {
	whole := r2.Box{Max: r2.Vec{X: float64(p.Width), Y: float64(p.Height)}}
	var marks []r2.Vec
	for _, b := range p.Bars {
		marks = append(marks, b.From.Vec(), b.To.Vec())
	}
	if p.Flat != nil {
		marks = append(marks, morph.Path(p.Flat.Corners[:]).Polyline()...)
	}
	if p.Crown != nil {
		marks = append(marks, p.Crown.Path.Polyline()...)
		if at, along, u, ok := p.Crown.LostApex(); ok {
			marks = append(marks, at, r2.Add(at, r2.Scale(u, along)))
		}
	}
	if p.Section != nil {
		marks = append(marks, p.Section.Outline.Polygon()...)
	}
	for _, s := range p.Stretches {
		marks = append(marks, s.Line.Polyline()...)
		marks = append(marks, morph.Path(s.Ticks).Polyline()...)
	}
	if len(marks) == 0 {
		if width(whole) > 0 && height(whole) > 0 {
			return whole
		}
		return r2.Box{Max: r2.Vec{X: 100, Y: 100}}
	}
	box := r2.Box{Min: marks[0], Max: marks[0]}
	for _, v := range marks {
		box.Min = r2.Vec{X: min(box.Min.X, v.X), Y: min(box.Min.Y, v.Y)}
		box.Max = r2.Vec{X: max(box.Max.X, v.X), Y: max(box.Max.Y, v.Y)}
	}
	pad := max(1, margin*max(width(box), height(box)))
	box.Min = r2.Vec{X: box.Min.X - pad, Y: box.Min.Y - pad}
	// Below the marks there is room for the scale bar and its label.
	box.Max = r2.Vec{X: box.Max.X + pad, Y: box.Max.Y + 1.5*pad}
	if width(whole) > 0 && height(whole) > 0 {
		in := r2.Box{
			Min: r2.Vec{X: max(box.Min.X, 0), Y: max(box.Min.Y, 0)},
			Max: r2.Vec{X: min(box.Max.X, whole.Max.X), Y: min(box.Max.Y, whole.Max.Y)},
		}
		if width(in) > 0 && height(in) > 0 {
			return in
		}
	}
	return box
}

func width(b r2.Box) float64  { return b.Max.X - b.Min.X }
func height(b r2.Box) float64 { return b.Max.Y - b.Min.Y }

// drawing collects the pieces of a figure.
type drawing struct {
	box    r2.Box
	letter float64 // height of letters, px of the photograph
	nodes  []*m.Node
}

// line draws a path in halo and core.
func (d *drawing) line(class string, points []r2.Vec, closed bool) {
	d.stroke(class, points, closed, "")
}

// stroke draws a path with the dashes of stroke-dasharray, in px of the page.
func (d *drawing) stroke(class string, points []r2.Vec, closed bool, dashes string) {
	if len(points) < 2 {
		return
	}
	var b strings.Builder
	for i, p := range points {
		b.WriteByte("ML"[min(i, 1)])
		b.WriteString(px(p.X))
		b.WriteByte(' ')
		b.WriteString(px(p.Y))
	}
	if closed {
		b.WriteByte('Z')
	}
	for _, stroke := range []struct {
		class, colour string
		width         float64
	}{{"halo", halo, haloWidth}, {"core", core, coreWidth}} {
		n := m.El("path."+class+"."+stroke.class, m.Attr("d", b.String()), m.Attr("fill", "none"),
			m.Attr("stroke", stroke.colour), m.Attr("stroke-width", px(stroke.width)), m.Attr("stroke-linecap", "round"),
			m.Attr("stroke-linejoin", "round"), m.Attr("vector-effect", "non-scaling-stroke"))
		if dashes != "" {
			// A round cap would close the gaps of the halo.
			n.Attrs["stroke-dasharray"], n.Attrs["stroke-linecap"] = dashes, "butt"
		}
		d.nodes = append(d.nodes, n)
	}
}

// text writes light letters in a dark halo, centred on at or, where that would
// cut them off at the side of the figure, as near to it as they fit.
func (d *drawing) text(class string, at r2.Vec, text string) {
	half := 0.32 * d.letter * float64(utf8.RuneCountInString(text)) // as wide as bold letters are
	if 2*half < width(d.box) {
		at.X = min(max(at.X, d.box.Min.X+half), d.box.Max.X-half)
	}
	d.nodes = append(d.nodes, m.El("text."+class, m.Attr("x", px(at.X)), m.Attr("y", px(at.Y)),
		m.Attr("font-size", px(d.letter)), m.Attr("font-family", "sans-serif"), m.Attr("font-weight", "bold"), m.Attr("text-anchor", "middle"),
		m.Attr("dominant-baseline", "central"), m.Attr("fill", core), m.Attr("stroke", halo),
		m.Attr("stroke-width", px(d.letter/5)), m.Attr("paint-order", "stroke"), m.Text(text)))
}

// mark puts a small ring on a landmark and its letter away from the rest of
// the marks, whose middle is given.
func (d *drawing) mark(class string, at, middle r2.Vec, letter string) {
	d.ring(class, at)
	away := r2.Sub(at, middle)
	if n := r2.Norm(away); n > 0 {
		away = r2.Scale(1.1*d.letter/n, away)
	} else {
		away = r2.Vec{Y: -1.1 * d.letter}
	}
	d.text(class, r2.Add(at, away), letter)
}

func (d *drawing) ring(class string, at r2.Vec) {
	r := d.letter / 5
	for _, stroke := range []struct {
		colour string
		width  float64
	}{{halo, haloWidth}, {core, coreWidth}} {
		d.nodes = append(d.nodes, m.El("circle."+class, m.Attr("cx", px(at.X)), m.Attr("cy", px(at.Y)), m.Attr("r", px(r)),
			m.Attr("fill", "none"), m.Attr("stroke", stroke.colour), m.Attr("stroke-width", px(stroke.width)),
			m.Attr("vector-effect", "non-scaling-stroke")))
	}
}

// crown draws the walk A → G → B.
func (d *drawing) crown(c *morph.Crown) {
	if len(c.Path) == 0 {
		return
	}
	points := c.Path.Polyline()
	d.line("crown", points, false)
	middle := centre(points)
	d.mark("landmark", c.Path[0].Vec(), middle, "A")
	if c.Apex > 0 && c.Apex < len(c.Path) {
		d.mark("landmark", c.Path[c.Apex].Vec(), middle, "G")
	}
	if c.Done && len(c.Path) > 1 {
		d.mark("landmark", c.Path[len(c.Path)-1].Vec(), middle, "B")
	}
	d.lostApex(c)
}

// lostApex draws the estimated apex of a broken crown as no measured one is
// drawn: joined to the edges by dashes, with ~ before its letter, and with a bar
// that reaches one standard uncertainty to either side.
//
//	 ~G
//	 ─┬─
//	  ○
//	 ┆┴┆
//	 ┆ ┆
//	G──╲   what is left
func (d *drawing) lostApex(c *morph.Crown) {
	at, along, u, ok := c.LostApex()
	if !ok {
		return
	}
	d.stroke("estimated", []r2.Vec{c.Path[c.Apex-1].Vec(), at, c.Path[c.Apex+1].Vec()}, false, "5 4")
	if u > 0 {
		d.line("estimated-u", []r2.Vec{r2.Sub(at, r2.Scale(u, along)), r2.Add(at, r2.Scale(u, along))}, false)
		half := r2.Scale(d.letter/3, r2.Vec{X: -along.Y, Y: along.X})
		for _, end := range []float64{-u, u} {
			e := r2.Add(at, r2.Scale(end, along))
			d.line("estimated-u", []r2.Vec{r2.Sub(e, half), r2.Add(e, half)}, false)
		}
	}
	d.ring("estimated", at)
	d.text("estimated", r2.Add(at, r2.Scale(u+1.1*d.letter, along)), "~G")
}

// tipWords says of a broken crown what became of its heights.
func tipWords(p tray.Photo) string {
	at, _, u, ok := p.Crown.LostApex()
	if !ok {
		return "apex broken: heights are minima"
	}
	beyond, unit := r2.Norm(r2.Sub(at, p.Crown.Path[p.Crown.Apex].Vec())), "px"
	if s, err := p.Scale(); err == nil {
		beyond, u, unit = beyond/s.PxPerMM, u/s.PxPerMM, "mm"
	}
	return fmt.Sprintf("apex broken; where it was (~G) is estimated from both edges, ~%s %s beyond what is left, so CH and AL are estimates", tray.FormatNumber(beyond, u, unit), unit)
}

// section draws the outline and names its mesial and distal ends.
func (d *drawing) section(s *morph.Section) {
	points := s.Outline.Polygon()
	d.line("section", points, s.Done)
	for _, end := range []struct {
		at     int
		letter string
	}{{s.Mesial, "mesial"}, {s.Distal, "distal"}} {
		if end.at >= 0 && end.at < len(s.Outline) {
			d.mark("section-end", s.Outline[end.at].Vec(), centre(points), end.letter)
		}
	}
}

// stretch draws a length of carina, with a tick for each denticle counted on
// it, at a right angle to it.
func (d *drawing) stretch(s morph.Stretch) {
	points := s.Line.Polyline()
	d.line("carina", points, false)
	for _, t := range s.Ticks {
		along := directionAt(points, t.Vec())
		half := r2.Scale(d.letter/2.5, r2.Vec{X: -along.Y, Y: along.X})
		d.line("denticle", []r2.Vec{r2.Sub(t.Vec(), half), r2.Add(t.Vec(), half)}, false)
	}
}

// bar draws one reading of the photographed scale bar, with its ends.
func (d *drawing) bar(b morph.Bar) {
	from, to := b.From.Vec(), b.To.Vec()
	d.line("bar", []r2.Vec{from, to}, false)
	along := directionAt([]r2.Vec{from, to}, from)
	half := r2.Scale(d.letter/2, r2.Vec{X: -along.Y, Y: along.X})
	for _, end := range []r2.Vec{from, to} {
		d.line("bar-end", []r2.Vec{r2.Sub(end, half), r2.Add(end, half)}, false)
	}
	label := r2.Add(r2.Scale(0.5, r2.Add(from, to)), r2.Scale(2.2, half))
	d.text("bar-length", label, tray.FormatNumber(b.Length, 0, "mm")+" "+unitOf(b.Unit))
}

// card draws the sides of the card that set the scale.
func (d *drawing) card(f *morph.Flat) {
	d.line("card", morph.Path(f.Corners[:]).Polyline(), true)
}

// unitOf names a unit that may have been left out.
func unitOf(u morph.Unit) string {
	if u == "" {
		u = morph.Millimetre
	}
	return string(u)
}

// scaleBar draws a bar of a round length, true to the photograph's scale, at
// the lower left of the box.
func (d *drawing) scaleBar(box r2.Box, s morph.Scale) {
	mm := roundLength(0.3 * width(box) / s.PxPerMM)
	length := mm * s.PxPerMM
	if !(mm > 0) || math.IsInf(length, 0) {
		return
	}
	inset := 0.6 * d.letter
	left := r2.Vec{X: box.Min.X + inset, Y: box.Max.Y - inset}
	rect := func(class, colour string, grow float64) {
		d.nodes = append(d.nodes, m.El("rect."+class, m.Attr("x", px(left.X-grow)), m.Attr("y", px(left.Y-d.letter/4-grow)),
			m.Attr("width", px(length+2*grow)), m.Attr("height", px(d.letter/4+2*grow)), m.Attr("fill", colour)))
	}
	rect("scale-halo", halo, d.letter/10)
	rect("scale-bar", core, 0)
	label := strconv.FormatFloat(mm, 'f', -1, 64) + " mm"
	d.text("scale-length", r2.Vec{X: left.X + length/2, Y: left.Y - 1.1*d.letter}, label)
}

// roundLength is the largest of 1, 2 and 5 times a power of ten that is not
// above most; 0 when there is none.
func roundLength(most float64) float64 {
	if !(most > 0) || math.IsInf(most, 0) {
		return 0
	}
	power := math.Floor(math.Log10(most))
	for _, p := range []float64{power, power - 1} { // the logarithm may round up
		for _, of := range []float64{5, 2, 1} {
			// Powers of ten below 1 are not exact; a quotient of whole numbers is
			// the nearest there is.
			l := of * math.Pow10(int(p))
			if p < 0 {
				l = of / math.Pow10(int(-p))
			}
			if l <= most {
				return l
			}
		}
	}
	return 0
}

// directionAt is the unit vector along the segment of a line that is nearest
// to a point; to the right where there is no segment.
func directionAt(line []r2.Vec, p r2.Vec) r2.Vec {
	best, along := math.Inf(1), r2.Vec{X: 1}
	for i := 1; i < len(line); i++ {
		s := r2.Sub(line[i], line[i-1])
		n2 := r2.Norm2(s)
		if !(n2 > 0) {
			continue
		}
		f := min(1, max(0, r2.Dot(r2.Sub(p, line[i-1]), s)/n2))
		if d := r2.Norm2(r2.Sub(p, r2.Add(line[i-1], r2.Scale(f, s)))); d < best {
			best, along = d, r2.Unit(s)
		}
	}
	return along
}

// centre is the middle of the box round some points.
func centre(points []r2.Vec) r2.Vec {
	if len(points) == 0 {
		return r2.Vec{}
	}
	lo, hi := points[0], points[0]
	for _, p := range points {
		lo = r2.Vec{X: min(lo.X, p.X), Y: min(lo.Y, p.Y)}
		hi = r2.Vec{X: max(hi.X, p.X), Y: max(hi.Y, p.Y)}
	}
	return r2.Scale(0.5, r2.Add(lo, hi))
}

// px writes a coordinate to a thousandth of a px.
func px(v float64) string {
	s := strconv.FormatFloat(v, 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" {
		return "0"
	}
	return s
}

// altText says in words what a figure shows.
func altText(p tray.Photo) string {
	var marked []string
	if p.Crown != nil && len(p.Crown.Path) > 1 {
		what := "the crown traced"
		if _, _, _, ok := p.Crown.LostApex(); ok {
			what += ", its lost apex estimated"
		}
		marked = append(marked, what)
	}
	if p.Section != nil && len(p.Section.Outline) > 1 {
		marked = append(marked, "the section outlined")
	}
	for _, s := range p.Stretches {
		marked = append(marked, stretchWords(s))
	}
	if p.Flat != nil {
		marked = append(marked, "the corners of a card")
	}
	if n := len(p.Bars); n > 0 {
		marked = append(marked, plural(n, "reading", "readings")+" of the scale bar")
	}
	if len(marked) == 0 {
		marked = []string{"nothing marked"}
	}
	return fmt.Sprintf("Photograph, %s: %s", p.Role, strings.Join(marked, ", "))
}

// stretchWords says what was marked on a length of carina.
func stretchWords(s morph.Stretch) string {
	if s.Serrated {
		return fmt.Sprintf("the serrated part of the %s carina", s.Carina)
	}
	where := string(s.Carina)
	if s.Third != "" {
		where += " " + string(s.Third)
	}
	return plural(len(s.Ticks), "denticle", "denticles") + " on the " + where + " carina"
}

func plural(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
