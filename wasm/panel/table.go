package panel

import (
	"fmt"
	"strconv"
	"strings"

	"crownbench/classify"
	"crownbench/classify/typed"
	"crownbench/classify/typed/grid"
	"crownbench/wasm/desk"
	"crownbench/wasm/intake"
	m "crownbench/wasm/markup"
)

// tableDialog takes in a table of teeth: what its columns hold, then its teeth
// into the tray or all its rows sorted.
func tableDialog(d *desk.Desk) *m.Node {
	w := d.TableWork()
	var content []m.Item
	switch w.Stage {
	case desk.TableOpen:
		content = tableColumns(d, w)
	case desk.TableSorting:
		content = tableSorting(d, w)
	case desk.TableSorted:
		content = tableSorted(d, w)
	default:
		content = tableDoor(d, w)
	}
	card := over("table", "Table of teeth", func() { d.OpenDialog(desk.NoDialog) }, content...)
	card.Children[0].Attrs["class"] += " tabled"
	return card
}

// tableDoor is where a table comes in.
func tableDoor(d *desk.Desk, w *desk.TableWork) []m.Item {
	return []m.Item{
		m.El("p", m.Text("Calliper values from a spreadsheet, one tooth a row under a row of headings. Put the teeth into the tray, or have every row sorted and save the table with the answers beside your own columns. The table stays in this browser.")),
		m.El("div.actions", button("Choose a table", d.PickTable, m.Class("primary", true), m.Attr("id", "table-pick")),
			m.El("p.quiet", m.Text("or drop it anywhere on this page"))),
		m.El("div.field",
			m.El("label", m.Attr("for", "table-typed"), m.Text("Or copy the cells in your spreadsheet, headings too, and paste them here")),
			m.El("textarea#table-typed", m.Attr("rows", "4"), m.Attr("spellcheck", "false"), m.Attr("value", w.Typed),
				m.On("input", func(e m.Event) { d.TypeTable(e.Value) }))),
		m.El("div.actions", button("Open these cells", d.TakeTyped, m.Attr("id", "table-take"))),
		m.El("p.small", m.Textf("Comma, semicolon or tab separated text in UTF-8 or UTF-16, with decimal points or commas; up to %s rows, %d columns and %d MB. The tray takes up to %d teeth; longer tables can be sorted.",
			grouped(typed.MaxRows), grid.MaxCells, grid.MaxBytes>>20, intake.MaxTray)),
	}
}

// tableColumns shows what stands in which column, with the first rows.
func tableColumns(d *desk.Desk, w *desk.TableWork) []m.Item {
	items := []m.Item{
		m.El("p.of", m.El("strong", m.El("bdi", m.Name(w.Table.Name))), m.Text(" · "+w.Table.Form()+" "),
			button("Another table", d.PutTableAway, m.Class("link", true), m.Attr("id", "table-other"))),
		columnTable(d, w),
	}
	if w.Wrong != "" {
		return append(items, m.El("p.problem", m.Attr("role", "alert"), m.Attr("id", "table-wrong"), m.Text(w.Wrong)))
	}
	if w.Survey == nil {
		return append(items, m.El("p.quiet", m.Attr("role", "status"), m.Textf("Reading the table… %.0f %%", 100*w.Part)))
	}
	if err := w.Table.Caution(); err != nil {
		items = append(items, m.El("p.caution", m.Text(desk.Sentence(err))))
	}
	items = append(items, surveyWords(w.Survey))
	items = append(items, faultList(d, &w.Survey.Faults)...)
	return append(items, knownNames(d, w), tableActions(d, w))
}

// columnTable has a row for each column of the table: its heading, what it
// holds, and what its first cells say.
func columnTable(d *desk.Desk, w *desk.TableWork) *m.Node {
	sample := w.Table.Sample()
	head := m.El("tr",
		m.El("th", m.Attr("scope", "col"), m.Text("Your column")),
		m.El("th", m.Attr("scope", "col"), m.Text("holds")),
		m.El("th", m.Attr("scope", "col"), m.Text("in")))
	for _, r := range sample {
		head.Children = append(head.Children, m.El("th.line", m.Attr("scope", "col"), m.Textf("line %d", r.Line)))
	}
	body := m.El("tbody")
	unused := 0
	for i, c := range w.Table.Columns() {
		if c.Holds == typed.Nothing {
			if unused++; !w.Unused {
				continue
			}
		}
		body.Children = append(body.Children, columnRow(d, i, c, sample))
	}
	box := m.El("div.scroll.columns", m.Attr("tabindex", "0"), m.Attr("role", "group"), m.Attr("aria-label", "What the columns hold"),
		m.El("table", m.El("thead", head), body))
	if unused == 0 {
		return m.El("div", box)
	}
	words := fmt.Sprintf("Show %s not used", columnsAre(unused))
	if w.Unused {
		words = fmt.Sprintf("Hide %s not used", columnsAre(unused))
	}
	return m.El("div", box, button(words, func() { d.ShowUnusedColumns(!w.Unused) },
		m.Class("link", true), m.Attr("id", "table-unused"), m.Attr("aria-expanded", boolean(w.Unused))))
}

