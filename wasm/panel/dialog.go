package panel

import (
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/photo"
	"crownbench/wasm/sheet"
)

func dialog(d *desk.Desk) *m.Node {
	switch d.Dialog() {
	case desk.OutDialog:
		return outDialog(d)
	case desk.HelpDialog:
		return helpDialog(d)
	case desk.MapDialog:
		return mapDialog(d)
	case desk.ComparisonDialog:
		return comparisonDialog(d)
	case desk.TableDialog:
		return tableDialog(d)
	case desk.LessonDialog:
		return lessonDialog(d)
	case desk.InstructionsDialog:
		return instructionsDialog(d)
	case desk.LessonEndDialog:
		return lessonEnd(d)
	case desk.SizesDialog:
		return sizesDialog(d)
	case desk.ShapesDialog:
		return shapesDialog(d)
	case desk.RestoreDialog:
		return restoreDialog(d)
	}
	return nil
}

// over lays a card over the page. Escape is the desk's.
func over(id, title string, closeIt func(), items ...m.Item) *m.Node {
	return m.El("div.veil", m.Key(id),
		m.El("section.card.over", append([]m.Item{m.Attr("role", "dialog"), m.Attr("aria-modal", "true"), m.Attr("aria-labelledby", id+"-head"),
			m.El("div.over-head", m.El("h2", m.Attr("id", id+"-head"), m.Text(title)), button("Close", closeIt, m.Attr("id", id+"-close")))},
			items...)...))
}

func helpDialog(d *desk.Desk) *m.Node {
	row := func(keys, what string) *m.Node {
		return m.El("tr", m.El("th", m.Attr("scope", "row"), m.Text(keys)), m.El("td", m.Text(what)))
	}
	return over("help", "Help", func() { d.OpenDialog(desk.NoDialog) },
		m.El("ol",
			m.El("li", m.Text("Add a side view (lateral) and a view of the base (basal), each with a scale bar in the plane of the tooth. Drop, paste or choose them.")),
			m.El("li", m.Text("Scale: mark both ends of the bar and give its length; or the four corners of a printed card, which also undo the photograph's tilt.")),
			m.El("li", m.Text("Crown, in one walk: the mesial end of the base (A), up the mesial edge to the apex (G), down the distal edge to the distal end of the base (B). Pressing twice marks the apex and ends the walk.")),
			m.El("li", m.Text("Section: mark points round the base in the basal view, close it, then name its mesial and distal ends.")),
			m.El("li", m.Text("Denticles: mark a stretch of carina, then each denticle; or type a count over a length.")),
			m.El("li", m.Text("The picture can do the tedious part: the scale bar, the crown, the section and the denticles are proposed when you ask. Nothing counts before you take it, and every point can be corrected.")),
			m.El("li", m.Text("Read the sorting with its evidence; print the sheet; take the table and the record out."))),
		m.El("h3", m.Text("Keys on the photograph")),
		m.El("table.keys", m.El("tbody",
			row("Wheel, + −, 0", "zoom about the pointer, fit"),
			row("Drag, Space + drag", "move the picture"),
			row("Arrows", "move the chosen point or the crosshair by 1 px (Shift 10, Alt 0.1)"),
			row("Hold Shift", "draw one line straight while lines follow the edge"),
			row("Enter", "put a point at the crosshair; mark the apex; end a walk"),
			row("[ ]", "previous, next point"),
			row("Delete", "remove the chosen point"),
			row("Esc", "let go"),
			row("Ctrl + Z, Ctrl + Shift + Z", "undo, redo"),
			row("F1", "this help"))),
		m.El("h3", m.Text("How far to trust it")),
		m.El("p", m.Text("A sorting from measurements is an aid, not a determination. Teeth of one jaw differ, front teeth of blade-toothed animals are thick, crowns of young tyrannosaurids are thin, and other reptiles have blade-like teeth too: first ask whether it is a theropod. Collecting, keeping, selling and moving fossils across borders is regulated: permits, land ownership and local law come first, and licensed practice decides.")),
		m.El("p.small", m.Textf("Photographs up to %d megapixels and %d MB are read: JPEG, PNG, WebP, TIFF.", photo.MaxPixels/1_000_000, photo.MaxFileBytes>>20)),
		m.El("p.small#reach", m.Text(reachWords(d.Reach()))),
		m.El("p.small", m.Textf("Program %s, sorting %s. ", d.Versions.Program, d.Versions.Sorting),
			m.El("a#licences", m.Attr("href", "licences.txt"), m.Attr("target", "_blank"), m.Attr("rel", "noopener"), m.Text("Licences")),
			m.Text(" of the program and of the libraries in it: plain text, in a tab of its own.")))
}

func reachWords(r desk.Reach) string {
	if r == desk.KeptHere {
		return "The program is kept in this browser: it starts and works without a connection."
	}
	return "The program is not kept in this browser yet: it needs a connection to start. It is kept after the first visit to an address that begins with https, except in private windows."
}

// sheetPage is the print view in place of the desk.
func sheetPage(d *desk.Desk) *m.Node {
	s := d.Specimen()
	var pictures []sheet.Picture
	for i := range s.Photos {
		if url := d.PictureURL(s.Photos[i].Hash); url != "" {
			pictures = append(pictures, sheet.Picture{Hash: s.Photos[i].Hash, URL: url})
		}
	}
	return m.El("div.paper", m.Key("paper"),
		m.El("div.paper-bar",
			button("Back to the bench", func() { d.OpenDialog(desk.NoDialog) }, m.Attr("id", "sheet-close")),
			button("Print or save as PDF", d.Print, m.Class("primary", true)),
			button("Copy the readings", d.CopyReadings, m.Attr("id", "copy-readings"), m.Attr("title", "As cells for a spreadsheet")),
			button("Copy the methods", d.CopyMethods, m.Attr("id", "copy-methods"), m.Attr("title", "A paragraph for a paper: how this tooth was measured and sorted"))),
		sheet.Sheet(s, d.Find(s), pictures, d.Versions, mapOnSheet(d)))
}
