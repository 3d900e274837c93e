package panel

import (
	"strconv"

	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// trayList is the tray: its rows, what looks through them, and what is done
// with those that were picked. A short tray has no more than its rows.
func trayList(d *desk.Desk) *m.Node {
	n := d.Tray.Len()
	if n == 0 || d.Taking() != nil {
		return nil
	}
	head := m.El("h2", m.Text("Tray"))
	if n > 1 {
		head.Children = append(head.Children, button(pickWords(d), func() { d.SetPicking(!d.Picking()) }, m.Key("picking"),
			m.Class("link", true), m.Attr("id", "picking"), m.Attr("aria-pressed", boolean(d.Picking())), m.Attr("title", "Pick teeth to export, compare or delete together")))
	}
	head.Children = append(head.Children, m.El("span.count", m.Textf("%d", n)))
	nav := m.El("nav.tray#tray", m.Key("tray"), m.Attr("aria-label", "Tray"), head)
	add := func(n *m.Node) { nav.Children = append(nav.Children, n) }
	w := d.TrayWindow()
	if n >= desk.LookFrom {
		add(trayLook(d, w.Of))
	}
	add(trayRows(d, w))
	if w.Long && d.Specimen() != nil && !d.Picking() {
		add(ofThis(d, d.Specimen(), "div.more.apart"))
	}
	if due := d.BackupDue(); due != "" {
		add(m.El("div.due", m.Key("due"), m.Attr("role", "status"), m.El("p.small", m.Text(due)),
			button("Back up", d.BackUp, m.Attr("id", "back-up")),
			button("Later", d.PutOffBackup)))
	}
	if d.Picking() {
		add(withPicked(d, w.Of))
		return nav
	}
	add(m.El("div.actions", m.Key("actions"),
		button("+ tooth", d.NewSpecimen),
		button("Quick check", d.QuickCheck),
		button("Table of teeth", d.OpenTable)))
	return nav
}

func pickWords(d *desk.Desk) string {
	if d.Picking() {
		return "Done"
	}
	return "Pick"
}

// trayRows are the rows. Those of a long tray stand at their place in a list as
// high as all of them, so that only the ones in sight need be there.
func trayRows(d *desk.Desk, w desk.TrayWindow) *m.Node {
	list := m.El("ul", m.Key("rows-"+strconv.Itoa(d.TrayTurn())), m.Class("long", w.Long))
	if w.Long {
		list.On = map[string]func(m.Event){"scroll": func(e m.Event) { d.ScrollTray(e.Top, e.Height) }}
		list.Children = append(list.Children, m.El("li.room", m.Key("room"), m.Attr("aria-hidden", "true"),
			m.Style("height", strconv.Itoa(w.Of*desk.TrayRowHeight)+"px")))
	}
	for i, s := range w.Rows {
		row := trayRow(d, s, !w.Long)
		if w.Long {
			row.With(m.Attr("aria-setsize", strconv.Itoa(w.Of)), m.Attr("aria-posinset", strconv.Itoa(w.From+i+1)),
				m.Style("top", strconv.Itoa((w.From+i)*desk.TrayRowHeight)+"px"))
		}
		list.Children = append(list.Children, row)
	}
	return list
}

func trayRow(d *desk.Desk, s *tray.Specimen, actions bool) *m.Node {
	current := d.Specimen()
	here := current != nil && s.ID == current.ID
	a := d.Find(s).Answer
	item := m.El("li", m.Key(s.ID), m.Class("chosen", here), m.Class("picking", d.Picking()))
	if d.Picking() {
		item.Children = append(item.Children, m.El("input.picker", m.Key("picker"), m.Attr("type", "checkbox"), m.Attr("aria-label", "Pick "+s.Name),
			m.Flag("checked", d.IsPicked(s.ID)), m.On("click", func(e m.Event) { d.Pick(s.ID, e.Checked, e.Shift) })))
	}
	pick := m.El("button.pick", m.Key("pick"), m.Attr("type", "button"), m.OnClick(func() { d.Select(s.ID); d.SetDrawer(false, false) }),
		m.Flag("aria-current", here), m.Attr("title", s.Name), face(d, s, a.Form),
		m.El("span.who", m.Name(s.Name)))
	what := m.El("span.what")
	if desk.FacePhoto(s) != nil {
		what.Children = append(what.Children, formGlyph(a.Form))
	}
	pick.Children = append(pick.Children, what.With(m.Text(inShort(a, s.Invented))))
	item.Children = append(item.Children, pick)
	if here && actions {
		item.Children = append(item.Children, ofThis(d, s, "div.more"))
	}
	return item
}

// face is the small picture of a tooth, or its form where it has no photograph.
func face(d *desk.Desk, s *tray.Specimen, f classify.Form) *m.Node {
	p := desk.FacePhoto(s)
	if p == nil {
		return formGlyph(f)
	}
	if url := d.Thumbnail(p.Hash); url != "" {
		return m.El("img.face", m.Key("face"), m.Attr("src", url), m.Attr("alt", ""), m.Attr("width", "40"), m.Attr("height", "40"))
	}
	return m.El("span.face", m.Key("faceless"))
}

// ofThis is what is done with the tooth on the desk.
func ofThis(d *desk.Desk, s *tray.Specimen, el string) *m.Node {
	return m.El(el, m.Key("of-this"),
		button("Duplicate", func() { d.Duplicate(s.ID) }),
		button("Delete", func() { d.Delete(s.ID) }))
}

// withPicked is what is done with the picked teeth.
func withPicked(d *desk.Desk, listed int) *m.Node {
	n := len(d.Picked())
	none := m.Flag("disabled", n == 0)
	return m.El("div.picked", m.Key("picked"), m.Attr("role", "group"), m.Attr("aria-label", "Picked teeth"),
		m.El("p.small", m.Attr("role", "status"), m.Textf("%d picked", n),
			button("All "+strconv.Itoa(listed), func() { d.PickRows(true) }, m.Class("link", true), m.Attr("id", "pick-all")),
			button("None", func() { d.PickRows(false) }, m.Class("link", true), none)),
		m.El("div.row",
			button("Sizes", func() { d.OpenDialog(desk.SizesDialog) }, m.Attr("id", "picked-sizes"), m.Attr("title", "Outlines side by side at one scale"), none),
			button("Shapes", func() { d.OpenDialog(desk.ShapesDialog) }, m.Attr("id", "picked-shapes"), m.Attr("title", "Crowns laid over each other, and how far apart their shapes are"), none),
			button("Out", d.OpenOutPicked, m.Attr("id", "picked-out"), m.Attr("title", "What leaves the program, of the picked teeth only"), none),
			button("Delete picked", d.DeletePicked, m.Attr("id", "picked-delete"), none)))
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
