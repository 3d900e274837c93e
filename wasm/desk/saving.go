package desk

import (
	"slices"

	"crownbench/wasm/tray"
)

// SavingState tells how the record stands.
type SavingState int

const (
	Saved SavingState = iota
	SavingNow
	NotSaved // something could not be saved; see SavingWhy
	SavingOff
)

// ChangedElsewhere takes over a specimen that another tab saved (nil: deleted).
func (d *Desk) ChangedElsewhere(id string, s *tray.Specimen) {
	if s == nil {
		if d.own().Drop(id) {
			d.Remark("A specimen was deleted in another tab of this browser.")
		}
	} else if changed, err := d.own().Adopt(s); err != nil {
		d.Warn(Sentence(err))
	} else if !changed {
		return
	}
	d.goTo([]string{d.specimen})
}

// Conflict is told that a change was not saved because another tab was there
// first. The tray takes what is stored (nil: deleted); ours stays as a copy of
// its own, so that nothing entered in either tab is lost.
func (d *Desk) Conflict(why, id string, ours, stored *tray.Specimen) {
	d.Warn(why)
	own := d.own()
	own.Drop(id)
	if stored != nil {
		if _, err := own.Adopt(stored); err != nil {
			d.Warn(Sentence(err))
		}
	}
	if ours != nil {
		c := ours.Clone()
		c.Name += " (from this tab)"
		if _, err := own.Add("keep a copy of "+ours.Name, c); err != nil {
			d.Warn(Sentence(err))
		}
	}
	d.goTo([]string{d.specimen})
}

// Saving tells how the record stands, and why where it is not saved.
func (d *Desk) Saving() (SavingState, string) { return d.saving, d.savWhy }

// WouldBeLost tells whether something entered would be gone if the page were
// left now: it is not saved yet, or cannot be. The invented teeth are no loss.
func (d *Desk) WouldBeLost() bool {
	switch d.saving {
	case SavingNow, NotSaved:
		return true
	case SavingOff:
		return d.lesson.taking != nil || slices.ContainsFunc(d.Tray.Specimens(), func(s *tray.Specimen) bool { return !s.Invented })
	}
	return false
}

// SetSaving is told by the store how the record stands.
func (d *Desk) SetSaving(s SavingState, why string) {
	if d.saving == s && d.savWhy == why {
		return
	}
	d.saving, d.savWhy = s, why
	d.outside.Refresh()
}
