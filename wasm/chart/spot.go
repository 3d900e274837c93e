package chart

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	m "crownbench/wasm/markup"
)

// Spot is the one point that a plot is about: large, named, and with its
// uncertainty as bars from value - U to value + U where U is above 0.
type Spot struct {
	Name string // in the key
	Text string // beside it
	At   r2.Vec
	U    r2.Vec
}

func (k Spot) reach(x, y *extent) {
	reachOf([]r2.Vec{k.At}, x, y)
	reachOf(k.ends(), x, y)
}

// ends of the bars.
func (k Spot) ends() []r2.Vec {
	var e []r2.Vec
	if k.U.X > 0 {
		e = append(e, r2.Vec{X: k.At.X - k.U.X, Y: k.At.Y}, r2.Vec{X: k.At.X + k.U.X, Y: k.At.Y})
	}
	if k.U.Y > 0 {
		e = append(e, r2.Vec{X: k.At.X, Y: k.At.Y - k.U.Y}, r2.Vec{X: k.At.X, Y: k.At.Y + k.U.Y})
	}
	return e
}

// bars gives the bars as path data; one that leaves a logarithmic axis
// goes to the frame.
func (k Spot) bars(l Layout) string {
	at, _ := l.At(k.At)
	d := ""
	if u := k.U.X; u > 0 && !math.IsInf(u, 0) {
		from, ok := l.x.at(k.At.X - u)
		if !ok {
			from = l.Frame.Min.X
		}
		if to, ok := l.x.at(k.At.X + u); ok {
			d += "M" + px(from) + " " + px(at.Y-4) + "v8m0 -4H" + px(to) + "m0 -4v8"
		}
	}
	if u := k.U.Y; u > 0 && !math.IsInf(u, 0) {
		from, ok := l.y.at(k.At.Y - u)
		if !ok {
			from = l.Frame.Max.Y
		}
		if to, ok := l.y.at(k.At.Y + u); ok {
			d += "M" + px(at.X-4) + " " + px(from) + "h8m-4 0V" + px(to) + "m-4 0h8"
		}
	}
	return d
}

func (k Spot) draw(l Layout) []*m.Node {
	at, ok := l.At(k.At)
	if !ok {
		return nil
	}
	var nodes []*m.Node
	if d := k.bars(l); d != "" {
		nodes = append(nodes,
			drawn(m.El("path.halo", m.Attr("d", d), m.Attr("fill", "none")), paperColour, 5),
			drawn(m.El("path.bars", m.Attr("d", d), m.Attr("fill", "none")), Own.Colour(), 2))
	}
	nodes = append(nodes, k.sign(at, 0.75*l.letter)...)
	if k.Text == "" {
		return nodes
	}
	text, anchor := r2.Vec{X: at.X + 1.2*l.letter, Y: at.Y - 0.8*l.letter}, "start"
	if width := textWidth(k.Text, l.letter); at.X+width+2*l.letter > l.Frame.Max.X && at.X-width-2*l.letter > l.Frame.Min.X {
		text.X, anchor = at.X-l.letter, "end"
	}
	if text.Y-l.letter < l.Frame.Min.Y {
		text.Y = at.Y + 1.6*l.letter
	}
	label := halo(l.text(text, k.Text, anchor, Own.Colour()))
	label.Attrs["font-weight"] = "bold"
	return append(nodes, label)
}

func (k Spot) sign(at r2.Vec, r float64) []*m.Node {
	d := "M" + px(at.X) + " " + px(at.Y) + Own.shape(r)
	n := drawn(m.El("path.spot", m.Attr("d", d), m.Attr("stroke-linejoin", "round"), m.Attr("paint-order", "stroke")), paperColour, 4)
	return []*m.Node{filled(n, Own.Colour())}
}

func (k Spot) key(at r2.Vec) (string, []*m.Node) { return k.Name, k.sign(at, 5.5) }

// Ring draws attention to a point, with an optional text beside it.
type Ring struct {
	At   r2.Vec
	Text string
}

func (k Ring) reach(x, y *extent) { reachOf([]r2.Vec{k.At}, x, y) }

func (k Ring) draw(l Layout) []*m.Node {
	at, ok := l.At(k.At)
	if !ok {
		return nil
	}
	circle := func(c Colour, width float64) *m.Node {
		return drawn(m.El("circle.ring", m.Attr("cx", px(at.X)), m.Attr("cy", px(at.Y)), m.Attr("r", px(l.letter)), m.Attr("fill", "none")), c, width)
	}
	nodes := []*m.Node{circle(paperColour, 5), circle(inkColour, 2)}
	if k.Text == "" {
		return nodes
	}
	text, anchor := r2.Vec{X: at.X + 1.3*l.letter, Y: at.Y + 1.3*l.letter}, "start"
	if at.X > (l.Frame.Min.X+l.Frame.Max.X)/2 {
		text.X, anchor = at.X-1.3*l.letter, "end"
	}
	if text.Y > l.Frame.Max.Y {
		text.Y = at.Y - 0.8*l.letter
	}
	return append(nodes, halo(l.text(text, k.Text, anchor, inkColour)))
}

func (k Ring) key(r2.Vec) (string, []*m.Node) { return "", nil }
