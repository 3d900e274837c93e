package panel

import (
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
)

// Page gives everything over the photo view, in reading order.
func Page(d *desk.Desk) []*m.Node {
	trayOpen, sideOpen := d.Drawer()
	if d.Dialog() == desk.SheetDialog {
		return []*m.Node{sheetPage(d), notices(d), spoken(d)}
	}
	if d.Dialog() == desk.ReportDialog {
		if page := d.ReportPage(); page != nil {
			return []*m.Node{reportPage(d, page), notices(d), spoken(d)}
		}
	}
	desktop := m.El("div.desk", m.Key("desk"),
		m.Class("taking", d.Taking() != nil),
		m.Class("bare", d.Tray.Len() == 0),
		m.Class("tray-open", trayOpen),
		m.Class("side-open", sideOpen),
		topBar(d), trayList(d), stage(d))
	if d.Photo() != nil {
		desktop.Children = append(desktop.Children, steps(d))
	}
	if t := d.Taking(); t != nil && d.Specimen() != nil {
		desktop.Children = append(desktop.Children, taskSide(d, t, d.Specimen()))
	} else if d.Specimen() != nil {
		desktop.Children = append(desktop.Children, side(d))
	}
	over := dialog(d)
	if over != nil {
		desktop.Attrs["inert"] = "" // keyboard and readers stay in the dialog
		// Notes stand above the dialog, which gives them room, not over it.
		over.Children = append([]*m.Node{notices(d)}, over.Children...)
		return []*m.Node{desktop, countLengths(), over, spoken(d)}
	}
	return []*m.Node{desktop, countLengths(), notices(d), spoken(d)}
}

// countLengths are the lengths, in mm, that denticles are usually counted over
// (Smith 2005; 1 mm for the smallest teeth).
func countLengths() *m.Node {
	list := m.El("datalist#count-lengths", m.Key("count-lengths"))
	for _, l := range []string{"5", "2", "1"} {
		list.Children = append(list.Children, m.El("option", m.Key(l), m.Attr("value", l)))
	}
	return list
}

// stage is the uncovered middle of the window: the photo view shows through,
// or it says what to do where there is no photograph.
func stage(d *desk.Desk) *m.Node {
	s := m.El("main.stage#stage", m.Attr("aria-label", "Bench"))
	add := func(n *m.Node) { s.Children = append(s.Children, n) }
	switch {
	case d.Specimen() == nil:
		add(doors(d))
	case d.Photo() == nil:
		add(quickCheck(d))
	case d.NoPhotoView() != "":
		add(m.El("div.card.middle", m.Key("noview"),
			m.El("h2", m.Text("Photographs cannot be shown here")),
			m.El("p", m.Text(d.NoPhotoView())),
			m.El("p", m.Text("Typed values, sorting, the sheet and the files that leave the program work as usual."))))
	default:
		switch state, why := d.Picture(); state {
		case desk.PictureOpening:
			add(m.El("p.card.middle.quiet", m.Key("opening"), m.Attr("role", "status"), m.Text("Opening the photograph…")))
		case desk.PictureBad:
			add(m.El("div.card.middle", m.Key("bad"), m.Attr("role", "alert"),
				m.El("h2", m.Text("The photograph cannot be shown")),
				m.El("p", m.Text(why)),
				m.El("p", m.Text("What was marked on it is kept and still counts."))))
		}
	}
	return s
}

func notices(d *desk.Desk) *m.Node {
	box := m.El("div.notices", m.Key("notices"))
	if busy := d.Busy(); busy != "" {
		box.Children = append(box.Children, m.El("p.notice", m.Key("busy"), m.Attr("role", "status"), m.Text(busy)))
	}
	if job := jobNotice(d); job != nil {
		box.Children = append(box.Children, job)
	}
	if d.Newer() {
		box.Children = append(box.Children, m.El("div.notice", m.Key("newer"), m.Attr("role", "status"),
			m.El("p", m.Text("A newer version of the program is here. Everything entered is kept.")),
			button("Use it now", d.TakeUpNewer, m.Attr("id", "newer-now")),
			button("At the next start", d.PutOffNewer)))
	}
	for _, n := range d.Notices() {
		role, word := "status", "Note"
		if n.Grave {
			role, word = "alert", "Attention"
		}
		notice := m.El("div.notice", m.Key(key(n.ID)), m.Class("grave", n.Grave), m.Attr("role", role),
			m.El("p", m.El("strong", m.Text(word+": ")), m.Text(n.Text)))
		if n.Offer != "" {
			notice.Children = append(notice.Children, button(n.Offer, n.Do))
		}
		box.Children = append(box.Children, notice.With(button("Put away", func() { d.PutAway(n.ID) })))
	}
	return box
}

// spoken is heard, not seen.
func spoken(d *desk.Desk) *m.Node {
	return m.El("p.unseen#spoken", m.Key("spoken"), m.Attr("role", "status"), m.Attr("aria-live", "polite"), m.Text(d.Spoken()))
}
