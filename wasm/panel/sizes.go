package panel

import (
	"strings"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// sizesDialog shows the picked teeth side by side at one scale.
func sizesDialog(d *desk.Desk) *m.Node {
	p := d.Plate()
	items := []m.Item{m.Class("wide", true)}
	if len(p.Teeth) == 0 {
		items = append(items, m.El("p", m.Text("None of the picked teeth has a traced side view or base with a scale.")))
	} else {
		items = append(items, m.El("div.plate-view", p.Node()),
			m.El("div.actions", button("Save as SVG", d.SavePlate, m.Class("primary", true), m.Attr("id", "plate-save"))))
	}
	if len(p.Without) > 0 && len(p.Teeth) > 0 {
		items = append(items, m.El("p.small", m.Text("Without an outline that has a scale: "+strings.Join(p.Without, ", ")+".")))
	}
	return over("sizes", "Size comparison", func() { d.OpenDialog(desk.NoDialog) }, items...)
}

// twinNote tells that the tooth seems to be in the tray twice.
func twinNote(d *desk.Desk) *m.Node {
	t, ok := d.Twin()
	if !ok {
		return nil
	}
	return m.El("div.twin", m.Key("twin"), m.Attr("role", "status"),
		m.El("p.small", m.Text("Entered twice? "), m.El("b", m.Name(t.Of.Name)), m.Text(" "+t.Why+".")),
		button("Show the other one", func() { d.Select(t.Of.ID) }, m.Class("link", true), m.Attr("id", "twin-show")),
		button("Leave it", func() { d.LeaveTwin(t) }, m.Class("link", true)))
}
