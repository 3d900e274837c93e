package panel

import (
	"fmt"

	"crownbench/wasm/archive"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// outDialog is what leaves the program, and what comes back.
func outDialog(d *desk.Desk) *m.Node {
	n := d.Tray.Len()
	list := m.El("dl.outs")
	offer := func(id, label, purpose string, off bool, f func(), items ...m.Item) {
		list.Children = append(list.Children,
			m.El("dt", m.Key(id), button(label, f, append([]m.Item{m.Attr("id", id), m.Flag("disabled", off)}, items...)...)),
			m.El("dd", m.Key(id), m.Text(purpose)))
	}
	busy := d.Job() != nil
	for _, e := range desk.Exports {
		offer("out-"+e.ID, e.Label, e.Purpose, n == 0 || busy, func() { d.TakeOut(e.ID) }, m.Class("primary", e.ID == desk.BackupExport && n > 0))
	}
	offer("out-sheet", "Sheet of this specimen", "One specimen on paper or as PDF, with its photographs.", d.Specimen() == nil, func() { d.OpenDialog(desk.SheetDialog) })
	return over("out", "What leaves the program", func() { d.OpenDialog(desk.NoDialog) }, m.Class("outward", true),
		m.El("p", m.Text("Files are made in this browser and go where your browser keeps downloads.")),
		outScope(d), list,
		fold(d, "details.dataset", "dataset", "Title, author and licence of the data set", datasetForm(d)...),
		m.El("div.back", m.Key("back"), m.El("h3", m.Text("Back in")),
			m.El("p", button("Read an archive or a record back", d.PickRecord, m.Attr("id", "in-json"), m.Flag("disabled", busy))),
			m.El("p.small", m.Text("Its teeth are added to the tray, with their photographs where it is an archive or a backup; one Undo takes them out again. Dropping the file on the page does the same."))),
		m.El("p.small#kept", m.Key("kept"), m.Text(keptWords(d))))
}

// outScope chooses between the whole tray and the picked teeth.
func outScope(d *desk.Desk) *m.Node {
	picked := len(d.Picked())
	if picked == 0 {
		return nil
	}
	values := []string{"all", "picked"}
	texts := []string{"the whole tray, " + counted(d.Tray.Len(), "tooth", "teeth"), "the picked teeth only, " + counted(picked, "tooth", "teeth")}
	value := values[0]
	if d.OutPickedOnly() {
		value = values[1]
	}
	return choice("out-scope", "Of", value, values, texts, func(v string) { d.SetOutPickedOnly(v == values[1]) }, m.Key("scope"))
}

func datasetForm(d *desk.Desk) []m.Item {
	s := d.Dataset()
	text := func(name, label, value, hint string, set func(*archive.Dataset, string)) *m.Node {
		return cell{name: name, label: label, value: value, hint: hint, long: true, typed: func(t string, _ desk.Typing) {
			x := d.Dataset()
			set(&x, t)
			d.SetDataset(x)
		}}.draw(d)
	}
	return []m.Item{
		m.El("p.small", m.Text("For the Data Package and the Darwin Core Archive. Whatever stays empty is said to be not stated.")),
		text("dataset-title", "Title", s.Title, "such as Teeth of Example Quarry", func(x *archive.Dataset, t string) { x.Title = t }),
		text("dataset-creator", "Author or institution", s.Creator, "", func(x *archive.Dataset, t string) { x.Creator = t }),
		text("dataset-license", "Licence", s.License, "such as CC-BY-4.0", func(x *archive.Dataset, t string) { x.License = t }),
		text("dataset-description", "Description", s.Description, "", func(x *archive.Dataset, t string) { x.Description = t }),
	}
}

// keptWords tell how safe the tray is in this browser.
func keptWords(d *desk.Desk) string {
	words := d.SinceBackup()
	s := d.Space()
	if s.Quota <= 0 {
		return words
	}
	free := max(0, s.Quota-s.Used)
	words += fmt.Sprintf(" The tray takes up %s in this browser, which leaves it %s more.", inBytes(s.Used), inBytes(free))
	if free < low {
		words += " That is little: make a backup, then delete teeth or photographs that you no longer need, or free space on the disk."
	}
	return words
}

// low is the room, in bytes, below which a few photographs may no longer fit.
const low = 500 << 20

// inBytes writes a number of bytes as a person reads it.
func inBytes(n int64) string {
	switch {
	case n >= 10<<30:
		return fmt.Sprintf("%d GB", n>>30)
	case n >= 1<<30:
		return fmt.Sprintf("%.1f GB", float64(n)/(1<<30))
	case n >= 1<<20:
		return fmt.Sprintf("%d MB", n>>20)
	}
	return "less than 1 MB"
}

// jobNotice is work that takes a while, and the way to stop it.
func jobNotice(d *desk.Desk) *m.Node {
	j := d.Job()
	if j == nil {
		return nil
	}
	bar := m.El("progress", m.Attr("aria-label", j.Words))
	words := j.Words + "…"
	if j.Of > 0 {
		bar.With(m.Attr("max", key(j.Of)), m.Attr("value", key(min(j.Done, j.Of))))
		words = fmt.Sprintf("%s: %s of %s", j.Words, grouped(min(j.Done, j.Of)), grouped(j.Of))
	}
	return m.El("div.notice.job", m.Key("job"), m.Attr("role", "status"), m.El("div", m.El("p", m.Text(words)), bar),
		button("Stop", d.StopJob, m.Attr("id", "job-stop"), m.Flag("disabled", j.Stopped())))
}
