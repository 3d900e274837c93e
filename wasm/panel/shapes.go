package panel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/wasm/chart"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/sheet"
)

// shapesDialog shows the crowns of the picked teeth and of the tooth on the desk
// over each other.
func shapesDialog(d *desk.Desk) *m.Node {
	scene := d.Shapes()
	all := scene.Shapes
	var content []m.Item
	switch {
	case len(all.Crowns) == 0:
		content = []m.Item{m.El("p", m.Text("None of these teeth has a whole crown traced in a side view. Trace A over G to B in one, and its outline can be laid over others."))}
	case d.ShapesTrueSize() && len(drawnShapes(scene, true)) == 0:
		content = []m.Item{m.El("p.caution", m.Text("None of these crowns has a scale, so none can be drawn at its true size.")), shapeControls(d, scene)}
	default:
		side := m.El("div.map-side", m.Key("side"), namedShape(d, scene), shapeControls(d, scene), distanceTable(d, scene))
		side.Children = append(side.Children, shapeWords(d, scene)...)
		content = []m.Item{m.El("div.map-parts", m.Key("parts"), m.El("div.map-plot", m.Key("plot"), overlaidShapes(d, scene)), side)}
	}
	content = append(content, m.Class("wide", len(all.Crowns) > 0))
	return over("shapes", "Crowns over each other", func() { d.OpenDialog(desk.NoDialog) }, content...)
}

var (
	shapesLarge = &size{width: 760, height: 640, letter: 14}
	shapesPaper = &size{width: 642, height: 560, letter: 10.7}
)

// drawnShapes are the crowns that have a place on the drawing: every one, at
// true size those with a scale. Own comes last, on top.
func drawnShapes(scene *desk.ShapeScene, trueSize bool) []sheet.Shaped {
	var all []sheet.Shaped
	for _, o := range scene.Others {
		all = append(all, o.Shaped)
	}
	if scene.Own != nil {
		all = append(all, *scene.Own)
	}
	return slices.DeleteFunc(all, func(c sheet.Shaped) bool { return trueSize && c.Size == 0 })
}

func shapeLine(c sheet.Shaped, trueSize bool) []r2.Vec {
	if trueSize {
		return c.AtTrueSize()
	}
	return c.Traced
}

// shapesPlot draws a scene.
func shapesPlot(scene *desk.ShapeScene, trueSize bool, s *size) chart.Plot {
	p := chart.Plot{
		Title: "Crowns over each other", Desc: layWords(trueSize),
		X: chart.Axis{Label: "Mesial to distal", Unit: "half lengths of the first ellipse"}, Y: chart.Axis{Label: "Base to apex"},
		Width: s.width, Height: s.height, Letter: s.letter, Equal: true,
	}
	if trueSize {
		p.X.Unit = "mm"
	}
	p.Y.Unit = p.X.Unit
	drawn := drawnShapes(scene, trueSize)
	whole, broken := 0, 0
	for _, c := range drawn {
		switch {
		case isOwn(scene, c):
		case c.Broken() == "":
			whole++
		default:
			broken++
		}
	}
	for _, c := range drawn {
		k := chart.Line{Group: chart.Rest, At: shapeLine(c, trueSize), Dashed: c.Broken() != ""}
		switch {
		case isOwn(scene, c):
			k.Group, k.Strong, k.Name = chart.Own, true, c.Specimen.Name+", on the desk"
		case k.Dashed:
			k.Name = "broken: what is left (" + key(broken) + ")"
		default:
			k.Name = "other teeth (" + key(whole) + ")"
		}
		p.Marks = append(p.Marks, k)
	}
	return p
}

func isOwn(scene *desk.ShapeScene, c sheet.Shaped) bool {
	return scene.Own != nil && c.Specimen == scene.Own.Specimen
}

// shapesDrawing is a scene drawn for the dialog.
type shapesDrawing struct {
	layout chart.Layout
	node   *m.Node
	crowns []sheet.Shaped
	places []r2.Vec // of every line's points
	owners []int    // the crowns that they are of
}

