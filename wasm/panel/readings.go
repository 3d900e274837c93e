package panel

import (
	"slices"

	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// side is the right-hand panel: the answer over the numbers it rests on.
func side(d *desk.Desk) *m.Node {
	s := d.Specimen()
	return m.El("aside.side#side", m.Key("side-"+s.ID), m.Attr("aria-label", "Sorting and readings"),
		twinNote(d), answerCard(d, s), buildCard(d, s), mapCard(d), recordForm(d, s), readingsCard(d, s))
}

func readingsCard(d *desk.Desk, s *tray.Specimen) *m.Node {
	readings := d.Find(s).Readings
	table := m.El("table.readings", m.El("caption.unseen", m.Text("Readings with their standard uncertainty")),
		m.El("thead", m.El("tr",
			m.El("th", m.Attr("scope", "col"), m.Text("Reading")),
			m.El("th", m.Attr("scope", "col"), m.Text("Value")),
			m.El("th", m.Attr("scope", "col"), m.Text("How it was got")))))
	group := ""
	var body *m.Node
	for _, r := range readings {
		if r.Group != group {
			group = r.Group
			body = m.El("tbody", m.Key(group),
				m.El("tr.group", m.El("th", m.Attr("colspan", "3"), m.Attr("scope", "rowgroup"), m.Text(group))))
			table.Children = append(table.Children, body)
		}
		open := d.ReadingOpen(r.ID)
		row := m.El("tr", m.Key(string(r.ID)), m.Attr("data-reading", string(r.ID)), m.Class("unknown", !r.Known), m.Class("open", open),
			m.El("th", m.Attr("scope", "row"),
				button(string(r.ID), func() { d.ToggleReading(r.ID) }, m.Class("abbr", true), m.Attr("title", r.Name),
					m.Attr("aria-expanded", boolean(open)), m.Attr("aria-controls", "more-"+string(r.ID)))),
			m.El("td.value", m.Text(tray.FormatReading(r))),
			m.El("td.how", howText(r)...))
		body.Children = append(body.Children, row)
		if r.Problem != "" {
			body.Children = append(body.Children, m.El("tr.problem-row", m.Key("p-"+string(r.ID)),
				m.El("td", m.Attr("colspan", "3"), m.El("p.problem", m.Attr("role", "alert"), m.Text(r.Problem)))))
		}
		if open {
			body.Children = append(body.Children, m.El("tr.more", m.Key("m-"+string(r.ID)), m.Attr("id", "more-"+string(r.ID)),
				m.El("td", m.Attr("colspan", "3"), readingDetails(d, s, r))))
		}
	}
	return m.El("section.numbers", m.Key("numbers"), m.Attr("aria-labelledby", "readings-head"),
		m.El("h2#readings-head", m.Text("Readings")),
		m.El("p.quiet.small", m.Text("± is the standard uncertainty. Choose a reading to see its definition, to type it, or to choose what counts.")),
		pointingCard(d, s),
		table, heardReadings(d, readings),
		m.El("div.rules",
			choice("dsdi", "DSDI is", string(s.DSDIRule()), []string{string(morph.DSDIMid), string(morph.DSDIMean)},
				[]string{"MC / DC (Hendrickx et al. 2024)", "MAVG / DAVG (Smith 2005)"}, func(v string) { d.SetDSDI(morph.DSDIRule(v)) }),
			choice("chr", "CHR divides by", string(s.CHRRule()), []string{string(morph.CHRByLength), string(morph.CHRByLongAxis)},
				[]string{"base length", "the longer base axis"}, func(v string) { d.SetCHR(morph.CHRRule(v)) })))
}

// heardReadings is for those who listen: a reading that the marks on a
// photograph have just given is said once, as a line that is added; what changes
// while a point is moved is not. A person who types knows what they typed.
func heardReadings(d *desk.Desk, readings []morph.Reading) *m.Node {
	box := m.El("div.unseen#readings-spoken", m.Attr("role", "status"), m.Attr("aria-atomic", "false"), m.Attr("aria-relevant", "additions"))
	if d.Photo() == nil {
		return box
	}
	for _, r := range readings {
		if r.Known && r.Key != morph.TypedKey {
			box.Children = append(box.Children, m.El("p", m.Key(string(r.ID)), m.Textf("%s, %s: %s.", r.ID, r.Name, tray.FormatReading(r))))
		}
	}
	return box
}

func howText(r morph.Reading) []m.Item {
	switch {
	case r.Known && r.State != morph.MeasuredState:
		return []m.Item{m.El("em", m.Text(string(r.State))), m.Text(" " + r.How)}
	case r.Known:
		return []m.Item{m.Text(r.How)}
	case r.State != morph.MeasuredState && r.State != morph.Unknown:
		return []m.Item{m.Text(string(r.State))}
	}
	return []m.Item{m.Text(r.Needs)}
}

// readingDetails defines a reading and lets the person type it or choose what
// counts.
func readingDetails(d *desk.Desk, s *tray.Specimen, r morph.Reading) *m.Node {
	box := m.El("div.details", m.El("p", m.El("strong", m.Text(r.Name)), m.Text(": "+r.Definition)), m.El("p.small.quiet", m.Text(r.Source)), interval(d, s, r))
	add := func(n *m.Node) { box.Children = append(box.Children, n) }
	if len(r.Candidates) > 1 {
		set := m.El("fieldset", m.El("legend", m.Text("What counts")))
		for i, c := range r.Candidates {
			id := string(r.ID) + "-way-" + key(i)
			set.Children = append(set.Children, m.El("div.way-row", m.Key(c.Key),
				m.El("input", m.Attr("type", "radio"), m.Attr("name", "way-"+string(r.ID)), m.Attr("id", id), m.Flag("checked", c.Key == r.Key),
					m.On("change", func(m.Event) { d.Prefer(r.ID, c.Key) })),
				m.El("label", m.Attr("for", id), m.Text(candidateWords(r.Quantity, c)+" — "+c.How))))
		}
		add(set)
	}
	if slices.Contains(densities, r.ID) {
		add(countCell(d, s, r.ID, "Denticles counted", "more-"))
	}
	if r.Typable {
		add(cell{name: string(r.ID), where: "more-", label: "Typed " + string(r.ID), unit: r.Unit, hint: "such as 22.6 ± 0.1", value: typedText(s, r.ID),
			typed: func(text string, how desk.Typing) { d.TypeValue(r.ID, text, how) }}.draw(d))
	}
	return box
}

// interval says within what the reading lies 95 times in 100.
func interval(d *desk.Desk, s *tray.Specimen, r morph.Reading) *m.Node {
	if !r.Known || !(r.U > 0) {
		return nil
	}
	x, there := d.Spread(s)
	if !there {
		return m.El("p.interval", m.Key("interval"), m.Textf("95 %% interval: being drawn %s times…", thousands(tray.Draws)))
	}
	low, high, ok := x.Interval(r.ID)
	if !ok {
		return m.El("p.interval", m.Key("interval"), m.Text("95 % interval: too few draws give this reading a value."))
	}
	text := tray.FormatInterval(low, high, r.U)
	if r.Unit == "°" {
		text += r.Unit
	} else if r.Unit != "" {
		text += " " + r.Unit
	}
	return m.El("p.interval", m.Key("interval"), m.El("strong", m.Text("95 % interval: "+text)), m.El("span.small.quiet", m.Textf(" (%s draws)", thousands(x.Drawn.Draws))))
}

var densities = []morph.ID{"MA", "MC", "MB", "DA", "DC", "DB"}
