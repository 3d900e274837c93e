package panel

import (
	"strings"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

func topBar(d *desk.Desk) *m.Node {
	if t := d.Taking(); t != nil {
		return lessonBar(d, t)
	}
	trayOpen, sideOpen := d.Drawer()
	bar := m.El("header.top", m.El("h1", m.Text("Crownbench")))
	add := func(ns ...*m.Node) { bar.Children = append(bar.Children, ns...) }
	s := d.Specimen()
	if d.Tray.Len() > 0 {
		add(button("Tray", func() { d.SetDrawer(!trayOpen, false) }, m.Class("drawer", true), m.Key("drawer-tray"),
			m.Attr("aria-expanded", boolean(trayOpen)), m.Attr("aria-controls", "tray")))
	}
	if s != nil {
		add(specimenName(d, s), photoStrip(d, s))
	}
	right := m.El("div.right", m.Key("right"))
	put := func(ns ...*m.Node) { right.Children = append(right.Children, ns...) }
	undo, redo := d.Tray.CanUndo(), d.Tray.CanRedo()
	put(savingNote(d),
		button("Undo", d.Undo, m.Key("undo"), m.Flag("disabled", undo == ""), m.Attr("title", strings.TrimSpace("Undo "+undo))),
		button("Redo", d.Redo, m.Key("redo"), m.Flag("disabled", redo == ""), m.Attr("title", strings.TrimSpace("Redo "+redo))))
	if s != nil {
		put(button("Sheet", func() { d.OpenDialog(desk.SheetDialog) }, m.Key("sheet")))
	}
	put(button("Out", func() { d.OpenDialog(desk.OutDialog) }, m.Key("out")),
		button("Lesson", func() { d.OpenLesson(desk.LessonWays) }, m.Key("lesson"), m.Attr("title", "For a class: take, make or review a lesson")),
		button("Help", func() { d.OpenDialog(desk.HelpDialog) }, m.Key("help"), m.Attr("title", "Help (F1)")))
	if s != nil {
		put(button("Numbers", func() { d.SetDrawer(false, !sideOpen) }, m.Class("drawer", true), m.Key("drawer-side"),
			m.Attr("aria-expanded", boolean(sideOpen)), m.Attr("aria-controls", "side")))
	}
	add(right)
	return bar
}

func boolean(b bool) string {
	if b {
		return "true"
	}
	return "false"
}

func savingNote(d *desk.Desk) *m.Node {
	text, title := "", ""
	switch state, why := d.Saving(); state {
	case desk.Saved:
		if d.Tray.Len() == 0 {
			break
		}
		text, title = "Saved", "Every change is kept in this browser at once."
	case desk.SavingNow:
		text = "Saving…"
	case desk.NotSaved:
		text, title = "Not saved", why
	case desk.SavingOff:
		text, title = "Not kept", why
	}
	return m.El("span.saving#saving", m.Key("saving"), m.Attr("role", "status"), m.Attr("title", title), m.Text(text))
}

func specimenName(d *desk.Desk, s *tray.Specimen) *m.Node {
	value := s.Name
	refusal, refused := d.Refused("name")
	if refused {
		value = refusal.Text
	}
	box := m.El("div.name", m.Key("name-"+s.ID),
		m.El("label.unseen", m.Attr("for", "name"), m.Text("Specimen name")),
		m.El("div.fit",
			m.El("input#name", m.Attr("type", "text"), m.Attr("value", value), m.Attr("autocomplete", "off"), m.Attr("title", value),
				m.Flag("aria-invalid", refused), m.Attr("spellcheck", "false"),
				m.On("change", func(e m.Event) { d.SetField(desk.NameField, e.Value) })),
			atRest(value)))
	if s.Invented {
		box.Children = append(box.Children, m.El("span.invented", m.Attr("title", "This tooth belongs to the demo and does not exist."), m.Text("invented")))
	}
	if refused {
		box.Children = append(box.Children, why("name", refusal.Why))
	}
	return box
}

// atRest shows a name over its input until that has the keyboard: one that is too
// long is shortened in its middle, for what tells teeth of a series apart stands
// at the end.
func atRest(name string) *m.Node {
	const tail = 5
	letters := []rune(name)
	cut := max(0, len(letters)-tail)
	return m.El("span.at-rest", m.Attr("aria-hidden", "true"), m.Attr("dir", "auto"),
		m.El("span", m.Name(string(letters[:cut]))), m.El("span", m.Name(string(letters[cut:]))))
}

func photoStrip(d *desk.Desk, s *tray.Specimen) *m.Node {
	strip := m.El("div.photos", m.Key("photos-"+s.ID), m.Attr("role", "group"), m.Attr("aria-label", "Photographs"))
	current := d.Photo()
	for i := range s.Photos {
		p := &s.Photos[i]
		mark := ""
		if p.Marked() {
			mark = " ✓"
		}
		strip.Children = append(strip.Children, button(string(p.Role)+mark, func() { d.SelectPhoto(p.ID) },
			m.Key(p.ID), m.Class("chosen", current != nil && current.ID == p.ID),
			m.Attr("aria-pressed", boolean(current != nil && current.ID == p.ID)), m.Attr("title", p.File)))
	}
	if d.Taking() != nil {
		return strip
	}
	strip.Children = append(strip.Children,
		button("+ photo", func() { d.PickPhotos(false) }, m.Key("add"), m.Attr("title", "Add photographs: choose, drop or paste them")))
	return strip
}
