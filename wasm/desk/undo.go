package desk

import (
	"crownbench/wasm/tray"
)

// edit changes the specimen on the desk.
func (d *Desk) edit(label, merge string, f func(*tray.Specimen)) {
	if err := d.Tray.Edit(d.specimen, label, merge, f); err != nil {
		d.Warn(Sentence(err))
		return
	}
	d.lay()
}

// Undo takes back the last point that is no part of the record yet, else the
// last change, and goes to where that was made.
func (d *Desk) Undo() {
	if d.Bench.TakeBack() {
		d.spoken = "Undone: the last point."
		d.Laid()
		return
	}
	d.step(d.Tray.Undo, "Undone: ")
}

// Redo makes the last change that was taken back again.
func (d *Desk) Redo() { d.step(d.Tray.Redo, "Done again: ") }

func (d *Desk) step(f func() (string, []string, bool), word string) {
	label, ids, ok := f()
	if !ok {
		return
	}
	d.spoken = word + label + "."
	clear(d.refused)
	d.goTo(ids)
}

// goTo keeps the desk on a specimen that exists: one of ids if the current
// one is not among them.
func (d *Desk) goTo(ids []string) {
	for _, id := range ids {
		if id == d.specimen && d.Tray.Get(id) != nil {
			d.settle()
			return
		}
	}
	for _, id := range ids {
		if d.Tray.Get(id) != nil {
			d.Select(id)
			return
		}
	}
	if d.Specimen() == nil {
		if all := d.Tray.Specimens(); len(all) > 0 {
			d.Select(all[len(all)-1].ID)
		} else {
			d.Select("")
		}
		return
	}
	d.settle()
}

// settle lays the bench again after the specimen changed under it.
func (d *Desk) settle() {
	if s := d.Specimen(); s != nil && s.Photo(d.photo) == nil {
		d.photo = ""
		if len(s.Photos) > 0 {
			d.photo = s.Photos[0].ID
		}
	}
	d.lay()
	d.outside.Refresh()
}
