package panel

import (
	"fmt"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/classify"
	"crownbench/wasm/chart"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// mapCard is the map beside the readings: small, and the way to the large one.
func mapCard(d *desk.Desk) *m.Node {
	card := m.El("details.map", m.Key("map"), m.Flag("open", d.MapShown()),
		m.El("summary#map-fold", m.Text("Map among the published teeth"), m.On("click", func(e m.Event) {
			if e.PreventDefault != nil {
				e.PreventDefault() // the desk says whether it is open
			}
			d.ToggleMap()
		})))
	if !d.MapShown() {
		return card
	}
	scene := d.Map()
	open := func() { d.OpenDialog(desk.MapDialog) }
	card.Children = append(card.Children, drawMap(scene, stamp).svg(m.OnClick(open)),
		m.El("p.small", m.Text(axisWords(scene))))
	if scene.Lack != "" {
		card.Children = append(card.Children, m.El("p.caution", m.Text(scene.Lack)))
	}
	card.Children = append(card.Children, m.El("div.actions", button("Open the map", open, m.Attr("id", "map-open"))))
	return card
}

// mapOnSheet is the map as a figure of the sheet; nil where the tooth has no
// place on it.
func mapOnSheet(d *desk.Desk) *m.Node {
	scene := d.Map()
	if scene.Own == nil || !scene.Own.HasX && !scene.Own.HasY {
		return nil
	}
	return m.El("section.sheet-map", m.Key("map"), m.El("h2", m.Text("Place among the published teeth")),
		m.El("figure", drawMap(scene, onSheet).svg(), m.El("figcaption", m.Text(axisWords(scene)))))
}

// size is how a map is drawn in one place.
type size struct {
	width, height, letter, dot float64
	bare                       bool
}

var (
	stamp = &size{width: 340, height: 250, letter: 11, dot: 1.6, bare: true}
	large = &size{width: 900, height: 600, letter: 14, dot: 3}
	// paper is a map across a page: 17 cm wide with letters of 8 points at the
	// 96 px to the inch of CSS.
	paper = &size{width: 642, height: 460, letter: 10.7, dot: 2.3}
	// onSheet is a map across half a page, 9 cm wide.
	onSheet = &size{width: 360, height: 230, letter: 9, dot: 1.5}
)

// held is the part of a group that its ellipse would hold were it normal.
const held = 0.9

// groupOf numbers the groups of a scene for their shape and colour.
func groupOf(scene *desk.MapScene, key string) chart.Group {
	switch key {
	case "":
		return chart.Rest
	case desk.TrayGroup:
		return 3
	}
	return chart.Group(slices.IndexFunc(scene.Groups, func(g desk.MapGroup) bool { return g.Key == key }))
}

// mapDrawing is a scene drawn in one size. It is kept with the scene: while a
// pointer moves over a map nothing of it is drawn anew.
type mapDrawing struct {
	title  string
	layout chart.Layout
	node   *m.Node
	places []r2.Vec // of the scene's points
}

func drawMap(scene *desk.MapScene, s *size) *mapDrawing {
	if kept, ok := scene.Drawn[s].(*mapDrawing); ok {
		return kept
	}
	p := mapPlot(scene, s)
	d := &mapDrawing{title: p.Title, layout: p.Layout(), node: p.Node(), places: make([]r2.Vec, len(scene.Points))}
	for i, q := range scene.Points {
		d.places[i], _ = d.layout.At(r2.Vec{X: q.X, Y: q.Y})
	}
	scene.Drawn[s] = d
	return d
}

// svg gives the drawing with what belongs to the moment.
func (d *mapDrawing) svg(items ...m.Item) *m.Node {
	n := m.El("svg", m.List(d.node.Children))
	for name, value := range d.node.Attrs {
		n.Attrs[name] = value
	}
	return n.With(items...)
}

// mapPlot draws a scene.
func mapPlot(scene *desk.MapScene, s *size) chart.Plot {
	p := chart.Plot{
		Title: "Map of the published teeth", Desc: axisWords(scene) + " Published " + classify.Published().Version() + ".",
		X: mapAxis(scene, scene.X, "1"), Y: mapAxis(scene, scene.Y, "2"),
		Width: s.width, Height: s.height, Letter: s.letter, Bare: s.bare,
		Equal: scene.View == desk.DiscriminantView,
	}
	if scene.Own != nil {
		p.Title = "Map of " + scene.Own.Name + " among the published teeth"
	}
	at := map[string][]r2.Vec{}
	for _, q := range scene.Points {
		at[q.Group] = append(at[q.Group], r2.Vec{X: q.X, Y: q.Y})
	}
	var outlines []chart.Mark
	groups := slices.Clone(scene.Groups)
	// The rest lies below the groups, whatever the order in the lists.
	slices.SortStableFunc(groups, func(a, b desk.MapGroup) int { return boolInt(a.Key != "") - boolInt(b.Key != "") })
	for _, g := range groups {
		if g.Hidden || g.Count == 0 {
			continue
		}
		k := groupOf(scene, g.Key)
		p.Marks = append(p.Marks, chart.Points{Name: fmt.Sprintf("%s (%d)", g.Name, g.Count), Group: k, At: at[g.Key], Size: s.dot, Faint: g.Key == ""})
		if g.Key != "" {
			outlines = append(outlines, chart.Outline{Group: k, At: at[g.Key], Coverage: held})
		}
	}
	p.Marks = append(p.Marks, outlines...)
	if others := at[desk.TrayGroup]; len(others) > 0 {
		p.Marks = append(p.Marks, chart.Points{Name: "Other teeth of the tray", Group: groupOf(scene, desk.TrayGroup), At: others, Size: 1.6 * s.dot})
	}
	return withOwn(p, scene.Own)
}

func boolInt(b bool) int {
	if b {
		return 1
	}
	return 0
}

// withOwn puts the tooth on the desk on a map: at its place, or as a line where
// only one of its two measures is known.
func withOwn(p chart.Plot, own *desk.MapOwn) chart.Plot {
	switch {
	case own == nil:
	case own.HasX && own.HasY:
		p.Marks = append(p.Marks, chart.Spot{Text: own.Name, At: r2.Vec{X: own.X, Y: own.Y}, U: r2.Vec{X: own.UX, Y: own.UY}})
	case own.HasX:
		p.Marks = append(p.Marks, chart.Level{Group: chart.Own, At: own.X, Upright: true, Text: own.Name})
	case own.HasY:
		p.Marks = append(p.Marks, chart.Level{Group: chart.Own, At: own.Y, Text: own.Name})
	}
	return p
}

func mapAxis(scene *desk.MapScene, a desk.MapAxis, number string) chart.Axis {
	if x := a.Measure; x != "" {
		unit := x.Unit()
		if unit != "" {
			unit += ", "
		}
		return chart.Axis{Label: string(x) + ", " + x.Name(), Unit: unit + "log scale", Log: true}
	}
	return chart.Axis{Label: fmt.Sprintf("%s %s (%.0f %%): %s", axisName(scene.View), number, 100*a.Share, mostly(a.Loadings))}
}

func axisName(v desk.MapView) string {
	if v == desk.DiscriminantView {
		return "Discriminant axis"
	}
	return "Principal component"
}

func shareWords(v desk.MapView, share float64) string {
	of := "of the variance"
	if v == desk.DiscriminantView {
		of = "of what separates the forms"
	}
	return fmt.Sprintf("%.0f %% %s", 100*share, of)
}

// mostly names the three measures that go most with an axis, each with the
// sign of its correlation.
func mostly(all []classify.Loading) string {
	all = slices.Clone(all)
	slices.SortStableFunc(all, func(a, b classify.Loading) int {
		switch x, y := a.Correlation*a.Correlation, b.Correlation*b.Correlation; {
		case x > y:
			return -1
		case x < y:
			return 1
		}
		return 0
	})
	var t []string
	for _, l := range all[:min(3, len(all))] {
		t = append(t, sign(l.Correlation)+string(l.Measure))
	}
	return "mostly " + strings.Join(t, " ")
}

func sign(v float64) string {
	if v < 0 {
		return "−"
	}
	return "+"
}

// axisWords says in sentences what the axes are.
func axisWords(scene *desk.MapScene) string {
	n := 0
	for _, g := range scene.Groups {
		if !g.Hidden {
			n += g.Count
		}
	}
	teeth := fmt.Sprintf("%d published teeth", n-scene.Yours)
	if scene.Yours > 0 {
		teeth += fmt.Sprintf(" and %d of your own", scene.Yours)
	}
	about := fmt.Sprintf("%s; the ellipses would hold %.0f %% of their group were its logs normal.", teeth, 100*held)
	if scene.View == desk.MeasuresView {
		return fmt.Sprintf("Across %s, up %s, both on log scales. ", nameOf(scene.X.Measure), nameOf(scene.Y.Measure)) + about
	}
	return fmt.Sprintf("Across %s 1 (%s), up %s 2 (%s), of the logs of eight measures, gaps filled by what the others lead one to expect. ",
		strings.ToLower(axisName(scene.View)), shareWords(scene.View, scene.X.Share), strings.ToLower(axisName(scene.View)), shareWords(scene.View, scene.Y.Share)) + about
}

func nameOf(x classify.Measure) string { return x.Name() + " (" + string(x) + ")" }
