package panel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/classify"
	"crownbench/wasm/chart"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// mapDialog is the large map over the bench.
func mapDialog(d *desk.Desk) *m.Node {
	scene := d.Map()
	plot := m.El("div.map-plot", m.Key("plot"), largeMap(d, scene))
	if scene.Lack != "" {
		plot.Children = append([]*m.Node{m.El("p.caution", m.Key("lack"), m.Text(scene.Lack))}, plot.Children...)
	}
	veil := over("map", "Map of the published teeth", func() { d.OpenDialog(desk.NoDialog) },
		m.El("div.map-parts", m.Key("parts"), plot,
			m.El("div.map-side", m.Key("side"), pointedOut(d, scene), mapControls(d, scene), loadingsTable(scene),
				m.El("p.small", m.Text(axisWords(scene))))))
	veil.Children[0].With(m.Class("wide", true))
	return veil
}

// reachOfPointer is how far from a point, in px of the map, a pointer still
// means it.
const reachOfPointer = 18

// largeMap is the plot that answers pointer and keys.
func largeMap(d *desk.Desk, scene *desk.MapScene) *m.Node {
	drawing := drawMap(scene, large)
	places := drawing.places
	var ring *m.Node
	if at := pointAt(scene, d.MapAt()); at >= 0 {
		q := scene.Points[at]
		ring = drawing.layout.Draw(chart.Ring{At: r2.Vec{X: q.X, Y: q.Y}, Text: pointName(q)})
	}
	pick := func(i int) {
		if i >= 0 {
			d.PointOut(scene.Points[i].ID)
		}
	}
	start := func() int {
		return chart.Nearest(places, startingPlace(drawing.layout, scene.Own), large.width+large.height)
	}
	point := func(e m.Event) { pick(chart.Nearest(places, r2.Vec{X: e.X, Y: e.Y}, reachOfPointer)) }
	return drawing.svg(ring,
		m.Attr("id", "map-plot"), m.Attr("tabindex", "0"), m.Attr("role", "application"), m.Attr("aria-describedby", "map-tooth"),
		m.Attr("aria-label", drawing.title+". Arrow keys walk from tooth to tooth, Home goes to the one nearest to the tooth on the desk."),
		m.On("pointermove", point), m.On("pointerdown", point),
		m.On("focus", func(m.Event) {
			if pointAt(scene, d.MapAt()) < 0 {
				pick(start())
			}
		}),
		m.On("keydown", func(e m.Event) {
			to, known := -1, true
			from := pointAt(scene, d.MapAt())
			switch way, arrow := arrows[e.Key]; {
			case e.Key == "Home" || arrow && from < 0:
				to = start()
			case arrow:
				to = chart.Towards(places, from, way)
			default:
				known = false
			}
			if known && e.PreventDefault != nil {
				e.PreventDefault() // or the panel would scroll
			}
			pick(to)
		}))
}

var arrows = map[string]chart.Direction{
	"ArrowLeft": chart.Left, "ArrowRight": chart.Right, "ArrowUp": chart.Up, "ArrowDown": chart.Down,
}

// startingPlace is where a walk begins: at the tooth on the desk, or in the
// middle.
func startingPlace(l chart.Layout, own *desk.MapOwn) r2.Vec {
	if own != nil && own.HasX && own.HasY {
		if at, ok := l.At(r2.Vec{X: own.X, Y: own.Y}); ok {
			return at
		}
	}
	return r2.Scale(0.5, r2.Add(l.Frame.Min, l.Frame.Max))
}

func pointAt(scene *desk.MapScene, id string) int {
	return slices.IndexFunc(scene.Points, func(p desk.MapPoint) bool { return p.ID == id })
}

func pointName(p desk.MapPoint) string {
	if p.Tooth == nil {
		return p.Specimen.Name
	}
	return strings.TrimSpace(p.Tooth.Taxon + ", " + strings.TrimSpace(p.Tooth.Specimen+" "+p.Tooth.Position))
}

// pointedOut says everything about the tooth that is pointed at.
func pointedOut(d *desk.Desk, scene *desk.MapScene) *m.Node {
	box := m.El("div.map-tooth#map-tooth", m.Key("tooth"), m.Attr("role", "status"))
	add := func(ns ...*m.Node) { box.Children = append(box.Children, ns...) }
	i := pointAt(scene, d.MapAt())
	if i < 0 {
		add(m.El("p.quiet", m.Text("Point at a tooth, or walk with the arrow keys, to read what it is.")))
		return box
	}
	q := scene.Points[i]
	if q.Tooth == nil {
		in, v := d.Values(q.Specimen)
		add(m.El("h3", m.Name(q.Specimen.Name)), m.El("p", m.Text("In your tray")), valueList(in, func(x classify.Measure) (float64, bool) { return v[x], true }))
		return box
	}
	t := q.Tooth
	add(m.El("h3", formGlyph(t.Form), m.Name(" "+t.Taxon)),
		m.El("p", m.Text(strings.TrimSpace(t.Specimen+" "+t.Position)+" · "+t.Clade)),
		m.El("p", m.Text(formWords(t.Form)+placeWords(t))),
		valueList(classify.Measures(), t.Value))
	source := t.Source
	if desk.Yours(t) {
		source = "your own comparison teeth"
	}
	if s, ok := classify.Published().Source(t.Source); ok {
		source = s.Reference
	}
	add(m.El("p.small", m.Text("Source: "+source)))
	return box
}

