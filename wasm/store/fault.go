package store

import (
	"fmt"

	"crownbench/wasm/tray"
)

// Fault is the reason why the database does not do what it should.
type Fault int

const (
	Denied  Fault = iota + 1 // the browser keeps nothing for this page
	Full                     // no more room; what was saved before is safe
	Newer                    // written by a newer version of the program
	Blocked                  // another tab keeps an older version open
	Retired                  // a newer version has been opened in another tab
	Cleared                  // the browser has thrown everything away
	Failed                   // anything else
)

// Error says, in a sentence each, what is wrong with the database as a whole
// and what to do.
type Error struct {
	Fault  Fault
	Wrong  string
	Remedy string
	Cause  error // as the browser words it, or nil
}

func (e *Error) Error() string {
	if e.Cause != nil && e.Fault == Failed {
		return fmt.Sprintf("%s (%v). %s", e.Wrong, e.Cause, e.Remedy)
	}
	return e.Wrong + ". " + e.Remedy
}

func (e *Error) Unwrap() error { return e.Cause }

func fault(f Fault, cause error) *Error {
	e := &Error{Fault: f, Cause: cause}
	switch f {
	case Denied:
		e.Wrong = "This browser does not let the page keep anything: the window may be a private one, or storage may be switched off"
		e.Remedy = "You can work, but before you close the page, save an archive of the tray."
	case Full:
		e.Wrong = "There is no room left to save this; everything saved before is safe"
		e.Remedy = "Delete specimens or photographs that you no longer need, or free space on the disk; what is waiting is then saved by itself. To be sure, save an archive of the tray first."
	case Newer:
		e.Wrong = "The saved tray was written by a newer version of this program"
		e.Remedy = "Reload the page while you are online to get that version; nothing has been changed."
	case Blocked:
		e.Wrong = "Another tab has this program open in an older version, and the saved tray cannot be opened beside it"
		e.Remedy = "Close the other tab, then reload this page."
	case Retired:
		e.Wrong = "A newer version of this program has been opened in another tab, and this one can no longer save"
		e.Remedy = "Save an archive of the tray if you have just changed something, then reload this page."
	case Cleared:
		e.Wrong = "The browser has thrown the saved tray away; what this page shows is still here"
		e.Remedy = "Save an archive of the tray now."
	default:
		e.Fault = Failed
		e.Wrong = "The browser's database refuses to work"
		e.Remedy = "Save an archive of the tray, then reload the page."
	}
	return e
}

// Damaged is a record that is not brought into the tray and is left in the
// database as it is.
type Damaged struct {
	ID    string
	Newer bool   // written by a newer version of the program, otherwise sound
	Wrong string // a sentence
	Raw   string // what is stored, to be saved as a file
}

func (d *Damaged) Error() string { return d.Wrong }

// Conflict is a change that was not written because another tab changed or
// deleted the specimen first. What is stored is as the other tab left it.
type Conflict struct {
	ID     string
	Ours   *tray.Specimen // as it would have been written; nil for a deletion
	Stored *tray.Specimen // nil when it is deleted or cannot be read
	// Unread says why what is stored cannot be read; nil otherwise.
	Unread *Damaged
}

func (c *Conflict) Error() string {
	name := c.ID
	if c.Ours != nil && c.Ours.Name != "" {
		name = c.Ours.Name
	} else if c.Stored != nil && c.Stored.Name != "" {
		name = c.Stored.Name
	}
	switch {
	case c.Unread != nil:
		return fmt.Sprintf("%s was changed in another tab in a way that this one cannot read; your change was not saved. Reload the page.", name)
	case c.Stored == nil:
		return fmt.Sprintf("%s was deleted in another tab; your change was not saved. Keep yours as a new specimen, or let it go.", name)
	case c.Ours == nil:
		return fmt.Sprintf("%s was changed in another tab; it was not deleted. Look at it and delete it again if you want to.", name)
	}
	return fmt.Sprintf("%s was changed in another tab too; your change was not saved. Keep yours as a new specimen, or take the other tab's.", name)
}
