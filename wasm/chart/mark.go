package chart

import (
	"math"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"

	m "crownbench/wasm/markup"
)

// Points are the points of one group, drawn as one path.
type Points struct {
	Name  string
	Group Group
	At    []r2.Vec
	Size  float64 // radius in px; 3 when 0
	Faint bool    // drawn in outline only, to stand behind others
}

func (k Points) size() float64 {
	if k.Size > 0 {
		return k.Size
	}
	return 3
}

func (k Points) reach(x, y *extent) { reachOf(k.At, x, y) }

// reachOf adds the points that have a place on both axes.
func reachOf(at []r2.Vec, x, y *extent) {
	for _, p := range at {
		if tx, ok := x.of(p.X); ok {
			if ty, ok := y.of(p.Y); ok {
				x.add(tx)
				y.add(ty)
			}
		}
	}
}

func (k Points) draw(l Layout) []*m.Node {
	var b strings.Builder
	shape := k.Group.shape(k.size())
	for _, p := range k.At {
		if at, ok := l.At(p); ok {
			b.WriteString("M" + px(at.X) + " " + px(at.Y) + shape)
		}
	}
	if b.Len() == 0 {
		return nil
	}
	return []*m.Node{k.path(b.String())}
}

func (k Points) path(d string) *m.Node {
	c := k.Group.Colour()
	n := drawn(m.El("path.points", m.Attr("d", d), m.Attr("stroke-linejoin", "round")), c, 1)
	if k.Faint {
		n.Attrs["fill"] = "none"
		return n
	}
	n.Attrs["fill-opacity"] = "0.35"
	return filled(n, c)
}

func (k Points) key(at r2.Vec) (string, []*m.Node) {
	return k.Name, []*m.Node{k.path("M" + px(at.X) + " " + px(at.Y) + k.Group.shape(max(3.5, k.size())))}
}

// Line joins points in their order; it breaks where one has no place.
type Line struct {
	Name   string
	Group  Group
	At     []r2.Vec
	Dashed bool
	Strong bool // stands out among other lines
}

func (k Line) reach(x, y *extent) { reachOf(k.At, x, y) }

func (k Line) draw(l Layout) []*m.Node {
	var b strings.Builder
	pen := "M"
	for _, p := range k.At {
		at, ok := l.At(p)
		if !ok {
			pen = "M"
			continue
		}
		b.WriteString(pen + px(at.X) + " " + px(at.Y))
		pen = "L"
	}
	if b.Len() == 0 {
		return nil
	}
	return k.path(b.String())
}

func (k Line) path(d string) []*m.Node {
	if !k.Strong {
		return []*m.Node{line(d, k.Group.Colour(), 1.6, k.Dashed)}
	}
	return []*m.Node{line(d, paperColour, 6, false), line(d, k.Group.Colour(), 3, k.Dashed)}
}

func line(d string, c Colour, width float64, dashed bool) *m.Node {
	n := drawn(m.El("path", m.Attr("d", d), m.Attr("fill", "none"), m.Attr("stroke-linejoin", "round")), c, width)
	if dashed {
		n.Attrs["stroke-dasharray"] = "6 4"
	}
	return n
}

func (k Line) key(at r2.Vec) (string, []*m.Node) {
	return k.Name, k.path("M" + px(at.X-6) + " " + px(at.Y) + "h12")
}

// Band is the area between two values of y, or of x when Upright.
type Band struct {
	Name      string
	Group     Group
	Low, High float64
	Upright   bool
}

func (k Band) reach(x, y *extent) {
	if k.Upright {
		y = x
	}
	y.include(k.Low)
	y.include(k.High)
}

func (k Band) draw(l Layout) []*m.Node {
	f, s := l.Frame, l.y
	if k.Upright {
		s = l.x
	}
	a, okA := s.at(k.Low)
	b, okB := s.at(k.High)
	if !okA || !okB {
		return nil
	}
	lo, hi := min(a, b), max(a, b)
	box := r2.Box{Min: r2.Vec{X: f.Min.X, Y: lo}, Max: r2.Vec{X: f.Max.X, Y: hi}}
	if k.Upright {
		box = r2.Box{Min: r2.Vec{X: lo, Y: f.Min.Y}, Max: r2.Vec{X: hi, Y: f.Max.Y}}
	}
	return []*m.Node{k.area(box)}
}

