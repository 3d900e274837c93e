package panel

import (
	"fmt"
	"time"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// differShown is how many differing teeth are named.
const differShown = 8

// restoreDialog asks what becomes of teeth that a file has otherwise than the
// tray.
func restoreDialog(d *desk.Desk) *m.Node {
	r := d.Restore()
	if r == nil {
		return nil
	}
	list := m.El("ul")
	for i, x := range r.Differ {
		if i == differShown {
			list.Children = append(list.Children, m.El("li", m.Textf("and %d more", len(r.Differ)-i)))
			break
		}
		item := m.El("li", m.Key(x.Ours.ID), m.El("b", m.Name(x.Ours.Name)),
			m.Textf(": here last changed %s, in the file %s", minute(x.Ours.Changed), minute(x.Theirs.Changed)))
		if x.Theirs.Name != x.Ours.Name {
			item.Children = append(item.Children, m.Text(", where it is called "), m.El("b", m.Name(x.Theirs.Name)))
		}
		list.Children = append(list.Children, item)
	}
	what := "1 tooth of the file stands in the tray too, but not alike:"
	if n := len(r.Differ); n > 1 {
		what = fmt.Sprintf("%d teeth of the file stand in the tray too, but not alike:", n)
	}
	rest := fmt.Sprintf("The file's other teeth: %d new ones come into the tray, %d stand there just so.", len(r.Fresh), r.Known)
	return over("restore", "Read "+r.File, d.LeaveRestore,
		m.El("p", m.Text(what)), list, m.El("p.small", m.Text(rest)),
		m.El("div.actions",
			button("Keep those of the tray", func() { d.FinishRestore(desk.KeepOurs) }, m.Class("primary", true), m.Attr("id", "restore-ours")),
			button("Take those of the file", func() { d.FinishRestore(desk.KeepTheirs) }, m.Attr("id", "restore-theirs")),
			button("Keep both", func() { d.FinishRestore(desk.KeepBoth) }, m.Attr("id", "restore-both"))),
		m.El("p.small", m.Text("Whatever you choose, one Undo takes it back.")))
}

// minute writes a time to the minute, where the person is.
func minute(t time.Time) string { return t.Local().Format("2006-01-02 15:04") }
