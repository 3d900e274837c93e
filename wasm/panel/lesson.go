package panel

import (
	"fmt"
	"strings"

	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	m "crownbench/wasm/markup"
)

// lessonDialog is the ways into a lesson and what lies behind each.
func lessonDialog(d *desk.Desk) *m.Node {
	var content []m.Item
	title := "Lesson"
	switch d.LessonDoor() {
	case desk.LessonTake:
		title, content = "Take a lesson", takeDoor(d)
	case desk.LessonMake:
		title, content = "Make a lesson", makeDoor(d)
	case desk.LessonReview:
		title, content = "Review a class", reviewDoor(d)
	case desk.LessonRepeat:
		title, content = "How well do you point?", repeatDoor(d)
	default:
		content = lessonWays(d)
	}
	if d.LessonDoor() != desk.LessonWays {
		back := button("‹ All of Lesson", func() { d.OpenLesson(desk.LessonWays) }, m.Class("link", true), m.Attr("id", "lesson-back"))
		content = append([]m.Item{m.El("p", back)}, content...)
	}
	card := over("lesson", title, func() { d.OpenDialog(desk.NoDialog) }, content...)
	card.Children[0].Attrs["class"] += " lesson"
	return card
}

func lessonWays(d *desk.Desk) []m.Item {
	way := func(id, head, text, words string, door desk.LessonDoor) *m.Node {
		return m.El("section.way", m.Key(id), m.El("h3", m.Text(head)), m.El("p", m.Text(text)),
			button(words, func() { d.OpenLesson(door) }, m.Class("primary", true), m.Attr("id", id)))
	}
	return []m.Item{
		m.El("p", m.Text("A class measures the same teeth, and sees how far its measurements can be trusted. Everything goes by files: nobody signs in, nothing is uploaded.")),
		m.El("div.ways",
			way("way-take", "Student", "You were given a lesson file. Measure its teeth, save your answer, hand it in.", "Take a lesson", desk.LessonTake),
			way("way-make", "Instructor, before", "Choose a ready-made lesson or your own teeth. You get one file for the class and one for yourself.", "Make a lesson", desk.LessonMake),
			way("way-review", "Instructor, after", "Bring your key and the answers together: errors, bias and agreement, with a page for each student.", "Review a class", desk.LessonReview)),
		m.El("p.small", m.Text("Working alone? Mark your own specimens twice and learn "),
			button("how well you point", func() { d.OpenLesson(desk.LessonRepeat) }, m.Class("link", true), m.Attr("id", "way-repeat")), m.Text(".")),
		keptList(d),
	}
}

// takeDoor is where a lesson comes in, and then the name of whoever takes it.
func takeDoor(d *desk.Desk) []m.Item {
	l := d.OpenedLesson()
	if l == nil {
		return []m.Item{
			m.El("p", m.Text("Choose the lesson file that you were given; its name ends in “lesson.zip”. Your own teeth stay in this browser and are back when you leave the lesson.")),
			m.El("div.actions", button("Choose the lesson file", d.PickLessonFiles, m.Class("primary", true), m.Attr("id", "lesson-pick")),
				m.El("p.quiet", m.Text("or drop it anywhere on this page"))),
			lessonWrong(d), keptList(d),
		}
	}
	return []m.Item{
		m.El("h3", m.El("bdi", m.Text(l.Title))),
		m.El("p", m.Text(lessonSize(l))),
		m.El("form.lesson-name", m.Attr("novalidate", ""), m.On("submit", func(e m.Event) {
			e.PreventDefault()
			d.BeginLesson()
		}),
			m.El("div.field", m.El("label", m.Attr("for", "lesson-name"), m.Text("Your name, or the number that you were given")),
				m.El("input#lesson-name", m.Attr("type", "text"), m.Attr("autocomplete", "off"), m.Attr("spellcheck", "false"), m.Attr("value", d.StudentName()),
					m.Attrf("maxlength", "%d", lesson.MaxName), m.On("input", func(e m.Event) { d.TypeStudentName(e.Value) }))),
			m.El("div.actions", m.El("button.primary#lesson-begin", m.Attr("type", "submit"), m.Text("Begin")),
				button("Another lesson", d.PutLessonAway, m.Attr("id", "lesson-other")))),
		lessonWrong(d),
		m.El("p.small", m.Text("The name stands in your answer file. Work that was begun under this name in this browser goes on.")),
	}
}