func drawShapes(scene *desk.ShapeScene, trueSize bool) *shapesDrawing {
	if kept, ok := scene.Drawn[trueSize].(*shapesDrawing); ok {
		return kept
	}
	p := shapesPlot(scene, trueSize, shapesLarge)
	d := &shapesDrawing{layout: p.Layout(), node: p.Node(), crowns: drawnShapes(scene, trueSize)}
	for i, c := range d.crowns {
		for _, q := range shapeLine(c, trueSize) {
			at, _ := d.layout.At(q)
			d.places, d.owners = append(d.places, at), append(d.owners, i)
		}
	}
	scene.Drawn[trueSize] = d
	return d
}

// overlaidShapes is the plot that answers pointer and keys.
func overlaidShapes(d *desk.Desk, scene *desk.ShapeScene) *m.Node {
	drawing := drawShapes(scene, d.ShapesTrueSize())
	svg := m.El("svg", m.List(drawing.node.Children))
	for name, value := range drawing.node.Attrs {
		svg.Attrs[name] = value
	}
	for _, c := range drawing.crowns {
		if c.Specimen.ID == d.ShapeAt() && !isOwn(scene, c) {
			svg.Children = append(svg.Children, drawing.layout.Draw(chart.Line{
				Group: 0, At: shapeLine(c, d.ShapesTrueSize()), Dashed: c.Broken() != "", Strong: true,
			}))
		}
	}
	point := func(e m.Event) {
		if i := chart.Nearest(drawing.places, r2.Vec{X: e.X, Y: e.Y}, reachOfPointer); i >= 0 {
			d.PointOutShape(drawing.crowns[drawing.owners[i]].Specimen.ID)
		}
	}
	return svg.With(
		m.Attr("id", "shapes-plot"), m.Attr("tabindex", "0"), m.Attr("role", "application"), m.Attr("aria-describedby", "shapes-tooth"),
		m.Attr("aria-label", "Crowns over each other. Arrow keys walk from tooth to tooth, Home goes to the one nearest in shape to the tooth on the desk."),
		m.On("pointermove", point), m.On("pointerdown", point),
		m.On("keydown", func(e m.Event) {
			at := slices.IndexFunc(scene.Others, func(o desk.OtherShape) bool { return o.Specimen.ID == d.ShapeAt() })
			last := len(scene.Others) - 1
			switch e.Key {
			case "ArrowRight", "ArrowDown":
				at = min(at+1, last)
			case "ArrowLeft", "ArrowUp":
				at = max(at-1, 0)
			case "Home":
				at = 0
			case "End":
				at = last
			default:
				return
			}
			if e.PreventDefault != nil {
				e.PreventDefault() // or the panel would scroll
			}
			if at >= 0 && at <= last {
				d.PointOutShape(scene.Others[at].Specimen.ID)
			}
		}))
}

// namedShape says which tooth an outline is of.
func namedShape(d *desk.Desk, scene *desk.ShapeScene) *m.Node {
	box := m.El("div.map-tooth.short#shapes-tooth", m.Key("tooth"), m.Attr("role", "status"))
	for _, c := range scene.Shapes.Crowns {
		if c.Specimen.ID != d.ShapeAt() {
			continue
		}
		box.Children = append(box.Children, m.El("h3", m.Name(c.Specimen.Name)))
		words := []string{string(c.View.Role)}
		if c.Specimen.Invented {
			words = append(words, "invented")
		}
		if lost := c.Broken(); lost != "" {
			words = append(words, lost+" broken: the outline is that of what is left")
		}
		if c.Size == 0 {
			words = append(words, "no scale")
		}
		if isOwn(scene, c) {
			words = append(words, "on the desk")
		}
		box.Children = append(box.Children, m.El("p", m.Text(strings.Join(words, " · "))))
		return box
	}
	box.Children = append(box.Children, m.El("p.quiet", m.Text("Point at an outline, or walk with the arrow keys, to read whose it is.")))
	return box
}

func shapeControls(d *desk.Desk, scene *desk.ShapeScene) *m.Node {
	box := m.El("div.map-controls", m.Key("controls"), tick("shapes-true", "Keep their true size", d.ShapesTrueSize(), d.SetShapesTrueSize))
	if len(drawnShapes(scene, d.ShapesTrueSize())) > 0 {
		box.Children = append(box.Children, m.El("div.actions",
			button("Save the drawing (SVG)", func() { d.SaveShapes(shapesPlot(scene, d.ShapesTrueSize(), shapesPaper).Document()) }, m.Attr("id", "shapes-save")),
			button("Save the descriptors (CSV)", d.SaveDescriptors, m.Attr("id", "shapes-table"))))
	}
	return box
}