func (k Band) area(box r2.Box) *m.Node {
	return filled(m.El("rect.band", m.Attr("x", px(box.Min.X)), m.Attr("y", px(box.Min.Y)), m.Attr("width", px(box.Max.X-box.Min.X)),
		m.Attr("height", px(box.Max.Y-box.Min.Y)), m.Attr("fill-opacity", "0.15")), k.Group.Colour())
}

func (k Band) key(at r2.Vec) (string, []*m.Node) {
	return k.Name, []*m.Node{k.area(r2.Box{Min: r2.Vec{X: at.X - 6, Y: at.Y - 4}, Max: r2.Vec{X: at.X + 6, Y: at.Y + 4}})}
}

// Level is a straight line at one value of y, or of x when Upright, with an
// optional text at its end.
type Level struct {
	Name    string
	Group   Group
	At      float64
	Text    string
	Upright bool
	Dashed  bool
}

func (k Level) reach(x, y *extent) {
	if k.Upright {
		y = x
	}
	y.include(k.At)
}

func (k Level) draw(l Layout) []*m.Node {
	f, s := l.Frame, l.y
	if k.Upright {
		s = l.x
	}
	at, ok := s.at(k.At)
	if !ok {
		return nil
	}
	d, text, anchor := "M"+px(f.Min.X)+" "+px(at)+"H"+px(f.Max.X), r2.Vec{X: f.Max.X - 4, Y: at - 4}, "end"
	if k.Upright {
		d, text, anchor = "M"+px(at)+" "+px(f.Min.Y)+"V"+px(f.Max.Y), r2.Vec{X: at + 4, Y: f.Min.Y + l.letter}, "start"
		if at > (f.Min.X+f.Max.X)/2 {
			text.X, anchor = at-4, "end"
		}
	} else if text.Y-l.letter < f.Min.Y {
		text.Y = at + 1.1*l.letter
	}
	nodes := []*m.Node{line(d, k.Group.Colour(), 1.6, k.Dashed)}
	if k.Text != "" {
		nodes = append(nodes, halo(l.text(text, k.Text, anchor, k.Group.Colour())))
	}
	return nodes
}

func (k Level) key(at r2.Vec) (string, []*m.Node) {
	return Line{Name: k.Name, Group: k.Group, Dashed: k.Dashed}.key(at)
}

// halo keeps a text readable over points.
func halo(n *m.Node) *m.Node {
	n.Attrs["paint-order"] = "stroke"
	n.Attrs["stroke-linejoin"] = "round"
	return drawn(n, paperColour, 4)
}

// Columns are the bars of a histogram: Heights[i] stands between Edges[i] and
// Edges[i+1]. The y axis then starts at 0, unless it is logarithmic.
type Columns struct {
	Name    string
	Group   Group
	Edges   []float64
	Heights []float64
}

func (k Columns) reach(x, y *extent) {
	k.each(func(a, b, h float64) {
		x.include(a)
		x.include(b)
		y.include(h)
		y.include(0)
	})
}

func (k Columns) each(f func(a, b, h float64)) {
	for i, h := range k.Heights {
		if i+1 < len(k.Edges) && !math.IsNaN(h) {
			f(k.Edges[i], k.Edges[i+1], h)
		}
	}
}

func (k Columns) draw(l Layout) []*m.Node {
	foot, ok := l.y.at(0)
	if !ok {
		foot = l.Frame.Max.Y
	}
	var b strings.Builder
	k.each(func(from, to, h float64) {
		x0, ok0 := l.x.at(from)
		x1, ok1 := l.x.at(to)
		if top, ok := l.y.at(h); ok && ok0 && ok1 {
			b.WriteString("M" + px(x0) + " " + px(foot) + "V" + px(top) + "H" + px(x1) + "V" + px(foot) + "z")
		}
	})
	if b.Len() == 0 {
		return nil
	}
	return []*m.Node{k.area(b.String())}
}

func (k Columns) area(d string) *m.Node {
	n := filled(m.El("path", m.Attr("d", d), m.Attr("fill-opacity", "0.35")), k.Group.Colour())
	return drawn(n, k.Group.Colour(), 1)
}

func (k Columns) key(at r2.Vec) (string, []*m.Node) {
	return k.Name, []*m.Node{k.area("M" + px(at.X-5) + " " + px(at.Y+4) + "v-8h10v8z")}
}