func lessonWrong(d *desk.Desk) *m.Node {
	if d.LessonWrong() == "" {
		return nil
	}
	return m.El("p.problem", m.Key("wrong"), m.Attr("role", "alert"), m.Attr("id", "lesson-wrong"), m.El("bdi", m.Text(d.LessonWrong())))
}

// lessonSize says how much there is to do.
func lessonSize(l *lesson.Lesson) string {
	words := counted(len(l.Teeth), "tooth", "teeth")
	if l.Repeats > 1 {
		words += ", each measured " + timesWords(l.Repeats)
	}
	if l.Invented {
		words += "; the teeth are invented"
	}
	return words + "."
}

func timesWords(n int) string {
	if n == 2 {
		return "twice"
	}
	return fmt.Sprintf("%d times", n)
}

// keptList is the work that this browser keeps.
func keptList(d *desk.Desk) *m.Node {
	kept := d.KeptWork()
	if len(kept) == 0 {
		return nil
	}
	list := m.El("ul.kept")
	for _, k := range kept {
		state := fmt.Sprintf("%d of %d done", k.Done, k.Of)
		if k.Handed {
			state += ", answer saved"
		}
		list.Children = append(list.Children, m.El("li", m.Key(k.Key),
			m.El("span", m.El("strong", m.El("bdi", m.Text(k.Title))), m.Text(" · "), m.El("bdi", m.Name(k.Student)), m.Text(" · "+state)),
			m.El("span.actions",
				button("Go on", func() { d.GoOn(k) }, m.Attr("aria-label", "Go on with "+k.Title+", "+k.Student)),
				button("Remove", func() { d.ForgetWork(k.Key) }, m.Attr("aria-label", "Remove "+k.Title+", "+k.Student+" from this browser")))))
	}
	return m.El("section", m.Key("kept"), m.El("h3", m.Text("Work kept in this browser")), list)
}

// instructionsDialog shows what a lesson asks.
func instructionsDialog(d *desk.Desk) *m.Node {
	t := d.Taking()
	if t == nil {
		return nil
	}
	l := t.Work.Lesson
	var items []m.Item
	items = append(items, m.El("p.quiet", m.Text(lessonSize(l))))
	items = append(items, m.List(paragraphs(l.Instructions)))
	items = append(items, m.El("p", m.Text(hiddenWords(l))))
	if l.Cautions != "" {
		items = append(items, m.El("h3", m.Text("Before you pick up a real tooth")), m.List(paragraphs(l.Cautions)))
	}
	items = append(items, m.El("div.over-foot", m.El("div.actions",
		button("Go to the tooth", func() { d.OpenDialog(desk.NoDialog) }, m.Class("primary", true), m.Attr("id", "instructions-go")))))
	return over("instructions", l.Title, func() { d.OpenDialog(desk.NoDialog) }, items...)
}

// hiddenWords tells a student what not to look for.
func hiddenWords(l *lesson.Lesson) string {
	words := "The program keeps your marks at every step; you can stop and go on later in this browser."
	if l.Hidden.Readings {
		words += " The numbers that follow from your marks are not shown until the review."
	}
	if l.Help.Scale {
		words += " The scale is set already."
	}
	return words
}

func paragraphs(text string) []*m.Node {
	var out []*m.Node
	for p := range strings.SplitSeq(strings.ReplaceAll(text, "\r\n", "\n"), "\n\n") {
		if p = strings.TrimSpace(p); p != "" {
			out = append(out, m.El("p", m.Text(p)))
		}
	}
	return out
}
