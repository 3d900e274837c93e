package markup

import (
	"bufio"
	"html"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"
)

// void elements have no content and no closing tag in HTML.
var void = map[string]bool{
	"area": true, "base": true, "br": true, "col": true, "embed": true, "hr": true, "img": true,
	"input": true, "link": true, "meta": true, "source": true, "track": true, "wbr": true,
}

// Render writes the node as HTML that is well-formed XML too, so that any
// reader of either takes it the same way. Attributes come in alphabetical
// order: the same node always gives the same bytes. Handlers are left out.
// Characters that XML cannot hold (most control characters) become U+FFFD.
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
		b.WriteString(escapeText(n.Text))
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
			// A browser that sets properties one by one refuses a value that
			// reaches beyond its declaration; so does this.
			if !strings.ContainsAny(p+n.Style[p], ";{}") {
				parts = append(parts, p+":"+n.Style[p])
			}
		}
		writeAttr(b, "style", strings.Join(parts, ";"))
	}
	if void[n.Tag] {
		b.WriteString("/>")
		return
	}
	b.WriteByte('>')
	if (n.Tag == "pre" || n.Tag == "textarea") && len(n.Children) > 0 && strings.HasPrefix(n.Children[0].Text, "\n") {
		b.WriteByte('\n') // an HTML reader drops the first line break of these
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
	b.WriteString(attrBreaks.Replace(escapeText(value)))
	b.WriteByte('"')
}

// escapeText makes text that an HTML and an XML reader take for what it was. A
// lone carriage return would be read as a line feed.
func escapeText(s string) string {
	s = strings.Map(func(r rune) rune {
		if r == '\t' || r == '\n' || r == '\r' || r >= 0x20 && r <= 0xfffd || r >= 0x10000 {
			return r
		}
		return utf8.RuneError
	}, s)
	return strings.ReplaceAll(html.EscapeString(s), "\r", "&#13;")
}

// attrBreaks keeps line breaks and tabs in attribute values, where an XML
// reader would take them for spaces.
var attrBreaks = strings.NewReplacer("\n", "&#10;", "\t", "&#9;")
