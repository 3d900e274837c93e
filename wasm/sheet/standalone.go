package sheet

import (
	"bytes"
	_ "embed" // for sheet.css
	"strings"

	m "crownbench/wasm/markup"
)

//go:embed sheet.css
var style string

// Standalone makes a file of a sheet: HTML that is well-formed XML too, with
// its look inside. It loads nothing: pictures must come as data: addresses.
func Standalone(sheet *m.Node) []byte {
	title := "Sheet"
	if h := find(sheet, "h1"); h != nil {
		title = strings.TrimSpace(h.PlainText())
	}
	var b bytes.Buffer
	b.WriteString("<!DOCTYPE html>\n<html lang=\"en\" xmlns=\"http://www.w3.org/1999/xhtml\">\n<head>\n")
	for _, n := range []*m.Node{
		m.El("meta", m.Attr("charset", "utf-8")),
		m.El("meta", m.Attr("http-equiv", "Content-Security-Policy"), m.Attr("content", "default-src 'none'; img-src data:; style-src 'unsafe-inline'")),
		m.El("meta", m.Attr("name", "viewport"), m.Attr("content", "width=device-width")),
		m.El("title", m.Text(title)),
	} {
		b.WriteString(n.String())
		b.WriteByte('\n')
	}
	b.WriteString("<style>" + style + "</style>\n</head>\n<body>\n")
	b.WriteString(sheet.String())
	b.WriteString("\n</body>\n</html>\n")
	return b.Bytes()
}

// find gives the first element of a tag, or nil.
func find(n *m.Node, tag string) *m.Node {
	if n.Tag == tag {
		return n
	}
	for _, c := range n.Children {
		if found := find(c, tag); found != nil {
			return found
		}
	}
	return nil
}
