package archive

import (
	"bytes"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"crownbench/morph"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"

	"gonum.org/v1/gonum/spatial/r2"
)

// AnnotationType is the media type of what Annotations writes.
const AnnotationType = `application/ld+json;profile="http://www.w3.org/ns/anno.jsonld"`

// Annotations writes what was marked on photographs as a page of Web
// Annotations (W3C Recommendation, 2017): crown outlines, section outlines,
// stretches of carina with their denticles, scale bars and cards as
// SvgSelectors, and the landmarks A, G and B and the ends of sections as
// FragmentSelectors on the pixel that holds them. Lines are in px of the
// upright photograph, to a thousandth; a landmark outside the picture has no
// pixel and is left out.
//
// Each target names the photograph's file by its SHA-256 (an ni: address, RFC
// 6920), which holds wherever the file lies.
//
// The errors are sentences about the specimens, or the writer's.
func Annotations(w io.Writer, s Source) error {
	if err := s.check(); err != nil {
		return err
	}
	out := annotationWriter{w: w, program: s.Versions.Program}
	// The page is named by its specimens and their changes.
	what := []string{"crownbench", "annotations"}
	for _, t := range s.Specimens {
		what = append(what, t.ID, strconv.Itoa(t.Revision))
	}
	out.printf("{\"@context\":\"http://www.w3.org/ns/anno.jsonld\",\"id\":%q,\"type\":\"AnnotationPage\",\"items\":[", urn(what...))
	for _, t := range s.Specimens {
		for i := range t.Photos {
			out.photo(t, &t.Photos[i])
		}
	}
	out.printf("\n]}\n")
	return out.err
}

type annotation struct {
	ID         string    `json:"id"`
	Type       string    `json:"type"`
	Motivation string    `json:"motivation"`
	Created    string    `json:"created,omitempty"`
	Generator  generator `json:"generator"`
	Body       []body    `json:"body"`
	Target     target    `json:"target"`
}

type generator struct {
	Type string `json:"type"`
	Name string `json:"name"`
}

type body struct {
	Type     string `json:"type"`
	Value    string `json:"value"`
	Format   string `json:"format"`
	Language string `json:"language,omitempty"`
	Purpose  string `json:"purpose"`
}

type target struct {
	Type     string   `json:"type"`
	Source   source   `json:"source"`
	Selector selector `json:"selector"`
}

type source struct {
	ID     string `json:"id"`
	Type   string `json:"type"`
	Format string `json:"format,omitempty"`
}

type selector struct {
	Type       string `json:"type"`
	ConformsTo string `json:"conformsTo,omitempty"`
	Value      string `json:"value"`
}

// annotationWriter writes annotations one after the other; its first error
// stays.
type annotationWriter struct {
	w       io.Writer
	program string
	n       int
	err     error
}

func (o *annotationWriter) printf(format string, args ...any) {
	if o.err == nil {
		_, o.err = fmt.Fprintf(o.w, format, args...)
	}
}

// put writes an annotation of a mark on a photograph. The part tells it from
// the others there.
func (o *annotationWriter) put(s *tray.Specimen, p *tray.Photo, part, says string, where selector) {
	if o.err != nil {
		return
	}
	a := annotation{
		ID: urn("crownbench", "annotation", s.ID, p.ID, part), Type: "Annotation", Motivation: "describing", Created: moment(s.Changed),
		Generator: generator{"Software", strings.TrimSpace("Crownbench " + o.program)},
		Body: []body{
			{Type: "TextualBody", Value: says, Format: "text/plain", Language: "en", Purpose: "describing"},
			{Type: "TextualBody", Value: s.Name, Format: "text/plain", Purpose: "identifying"},
		},
		Target: target{"SpecificResource", source{picture(s, p), "Image", p.MIME}, where},
	}
	if s.Name == "" {
		a.Body = a.Body[:1]
	}
	var line bytes.Buffer
	enc := json.NewEncoder(&line)
	enc.SetEscapeHTML(false)
	if o.err = enc.Encode(a); o.err != nil {
		return
	}
	if o.n > 0 {
		o.printf(",")
	}
	o.n++
	o.printf("\n%s", bytes.TrimSuffix(line.Bytes(), []byte("\n")))
}

