package panel

import (
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// reviewDoor takes key and answers and tells what came of them.
func reviewDoor(d *desk.Desk) []m.Item {
	r := d.Review()
	items := []m.Item{
		m.El("p", m.Text("Choose your key and all the answers together, up to 200. With the lesson file beside them, each student's page shows the photographs.")),
		m.El("div.actions",
			button("Choose key and answers", d.PickLessonFiles, m.Class("primary", r.Class == nil), m.Attr("id", "lesson-pick"), m.Flag("disabled", r.Working)),
			m.El("p.quiet", m.Text("or drop them anywhere on this page"))),
	}
	if r.Working {
		return append(items,
			m.El("p", m.Attr("role", "status"), m.Textf("Reading file %d of %d…", r.Read, r.Of)),
			m.El("progress", m.Attrf("max", "%d", max(r.Of, 1)), m.Attrf("value", "%d", r.Read), m.Attr("aria-label", "Files read")))
	}
	for i, why := range r.Wrong {
		items = append(items, m.El("p.problem", m.Key("w"+key(i)), m.Attr("role", "alert"), m.El("bdi", m.Text(why))))
	}
	if r.Class == nil {
		if n := r.Waiting(); n > 0 {
			items = append(items, m.El("p.caution", m.Attr("id", "review-waits"), m.Textf("%s here. Now the key of the lesson is needed: the file that you kept for yourself.", isAre(n))))
		}
		return items
	}
	return append(items, reviewed(d, r)...)
}

func isAre(n int) string {
	if n == 1 {
		return "One file is"
	}
	return grouped(n) + " files are"
}

func reviewed(d *desk.Desk, r *desk.Review) []m.Item {
	c := r.Class
	items := []m.Item{m.El("h3", m.Attr("id", "review-head"), m.El("bdi", m.Text(c.Key.Lesson.Title)), m.Text(": "+counted(len(c.Students), "student", "students")))}
	if len(c.Problems) > 0 {
		list := m.El("ul.faults", m.Attr("id", "review-problems"), m.Attr("tabindex", "0"), m.Attr("aria-label", "Files with something wrong"))
		for i, p := range c.Problems {
			list.Children = append(list.Children, m.El("li", m.Key(key(i)), m.El("bdi", m.Text(p.Text))))
		}
		items = append(items, list)
	}
	if !r.HasPictures() {
		items = append(items, m.El("p.small", m.Text("The lesson file is not here: students' pages show their landmarks without the photographs. Add it at any time.")))
	}
	tables := m.El("div.actions", m.Key("tables"), m.El("span.quiet", m.Text("Tables (CSV):")))
	for _, t := range c.Tables() {
		tables.Children = append(tables.Children, button(t.Name, func() { d.SaveReviewTable(t) }, m.Key(t.Name), m.Attr("id", "table-"+t.Name), m.Attr("aria-label", "Save the table "+t.Name)))
	}
	none := m.Flag("disabled", len(c.Students) == 0)
	return append(items,
		m.El("div.actions", m.Key("reports"),
			button("See the class report", func() { d.ShowReport(-1) }, m.Class("primary", true), m.Attr("id", "review-report"), none),
			button("Save it as a page (HTML)", d.SaveReport, m.Attr("id", "review-html"), none)),
		tables, studentList(d, r),
		m.El("p", m.Key("new"), button("Begin another review", d.NewReview, m.Class("link", true), m.Attr("id", "review-new"))))
}

// studentList has every student: counted or left out, and a page for each.
func studentList(d *desk.Desk, r *desk.Review) *m.Node {
	names := r.Students()
	if len(names) == 0 {
		return m.El("p.caution", m.Key("students"), m.Text("No answer is counted yet. Add the answer files."))
	}
	place := map[string]int{}
	for i, s := range r.Class.Students {
		place[s.Name] = i
	}
	list := m.El("ul.students", m.Key("students"), m.Attr("aria-label", "Students"))
	for i, name := range names {
		id := "student-" + key(i)
		at, counted := place[name]
		list.Children = append(list.Children, m.El("li", m.Key(name),
			m.El("div.check",
				m.El("input", m.Attr("type", "checkbox"), m.Attr("id", id), m.Flag("checked", counted), m.On("change", func(e m.Event) { d.LeaveOut(name, !e.Checked) })),
				m.El("label", m.Attr("for", id), m.El("bdi", m.Name(name)))),
			button("Page", func() { d.ShowReport(at) }, m.Flag("disabled", !counted), m.Attr("aria-label", "Page of "+name))))
	}
	return list
}

// reportPage is the report in place of the desk.
func reportPage(d *desk.Desk, page *m.Node) *m.Node {
	r := d.Review()
	values, texts := []string{"-1"}, []string{"The class"}
	for i, s := range r.Class.Students {
		values, texts = append(values, key(i)), append(texts, s.Name)
	}
	save := d.SaveReport
	if r.Student >= 0 {
		save = d.SaveOwnResult
	}
	who := choice("report-of", "Shows", key(r.Student), values, texts, func(v string) {
		for i, x := range values {
			if x == v {
				d.ShowReport(i - 1)
			}
		}
	})
	return m.El("div.report", m.Key("report"),
		m.El("div.paper-bar",
			button("Back to the review", d.CloseReport, m.Attr("id", "report-close")),
			button("Print or save as PDF", d.Print, m.Class("primary", true)),
			button("Save as a page (HTML)", save, m.Attr("id", "report-save")),
			who),
		// Another student's page begins at its top.
		m.El("div.paper", m.Key(key(r.Student)), m.Attr("tabindex", "0"), m.Attr("role", "region"), m.Attr("aria-label", "Report"), page))
}