// distanceTable lists the other crowns with their distances, nearest first.
func distanceTable(d *desk.Desk, scene *desk.ShapeScene) *m.Node {
	if scene.Own == nil || len(scene.Others) == 0 {
		return nil
	}
	body := m.El("tbody")
	for _, o := range scene.Others {
		name := o.Specimen.Name
		if o.Broken() != "" {
			name += " (broken)"
		}
		id := o.Specimen.ID
		body.Children = append(body.Children, m.El("tr", m.Key(id), m.Class("pointed", id == d.ShapeAt()),
			m.El("th", m.Attr("scope", "row"), button(name, func() { d.PointOutShape(id) }, m.Class("link", true), m.Attr("aria-pressed", fmt.Sprint(id == d.ShapeAt())))),
			m.El("td", m.Textf("%.3f", o.Distance))))
	}
	return m.El("div.shape-distances", m.Key("distances"),
		m.El("table.nearest", m.El("caption", m.Text("Distance in shape from "+scene.Own.Specimen.Name)),
			m.El("thead", m.El("tr", m.El("th", m.Attr("scope", "col"), m.Text("Tooth")), m.El("th", m.Attr("scope", "col"), m.Text("Distance")))), body))
}

// shapeWords says what is missing, how the crowns are laid and what the
// distances are.
func shapeWords(d *desk.Desk, scene *desk.ShapeScene) []*m.Node {
	var all []*m.Node
	say := func(el, k, text string) {
		all = append(all, m.El(el, m.Key(k), m.Text(text)))
	}
	switch {
	case len(scene.Shapes.Crowns) == 1:
		say("p.caution", "alone", "Only "+scene.Shapes.Crowns[0].Specimen.Name+" has a crown traced in a side view. Pick another tooth that has one to lay it over this.")
	case scene.Own == nil:
		say("p.caution", "ownless", "The tooth on the desk has no crown traced in a side view, so there is nothing to tell distances from.")
	}
	if d.ShapesTrueSize() {
		var without []string
		for _, c := range scene.Shapes.Crowns {
			if c.Size == 0 {
				without = append(without, c.Specimen.Name)
			}
		}
		if len(without) > 0 {
			say("p.caution", "unscaled", "Not drawn, without a scale: "+strings.Join(without, ", ")+".")
		}
	}
	if n := scene.Shapes.Without; len(n) > 0 {
		say("p.small", "without", "Without a crown traced in a side view: "+strings.Join(n, ", ")+".")
	}
	if scene.Left > 0 {
		say("p.small", "left", fmt.Sprintf("The first %d teeth are shown, %d more are not.", desk.MostShapes, scene.Left))
	}
	say("p.small", "lay", layWords(d.ShapesTrueSize()))
	if len(scene.Shapes.Crowns) > 1 && scene.Own != nil {
		say("p.small", "distance", "Distance: the root mean square gap between two lines, all equally large, at equal parts of their way from A, in half lengths of the first ellipse. 0 is the same shape; two tracings of one crown differ too.")
	}
	say("p.small", "harmonics", harmonicWords(scene.Shapes))
	return all
}

func layWords(trueSize bool) string {
	laid := "Centres on each other, A–B level, apex up, mesial side left (teeth photographed from the other face are mirrored)"
	if trueSize {
		return laid + "; every crown as large as it is."
	}
	return laid + "; all equally large, by the long axis of the first ellipse."
}

// harmonicWords says how many harmonics the crowns are compared by, and why.
func harmonicWords(all sheet.Shapes) string {
	least := 1.0
	for _, c := range all.Crowns {
		least = min(least, c.Share)
	}
	off := 100 * math.Sqrt(1-least)
	if least < sheet.ShapePower {
		return fmt.Sprintf("Elliptic Fourier descriptors (Kuhl & Giardina 1982) of %d harmonics, the most there are. The outline that is worst off keeps %.2f %% of its power: what they describe lies %.1f %% of its mean distance from the centre away from what was traced.", all.Harmonics, 100*least, off)
	}
	return fmt.Sprintf("Elliptic Fourier descriptors (Kuhl & Giardina 1982) of %d harmonics: the fewest with which every outline keeps %.2f %% of its power. What they describe lies at most %.1f %% of an outline's mean distance from its centre away from what was traced (root mean square).", all.Harmonics, 100*sheet.ShapePower, off)
}
