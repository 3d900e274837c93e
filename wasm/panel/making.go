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

// makeDoor offers the ready-made lessons, then one of one's own teeth; once a
// lesson is made, its two files.
func makeDoor(d *desk.Desk) []m.Item {
	w := d.Making()
	if w.Made != nil {
		return madeFiles(d, w)
	}
	ways := m.El("div.ways")
	for i, r := range lesson.Ready() {
		ways.Children = append(ways.Children, m.El("section.way", m.Key(r.Name), m.El("h3", m.Text(r.Title)), m.El("p", m.Text(r.About)),
			button("Make this lesson", func() { d.MakeReady(r) }, m.Class("primary", true), m.Attr("id", "ready-"+key(i)), m.Attr("aria-label", "Make the lesson "+r.Title))))
	}
	items := []m.Item{
		m.El("h3", m.Text("Ready-made, of invented teeth")), ways, lessonWrong(d),
		m.El("h3", m.Text("Of your own teeth")),
	}
	teeth := d.ForLesson()
	if len(teeth) == 0 {
		return append(items, m.El("p.quiet", m.Text("Your tray has no tooth with a photograph yet. Close this, add photographs and mark them as you would have the class do it: your marks become the key.")))
	}
	return append(items, planForm(d, w, teeth)...)
}

func planForm(d *desk.Desk, w *desk.Making, teeth []*tray.Specimen) []m.Item {
	return []m.Item{
		m.El("p.quiet", m.Text("What you have marked and typed becomes the key. The class gets the photographs only.")),
		planText(d, "plan-title", "Title", w.Title, false, func(p *desk.Making, v string) { p.Title = v }),
		planTeeth(d, w, teeth),
		planReadings(d, w),
		planText(d, "plan-instructions", "Instructions; an empty line begins a new paragraph", w.Instructions, true, func(p *desk.Making, v string) { p.Instructions = v }),
		planText(d, "plan-choices", "Names to choose from, one on a line; leave empty to ask for none", w.Choices, true, func(p *desk.Making, v string) { p.Choices = v }),
		planRules(d, w),
		m.El("div.over-foot", m.El("div.actions",
			button("Make the lesson", d.MakeLesson, m.Class("primary", true), m.Attr("id", "plan-make")))),
	}
}

func planText(d *desk.Desk, id, label, value string, long bool, set func(*desk.Making, string)) *m.Node {
	take := m.On("input", func(e m.Event) { d.ChangePlan(func(p *desk.Making) { set(p, e.Value) }) })
	field := m.El("input", m.Attr("type", "text"), m.Attr("id", id), m.Attr("value", value), m.Attr("autocomplete", "off"), take)
	if long {
		field = m.El("textarea", m.Attr("rows", "3"), m.Attr("id", id), m.Attr("value", value), take)
	}
	return m.El("div.field", m.Key(id), m.El("label", m.Attr("for", id), m.Text(label)), field)
}

func planCheck(d *desk.Desk, id, label string, on bool, set func(*desk.Making, bool), items ...m.Item) *m.Node {
	return m.El("div.check", append([]m.Item{m.Key(id),
		m.El("input", m.Attr("type", "checkbox"), m.Attr("id", id), m.Flag("checked", on),
			m.On("change", func(e m.Event) { d.ChangePlan(func(p *desk.Making) { set(p, e.Checked) }) })),
		m.El("label", m.Attr("for", id), m.Text(label))}, items...)...)
}

// planTeeth chooses teeth, their photographs and, where names are asked, the
// right one.
func planTeeth(d *desk.Desk, w *desk.Making, teeth []*tray.Specimen) *m.Node {
	set := m.El("fieldset.plan-teeth", m.Key("teeth"), m.El("legend", m.Text("Teeth and photographs")))
	names := w.Names()
	for _, s := range teeth {
		row := m.El("div.plan-tooth", m.Key(s.ID),
			planCheck(d, "plan-"+s.ID, s.Name, !w.Out[s.ID], func(p *desk.Making, on bool) { p.Out[s.ID] = !on }))
		if !w.Out[s.ID] {
			photos := m.El("div.plan-photos")
			for i := range s.Photos {
				x := &s.Photos[i]
				photos.Children = append(photos.Children, planCheck(d, "plan-"+s.ID+"-"+key(i), string(x.Role), !w.Out[x.ID],
					func(p *desk.Making, on bool) { p.Out[x.ID] = !on }))
			}
			row.Children = append(row.Children, photos)
			if len(names) > 0 {
				row.Children = append(row.Children, choice("plan-truth-"+s.ID, "Right name", w.Truth[s.ID],
					append([]string{""}, names...), append([]string{"not known"}, names...),
					func(v string) { d.ChangePlan(func(p *desk.Making) { p.Truth[s.ID] = v }) }))
			}
		}
		set.Children = append(set.Children, row)
	}
	return set
}

