package panel

import (
	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

func trayList(d *desk.Desk) *m.Node {
	if d.Tray.Len() == 0 || d.Taking() != nil {
		return nil
	}
	current := d.Specimen()
	list := m.El("ul")
	for _, s := range d.Tray.Specimens() {
		here := current != nil && s.ID == current.ID
		a := d.Find(s).Answer
		item := m.El("li", m.Key(s.ID), m.Class("chosen", here),
			m.El("button.pick", m.Attr("type", "button"), m.OnClick(func() { d.Select(s.ID); d.SetDrawer(false, false) }),
				m.Flag("aria-current", here),
				formGlyph(a.Form),
				m.El("span.who", m.Text(s.Name)),
				m.El("span.what", m.Text(inShort(a, s.Invented)))))
		if here {
			item.Children = append(item.Children, m.El("div.more",
				button("Duplicate", func() { d.Duplicate(s.ID) }),
				button("Delete", func() { d.Delete(s.ID) })))
		}
		list.Children = append(list.Children, item)
	}
	return m.El("nav.tray#tray", m.Key("tray"), m.Attr("aria-label", "Tray"),
		m.El("h2", m.Text("Tray"), m.El("span.count", m.Textf("%d", d.Tray.Len()))),
		list,
		m.El("div.actions",
			button("+ tooth", d.NewSpecimen),
			button("Quick check", d.QuickCheck),
			button("Table of teeth", d.OpenTable)))
}

func inShort(a classify.Answer, invented bool) string {
	t := "not sorted"
	if a.Form != "" {
		t = a.Form.Words()
	}
	if invented {
		t += " · invented"
	}
	return t
}
