package store

import (
	"crypto/rand"
	"time"

	"crownbench/wasm/tray"
)

// verdict is what may be done with a change, given what is stored.
type verdict int

const (
	write    verdict = iota // put the change over what is stored
	done                    // what is stored says the same already
	conflict                // another tab has been there: leave it
)

// judge compares a change with the stored record of its specimen, nil when
// there is none. ours tells that this tab wrote the stored record itself, last
// of all that it wrote for this specimen; then it is what the change set out
// from.
//
// Revisions alone do not decide: two tabs that change the same specimen at the
// same time both arrive at the same next revision. So the inputs are compared.
func judge(c tray.Change, stored *record, ours bool) verdict {
	switch {
	case stored == nil:
		return write // nothing is written over
	case stored.Format > recordFormat || stored.Format < 1:
		return conflict
	case stored.Deleted && c.After == nil:
		return done
	case stored.Deleted:
		// Undoing a deletion makes a newer revision out of nothing. A change
		// to what another tab deleted comes from a specimen still there.
		if c.Before == nil && c.After.Revision > stored.Revision {
			return write
		}
		return conflict
	case ours:
		return write
	}
	if c.After != nil && same(stored, c.After) {
		return done // a write that was believed lost, tried again
	}
	if c.Before != nil && same(stored, c.Before) {
		return write
	}
	return conflict
}

// same tells whether a stored record holds just the inputs of s. It is read
// and written again first, since an older program may have written the same
// inputs in another way.
func same(stored *record, s *tray.Specimen) bool {
	if stored.Revision != s.Revision {
		return false
	}
	want, err := bodyOf(s)
	if err != nil {
		return false
	}
	if stored.Body == want {
		return true
	}
	read, damaged := stored.specimen()
	if damaged != nil || read == nil {
		return false
	}
	got, err := bodyOf(read)
	return err == nil && got == want
}

// settle works out what to write for a command's changes, given the records
// stored now by identifier and the stamps of this tab's own last writes: new
// records, and the changes that must not be written.
func settle(changes []tray.Change, stored map[string]*record, wrote map[string]string, now time.Time) (writes []record, conflicts []*Conflict, err error) {
	for _, c := range changes {
		id := c.ID()
		old := stored[id]
		ours := old != nil && old.Stamp != "" && old.Stamp == wrote[id]
		switch judge(c, old, ours) {
		case conflict:
			k := &Conflict{ID: id, Ours: c.After}
			k.Stored, k.Unread = old.specimen()
			conflicts = append(conflicts, k)
		case write:
			r, err := recordOf(c, rand.Text(), now)
			if err != nil {
				return nil, nil, err
			}
			writes = append(writes, r)
		}
	}
	return writes, conflicts, nil
}
