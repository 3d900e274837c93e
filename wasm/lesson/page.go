package lesson

import (
	"fmt"

	"gonum.org/v1/gonum/spatial/r2"

	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// Page is a student's own result as a piece of a page, in the look of the
// sheet. urls gives addresses of the pictures by the photographs' IDs; without
// one the landmarks are drawn on an empty frame. The page shows the key's
// values: it is for after the lesson.
func (o Own) Page(title string, urls map[string]string) *m.Node {
	article := m.El("article.sheet.own-result",
		m.El("h1", m.Text(o.Student.Name+": "+title)),
		m.El("p", m.Text("Your landmarks are rings, numbered by repeat; the key's are crosses.")))
	for _, t := range o.Teeth {
		article.Children = append(article.Children, t.section(urls))
	}
	return article
}

func (t *OwnTooth) section(urls map[string]string) *m.Node {
	n := section(t.Name)
	if t.Chosen != "" || t.Truth != "" {
		text := "You gave it no name."
		if t.Chosen != "" {
			text = fmt.Sprintf("You called it %s.", t.Chosen)
		}
		if t.Truth != "" {
			text += fmt.Sprintf(" The key says %s.", t.Truth)
		}
		n.Children = append(n.Children, m.El("p", m.Text(text)))
	}
	for i := range t.Photos {
		if p := &t.Photos[i]; len(p.Landmarks) > 0 {
			n.Children = append(n.Children, p.figure(urls[p.Photo.ID]))
		}
	}
	var rows []*m.Node
	for _, r := range t.Readings {
		row := m.El("tr", m.El("th", m.Attr("scope", "row"), m.Text(string(r.Quantity.ID))))
		yours := ""
		for i, v := range r.Values {
			if i > 0 {
				yours += "; "
			}
			yours += plain(v.Value, r.Quantity)
			if v.Outlier {
				yours += " (stands apart)"
			}
		}
		if yours == "" {
			yours = tray.NotKnown
		}
		key, median := tray.NotKnown, tray.NotKnown
		if r.Tooth.KeyKnown {
			key = plain(r.Tooth.Key, r.Quantity)
		}
		if r.Tooth.Students > 0 {
			median = plain(r.Tooth.Median, r.Quantity)
		}
		for _, text := range []string{yours, key, median, r.Quantity.Unit} {
			row.Children = append(row.Children, m.El("td.num", m.Text(text)))
		}
		rows = append(rows, row)
	}
	if len(rows) > 0 {
		n.Children = append(n.Children, table([]string{"Reading", "You", "Key", "Class median", "Unit"}, rows))
	}
	return n
}

// figure draws the landmarks over the photograph and lists how far off they
// are.
func (p *OwnPhoto) figure(url string) *m.Node {
	// Marks keep their size whatever the photograph's.
	size := float64(max(p.Photo.Width, p.Photo.Height, 1)) / 60
	svg := m.El("svg", m.Attr("role", "img"), m.Attr("xmlns", "http://www.w3.org/2000/svg"),
		m.Attrf("viewBox", "0 0 %d %d", max(p.Photo.Width, 1), max(p.Photo.Height, 1)),
		m.Attrf("aria-label", "%s photograph with %d landmarks", p.Photo.Role, len(p.Landmarks)))
	if url != "" {
		svg.Children = append(svg.Children, m.El("image", m.Attr("href", url),
			m.Attrf("width", "%d", p.Photo.Width), m.Attrf("height", "%d", p.Photo.Height)))
	} else {
		svg.Children = append(svg.Children, m.El("rect", m.Attr("fill", "#ddd"),
			m.Attrf("width", "%d", p.Photo.Width), m.Attrf("height", "%d", p.Photo.Height)))
	}
	var worst OwnLandmark
	for _, l := range p.Landmarks {
		if l.Keyed {
			svg.Children = append(svg.Children, cross(l.Key, size)...)
		}
	}
	for _, l := range p.Landmarks {
		if l.Keyed && l.Off >= worst.Off {
			worst = l
		}
		svg.Children = append(svg.Children, ring(l, size)...)
	}
	caption := "Photograph, " + string(p.Photo.Role)
	if worst.Keyed {
		caption += fmt.Sprintf(": the %s is farthest off, by %.1f px", worst.Kind, worst.Off)
	}
	return m.El("figure.plate", svg, m.El("figcaption", m.Text(caption+".")))
}

// Lines are drawn twice, dark and wide under light and narrow, so that they
// show on any photograph.
var strokes = []struct {
	colour string
	width  float64
}{{"#111", 0.3}, {"#fff", 0.12}}

func cross(at r2.Vec, size float64) []*m.Node {
	var out []*m.Node
	for _, s := range strokes {
		out = append(out, m.El("path", m.Attr("fill", "none"), m.Attr("stroke", s.colour), m.Attrf("stroke-width", "%.3g", s.width*size),
			m.Attrf("d", "M%.2f %.2fh%.2fM%.2f %.2fv%.2f", at.X-size, at.Y, 2*size, at.X, at.Y-size, 2*size)))
	}
	return out
}

func ring(l OwnLandmark, size float64) []*m.Node {
	var out []*m.Node
	for _, s := range strokes {
		out = append(out, m.El("circle", m.Attr("fill", "none"), m.Attr("stroke", s.colour), m.Attrf("stroke-width", "%.3g", s.width*size),
			m.Attrf("cx", "%.2f", l.At.X), m.Attrf("cy", "%.2f", l.At.Y), m.Attrf("r", "%.2f", 0.7*size)))
	}
	return append(out, m.El("text", m.Attrf("x", "%.2f", l.At.X+0.9*size), m.Attrf("y", "%.2f", l.At.Y-0.5*size), m.Attrf("font-size", "%.2f", 1.4*size),
		m.Attr("fill", "#fff"), m.Attr("stroke", "#111"), m.Attrf("stroke-width", "%.3g", 0.3*size), m.Attr("paint-order", "stroke"), m.Textf("%d", l.Repeat)))
}
