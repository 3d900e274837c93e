package panel

import (
	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// trayLook looks through the tray: a line to search in, the rest folded.
func trayLook(d *desk.Desk, listed int) *m.Node {
	l := d.TrayLook()
	box := m.El("div.look", m.Key("look"), m.Attr("role", "search"), m.Attr("aria-label", "Tray"),
		m.El("input#tray-search", m.Attr("type", "search"), m.Attr("aria-label", "Search the tray"), m.Attr("placeholder", "Search"),
			m.Attr("autocomplete", "off"), m.Attr("value", l.Search), m.On("input", func(e m.Event) { x := d.TrayLook(); x.Search = e.Value; d.LookThrough(x) })))
	if words := listedWords(d, listed); words != "" {
		line := m.El("p.small#tray-listed", m.Key("listed"), m.Attr("role", "status"), m.Text(words))
		if l.Narrowed() {
			line.Children = append(line.Children, button("Show all", func() { d.LookThrough(desk.TrayLook{By: l.By, Down: l.Down}) }, m.Class("link", true)))
		}
		box.Children = append(box.Children, line)
	}
	box.Children = append(box.Children, fold(d, "details.narrow", "tray-look", "Sort and filter", m.El("div.choices", lookChoices(d, l)...)))
	return box
}

func listedWords(d *desk.Desk, listed int) string {
	if done, on := d.Surveying(); on {
		return "Looking through: " + grouped(done) + " of " + grouped(d.Tray.Len())
	}
	if d.TrayLook().Narrowed() {
		return grouped(listed) + " of " + grouped(d.Tray.Len())
	}
	return ""
}

func lookChoices(d *desk.Desk, l desk.TrayLook) []m.Item {
	change := func(f func(*desk.TrayLook, string)) func(string) {
		return func(v string) {
			x := d.TrayLook()
			f(&x, v)
			d.LookThrough(x)
		}
	}
	orders := []string{string(desk.ByArrival), string(desk.ByName), string(desk.ByAnswer), string(desk.ByChange)}
	orderTexts := []string{"as they came", "by name", "by answer", "by last change"}
	lacks, lackTexts := []string{""}, []string{"any"}
	for _, q := range morph.Quantities {
		orders, orderTexts = append(orders, string(q.ID)), append(orderTexts, "by "+string(q.ID)+" · "+q.Name)
		lacks, lackTexts = append(lacks, string(q.ID)), append(lackTexts, "no "+string(q.ID)+" · "+q.Name)
	}
	forms, formTexts := []string{""}, []string{"any"}
	for _, f := range classify.Forms() {
		forms, formTexts = append(forms, string(f)), append(formTexts, f.Words())
	}
	forms, formTexts = append(forms, string(desk.NotSorted)), append(formTexts, "not sorted")
	clades, cladeTexts := []string{""}, []string{"any"}
	for _, c := range classify.Clades() {
		clades, cladeTexts = append(clades, c), append(cladeTexts, c)
	}
	states, stateTexts := []string{}, []string{}
	for _, s := range desk.TrayStates {
		text := string(s)
		if s == desk.AnyState {
			text = "any"
		}
		states, stateTexts = append(states, string(s)), append(stateTexts, text)
	}
	return []m.Item{
		choice("look-by", "Order", string(l.By), orders, orderTexts, change(func(x *desk.TrayLook, v string) { x.By = desk.TrayOrder(v) })),
		m.El("div.check",
			m.El("input#look-down", m.Attr("type", "checkbox"), m.Flag("checked", l.Down), m.On("change", func(e m.Event) { x := d.TrayLook(); x.Down = e.Checked; d.LookThrough(x) })),
			m.El("label", m.Attr("for", "look-down"), m.Text("from the end"))),
		choice("look-form", "Shape class", string(l.Form), forms, formTexts, change(func(x *desk.TrayLook, v string) { x.Form = classify.Form(v) })),
		choice("look-clade", "Clade not ruled out", l.Clade, clades, cladeTexts, change(func(x *desk.TrayLook, v string) { x.Clade = v })),
		choice("look-lacks", "Missing reading", string(l.Lacks), lacks, lackTexts, change(func(x *desk.TrayLook, v string) { x.Lacks = morph.ID(v) })),
		choice("look-state", "State of the work", string(l.State), states, stateTexts, change(func(x *desk.TrayLook, v string) { x.State = desk.TrayState(v) })),
	}
}