// photo writes everything that was marked on a photograph.
func (o *annotationWriter) photo(s *tray.Specimen, p *tray.Photo) {
	for i, b := range p.Bars {
		line := drawn(morph.Path{b.From, b.To}.Polyline(), false)
		o.put(s, p, fmt.Sprint("bar ", i), fmt.Sprintf("scale bar, %g %s", b.Length, b.Unit), outline(p, line))
	}
	if c := p.Flat; c != nil {
		says := fmt.Sprintf("card of known sides, %g by %g %s", c.Width, c.Height, c.Unit)
		o.put(s, p, "flat", says, outline(p, drawn(morph.Path(c.Corners[:]).Polygon(), true)))
	}
	if c := p.Crown; c != nil && len(c.Path) > 0 {
		says := "crown outline from the mesial base point A over the apex G to the distal base point B"
		if !c.Done {
			says += ", not finished"
		}
		o.put(s, p, "crown", says, outline(p, drawn(c.Path.Polyline(), false)))
		o.point(s, p, "A", "A, mesial base point of the crown", c.Path, 0)
		o.point(s, p, "G", "G, apex of the crown", c.Path, c.Apex)
		if c.Done {
			o.point(s, p, "B", "B, distal base point of the crown", c.Path, len(c.Path)-1)
		}
	}
	if x := p.Section; x != nil && len(x.Outline) > 0 {
		says := "outline of the section, " + string(p.Role)
		line := drawn(x.Outline.Polygon(), true)
		if !x.Done {
			says, line = says+", not finished", drawn(x.Outline.Polyline(), false)
		}
		o.put(s, p, "section", says, outline(p, line))
		o.point(s, p, "section mesial", "mesial end of the section", x.Outline, x.Mesial)
		o.point(s, p, "section distal", "distal end of the section", x.Outline, x.Distal)
	}
	for i, st := range p.Stretches {
		if len(st.Line) == 0 && len(st.Ticks) == 0 {
			continue
		}
		says := join(", ", string(st.Carina)+" carina", string(st.Third))
		if len(st.Ticks) > 0 {
			says += fmt.Sprintf(", %d ticks of denticles", len(st.Ticks))
		}
		o.put(s, p, fmt.Sprint("stretch ", i), says, outline(p, stretch(st)...))
	}
}

// point writes a landmark, if it was placed on the picture.
func (o *annotationWriter) point(s *tray.Specimen, p *tray.Photo, part, says string, path morph.Path, i int) {
	if i < 0 || i >= len(path) {
		return
	}
	x, y := math.Floor(path[i].X), math.Floor(path[i].Y)
	if x < 0 || y < 0 || x >= float64(p.Width) || y >= float64(p.Height) {
		return
	}
	o.put(s, p, part, says, selector{
		Type: "FragmentSelector", ConformsTo: "http://www.w3.org/TR/media-frags/", Value: fmt.Sprintf("xywh=%d,%d,1,1", int(x), int(y)),
	})
}

// outline selects what is drawn, in an SVG of the photograph's own size.
func outline(p *tray.Photo, shapes ...*m.Node) selector {
	svg := m.El("svg", m.Attr("xmlns", "http://www.w3.org/2000/svg"),
		m.Attrf("width", "%d", p.Width), m.Attrf("height", "%d", p.Height), m.Attrf("viewBox", "0 0 %d %d", p.Width, p.Height))
	svg.Children = shapes
	return selector{Type: "SvgSelector", Value: svg.String()}
}

func drawn(points []r2.Vec, closed bool) *m.Node {
	var d strings.Builder
	for i, p := range points {
		d.WriteByte("ML"[min(i, 1)])
		d.WriteString(thousandths(p.X) + " " + thousandths(p.Y))
	}
	if closed {
		d.WriteByte('Z')
	}
	return m.El("path", m.Attr("d", d.String()))
}

// stretch draws the line along a carina and a circle for each denticle's tick.
func stretch(st morph.Stretch) []*m.Node {
	var shapes []*m.Node
	if len(st.Line) > 0 {
		shapes = append(shapes, drawn(st.Line.Polyline(), false))
	}
	for _, t := range st.Ticks {
		shapes = append(shapes, m.El("circle", m.Attr("cx", thousandths(t.X)), m.Attr("cy", thousandths(t.Y)), m.Attr("r", "0.5")))
	}
	return shapes
}

func thousandths(v float64) string {
	return strconv.FormatFloat(math.Round(v*1000)/1000, 'f', -1, 64)
}