func formWords(f classify.Form) string {
	if f == "" {
		return "Form left open"
	}
	return f.Words()
}

// placeWords says where and when the animal lived, as far as it is printed.
func placeWords(t *classify.Tooth) string {
	s := ""
	for _, x := range []string{t.Epoch, t.Country} {
		if x != "" {
			s += " · " + x
		}
	}
	return s
}

func valueList(ms []classify.Measure, value func(classify.Measure) (float64, bool)) *m.Node {
	dl := m.El("dl.values")
	for _, x := range ms {
		if v, ok := value(x); ok {
			dl.Children = append(dl.Children, m.El("div", m.Key(string(x)), m.El("dt", m.Attr("title", x.Name()+unitIn(x.Unit())), m.Text(string(x))), m.El("dd", m.Text(number3(v)))))
		}
	}
	return dl
}

// mapControls choose what is seen.
func mapControls(d *desk.Desk, scene *desk.MapScene) *m.Node {
	box := m.El("div.map-controls", m.Key("controls"),
		choice("map-view", "Layout", string(d.MapView()),
			[]string{string(desk.DiscriminantView), string(desk.PrincipalView), string(desk.MeasuresView)},
			[]string{"Discriminant axes of the forms", "Principal components", "Two measures"},
			func(v string) { d.SetMapView(desk.MapView(v)) }))
	add := func(n *m.Node) { box.Children = append(box.Children, n) }
	if d.MapView() == desk.MeasuresView {
		var ids, texts []string
		for _, x := range classify.Measures() {
			ids, texts = append(ids, string(x)), append(texts, string(x)+", "+x.Name())
		}
		x, y := d.MapMeasures()
		add(m.El("div.pair", m.Key("measures"),
			choice("map-x", "Across", string(x), ids, texts, func(v string) { d.SetMapMeasures(classify.Measure(v), y) }),
			choice("map-y", "Up", string(y), ids, texts, func(v string) { d.SetMapMeasures(x, classify.Measure(v)) })))
	}
	clades := append([]string{""}, d.MapClades()...)
	names := append([]string{"By form"}, clades[1:]...)
	add(choice("map-clade", "Groups", d.MapClade(), clades, names, d.SetMapClade))
	set := m.El("fieldset.map-groups", m.Key("groups"), m.El("legend", m.Text("Shown")))
	for i, g := range scene.Groups {
		set.Children = append(set.Children, tick("map-group-"+key(i), fmt.Sprintf("%s (%d)", g.Name, g.Count), !g.Hidden, func(bool) { d.ToggleMapGroup(g.Key) }))
	}
	if d.Tray.Len() > 1 {
		set.Children = append(set.Children, tick("map-others", "Other teeth of the tray", d.MapOthers(), d.SetMapOthers))
	}
	add(set)
	add(button("Save the map (SVG)", func() { d.SaveMap(mapPlot(scene, paper).Document()) }, m.Attr("id", "map-save"), m.Key("save")))
	return box
}

// tick is a checkbox with its label.
func tick(id, label string, on bool, f func(bool)) *m.Node {
	return m.El("div.check", m.Key(id),
		m.El("input", m.Attr("type", "checkbox"), m.Attr("id", id), m.Flag("checked", on), m.On("change", func(e m.Event) { f(e.Checked) })),
		m.El("label", m.Attr("for", id), m.Text(label)))
}

// loadingsTable says what computed axes are made of.
func loadingsTable(scene *desk.MapScene) *m.Node {
	if scene.View == desk.MeasuresView {
		return nil
	}
	head := func(text, title string) *m.Node {
		return m.El("th", m.Attr("scope", "col"), m.Attr("title", title), m.Text(text))
	}
	const weight, corr = "what the log of the measure is multiplied by", "correlation of the log of the measure with the axis"
	body := m.El("tbody")
	for j, l := range scene.X.Loadings {
		up := scene.Y.Loadings[j]
		cell := func(v float64) *m.Node { return m.El("td", m.Textf("%s%.2f", sign(v), math.Abs(v))) }
		body.Children = append(body.Children, m.El("tr", m.Key(string(l.Measure)),
			m.El("th", m.Attr("scope", "row"), m.Attr("title", l.Measure.Name()), m.Text("log "+string(l.Measure))),
			cell(l.Weight), cell(l.Correlation), cell(up.Weight), cell(up.Correlation)))
	}
	return m.El("details.loadings", m.Key("loadings"), m.El("summary", m.Text("What the axes are made of")),
		m.El("table.nearest", m.El("thead", m.El("tr", m.El("th", m.Attr("scope", "col"), m.Text("Measure")),
			head("1: weight", weight), head("1: r", corr), head("2: weight", weight), head("2: r", corr))), body),
		m.El("p.small", m.Text("Weight: what the log of a measure, less its mean, is multiplied by. r: the correlation of that log with the axis.")))
}
