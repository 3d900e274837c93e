package panel

import (
	"crownbench/classify"
	m "crownbench/wasm/markup"
)

// formGlyph is a small drawing of a form, told apart by shape: a thin curved
// blade, a broad cone, a D. An unsorted tooth is a question mark.
func formGlyph(f classify.Form) *m.Node {
	var path, name string
	switch f {
	case classify.Blade:
		path, name = "M3 18 C4 10 8 4 15 2 C12 8 11 13 11 18 Z", "blade-like"
	case classify.Robust:
		path, name = "M3 18 C3 9 6 3 10 2 C14 3 17 9 17 18 Z", "robust-conical"
	case classify.Front:
		path, name = "M5 3 H9 C18 3 18 17 9 17 H5 Z", "front tooth"
	default:
		return m.El("span.glyph.unsorted", m.Attr("role", "img"), m.Attr("aria-label", "not sorted"), m.Text("?"))
	}
	return m.El("svg.glyph", m.Attr("viewBox", "0 0 20 20"), m.Attr("role", "img"), m.Attr("aria-label", name),
		m.El("path", m.Attr("d", path)))
}
