package chart

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"

	m "crownbench/wasm/markup"
)

// Plot is a picture of data on two axes.
type Plot struct {
	Title string // what is shown, for those who do not see it; shown in a file
	Desc  string // the same in sentences
	X, Y  Axis
	// Width and Height in px; 640 by 480 when 0. Letters are Letter px high, 12
	// when 0.
	Width, Height, Letter float64
	// Equal gives both axes as many px for a unit, so that distances on the
	// plot are distances in the data.
	Equal bool
	// Bare leaves out axis titles and the key, for a plot the size of a stamp.
	Bare  bool
	Marks []Mark // drawn in order, the last on top
}

// Mark is something drawn on a plot: [Points], [Line], [Band], [Level],
// [Outline], [Columns], [Spot] or [Ring].
type Mark interface {
	// reach says what the axes have to hold.
	reach(x, y *extent)
	// draw gives the mark on a plot laid out.
	draw(l Layout) []*m.Node
	// key gives what the mark is called, "" for nothing to explain, and its
	// sign about a place, in px.
	key(at r2.Vec) (name string, sign []*m.Node)
}

// Layout is where a plot's data lie on it, in px from the top left.
type Layout struct {
	Frame  r2.Box // the area between the axes
	x, y   scale
	letter float64
	keys   []keyEntry
}

// At is where a point of the data lies; false when it has no place on the axes.
func (l Layout) At(p r2.Vec) (r2.Vec, bool) {
	x, okX := l.x.at(p.X)
	y, okY := l.y.at(p.Y)
	return r2.Vec{X: x, Y: y}, okX && okY
}

// Draw draws one more mark on a plot laid out, for what changes faster than the
// rest. The axes do not stretch for it.
func (l Layout) Draw(k Mark) *m.Node { return m.El("g", m.List(k.draw(l))) }

// margins round the frame, in heights of a letter.
const (
	tickLength = 0.4
	gap        = 0.5
)

// Layout says where everything goes.
func (p Plot) Layout() Layout {
	p = p.sized()
	l := Layout{letter: p.Letter}
	x, y := newExtent(p.X.Log), newExtent(p.Y.Log)
	for _, k := range p.Marks {
		k.reach(&x, &y)
	}
	l.x.extent, l.y.extent = p.X.settle(x), p.Y.settle(y)

	widest := 0.0
	major, _ := ticksOf(l.y.extent, mostTicks(p.Height, 2.6*p.Letter))
	for _, t := range major {
		widest = max(widest, textWidth(t.Label, p.Letter))
	}
	left := widest + (tickLength+2*gap)*p.Letter
	bottom := (tickLength + gap + 1.2) * p.Letter
	top := gap * p.Letter
	if !p.Bare {
		left += 1.5 * p.Letter
		bottom += 1.6 * p.Letter
		var height float64
		l.keys, height = p.placeKeys(left, p.Width-p.Letter, top)
		top += height
	}
	l.Frame = r2.Box{Min: r2.Vec{X: min(left, p.Width/2), Y: min(top, 0.6*p.Height)}}
	l.Frame.Max = r2.Vec{X: max(p.Width-p.Letter, l.Frame.Min.X+1), Y: max(p.Height-bottom, l.Frame.Min.Y+1)}
	l.x.from, l.x.to = l.Frame.Min.X, l.Frame.Max.X
	l.y.from, l.y.to = l.Frame.Max.Y, l.Frame.Min.Y
	if p.Equal {
		equal(&l.x, &l.y)
	}
	return l
}

func (p Plot) sized() Plot {
	if !(p.Width > 0) {
		p.Width = 640
	}
	if !(p.Height > 0) {
		p.Height = 480
	}
	if !(p.Letter > 0) {
		p.Letter = 12
	}
	return p
}

// equal stretches the axis that has fewer units to the px.
func equal(x, y *scale) {
	stretch := func(s *scale, units float64) {
		middle, half := s.lo/2+s.hi/2, units/2*math.Abs(s.to-s.from)
		if lo, hi := middle-half, middle+half; !math.IsInf(lo, 0) && !math.IsInf(hi, 0) {
			s.lo, s.hi = min(lo, s.lo), max(hi, s.hi)
		}
	}
	perPx := func(s *scale) float64 { return (s.hi - s.lo) / math.Abs(s.to-s.from) }
	if ux, uy := perPx(x), perPx(y); ux < uy {
		stretch(x, uy)
	} else {
		stretch(y, ux)
	}
}

func mostTicks(px, each float64) int { return max(2, int(px/each)) }

// ticksOf are the ticks of an axis between its ends.
func ticksOf(e extent, most int) (major, minor []Tick) {
	if e.log {
		return LogTicks(math.Pow(10, e.lo), math.Pow(10, e.hi), most)
	}
	return Ticks(e.lo, e.hi, most), nil
}

// Node draws the plot as an svg element for the page.
func (p Plot) Node() *m.Node {
	return p.svg(m.El("desc", m.Text(p.Desc)))
}