func columnsAre(n int) string {
	if n == 1 {
		return "1 column that is"
	}
	return fmt.Sprintf("%d columns that are", n)
}

func columnRow(d *desk.Desk, i int, c typed.Column, sample []typed.Row) *m.Node {
	heading := strings.TrimSpace(c.Heading)
	called := fmt.Sprintf("column %d, %s", i+1, typed.Shorten(heading))
	row := m.El("tr", m.Key(key(i)), m.Class("unused", c.Holds == typed.Nothing),
		m.El("th", m.Attr("scope", "row"), m.El("span.quiet", m.Textf("%d ", i+1)), m.El("bdi", m.Name(typed.Shorten(heading)))),
		m.El("td", holdsChoice(d, i, c, called)),
		m.El("td", unitChoice(d, i, c, called)))
	for _, r := range sample {
		text, wrong := "", ""
		if i < len(r.Cells) {
			text = typed.Shorten(strings.TrimSpace(r.Cells[i]))
		}
		for _, p := range r.Problems {
			if p.Column == i+1 || p.Column == 0 && i == 0 {
				wrong = p.Want + " was expected"
			}
		}
		cell := m.El("td.cell", m.Class("wrong", wrong != ""), m.El("bdi", m.Name(text)))
		if wrong != "" {
			cell.Attrs["title"] = wrong
			cell.Children = append(cell.Children, m.El("span.unseen", m.Text(", "+wrong)))
		}
		row.Children = append(row.Children, cell)
	}
	return row
}

// holdsChoice is the list of what a column may hold, in groups.
func holdsChoice(d *desk.Desk, i int, c typed.Column, called string) *m.Node {
	at := intake.ChoiceOf(c).Key
	list := m.El("select", m.Attr("id", "column-"+key(i)), m.Attr("value", at), m.Attr("aria-label", "What "+called+", holds"),
		m.On("change", func(e m.Event) { d.SetTableColumn(i, e.Value) }))
	into, group := list, ""
	for _, x := range intake.Choices() {
		if x.Group != group {
			group = x.Group
			into = m.El("optgroup", m.Key(group), m.Attr("label", group))
			list.Children = append(list.Children, into)
		}
		into.Children = append(into.Children, m.El("option", m.Key(x.Key), m.Attr("value", x.Key), m.Flag("selected", x.Key == at), m.Text(x.Label)))
	}
	return list
}

// unitChoice is the list of units of a column of readings, or nothing.
func unitChoice(d *desk.Desk, i int, c typed.Column, called string) *m.Node {
	if c.Holds != typed.Reading && c.Holds != typed.Uncertainty {
		return nil
	}
	units := typed.Units(c.Measure)
	if len(units) < 2 {
		return nil
	}
	list := m.El("select", m.Attr("id", "unit-"+key(i)), m.Attr("value", string(c.Unit)), m.Attr("aria-label", "Unit of "+called),
		m.On("change", func(e m.Event) { d.SetTableUnit(i, typed.Unit(e.Value)) }))
	for _, u := range units {
		list.Children = append(list.Children, m.El("option", m.Key(string(u)), m.Attr("value", string(u)), m.Flag("selected", u == c.Unit), m.Text(string(u))))
	}
	return list
}

func surveyWords(s *intake.Survey) *m.Node {
	words := []string{counted(s.Rows, "row", "rows")}
	if s.Faults.N > 0 {
		words = append(words, counted(s.Faults.N, "fault", "faults"))
	} else {
		words = append(words, "no faults")
	}
	if s.Unread > 0 {
		words = append(words, counted(s.Unread, "line that cannot be read", "lines that cannot be read"))
	}
	if s.Nothing > 0 {
		words = append(words, counted(s.Nothing, "row without a value", "rows without a value"))
	}
	return m.El("p#table-survey", m.Attr("role", "status"), m.El("strong", m.Text(strings.Join(words, " · "))))
}

// faultList lists the first faults; the others are counted, and all can be
// saved.
func faultList(d *desk.Desk, f *intake.Faults) []m.Item {
	if f.N == 0 {
		return nil
	}
	list := m.El("ol.faults", m.Attr("tabindex", "0"), m.Attr("aria-label", "Faults"))
	for i, p := range f.First {
		list.Children = append(list.Children, m.El("li", m.Key(key(i)), m.Text(desk.Sentence(p))))
	}
	items := []m.Item{m.El("p.quiet", m.Text("These cells are left out; what else stands in their rows is used.")), list}
	if more := f.N - len(f.First); more > 0 {
		items = append(items, m.El("p", m.Attr("id", "table-more"), m.Textf("%s more are in the list of faults.", grouped(more))))
	}
	return append(items, m.El("div.actions", button("Save the list of faults", d.SaveFaults, m.Attr("id", "table-faults"))))
}

