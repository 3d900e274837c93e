package panel

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// lessonBar stands in place of the top bar while a lesson is on the desk.
func lessonBar(d *desk.Desk, t *desk.Taking) *m.Node {
	_, sideOpen := d.Drawer()
	undo, redo := d.Tray.CanUndo(), d.Tray.CanRedo()
	bar := m.El("header.top.in-lesson", m.El("h1.unseen", m.Text("Crownbench")), sittingStrip(d, t))
	if s := d.Specimen(); s != nil {
		bar.Children = append(bar.Children, photoStrip(d, s))
	}
	return bar.With(m.El("div.right", m.Key("right"),
		m.El("span.saving#saving", m.Key("saving"), m.Attr("role", "status"), m.Text(savingWords(d))),
		button("Undo", d.Undo, m.Key("undo"), m.Flag("disabled", undo == "")),
		button("Redo", d.Redo, m.Key("redo"), m.Flag("disabled", redo == "")),
		button("Instructions", func() { d.OpenDialog(desk.InstructionsDialog) }, m.Key("instructions")),
		button("Leave", d.LeaveLesson, m.Key("leave"), m.Attr("title", "Back to your own tray; the work is kept")),
		button("Tasks", func() { d.SetDrawer(false, !sideOpen) }, m.Class("drawer", true), m.Key("drawer-side"),
			m.Attr("aria-expanded", boolean(sideOpen)), m.Attr("aria-controls", "side"))))
}

func savingWords(d *desk.Desk) string {
	switch state, _ := d.Saving(); state {
	case desk.SavingNow:
		return "Saving…"
	case desk.NotSaved:
		return "Not saved"
	case desk.SavingOff:
		return "Not kept"
	}
	return "Saved"
}

// sittingStrip tells where the student is, and leads on and back.
func sittingStrip(d *desk.Desk, t *desk.Taking) *m.Node {
	left, last := t.Left(), t.At == len(t.Work.Entries)-1
	tasks := counted(left, "task left", "tasks left")
	if left == 0 {
		tasks = "all done ✓"
	}
	next := "Next tooth ›"
	if last {
		next = "To the end ›"
	}
	return m.El("div.sitting", m.Key("sitting"), m.Attr("role", "group"), m.Attr("aria-label", "Lesson"),
		button("‹ Back", d.PreviousTooth, m.Attr("id", "lesson-prev"), m.Attr("aria-label", "Back to the tooth before"), m.Flag("disabled", t.At == 0)),
		m.El("span.where", m.El("strong#lesson-at", m.El("bdi", m.Text(t.Work.Title(t.At)))),
			m.El("span.quiet", m.Attr("id", "lesson-count"), m.Textf("%d of %d · %s", t.At+1, len(t.Work.Entries), tasks))),
		button(next, d.NextTooth, m.Attr("id", "lesson-next"), m.Class("primary", left == 0)))
}

// taskSide is the right-hand panel of a lesson: what is asked of this tooth.
func taskSide(d *desk.Desk, t *desk.Taking, s *tray.Specimen) *m.Node {
	list := m.El("ol.tasks")
	for _, x := range t.Work.Tasks(t.At) {
		if x.Quantity.ID == "" {
			continue
		}
		list.Children = append(list.Children, taskItem(d, s, x))
	}
	side := m.El("aside.side#side", m.Key("side-"+s.ID), m.Attr("aria-label", "Tasks"),
		m.El("section.numbers", m.Key("tasks"), m.Attr("aria-labelledby", "tasks-head"),
			m.El("h2#tasks-head", m.Text(t.Work.Title(t.At))),
			m.El("p.quiet.small", m.Text(taskWords(t))),
			list, carinae(d, t, s)))
	if len(t.Work.Lesson.Choices) > 0 {
		side.Children = append(side.Children, nameChoice(d, t))
	}
	if _, answer := d.Shown(); answer {
		a := d.Find(s).Answer
		side.Children = append(side.Children, m.El("section.answer", m.Key("answer"),
			m.El("h2", m.Text("Sorting")), m.El("p.said", m.Class("unsaid", a.Form == ""), formGlyph(a.Form), m.El("span", m.Text(a.Said)))))
	}
	return side
}

func taskWords(t *desk.Taking) string {
	switch {
	case t.Repeats:
		return "Mark what you usually mark, the same things both times. You need not do all of it."
	case t.Work.Lesson.Hidden.Readings:
		return "Mark the photographs; each line is ticked off once your marks give that reading. The numbers stay hidden until the review."
	}
	return "Mark the photographs; the readings follow from your marks."
}

