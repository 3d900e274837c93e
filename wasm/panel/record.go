package panel

import (
	"fmt"

	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// recordForm holds what is known of the tooth and its find besides its numbers,
// group by group, and of the photograph on the bench.
func recordForm(d *desk.Desk, s *tray.Specimen) *m.Node {
	items := []m.Item{rowChoice(d, s, "row"), epochs(), licences()}
	for _, g := range fieldGroups() {
		items = append(items, fieldGroup(d, s, g))
	}
	if p := d.Photo(); p != nil {
		items = append(items, photoRights(d, p))
	}
	return fold(d, "details.specimen", "specimen", "Specimen and find", items...)
}

// epochs are the ages that can be compared with those of the published teeth.
func epochs() *m.Node {
	list := m.El("datalist#epochs")
	for _, e := range classify.KnownEpochs() {
		list.Children = append(list.Children, m.El("option", m.Key(e), m.Attr("value", e)))
	}
	return list
}

// licences are identifiers of the usual ones (SPDX).
func licences() *m.Node {
	list := m.El("datalist#photo-licences", m.Key("photo-licences"))
	for _, l := range []string{"CC0-1.0", "CC-BY-4.0", "CC-BY-NC-4.0", "CC-BY-SA-4.0"} {
		list.Children = append(list.Children, m.El("option", m.Key(l), m.Attr("value", l)))
	}
	return list
}

// fieldGroups are the groups of fields, in the order of the fields.
func fieldGroups() []string {
	var groups []string
	for _, f := range tray.Fields {
		if len(groups) == 0 || groups[len(groups)-1] != f.Group {
			groups = append(groups, f.Group)
		}
	}
	return groups
}

func fieldGroup(d *desk.Desk, s *tray.Specimen, group string) *m.Node {
	var items []m.Item
	filled, place := 0, false
	for _, f := range tray.Fields {
		if f.Group != group {
			continue
		}
		if f.Text(s) != "" {
			filled++
		}
		if place && !f.Place {
			items, place = append(items, shareChoice(d, s)), false // below the last field that leads to the site
		}
		place = f.Place
		items = append(items, recordField(d, s, f))
	}
	heading := group
	if filled > 0 {
		heading = fmt.Sprintf("%s · %d filled", group, filled)
	}
	return fold(d, "details.group", "group-"+group, heading, items...)
}

func recordField(d *desk.Desk, s *tray.Specimen, f tray.Field) *m.Node {
	help := m.El("p.small", m.Text(f.Help))
	set := func(text string) { d.SetField(desk.Field(f.ID), text) }
	if len(f.Words) > 0 {
		values, texts := []string{""}, []string{"not stated"}
		for _, w := range f.Words {
			values, texts = append(values, w), append(texts, w)
		}
		return m.El("div.cell", m.Key(f.ID), choice("cell-"+f.ID, f.Label, f.Text(s), values, texts, set), help)
	}
	c := cell{name: f.ID, label: f.Label, value: f.Text(s), long: true, lines: f.Long, typed: func(text string, _ desk.Typing) { set(text) }}
	if f.Such != "" {
		c.hint = "such as " + f.Such
	}
	if f.ID == string(desk.AgeField) {
		c.list = "epochs"
	}
	return c.draw(d, help).With(m.Key(f.ID))
}

// shareChoice lets the coordinates leave with exports, or keeps them back.
func shareChoice(d *desk.Desk, s *tray.Specimen) *m.Node {
	words := "Kept back: every export leaves them out and says so. A backup has them."
	if s.ShareCoordinates {
		words = "They leave with every export, for anyone to read."
	}
	return m.El("div.share", m.Key("share"),
		m.El("div.check",
			m.El("input#share-coordinates", m.Attr("type", "checkbox"), m.Flag("checked", s.ShareCoordinates), m.Attr("aria-describedby", "share-words"),
				m.On("change", func(e m.Event) { d.ShareCoordinates(e.Checked) })),
			m.El("label", m.Attr("for", "share-coordinates"), m.Text("Share the coordinates"))),
		m.El("p.small#share-words", m.Text(words)))
}

// photoRights shows what is known of the photograph on the bench and takes who
// made it and how it may be used.
func photoRights(d *desk.Desk, p *tray.Photo) *m.Node {
	facts := m.El("dl.facts")
	fact := func(term, text string) {
		if text == "" {
			text = "not in the file"
		}
		facts.Children = append(facts.Children, m.El("div", m.El("dt", m.Text(term)), m.El("dd", m.Text(text))))
	}
	fact("Shows", string(p.Role))
	fact("File", p.File)
	fact("Taken", p.Taken)
	fact("Device", p.Device)
	text := func(name, label, value, hint, list string, typed func(string)) *m.Node {
		return cell{name: name, label: label, value: value, hint: hint, list: list, long: true,
			typed: func(t string, _ desk.Typing) { typed(t) }}.draw(d).With(m.Key(name + p.ID))
	}
	items := []m.Item{facts,
		text("photo-creator", "Taken by", p.Creator, "such as A. Example", "", func(t string) { d.SetPhotoRights(t, p.License) }),
		text("photo-license", "Licence", p.License, "such as CC-BY-4.0", "photo-licences", func(t string) { d.SetPhotoRights(p.Creator, t) }),
		m.El("p.small", m.Text("Under which terms others may use the photograph: an identifier or the address of a licence."))}
	if s := d.Specimen(); len(s.Photos) > 1 && p.Creator+p.License != "" {
		items = append(items, button("Same for all photographs of this tooth", d.SpreadPhotoRights))
	}
	return fold(d, "details.group", "group-photo", "This photograph", items...)
}
