package chart

import (
	"strings"

	m "crownbench/wasm/markup"
)

// style of a plot in a file of its own: for paper, so light in every setting.
const style = `svg{background:#fff}text{font-family:Helvetica,Arial,"DejaVu Sans",sans-serif}`

// Document returns the plot as an SVG file: well-formed XML that loads nothing,
// on white paper, with title and description for those who do not see it.
func (p Plot) Document() []byte {
	p = p.sized()
	root := p.svg()
	plain(root)
	root.Attrs["xmlns"] = "http://www.w3.org/2000/svg"
	root.Attrs["width"], root.Attrs["height"] = px(p.Width), px(p.Height)
	root.Attrs["aria-labelledby"] = "title"
	root.Attrs["aria-describedby"] = "desc"
	delete(root.Attrs, "aria-label")
	paper := m.El("rect", m.Attr("width", px(p.Width)), m.Attr("height", px(p.Height)), m.Attr("fill", paperColour.Light))
	content := append([]*m.Node{paper}, root.Children...)
	root.Children = nil
	open := strings.TrimSuffix(root.String(), "</svg>")

	var b strings.Builder
	b.WriteString("<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n" + open + "\n")
	b.WriteString(m.El("title#title", m.Text(p.Title)).String() + "\n")
	b.WriteString(m.El("desc#desc", m.Text(p.Desc)).String() + "\n")
	b.WriteString("<style>" + style + "</style>\n")
	for _, n := range content {
		b.WriteString(n.String() + "\n")
	}
	b.WriteString("</svg>\n")
	return []byte(b.String())
}

// plain takes off what only the page's style puts to use.
func plain(n *m.Node) {
	n.Style = nil
	for _, c := range n.Children {
		plain(c)
	}
}
