package desk

import (
	"fmt"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// SizesDialog is the picked teeth side by side at one scale.
const SizesDialog Dialog = "sizes"

// Picking tells whether the tray shows boxes to pick teeth by.
func (d *Desk) Picking() bool { return d.picking }

// SetPicking shows the boxes, or takes them away with what was picked.
func (d *Desk) SetPicking(yes bool) {
	d.picking = yes
	if !yes {
		clear(d.picked)
		d.anchor = ""
	}
	d.outside.Refresh()
}

// IsPicked tells whether a tooth is picked.
func (d *Desk) IsPicked(id string) bool { return d.picked[id] }

// Pick picks a tooth or lets it go; with through, also all rows between it and
// the one that was picked before.
func (d *Desk) Pick(id string, yes, through bool) {
	if d.picked == nil {
		d.picked = map[string]bool{}
	}
	from, to := -1, -1
	rows := d.TrayRows()
	for i, s := range rows {
		if s.ID == d.anchor {
			from = i
		}
		if s.ID == id {
			to = i
		}
	}
	if !through || from < 0 || to < 0 {
		from = to
	}
	if from >= 0 {
		for _, s := range rows[min(from, to) : max(from, to)+1] {
			d.mark(s.ID, yes)
		}
	}
	d.anchor = id
	d.outside.Refresh()
}

func (d *Desk) mark(id string, yes bool) {
	if yes {
		d.picked[id] = true
	} else {
		delete(d.picked, id)
	}
}

// PickRows picks every tooth that the tray lists now, or lets all teeth go.
func (d *Desk) PickRows(yes bool) {
	if d.picked == nil {
		d.picked = map[string]bool{}
	}
	if yes {
		for _, s := range d.TrayRows() {
			d.picked[s.ID] = true
		}
	} else {
		clear(d.picked)
	}
	d.outside.Refresh()
}

// Picked are the picked teeth, in the order of the tray.
func (d *Desk) Picked() []*tray.Specimen {
	var out []*tray.Specimen
	if len(d.picked) == 0 {
		return nil
	}
	for _, s := range d.Tray.Specimens() {
		if d.picked[s.ID] {
			out = append(out, s)
		}
	}
	return out
}

// DeletePicked takes the picked teeth out of the tray as one step.
func (d *Desk) DeletePicked() {
	picked := d.Picked()
	if len(picked) == 0 {
		return
	}
	ids := make([]string, len(picked))
	for i, s := range picked {
		ids[i] = s.ID
	}
	what := countOf(len(picked), "tooth", "teeth")
	if err := d.Tray.Delete("delete "+what, ids...); err != nil {
		d.Warn(Sentence(err))
		return
	}
	clear(d.picked)
	d.goTo(nil)
	d.Remark(fmt.Sprintf("%s deleted. Undo brings them back.", what))
}

// OpenOutPicked opens what leaves the program for the picked teeth.
func (d *Desk) OpenOutPicked() {
	d.outPicked = true
	d.OpenDialog(OutDialog)
}

// Plate draws the picked teeth at one scale.
func (d *Desk) Plate() sheet.Plate { return sheet.PlateOf(d.Picked()) }

// SavePlate hands out the plate of the picked teeth.
func (d *Desk) SavePlate() { d.takeOut("plate", d.Picked()) }
