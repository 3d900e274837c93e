package sheet

import (
	"bytes"
	"strings"

	m "crownbench/wasm/markup"
)

// style is the sheet's look where it stands alone. It holds none of the
// characters that HTML or XML would read as markup.
const style = `
body { margin: 0; background: #fff; color: #1a1a1a; font: 8pt/1.25 Helvetica, Arial, sans-serif; }
.sheet { max-width: 190mm; margin: 0 auto; padding: 6mm 4mm; }
h1 { font-size: 15pt; margin: 0 0 1mm; overflow-wrap: anywhere; }
h2 { font-size: 10pt; margin: 2.5mm 0 0.8mm; border-bottom: 0.3mm solid #999; break-after: avoid; }
p, ul, ol, dl { margin: 0.8mm 0; }
ul, ol { padding-left: 4mm; }
bdi { overflow-wrap: anywhere; }
.small, .how, figcaption, .sheet-assumed, .sheet-cautions, .sheet-sources { font-size: 6.7pt; }
.sheet-assumed ul, .sheet-cautions ul, .sheet-sources ol { columns: 2; column-gap: 6mm; }
.invented { border: 0.5mm solid; padding: 0.8mm 2mm; }
.remarks bdi { white-space: pre-wrap; }
.said { font-size: 10.5pt; font-weight: 600; }
.doubt { font-style: italic; }
.sheet-facts { display: flex; flex-wrap: wrap; gap: 0 6mm; }
.sheet-facts div { display: flex; gap: 1.5mm; }
.sheet-facts dt { color: #555; }
.sheet-facts dd { margin: 0; }
table { border-collapse: collapse; width: 100%; margin: 0.8mm 0; }
th, td { text-align: left; vertical-align: top; padding: 0.15mm 1mm; border-bottom: 0.1mm solid #bbb; font-weight: normal; }
thead th, .group th, .own th, .own td { font-weight: 600; }
.readings { font-size: 7pt; line-height: 1.15; }
.readings .how { font-size: 6.5pt; width: 48%; }
.shares { display: inline-table; width: auto; margin-right: 8mm; vertical-align: top; }
.num { text-align: right; white-space: nowrap; font-variant-numeric: tabular-nums; }
.nearest { font-size: 6.5pt; line-height: 1.15; }
.nearest th, .nearest td { padding: 0.15mm 0.7mm; }
.nearest th:first-child { width: 30%; }
abbr { text-decoration: none; }
.plate { display: inline-block; vertical-align: top; width: 32%; margin: 0.5mm 1% 1mm 0; break-inside: avoid; }
.plate svg { width: 100%; height: auto; max-height: 48mm; }
tr, li { break-inside: avoid; }
@page { margin: 10mm; }
@media print { .sheet { max-width: none; padding: 0; } }
`

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