func taskItem(d *desk.Desk, s *tray.Specimen, x lesson.Task) *m.Node {
	id := x.Quantity.ID
	state, sign := x.Needs, "○"
	if x.Done {
		state, sign = "done", "✓"
		if x.Reading.Known {
			state = tray.FormatReading(x.Reading)
		}
	}
	item := m.El("li", m.Key(string(id)), m.Class("done", x.Done), m.Attr("data-task", string(id)),
		m.El("span.sign", m.Attr("aria-hidden", "true"), m.Text(sign)),
		m.El("span.task", m.El("strong", m.Text(readable(id))), m.Text(" "+x.Quantity.Name), m.El("span.state", m.Text(state))))
	if !typableTask(x) {
		return item
	}
	open := d.ReadingOpen(id)
	item.Children = append(item.Children, button("Type it", func() { d.ToggleReading(id) }, m.Class("link", true),
		m.Attr("aria-label", "Type "+string(id)), m.Attr("aria-expanded", boolean(open)), m.Attr("id", "type-"+string(id))))
	if !open {
		return item
	}
	if slices.Contains(densities, id) {
		item.Children = append(item.Children, countCell(d, s, id, "Denticles counted", "task-"))
	}
	if x.Quantity.Typable {
		item.Children = append(item.Children, cell{name: string(id), where: "task-", label: "Typed value", unit: x.Quantity.Unit, value: typedText(s, id),
			typed: func(text string, how desk.Typing) { d.TypeValue(id, text, how) }}.draw(d))
	}
	return item
}

func typableTask(x lesson.Task) bool {
	return x.Quantity.Typable || slices.Contains(densities, x.Quantity.ID)
}

func readable(id morph.ID) string { return strings.ReplaceAll(string(id), "_", " ") }

// carinae ask whether there are denticles at all, where the lesson asks for
// them.
func carinae(d *desk.Desk, t *desk.Taking, s *tray.Specimen) *m.Node {
	box := m.El("div.carinae", m.Key("carinae"))
	if asksAny(t, morph.MA, morph.MC, morph.MB, morph.MAVG, morph.MDL, morph.MSL, morph.DSDI) {
		box.Children = append(box.Children, carinaChoice(d, s, morph.MesialCarina))
	}
	if asksAny(t, morph.DA, morph.DC, morph.DB, morph.DAVG, morph.DDL, morph.DSDI) {
		box.Children = append(box.Children, carinaChoice(d, s, morph.DistalCarina))
	}
	if len(box.Children) == 0 {
		return nil
	}
	return box
}

func asksAny(t *desk.Taking, ids ...morph.ID) bool { return slices.ContainsFunc(ids, t.Asked) }

// nameChoice asks what the tooth is.
func nameChoice(d *desk.Desk, t *desk.Taking) *m.Node {
	set := m.El("fieldset.names", m.Key("names"), m.El("legend", m.Text("What is this tooth?")))
	chosen := t.Work.Entries[t.At].Choice
	for i, c := range t.Work.Lesson.Choices {
		id := "name-" + key(i)
		set.Children = append(set.Children, m.El("div.check", m.Key(c),
			m.El("input", m.Attr("type", "radio"), m.Attr("name", "lesson-choice"), m.Attr("id", id), m.Flag("checked", c == chosen),
				m.On("change", func(m.Event) { d.ChooseName(c) })),
			m.El("label", m.Attr("for", id), m.Text(c))))
	}
	return set
}

// lessonEnd shows what was done and takes the answer out.
func lessonEnd(d *desk.Desk) *m.Node {
	t := d.Taking()
	if t == nil {
		return nil
	}
	if t.Repeats {
		return repeatsEnd(d, t)
	}
	items := []m.Item{sittingList(d, t)}
	if t.Saved != "" {
		items = append(items, m.El("div.handed", m.Key("handed"), m.Attr("role", "status"),
			m.El("p", m.El("strong", m.Text("Your answer is saved as “"), m.El("bdi", m.Text(t.Saved)), m.Text("”."))),
			m.El("p", m.Text("It lies where your browser keeps downloads. Hand that file to your instructor. If you change anything, save it again and hand in the newer one."))))
	} else {
		items = append(items, m.El("p", m.Text("Your answer is one small file with your marks and choices. Save it, then hand it to your instructor.")))
	}
	items = append(items, m.El("div.over-foot", m.El("div.actions",
		button("Save the answer", d.SaveAnswer, m.Class("primary", t.Saved == ""), m.Attr("id", "lesson-answer")),
		button("Back to my own tray", d.LeaveLesson, m.Class("primary", t.Saved != ""), m.Attr("id", "lesson-leave")))))
	return over("lesson-end", "That was every tooth", func() { d.OpenDialog(desk.NoDialog) }, items...)
}

// sittingList names the sittings with what they lack.
func sittingList(d *desk.Desk, t *desk.Taking) *m.Node {
	var missing []*m.Node
	for i, e := range t.Work.Entries {
		if e.Done {
			continue
		}
		var lacks []string
		for _, x := range t.Work.Tasks(i) {
			switch {
			case x.Done:
			case x.Quantity.ID == "":
				lacks = append(lacks, "its name")
			default:
				lacks = append(lacks, readable(x.Quantity.ID))
			}
		}
		missing = append(missing, m.El("li", m.Key(key(i)),
			button(t.Work.Title(i), func() { d.GoToSitting(i) }, m.Class("link", true)), m.Text(" lacks "+strings.Join(lacks, ", "))))
	}
	done := fmt.Sprintf("%d of %d done.", len(t.Work.Entries)-len(missing), len(t.Work.Entries))
	if len(missing) == 0 {
		return m.El("p", m.Key("list"), m.El("strong", m.Text("All "+done)))
	}
	return m.El("div", m.Key("list"), m.El("p", m.El("strong", m.Text(done)), m.Text(" You can go back, or hand in what you have.")),
		m.El("ul.lacking", m.List(missing)))
}
