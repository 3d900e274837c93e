package panel

import (
	"fmt"

	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// pointingCard says which pointing error the ± of each photograph's readings
// comes from, and lets the person state it or measure their own.
func pointingCard(d *desk.Desk, s *tray.Specimen) *m.Node {
	p := d.Photo()
	if p == nil {
		return nil
	}
	var list *m.Node
	if len(s.Photos) > 1 { // else the heading says it
		list = m.El("ul.small#pointing-used", m.Key("used"))
		for i := range s.Photos {
			x := &s.Photos[i]
			list.Children = append(list.Children, m.El("li", m.Key(x.ID), m.Textf("%s: %s", x.Role, pointingWords(d, x))))
		}
	}
	e := p.PointingError()
	v := ""
	if e.Source == morph.PointingStated {
		v = number(p.Pointing)
	}
	box := fold(d, "details.pointing", "pointing", "Pointing error: "+pointingWords(d, p),
		m.El("p.small", m.Text("How far one placed point may be off, along x and along y; every ± of a length rests on it. It is what you state, else what your own marks show when you mark the same points again, else an assumption. Mark them as close up as you usually do.")),
		list,
		cell{name: "pointing", label: "A point on this photograph is good to ±", unit: "px", value: v, hint: number3(e.U),
			typed: func(text string, how desk.Typing) { d.SetPointing(text, how) }}.draw(d))
	if e.Problem != "" {
		box.Children = append(box.Children, m.El("p.problem", m.Text(e.Problem)))
	}
	row := m.El("div.row-of", button("Mark again", d.MarkAgain, m.Attr("id", "mark-again"),
		m.Attr("title", "Mark the scale's ends, A, G and B three times, without seeing the marks there are")))
	if len(p.Repeats) > 0 {
		row.Children = append(row.Children, button("Forget the repeated marks", d.ForgetRepeats, m.Key("forget")))
	}
	box.Children = append(box.Children, row)
	return box
}

// pointingWords names a photograph's pointing error and where it comes from:
// also a stated one that is the person's own, from marking photographs twice.
func pointingWords(d *desk.Desk, p *tray.Photo) string {
	e, own := p.PointingError(), d.OwnPointing()
	switch {
	case e.Source == morph.PointingRepeated:
		return e.String() + " (your own repeats)"
	case e.Source == morph.PointingStated && p.Pointing == own.SD:
		return fmt.Sprintf("%.2g px, from your own repeats of %s", e.U, own.Day)
	}
	return e.String()
}
