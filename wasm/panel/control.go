package panel

import (
	"strconv"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

func key(n int) string { return strconv.Itoa(n) }

// button is a push button with a text.
func button(text string, f func(), items ...m.Item) *m.Node {
	return m.El("button", append([]m.Item{m.Attr("type", "button"), m.OnClick(f), m.Text(text)}, items...)...)
}

// choice is a select with a label; texts are shown, values go to f.
func choice(id, label, value string, values, texts []string, f func(string), items ...m.Item) *m.Node {
	sel := m.El("select", m.Attr("id", id), m.Attr("value", value), m.On("change", func(e m.Event) { f(e.Value) }))
	for i, v := range values {
		sel.Children = append(sel.Children, m.El("option", m.Key(v), m.Attr("value", v), m.Flag("selected", v == value), m.Text(texts[i])))
	}
	return m.El("div.field", append([]m.Item{m.El("label", m.Attr("for", id), m.Text(label)), sel}, items...)...)
}

// cell is one value a person types.
type cell struct {
	name  string // within the specimen
	where string // tells apart two places of one cell in the page
	label string
	unit  string
	hint  string // said to those who listen, and shown when empty
	value string
	typed func(text string, how desk.Typing)
	long  bool   // words rather than a number
	lines bool   // several lines of them
	list  string // id of a datalist of what may be typed, "" when none
	// settled cells are taken when the person leaves them, not at each key.
	settled bool
}

// draw makes the cell's label, input and, where the text was refused, the
// sentence beside it.
func (c cell) draw(d *desk.Desk, items ...m.Item) *m.Node {
	id := c.where + "cell-" + c.name
	value := c.value
	refusal, refused := d.Refused(c.name)
	if refused {
		value = refusal.Text
	}
	in := m.El("input", m.Attr("id", id), m.Attr("type", "text"), m.Attr("value", value), m.Attr("autocomplete", "off"),
		m.On("change", func(e m.Event) { c.typed(e.Value, desk.Done) }))
	if c.lines {
		in.Tag, in.Attrs["rows"] = "textarea", "3"
		delete(in.Attrs, "type")
	}
	if !c.long {
		in.Attrs["inputmode"] = "decimal"
	}
	if !c.long && !c.settled {
		in.On["input"] = func(e m.Event) { c.typed(e.Value, desk.UnderWay) }
	}
	if c.list != "" {
		in.Attrs["list"] = c.list
	}
	if c.hint != "" {
		in.Attrs["placeholder"] = c.hint
	}
	if refused {
		in.Attrs["aria-invalid"] = "true"
		in.Attrs["aria-describedby"] = id + "-why"
	}
	box := m.El("div.field", m.El("label", m.Attr("for", id), m.Text(c.label)))
	row := m.El("span.entry", in)
	if c.unit != "" {
		row.Children = append(row.Children, m.El("span.unit", m.Text(c.unit)))
	}
	box.Children = append(box.Children, row)
	if refused {
		box.Children = append(box.Children, why(id, refusal.Why))
	}
	return m.El("div.cell", append([]m.Item{box}, items...)...)
}

// why is the sentence beside a cell.
func why(id, text string) *m.Node {
	return m.El("p.problem", m.Attr("id", id+"-why"), m.Attr("role", "alert"), m.Text(text))
}

// fold is a part of a panel under a heading that opens it; the desk remembers
// that it is open. The class in el tells it from other folds.
func fold(d *desk.Desk, el, name, heading string, items ...m.Item) *m.Node {
	return folded(d, el, name, heading, func() []m.Item { return items })
}

// folded is a fold whose inside is only made while it is open.
func folded(d *desk.Desk, el, name, heading string, inside func() []m.Item) *m.Node {
	open := d.Unfolded(name)
	var items []m.Item
	if open {
		items = inside()
	}
	return m.El(el, append([]m.Item{m.Key(name), m.Flag("open", open),
		m.El("summary", m.Text(heading), m.On("click", func(e m.Event) {
			if e.PreventDefault != nil {
				e.PreventDefault() // the desk says whether it is open
			}
			d.Unfold(name, !open)
		}))}, items...)...)
}
