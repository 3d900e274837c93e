package desk

import (
	"bytes"
	"fmt"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// PickPhotos lets the person choose photographs.
func (d *Desk) PickPhotos(camera bool) {
	d.nextRole = ""
	d.outside.PickPhotos(camera)
}

// PickRecord lets the person choose a record file.
func (d *Desk) PickRecord() { d.outside.PickRecord() }

// OpenDemo fetches the invented tray.
func (d *Desk) OpenDemo() { d.outside.LoadDemo() }

// Print opens the browser's print.
func (d *Desk) Print() { d.outside.Print() }

// ReadRecord adds the specimens of a record file to the tray, as one step.
func (d *Desk) ReadRecord(file string, b []byte) {
	ss, err := sheet.ReadRecord(bytes.NewReader(b))
	if err != nil {
		d.Warn(fmt.Sprintf("%s was not read: %s", file, Sentence(err)))
		return
	}
	d.takeRead(file, ss)
}

// LengthByWidth tells how the person gives the base ratio.
func (d *Desk) LengthByWidth() bool { return !d.widthByLength }

// SetLengthByWidth chooses how the person gives the base ratio.
func (d *Desk) SetLengthByWidth(yes bool) {
	d.widthByLength = !yes
	d.outside.Refresh()
}

// CountLength is the length, in mm, that the next typed count of a density is
// taken over.
func (d *Desk) CountLength(id morph.ID) string {
	if s := d.Specimen(); s != nil {
		if c, ok := s.Counts[id]; ok {
			return fmt.Sprintf("%g", c.LengthMM)
		}
	}
	if l := d.countLength[d.specimen+"|"+string(id)]; l != "" {
		return l
	}
	return "5"
}

// SetCountLength changes the length that a count was taken over.
func (d *Desk) SetCountLength(id morph.ID, text string) {
	text = strings.TrimSpace(text)
	d.countLength[d.specimen+"|"+string(id)] = text
	s := d.Specimen()
	if s == nil {
		return
	}
	if c, ok := s.Counts[id]; ok {
		d.TypeCount(id, fmt.Sprintf("%g", c.N), text, Done)
	}
	d.outside.Refresh()
}

// Laid refreshes bench and page after an action of the bench itself.
func (d *Desk) Laid() {
	d.outside.Redraw()
	d.outside.Refresh()
}

// Escape closes what lies over the bench; it tells whether anything did.
func (d *Desk) Escape() bool {
	if d.dialog != NoDialog {
		d.OpenDialog(NoDialog)
		return true
	}
	if d.trayOpen || d.sideOpen {
		d.SetDrawer(false, false)
		return true
	}
	return false
}

// TakeDemo puts the invented teeth on the desk.
func (d *Desk) TakeDemo(ss []*tray.Specimen) {
	for _, s := range ss {
		s.Invented = true
	}
	d.unworked = true
	defer func() { d.unworked = false }()
	if d.add("open the invented tray", ss...) {
		d.Remark("These teeth are invented: no such animals, people or places exist. They were rendered by a program to try everything on.")
	}
}

// ToggleHelp opens the help, or closes it.
func (d *Desk) ToggleHelp() {
	if d.dialog == HelpDialog {
		d.OpenDialog(NoDialog)
	} else {
		d.OpenDialog(HelpDialog)
	}
}
