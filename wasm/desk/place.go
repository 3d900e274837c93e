package desk

import (
	"crownbench/wasm/bench"
)

// Place is where a person was: enough to come back to it after a reload.
type Place struct {
	Specimen string     `json:"specimen,omitempty"`
	Photo    string     `json:"photo,omitempty"`
	Tool     bench.Tool `json:"tool,omitempty"`
	Dialog   Dialog     `json:"dialog,omitempty"`
	// Lesson is the key of the work on the desk, Sitting where it is; the others
	// are then what was on the desk before.
	Lesson  string `json:"lesson,omitempty"`
	Sitting int    `json:"sitting,omitempty"`
}

// Start puts the desk where it was left.
func (d *Desk) Start(p Place) {
	switch {
	case d.Tray.Get(p.Specimen) != nil:
		d.specimen, d.photo = p.Specimen, p.Photo
		d.settle()
		d.Bench.SetTool(p.Tool)
		if p.Dialog != NoDialog {
			d.OpenDialog(p.Dialog)
		}
	case d.Tray.Len() > 0:
		d.Select(d.Tray.Specimens()[0].ID)
	default:
		d.Select("")
	}
	for _, k := range d.lesson.kept {
		if k.Key == p.Lesson {
			d.goOn(k, p.Sitting)
		}
	}
	d.outside.Refresh()
}

func (d *Desk) place() Place {
	p := Place{Specimen: d.specimen, Photo: d.photo, Tool: d.Bench.Tool(), Dialog: d.dialog}
	if p.Dialog == ReportDialog {
		p.Dialog = NoDialog // a review does not outlast the page
	}
	return p
}

func (d *Desk) remember() {
	p := d.place()
	if t := d.lesson.taking; t != nil {
		p = t.place
		p.Lesson, p.Sitting = t.key, t.At
	}
	d.outside.Remember(p)
}
