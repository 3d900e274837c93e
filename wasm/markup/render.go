package markup

import (
	"bufio"
	"html"
	"io"
	"maps"
	"slices"
	"strings"
)

// void elements have no content and no closing tag in HTML.
var void = map[string]bool{
	"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true,
	"input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true,
}

// Render writes the node as HTML. Attributes come in alphabetical order, so
// that the same node always gives the same bytes. Handlers are left out.
func Render(w io.Writer, n *Node) error {
	b := bufio.NewWriter(w)
	render(b, n)
	return b.Flush()
}

// String gives the node as HTML.
func (n *Node) String() string {
	var sb strings.Builder
	Render(&sb, n)
	return sb.String()
}

// PlainText gives the text of the node and its descendants, joined as a
// reader of the page would see them without any layout.
func (n *Node) PlainText() string {
	if n.Tag == "" {
		return n.Text
	}
	var sb strings.Builder
	for _, c := range n.Children {
		sb.WriteString(c.PlainText())
	}
	return sb.String()
}

func render(b *bufio.Writer, n *Node) {
	if n.Tag == "" {
		b.WriteString(html.EscapeString(n.Text))
		return
	}
	b.WriteByte('<')
	b.WriteString(n.Tag)
	for _, name := range slices.Sorted(maps.Keys(n.Attrs)) {
		writeAttr(b, name, n.Attrs[name])
	}
	if len(n.Style) > 0 {
		var parts []string
		for _, p := range slices.Sorted(maps.Keys(n.Style)) {
			parts = append(parts, p+":"+n.Style[p])
		}
		writeAttr(b, "style", strings.Join(parts, ";"))
	}
	b.WriteByte('>')
	if void[n.Tag] {
		return
	}
	for _, c := range n.Children {
		render(b, c)
	}
	b.WriteString("</")
	b.WriteString(n.Tag)
	b.WriteByte('>')
}

func writeAttr(b *bufio.Writer, name, value string) {
	b.WriteByte(' ')
	b.WriteString(name)
	b.WriteString(`="`)
	b.WriteString(html.EscapeString(value))
	b.WriteByte('"')
}