// planReadings chooses what is to be measured.
func planReadings(d *desk.Desk, w *desk.Making) *m.Node {
	var chosen []string
	grid := m.El("div.plan-readings")
	group := ""
	for _, q := range morph.Quantities {
		if w.Readings[q.ID] {
			chosen = append(chosen, readable(q.ID))
		}
		if q.Group != group {
			group = q.Group
			grid.Children = append(grid.Children, m.El("h4", m.Key(group), m.Text(group)))
		}
		grid.Children = append(grid.Children, planCheck(d, "plan-reading-"+string(q.ID), readable(q.ID)+", "+q.Name, w.Readings[q.ID],
			func(p *desk.Making, on bool) { p.Readings[q.ID] = on }))
	}
	words := strings.Join(chosen, ", ")
	if words == "" {
		words = "none chosen"
	}
	return fold(d, "details.plan-fold", "plan-readings", "Readings to take: "+words, grid)
}

func planRules(d *desk.Desk, w *desk.Making) *m.Node {
	var values, texts []string
	for n := 1; n <= lesson.MaxRepeats; n++ {
		text := fmt.Sprintf("%d times", n)
		switch n {
		case 1:
			text = "once"
		case 2:
			text = "twice"
		}
		values, texts = append(values, key(n)), append(texts, text)
	}
	return m.El("div.plan-rules", m.Key("rules"),
		m.El("fieldset", m.El("legend", m.Text("Hidden from the class while it works")),
			planCheck(d, "hide-identity", "Which teeth these are", w.Hidden.Identity, func(p *desk.Making, on bool) { p.Hidden.Identity = on }),
			planCheck(d, "hide-readings", "Their own readings", w.Hidden.Readings, func(p *desk.Making, on bool) { p.Hidden.Readings = on }),
			planCheck(d, "hide-answer", "How the program sorts them", w.Hidden.Answer, func(p *desk.Making, on bool) { p.Hidden.Answer = on })),
		m.El("fieldset", m.El("legend", m.Text("Help that the program gives")),
			planCheck(d, "help-edges", "Lines may follow an edge in the picture", w.Help.Edges, func(p *desk.Making, on bool) { p.Help.Edges = on }),
			planCheck(d, "help-proposals", "Outlines and landmarks are proposed", w.Help.Proposals, func(p *desk.Making, on bool) { p.Help.Proposals = on }),
			planCheck(d, "help-scale", "The scale is set already", w.Help.Scale, func(p *desk.Making, on bool) { p.Help.Scale = on })),
		choice("plan-repeats", "Every tooth is measured", key(w.Repeats), values, texts, func(v string) {
			d.ChangePlan(func(p *desk.Making) { p.Repeats = slices.Index(values, v) + 1 })
		}))
}

// madeFiles are the two files of a lesson, and what to do with which.
func madeFiles(d *desk.Desk, w *desk.Making) []m.Item {
	file := func(id, head, name string, size int, saved bool, text, words string, save func()) *m.Node {
		done := ""
		if saved {
			done = " ✓ saved"
		}
		return m.El("section.way", m.Key(id), m.El("h3", m.Text(head+done)),
			m.El("p", m.El("strong", m.El("bdi", m.Name(name))), m.Text(" ("+sizeWords(size)+"). "+text)),
			button(words, save, m.Class("primary", !saved), m.Attr("id", id)))
	}
	remarks := m.El("ul.remarks", m.Attr("id", "lesson-remarks"))
	for i, r := range w.Remarks {
		remarks.Children = append(remarks.Children, m.El("li", m.Key(key(i)), m.Text(r)))
	}
	return []m.Item{
		m.El("p", m.Text("The lesson is made. Save both files: they belong together, and a new key does not fit this lesson.")),
		m.El("div.ways",
			file("lesson-save", "1. For the class", w.Made.LessonFile, len(w.Made.Lesson), w.LessonSaved,
				"Give this file to every student. It holds no answers.", "Save the lesson", d.SaveLesson),
			file("key-save", "2. For you alone", w.Made.KeyFile, len(w.Made.Key), w.KeySaved,
				"Keep this file to yourself. It holds the answers, and the review needs it.", "Save the key", d.SaveKey)),
		m.El("h3", m.Text("What the class does")),
		m.El("p", m.Text("Open this page, Lesson, Take a lesson; choose the file; work through the teeth; save the answer and hand it to you. Then bring your key and all answers to Review a class.")),
		m.El("h3", m.Text("Good to know")), remarks, lessonWrong(d),
		m.El("p.small", m.Text("Where this page lies on a server of your own, put the lesson file beside it and give out the page's address with #lesson= and the file's name at its end.")),
		m.El("div.over-foot", m.El("div.actions",
			button("Try it as a student", d.TryLesson, m.Attr("id", "lesson-try")),
			button("Make another", d.AnotherLesson, m.Attr("id", "lesson-another")))),
	}
}

func sizeWords(n int) string {
	if n >= 1<<20 {
		return fmt.Sprintf("%.1f MB", float64(n)/(1<<20))
	}
	return fmt.Sprintf("%d kB", (n+1023)>>10)
}
