package desk

import (
	"crownbench/morph"
)

// ToggleReading opens or closes the details of a reading.
func (d *Desk) ToggleReading(id morph.ID) {
	d.open[id] = !d.open[id]
	d.wantSpread()
	d.outside.Refresh()
}

// ReadingOpen tells whether a reading's details are open.
func (d *Desk) ReadingOpen(id morph.ID) bool { return d.open[id] }

// Unfolded tells whether a part of a panel lies open. It stays so from tooth to
// tooth, and while a value is typed that hides the part for a moment.
func (d *Desk) Unfolded(part string) bool { return d.unfolded[part] }

// Unfold opens a part of a panel, or closes it.
func (d *Desk) Unfold(part string, open bool) {
	d.unfolded[part] = open
	d.outside.Refresh()
}

// Drawer tells which of the side panels are slid in on a small window.
func (d *Desk) Drawer() (trayOpen, sideOpen bool) { return d.trayOpen, d.sideOpen }

// SetDrawer slides the side panels in or out on a small window.
func (d *Desk) SetDrawer(trayOpen, sideOpen bool) {
	d.trayOpen, d.sideOpen = trayOpen, sideOpen
	d.outside.Refresh()
}