func (p Plot) svg(first ...*m.Node) *m.Node {
	p = p.sized()
	l := p.Layout()
	svg := m.El("svg.chart", m.Attr("viewBox", "0 0 "+px(p.Width)+" "+px(p.Height)), m.Attr("role", "img"), m.Attr("aria-label", p.Title),
		m.Attr("font-size", px(p.Letter)))
	svg.Children = append(svg.Children, first...)
	svg.Children = append(svg.Children, l.axes(p)...)
	for _, k := range p.Marks {
		svg.Children = append(svg.Children, l.Draw(k))
	}
	for _, k := range l.keys {
		svg.Children = append(svg.Children, k.nodes...)
	}
	return svg
}

// axes draws frame, ticks, their labels and the axes' titles.
func (l Layout) axes(p Plot) []*m.Node {
	f := l.Frame
	var grid, ticks strings.Builder
	labels := m.El("g")
	line := func(b *strings.Builder, x0, y0, x1, y1 float64) {
		b.WriteString("M" + px(x0) + " " + px(y0) + "L" + px(x1) + " " + px(y1))
	}
	long := tickLength * l.letter
	major, minor := ticksOf(l.x.extent, mostTicks(f.Max.X-f.Min.X, 5*l.letter))
	for _, t := range major {
		x, ok := l.x.at(t.Value)
		if !ok {
			continue
		}
		line(&grid, x, f.Min.Y, x, f.Max.Y)
		line(&ticks, x, f.Max.Y, x, f.Max.Y+long)
		labels.Children = append(labels.Children, l.text(r2.Vec{X: x, Y: f.Max.Y + long + 1.2*l.letter}, t.Label, "middle", softColour))
	}
	for _, t := range minor {
		if x, ok := l.x.at(t.Value); ok {
			line(&ticks, x, f.Max.Y, x, f.Max.Y+long/2)
		}
	}
	major, minor = ticksOf(l.y.extent, mostTicks(f.Max.Y-f.Min.Y, 2.6*l.letter))
	for _, t := range major {
		y, ok := l.y.at(t.Value)
		if !ok {
			continue
		}
		line(&grid, f.Min.X, y, f.Max.X, y)
		line(&ticks, f.Min.X, y, f.Min.X-long, y)
		labels.Children = append(labels.Children, l.text(r2.Vec{X: f.Min.X - long - gap*l.letter, Y: y + 0.35*l.letter}, t.Label, "end", softColour))
	}
	for _, t := range minor {
		if y, ok := l.y.at(t.Value); ok {
			line(&ticks, f.Min.X, y, f.Min.X-long/2, y)
		}
	}
	frame := m.El("rect", m.Attr("x", px(f.Min.X)), m.Attr("y", px(f.Min.Y)), m.Attr("width", px(f.Max.X-f.Min.X)), m.Attr("height", px(f.Max.Y-f.Min.Y)), m.Attr("fill", "none"))
	nodes := []*m.Node{
		drawn(m.El("path", m.Attr("d", grid.String()), m.Attr("fill", "none")), gridColour, 1),
		drawn(frame, softColour, 1),
		drawn(m.El("path", m.Attr("d", ticks.String()), m.Attr("fill", "none")), softColour, 1),
		labels,
	}
	if p.Bare {
		return nodes
	}
	middle := r2.Scale(0.5, r2.Add(f.Min, f.Max))
	x := l.text(r2.Vec{X: middle.X, Y: p.Height - 0.5*l.letter}, fitting(p.X.title(), f.Max.X-f.Min.X, l.letter), "middle", inkColour)
	y := l.text(r2.Vec{}, fitting(p.Y.title(), f.Max.Y-f.Min.Y, l.letter), "middle", inkColour)
	y.Attrs["transform"] = "translate(" + px(1.2*l.letter) + " " + px(middle.Y) + ")rotate(-90)"
	return append(nodes, x, y)
}

func (l Layout) text(at r2.Vec, text, anchor string, c Colour) *m.Node {
	return filled(m.El("text", m.Attr("x", px(at.X)), m.Attr("y", px(at.Y)), m.Attr("text-anchor", anchor), m.Text(text)), c)
}

// textWidth is about how wide a text is in a common typeface.
func textWidth(s string, letter float64) float64 {
	return 0.56 * letter * float64(utf8.RuneCountInString(s))
}

// fitting cuts a text to a width.
func fitting(s string, width, letter float64) string {
	most := max(1, int(width/(0.56*letter)))
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return strings.TrimSpace(string([]rune(s)[:most-1])) + "…"
}

// px writes a coordinate to a hundredth of a px.
func px(v float64) string {
	b := strconv.AppendFloat(nil, v, 'f', 2, 64)
	for b[len(b)-1] == '0' {
		b = b[:len(b)-1]
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if s := string(b); s != "-0" {
		return s
	}
	return "0"
}
