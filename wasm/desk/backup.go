package desk

import (
	"fmt"
	"slices"
	"time"

	"crownbench/wasm/tray"
)

// Backup is what this browser knows of the last backup and of the work since.
type Backup struct {
	Last    time.Time `json:"last,omitzero"`
	Changes int       `json:"changes,omitempty"`
	// Touched are the teeth that changed since, by ID; deleted ones too.
	Touched []string `json:"touched,omitempty"`
	// OffChanges and OffTouched are what had been done when the person put the
	// reminder off.
	OffChanges int `json:"offChanges,omitempty"`
	OffTouched int `json:"offTouched,omitempty"`
}

// A backup is due after so much work that would be lost with the browser.
const (
	dueTouched = 20
	dueChanges = 200
	// mostTouched bounds what is kept; more is as good as due.
	mostTouched = 1000
)

// TakeBackup takes over what was kept in this browser of the last backup.
func (d *Desk) TakeBackup(b Backup) { d.backup = b }

// Worked is told of every change to the tray that is to be saved.
func (d *Desk) Worked(changes []tray.Change) {
	if d.unworked {
		return
	}
	b := d.backup
	b.Touched = slices.Clone(b.Touched) // the old list may be held by who keeps it
	for _, c := range changes {
		b.Changes++
		if id := c.ID(); len(b.Touched) < mostTouched && !slices.Contains(b.Touched, id) {
			b.Touched = append(b.Touched, id)
		}
	}
	d.keepBackup(b)
}

func (d *Desk) keepBackup(b Backup) {
	d.backup = b
	d.outside.KeepBackup(b)
}

// backedUp is told that a backup holds everything up to a moment.
func (d *Desk) backedUp(then Backup) {
	b := Backup{Last: time.Now()}
	if d.backup.Changes != then.Changes { // work went on while the backup was made
		b.Changes = d.backup.Changes - then.Changes
		b.Touched = slices.Clone(d.backup.Touched[min(len(then.Touched), len(d.backup.Touched)):])
	}
	d.keepBackup(b)
	d.Remark("The backup went where your browser keeps downloads. Keep it on another disk too; it may hold coordinates that you do not share.")
}

// BackupDue gives, in a sentence, how much work no backup holds; "" while it is
// little or the reminder was put off.
func (d *Desk) BackupDue() string {
	b := d.backup
	if d.Tray.Len() == 0 || len(b.Touched)-b.OffTouched < dueTouched && b.Changes-b.OffChanges < dueChanges {
		return ""
	}
	return d.SinceBackup()
}

// SinceBackup tells how the tray stands to its last backup.
func (d *Desk) SinceBackup() string {
	b := d.backup
	work := countOf(len(b.Touched), "tooth", "teeth") + " changed"
	switch {
	case b.Last.IsZero() && b.Changes == 0:
		return "No backup was made in this browser yet."
	case b.Last.IsZero():
		return work + ", and no backup yet: they are in this browser alone."
	case b.Changes == 0:
		return fmt.Sprintf("Nothing changed since the backup of %s.", b.Last.Format("2 January, 15:04"))
	}
	return fmt.Sprintf("%s since the backup of %s.", work, b.Last.Format("2 January, 15:04"))
}

// PutOffBackup quiets the reminder until as much work again has been done.
func (d *Desk) PutOffBackup() {
	b := d.backup
	b.OffChanges, b.OffTouched = b.Changes, len(b.Touched)
	d.keepBackup(b)
	d.outside.Refresh()
}

// Space is how much this page takes up in the browser, in bytes, and how much
// it may; zero where the browser does not tell.
type Space struct{ Used, Quota int64 }

// Space gives what was last told of it.
func (d *Desk) Space() Space { return d.space }

// SetSpace is told how much room there is.
func (d *Desk) SetSpace(s Space) {
	if d.space != s {
		d.space = s
		d.outside.Refresh()
	}
}