// knownNames asks what to do with teeth that the tray has already.
func knownNames(d *desk.Desk, w *desk.TableWork) *m.Node {
	n := w.Survey.Known
	if n == 0 {
		return nil
	}
	head := "One of these teeth is in the tray already, by its name or number."
	if n > 1 {
		head = fmt.Sprintf("%s of these teeth are in the tray already, by their names or numbers.", grouped(n))
	}
	option := func(id, text string, again bool) *m.Node {
		return m.El("div.check",
			m.El("input", m.Attr("type", "radio"), m.Attr("name", "table-again"), m.Attr("id", id), m.Flag("checked", w.Again == again),
				m.On("change", func(m.Event) { d.AddAgain(again) })),
			m.El("label", m.Attr("for", id), m.Text(text)))
	}
	return m.El("fieldset", m.Attr("id", "table-known"), m.El("legend", m.Text(head)),
		option("table-skip", "Leave them out", false), option("table-again", "Add them once more", true))
}

// tableActions are the two ways on from a table whose columns are settled.
func tableActions(d *desk.Desk, w *desk.TableWork) *m.Node {
	n := w.Survey.Rows
	if !w.Again {
		n -= w.Survey.Known
	}
	room := d.TableRoom()
	foot := m.El("div.over-foot",
		m.El("div.actions",
			button(fmt.Sprintf("Put %s into the tray", counted(n, "tooth", "teeth")), d.BringIn,
				m.Class("primary", n <= room), m.Attr("id", "table-bring"), m.Flag("disabled", n == 0 || n > room)),
			button(fmt.Sprintf("Sort %s", counted(w.Survey.Rows, "row", "rows")), d.SortTable,
				m.Class("primary", n > room), m.Attr("id", "table-sort"), m.Flag("disabled", w.Survey.Rows == 0))))
	if n > room {
		foot.Children = append(foot.Children, m.El("p.small", m.Textf("The tray holds up to %d teeth and has room for %d; the table can be sorted as it is.", intake.MaxTray, room)))
	}
	return foot
}

func tableSorting(d *desk.Desk, w *desk.TableWork) []m.Item {
	rows := 0
	if w.Sorted != nil {
		rows = w.Sorted.Rows
	}
	return []m.Item{
		m.El("p", m.Text("Sorting "), m.El("strong", m.El("bdi", m.Name(w.Table.Name))), m.Text(": "),
			m.El("span", m.Attr("id", "table-rows"), m.Text(counted(rows, "row", "rows"))), m.Text(" so far.")),
		m.El("progress", m.Attr("max", "1"), m.Attrf("value", "%.3f", w.Part), m.Attr("aria-label", "Part of the table that is sorted")),
		m.El("p.quiet", m.Text("You can close this and work on meanwhile.")),
		m.El("div.actions", button("Stop", d.StopSorting, m.Attr("id", "table-stop"))),
	}
}

func tableSorted(d *desk.Desk, w *desk.TableWork) []m.Item {
	s := w.Sorted
	items := []m.Item{
		m.El("p", m.El("strong", m.El("bdi", m.Name(w.Table.Name))), m.Textf(": %s sorted.", counted(s.Rows, "row", "rows"))),
		formTally(s),
		m.El("p.small", m.Text("In the saved table your own columns come first and as they were. After them stand the form, its shares and set, the clades that cannot be ruled out, the coverage of the sets, how far the tooth lies from the published ones, the nearest of these with its source, and why nothing can be said where that is so.")),
	}
	items = append(items, faultList(d, &s.Faults)...)
	return append(items, m.El("div.over-foot", m.El("div.actions",
		button("Save the sorted table", d.SaveSorted, m.Class("primary", true), m.Attr("id", "table-save")),
		button("Back to the columns", d.BackToColumns, m.Attr("id", "table-back")),
		button("Another table", d.PutTableAway, m.Attr("id", "table-other")))))
}

// formTally counts the rows by form.
func formTally(s *intake.Sorted) *m.Node {
	list := m.El("dl.tally", m.Attr("id", "table-tally"))
	for _, f := range append(classify.Forms(), "") {
		words := f.Words()
		if f == "" {
			words = "Cannot say"
		}
		n, part := s.Forms[f], 0.0
		if s.Rows > 0 {
			part = float64(n) / float64(s.Rows)
		}
		list.Children = append(list.Children,
			m.El("dt", m.Key("t"+string(f)), formGlyph(f), m.Text(words)),
			m.El("dd", m.Key("d"+string(f)), m.El("span.bar", m.Attr("aria-hidden", "true"), m.El("span", m.Style("width", fmt.Sprintf("%.1f%%", 100*part)))),
				m.El("span", m.Text(grouped(n)))))
	}
	return list
}

// counted is a number with what it counts.
func counted(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return grouped(n) + " " + many
}

// grouped writes a number with its thousands apart.
func grouped(n int) string {
	s := strconv.Itoa(n)
	for i := len(s) - 3; i > 0; i -= 3 {
		s = s[:i] + "," + s[i:]
	}
	return s
}
