package panel

import (
	"time"

	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// repeatDoor lets a person mark own specimens twice.
func repeatDoor(d *desk.Desk) []m.Item {
	items := []m.Item{
		m.El("p", m.Textf("Every ± in the readings begins with how well a point is placed on a photograph: ± %g px where nothing else is known. Mark some of your own photographs twice, without seeing your first marks, and the program learns what it is for you.", morph.DefaultPointing)),
	}
	if own := d.OwnPointing(); own.SD > 0 {
		items = append(items, m.El("p.handed", m.Attr("id", "own-pointing"),
			m.Textf("Yours is ± %.2g px, from %s placed twice (%s). It stands behind the readings. ", own.SD, counted(own.Points, "point", "points"), own.Day),
			button("Do not use it for new photographs", d.ForgetPointing, m.Class("link", true))))
	}
	teeth := d.ForLesson()
	if len(teeth) == 0 {
		return append(items, m.El("p.quiet", m.Text("Your tray has no tooth with a photograph yet.")))
	}
	chosen := d.RepeatsOf()
	set := m.El("fieldset.plan-photos", m.El("legend", m.Text("Mark these twice; three or four are enough")))
	n := 0
	for _, s := range teeth {
		id := "repeat-" + s.ID
		if chosen[s.ID] {
			n++
		}
		set.Children = append(set.Children, m.El("div.check", m.Key(s.ID),
			m.El("input", m.Attr("type", "checkbox"), m.Attr("id", id), m.Flag("checked", chosen[s.ID]), m.On("change", func(e m.Event) { d.RepeatThis(s.ID, e.Checked) })),
			m.El("label", m.Attr("for", id), m.Name(s.Name))))
	}
	return append(items, set, lessonWrong(d),
		m.El("div.over-foot", m.El("div.actions",
			button("Begin", d.BeginRepeats, m.Class("primary", true), m.Attr("id", "repeat-begin"), m.Flag("disabled", n == 0)))))
}

// repeatsEnd tells how well the person points.
func repeatsEnd(d *desk.Desk, t *desk.Taking) *m.Node {
	items := []m.Item{m.El("p", m.Text("Points that you placed both times are compared; what you marked once, or not at all, is left aside."))}
	var use *m.Node
	if t.PointingWhy != "" {
		items = append(items, m.El("p.caution", m.Attr("id", "pointing-why"), m.Text(t.PointingWhy)))
	} else {
		p := t.Pointing
		items = append(items, m.El("p.handed", m.Attr("id", "pointing-result"),
			m.El("strong", m.Textf("You place a point to ± %.2g px", p.All.SD)),
			m.Textf(" (95 %% interval %.2g to %.2g px, from %s placed twice).", p.All.In.Low, p.All.In.High, counted(p.All.Points, "point", "points"))))
		rows := m.El("tbody")
		for _, k := range p.Kinds {
			rows.Children = append(rows.Children, m.El("tr", m.Key(string(k.Kind)), m.El("th", m.Attr("scope", "row"), m.Text(string(k.Kind))),
				m.El("td.num", m.Textf("%.2g", k.SD)), m.El("td.num", m.Textf("%d", k.Points))))
		}
		items = append(items, m.El("table.own", m.El("thead", m.El("tr", m.El("th", m.Attr("scope", "col"), m.Text("Landmark")),
			m.El("th.num", m.Attr("scope", "col"), m.Text("± px")), m.El("th.num", m.Attr("scope", "col"), m.Text("points")))), rows))
		use = button("Use it for my readings", func() { d.UsePointing(time.Now().Format(time.DateOnly)) }, m.Class("primary", true), m.Attr("id", "lesson-answer"))
	}
	items = append(items, m.El("div.over-foot", m.El("div.actions", use, button("Back to my own tray", d.LeaveLesson, m.Attr("id", "lesson-leave")))))
	return over("lesson-end", "How well you point", func() { d.OpenDialog(desk.NoDialog) }, items...)
}
