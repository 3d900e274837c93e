package panel

import (
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// doors is the empty page: three ways in.
func doors(d *desk.Desk) *m.Node {
	return m.El("div.doors", m.Key("doors"),
		m.El("h2", m.Text("What is this tooth?")),
		m.El("p.lead", m.Text("Measure an isolated theropod tooth and see which published crowns it is most like. Nothing is uploaded: photographs and numbers stay in this browser.")),
		m.El("div.ways",
			m.El("section.way",
				m.El("h3", m.Text("From photographs")),
				m.El("p", m.Text("A side view and a view of the base, each with a scale bar. Drop them anywhere on this page.")),
				button("Choose photographs", func() { d.PickPhotos(false) }, m.Class("primary", true), m.Attr("id", "pick")),
				button("Use the camera", func() { d.PickPhotos(true) }, m.Class("camera", true))),
			m.El("section.way",
				m.El("h3", m.Text("From callipers")),
				m.El("p", m.Text("Height, base length and width, a denticle count: an answer as you type.")),
				button("Quick check", d.QuickCheck, m.Class("primary", true), m.Attr("id", "quick")),
				button("Open a table of teeth", d.OpenTable, m.Attr("id", "table-door"))),
			m.El("section.way",
				m.El("h3", m.Text("Look around first")),
				m.El("p", m.Text("Seven invented teeth, already measured, to try everything on.")),
				button("Open these teeth", d.OpenDemo, m.Class("primary", true), m.Attr("id", "demo")))),
		m.El("p.small", m.Text("In a class? "), button("Take, make or review a lesson", func() { d.OpenLesson(desk.LessonWays) }, m.Class("link", true), m.Attr("id", "lesson-door"))),
		m.El("p.small", m.Text("A record saved earlier? "), button("Read it back", d.PickRecord, m.Class("link", true))),
		m.El("p.small", m.Text("A sorting from measurements is an aid, not a determination. Before collecting, check permits and land law.")))
}
