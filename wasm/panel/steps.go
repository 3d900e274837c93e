package panel

import (
	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// steps is the bar under the photograph: what to mark, and the one next thing
// to do.
func steps(d *desk.Desk) *m.Node {
	p := d.Photo()
	tool := d.Bench.Tool()
	tools := m.El("div.tools", m.Attr("role", "group"), m.Attr("aria-label", "What to mark"))
	taking := d.Taking()
	for _, t := range []struct {
		tool bench.Tool
		name string
	}{
		{bench.Look, "Look"},
		{bench.Scale, "Scale"},
		{bench.Crown, "Crown"},
		{bench.Section, "Section"},
		{bench.Denticles, "Denticles"},
	} {
		if taking != nil && taking.Work.Lesson.Help.Scale && t.tool == bench.Scale {
			continue // the scale came with the lesson
		}
		name := t.name
		if t.tool != bench.Look && d.Bench.Progress(t.tool) == bench.Complete {
			name += " ✓"
		}
		tools.Children = append(tools.Children, button(name, func() { d.SetTool(t.tool) }, m.Key(t.name),
			m.Class("chosen", t.tool == tool), m.Attr("aria-pressed", boolean(t.tool == tool))))
	}
	prompt := d.Bench.Prompt()
	if tool == bench.Look && d.Spare() {
		prompt.Text = "Another side view is traced, which is enough; tracing this one too is optional."
	}
	line := m.El("div.prompt", m.El("p#prompt", m.Attr("role", "status"), m.Text(prompt.Text)))
	if prompt.Busy {
		line.Children = append(line.Children, m.El("progress#searching", m.Attr("aria-labelledby", "prompt")))
	}
	acts := m.El("div.acts", m.Key("acts"))
	acts.Children = append(acts.Children, onward(d)...)
	for i, a := range prompt.Actions {
		title := ""
		if a.Key != "" {
			title = "Key: " + a.Key
		}
		acts.Children = append(acts.Children, button(a.Label, func() { a.Do(); d.Laid() }, m.Key(a.Label), m.Attr("title", title),
			m.Class("primary", i == 0 && d.Bench.Offering() && tool != bench.Scale)))
	}
	if len(acts.Children) > 0 {
		line.Children = append(line.Children, acts)
	}
	foot := m.El("footer.steps", m.Key("steps-"+p.ID), m.Attr("aria-label", "Steps"),
		m.El("div.row", tools), line)
	if taking == nil {
		foot.Children[0].Children = append(foot.Children[0].Children, photoCells(d, p))
	}
	if form := toolForm(d, p, tool); form != nil {
		foot.Children = append(foot.Children, form)
	}
	return foot
}

// onward is the way on from a mark that is made. Where nothing is left to mark
// on a small window, whose numbers are slid out, it shows what came of it.
func onward(d *desk.Desk) []*m.Node {
	if way := d.NextStep(); way.Words != "" {
		return []*m.Node{button(way.Words, way.Go, m.Key("onward"), m.Class("primary", true), m.Attr("id", "onward"))}
	}
	tool := d.Bench.Tool()
	atRest := tool == bench.Look || d.Bench.Progress(tool) == bench.Complete
	if d.Taking() == nil && !d.Bench.Asked() && !d.Bench.Remarking() && atRest && (d.Photo().Marked() || d.Spare()) {
		return []*m.Node{button("See the sorting", func() { d.SetDrawer(false, true) }, m.Key("sorted"), m.Class("primary", true), m.Class("drawer", true), m.Attr("id", "sorted"))}
	}
	return nil
}

// photoCells say what the photograph shows.
func photoCells(d *desk.Desk, p *tray.Photo) *m.Node {
	var values, texts []string
	for _, r := range morph.Roles {
		values, texts = append(values, string(r)), append(texts, string(r))
	}
	return m.El("div.photo-cells",
		choice("role", "Shows", string(p.Role), values, texts, func(v string) { d.SetRole(morph.Role(v)) }),
		button("Remove", d.RemovePhoto, m.Attr("aria-label", "Remove this photograph")))
}

func toolForm(d *desk.Desk, p *tray.Photo, tool bench.Tool) *m.Node {
	if d.Bench.Remarking() {
		return nil
	}
	switch tool {
	case bench.Look:
		return shadeForm(d)
	case bench.Scale:
		return scaleForm(d, p)
	case bench.Crown, bench.Section:
		return traceForm(d, p, tool)
	case bench.Denticles:
		return denticleForm(d)
	}
	return nil
}

// traceForm is what can be said of a trace: how its lines run, and of a finished
// crown what is missing of it.
func traceForm(d *desk.Desk, p *tray.Photo, tool bench.Tool) *m.Node {
	if d.Bench.Asked() {
		return nil // to take it or not is the one thing to decide now
	}
	check := func(id, label string, on bool, f func(bool)) *m.Node {
		return m.El("div.check",
			m.El("input", m.Attr("type", "checkbox"), m.Attr("id", id), m.Flag("checked", on), m.On("change", func(e m.Event) { f(e.Checked) })),
			m.El("label", m.Attr("for", id), m.Text(label)))
	}
	form := m.El("form.tool-form", m.Key("trace"), m.Attr("novalidate", ""), m.On("submit", func(e m.Event) { e.PreventDefault() }))
	if c := p.Crown; tool == bench.Crown && c != nil && c.Done {
		form.Children = append(form.Children,
			check("apex-broken", "The apex is broken off", c.ApexBroken, func(on bool) { d.SetBroken(on, c.BaseBroken) }),
			check("base-broken", "The base is broken off", c.BaseBroken, func(on bool) { d.SetBroken(c.ApexBroken, on) }))
	}
	if t := d.Taking(); t != nil && !t.Work.Lesson.Help.Edges {
		return form
	}
	follow := check("follow", "Follow the edge", d.Bench.Following(), d.FollowEdge)
	follow.Attrs["title"] = "Lines follow the edge in the picture from point to point. Hold Shift for a straight one."
	form.Children = append(form.Children, follow)
	if tracing := d.Bench.Progress(tool) == bench.UnderWay; tracing && d.Bench.Following() {
		form.Children = append(form.Children, m.El("p.small.quiet.by-key", m.Text("Hold Shift for a straight line.")))
	}
	return form
}

func denticleForm(d *desk.Desk) *m.Node {
	carina, third, serrated := d.Bench.Row()
	part := string(third)
	if serrated {
		part = wholeLength
	}
	if d.Bench.Asked() {
		return nil
	}
	s := d.Specimen()
	return m.El("form.tool-form", m.Key("denticles"), m.Attr("novalidate", ""), m.On("submit", func(e m.Event) { e.PreventDefault() }),
		choice("den-carina", "Carina", string(carina), []string{"mesial", "distal"}, []string{"mesial", "distal"},
			func(v string) { d.SetDenticleRow(morph.Carina(v), third, serrated) }),
		choice("den-third", "Marks", part,
			[]string{string(morph.Apical), string(morph.Mid), string(morph.Basal), wholeLength},
			[]string{"denticles, apical", "denticles, mid-crown", "denticles, basal", "the serrated length"},
			func(v string) {
				if v == wholeLength {
					d.SetDenticleRow(carina, third, true)
				} else {
					d.SetDenticleRow(carina, morph.Third(v), false)
				}
			}),
		carinaChoice(d, s, carina))
}

// wholeLength is the choice of marking the serrated part of a carina instead
// of counting on it.
const wholeLength = "serrated"
