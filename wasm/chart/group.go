package chart

import (
	"math"
	"strings"

	m "crownbench/wasm/markup"
)

// Group numbers what belongs together, from 0; it decides shape and colour.
// Rest is what is there for comparison only, Ink the plot's own lines, and Own
// the one thing that a plot is about.
type Group int

const (
	Rest Group = -1 - iota
	Ink
	Own
)

// Colour is one colour for light paper and its counterpart for dark, as #rrggbb.
type Colour struct{ Light, Dark string }

// The groups' colours stay apart for the common kinds of colour blindness:
// blue, vermilion, green, purple and brown of different lightness, after the
// set of Okabe & Ito (2008), darkened where it would fade on white paper.
var (
	colours = []Colour{
		{"#0067a5", "#62b8ee"},
		{"#c8501a", "#f39a5c"},
		{"#00806b", "#3fc9a4"},
		{"#9c3f86", "#e59acb"},
		{"#6d5a1e", "#e3d36b"},
	}
	restColour  = Colour{"#85807a", "#8f8a82"}
	inkColour   = Colour{"#1d1b18", "#f0ece4"}
	softColour  = Colour{"#5c574e", "#b5aea2"}
	gridColour  = Colour{"#e6e1d8", "#3d3933"}
	paperColour = Colour{"#ffffff", "#2b2926"}
	ownColour   = Colour{"#7a1f12", "#ffd0b8"}
)

// Colour is the group's colour.
func (g Group) Colour() Colour {
	switch g {
	case Rest:
		return restColour
	case Ink:
		return inkColour
	case Own:
		return ownColour
	}
	return colours[int(g)%len(colours)]
}

// shapes of the groups, as paths about the origin of a shape with radius 1:
// circle, triangle, square, diamond, plus. Sizes are such that they look alike.
var shapes = []func(r float64) string{
	func(r float64) string { return ring(r) },
	func(r float64) string { return polygon(1.3*r, 3, -math.Pi/2) },
	func(r float64) string { return polygon(1.25*r, 4, -math.Pi/4) },
	func(r float64) string { return polygon(1.4*r, 4, 0) },
	func(r float64) string { return star(1.35*r, 0.42, 4, 0) },
}

// shape is the group's shape, as path data relative to where the pen stands.
// Groups beyond the fifth share a colour with another, but not its shape.
func (g Group) shape(r float64) string {
	switch {
	case g == Own:
		return star(1.25*r, 0.5, 5, -math.Pi/2)
	case g < 0:
		return ring(0.8 * r)
	}
	n := len(shapes)
	return shapes[(int(g)+int(g)/n)%n](r)
}

func ring(r float64) string {
	d := px(2 * r)
	return "m" + px(-r) + " 0a" + px(r) + " " + px(r) + " 0 1 0 " + d + " 0a" + px(r) + " " + px(r) + " 0 1 0 -" + d + " 0z"
}

func polygon(r float64, corners int, turn float64) string { return star(r, 1, corners, turn) }

// star is a star whose inner corners lie at a part of its radius; with 1 it is
// a polygon.
func star(r, inner float64, corners int, turn float64) string {
	var b strings.Builder
	lastX, lastY := 0.0, 0.0
	step := 1
	if inner == 1 {
		step = 2
	}
	for i := 0; i < 2*corners; i += step {
		at := r
		if i%2 == 1 {
			at = inner * r
		}
		sin, cos := math.Sincos(turn + float64(i)*math.Pi/float64(corners))
		x, y := at*cos, at*sin
		if i == 0 {
			b.WriteByte('m')
		} else {
			b.WriteByte('l')
		}
		b.WriteString(px(x-lastX) + " " + px(y-lastY))
		lastX, lastY = x, y
	}
	b.WriteByte('z')
	return b.String()
}

// filled gives an element the colour of its inside, and drawn that of its line,
// for light paper; for dark it is there where the page's style asks for it.
func filled(n *m.Node, c Colour) *m.Node { return paint(n, "fill", "filled", c) }

func drawn(n *m.Node, c Colour, width float64) *m.Node {
	n.Attrs["stroke-width"] = px(width)
	return paint(n, "stroke", "drawn", c)
}

func paint(n *m.Node, what, class string, c Colour) *m.Node {
	n.Attrs[what] = c.Light
	n.Attrs["class"] = strings.TrimSpace(n.Attrs["class"] + " " + class)
	if n.Style == nil {
		n.Style = map[string]string{}
	}
	n.Style["--dark-"+what] = c.Dark
	return n
}
