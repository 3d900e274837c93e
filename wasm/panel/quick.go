package panel

import (
	"strconv"

	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// quickCheck is the form for a tooth without photographs: the few numbers that
// a collection worker has at hand, one screen, the answer beside it.
func quickCheck(d *desk.Desk) *m.Node {
	s := d.Specimen()
	length := func(id morph.ID, label string) *m.Node {
		return cell{name: string(id), label: label, unit: "mm", value: typedText(s, id),
			typed: func(text string, how desk.Typing) { d.TypeValue(id, text, how) }}.draw(d, problemOf(d, s, id))
	}
	return m.El("form.card.quick", m.Key("quick-"+s.ID), m.Attr("aria-label", "Quick check"), m.Attr("novalidate", ""),
		m.On("submit", func(e m.Event) { e.PreventDefault(); d.QuickCheck() }),
		m.El("h2", m.Text("Quick check")),
		m.El("p.quiet", m.Text("Calliper values; leave out what you do not have. Or drop photographs here.")),
		m.El("fieldset",
			m.El("legend", m.Text("Crown")),
			length("CH", "Crown height CH"),
			length("CBL", "Base length CBL (mesial to distal)"),
			length("CBW", "Base width CBW (labial to lingual)"),
			ratioCell(d, s)),
		m.El("fieldset",
			m.El("legend", m.Text("Denticles at mid-crown")),
			countCell(d, s, "DC", "Distal, counted", ""),
			carinaChoice(d, s, morph.DistalCarina),
			countCell(d, s, "MC", "Mesial, counted", ""),
			carinaChoice(d, s, morph.MesialCarina)),
		rowChoice(d, s, "quick-row"),
		m.El("div.actions",
			m.El("button.primary#next", m.Attr("type", "submit"), m.Text("Next tooth")),
			button("Add photographs", func() { d.PickPhotos(false) })),
		quickAnswer(d, s))
}

// quickAnswer is what came of the numbers, on a small window, where the sorting
// beside them is slid out.
func quickAnswer(d *desk.Desk, s *tray.Specimen) *m.Node {
	a := d.Find(s).Answer
	if len(a.Used) == 0 {
		return nil
	}
	return m.El("div.answer.slid", m.Key("answer-here"),
		m.El("p.said", m.Class("unsaid", a.Form == ""), formGlyph(a.Form), m.El("span", m.Text(a.Said))),
		button("See the sorting", func() { d.SetDrawer(false, true) }, m.Attr("id", "sorted")))
}

// typedText is what stands in the cell of a typed value.
func typedText(s *tray.Specimen, id morph.ID) string {
	t, ok := s.Typed[id]
	if !ok {
		return ""
	}
	return typedWords(t)
}

// problemOf is the sentence beside a cell whose value cannot be true.
func problemOf(d *desk.Desk, s *tray.Specimen, id morph.ID) *m.Node {
	r := d.Find(s).Readings.Get(id)
	if r.Problem == "" {
		return nil
	}
	return m.El("p.problem", m.Attr("role", "alert"), m.Text(r.Problem))
}

func ratioCell(d *desk.Desk, s *tray.Specimen) *m.Node {
	value := ""
	if t, ok := s.Typed["CBR"]; ok && t.Value > 0 {
		v := t.Value
		if d.LengthByWidth() {
			v = 1 / v
		}
		value = strconv.FormatFloat(v, 'g', 4, 64)
	}
	names := []string{"length", "width"}
	texts := []string{"CBL ÷ CBW", "CBW ÷ CBL (CBR)"}
	chosen := names[1]
	if d.LengthByWidth() {
		chosen = names[0]
	}
	return m.El("div.pair",
		cell{name: "ratio", label: "Base ratio alone", value: value,
			typed: func(text string, how desk.Typing) { d.TypeRatio(text, d.LengthByWidth(), how) }}.draw(d, problemOf(d, s, "CBR")),
		choice("ratio-way", "given as", chosen, names, texts, func(v string) { d.SetLengthByWidth(v == names[0]) }))
}

// countCell takes a number of denticles and the length they were counted over.
func countCell(d *desk.Desk, s *tray.Specimen, id morph.ID, label, where string) *m.Node {
	n, l := "", d.CountLength(id)
	if c, ok := s.Counts[id]; ok {
		n, l = number(c.N), number(c.LengthMM)
	}
	lengthID := where + "over-" + string(id)
	return m.El("div.pair",
		cell{name: "count-" + string(id), where: where, label: label, value: n,
			typed: func(text string, how desk.Typing) { d.TypeCount(id, text, d.CountLength(id), how) }}.draw(d, problemOf(d, s, id)),
		m.El("div.field", m.El("label", m.Attr("for", lengthID), m.Text("over")),
			m.El("span.entry",
				m.El("input", m.Attr("id", lengthID), m.Attr("type", "text"), m.Attr("inputmode", "decimal"), m.Attr("list", "count-lengths"),
					m.Attr("autocomplete", "off"), m.Attr("value", l), m.On("change", func(e m.Event) { d.SetCountLength(id, e.Value) })),
				m.El("span.unit", m.Text("mm")))))
}

func carinaChoice(d *desk.Desk, s *tray.Specimen, c morph.Carina) *m.Node {
	state := s.Distal
	name := "Distal carina"
	if c == morph.MesialCarina {
		state, name = s.Mesial, "Mesial carina"
	}
	return choice("carina-"+string(c), name, string(state),
		[]string{string(morph.DenticlesUnknown), string(morph.DenticlesPresent), string(morph.DenticlesAbsent), string(morph.DenticlesNotPreserved)},
		[]string{"not looked at", "denticles present", "denticles absent", "denticles not preserved"},
		func(v string) { d.SetCarina(c, morph.CarinaState(v)) })
}

func rowChoice(d *desk.Desk, s *tray.Specimen, id string) *m.Node {
	return choice(id, "Tooth row", string(s.Row),
		[]string{string(tray.RowUnknown), string(tray.RowLateral), string(tray.RowMesial)},
		[]string{"not known", "lateral (maxilla, dentary)", "mesial (premaxilla, front of dentary)"},
		func(v string) { d.SetRow(tray.Row(v)) })
}
