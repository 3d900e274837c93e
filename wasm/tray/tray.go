package tray

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Change is what one command did to one specimen; nil stands for "not there".
type Change struct {
	Before, After *Specimen
}

// ID is the identifier of the specimen that changed.
func (c Change) ID() string {
	if c.After != nil {
		return c.After.ID
	}
	return c.Before.ID
}

// step is one undoable command. Steps that share a non-empty merge word and
// follow each other (the moves of one drag) are one step to undo.
type step struct {
	label   string
	merge   string
	changes []Change
}

// Tray is the specimens and the history of what was done to them in this
// session. The zero value is an empty tray.
type Tray struct {
	// Keep is told of every change at once, undo and redo included, but not of
	// what Adopt and Drop bring in, which is kept already; nil is allowed. It
	// must not call back into the Tray.
	Keep func([]Change)
	// Now and NewID may be set by tests; the zero value uses the clock and
	// random identifiers.
	Now   func() time.Time
	NewID func() string

	specimens []*Specimen // in order of creation
	done      []step
	undone    []step
	created   time.Time // of the specimen added last
}

// ErrGone is returned for a specimen that is not in the tray.
var ErrGone = errors.New("this specimen is no longer in the tray")

// Specimens lists the tray in its order. The slice is the caller's own.
func (t *Tray) Specimens() []*Specimen { return slices.Clone(t.specimens) }

// Len is the number of specimens.
func (t *Tray) Len() int { return len(t.specimens) }

// Get gives a specimen by its identifier, or nil.
func (t *Tray) Get(id string) *Specimen {
	if i := t.index(id); i >= 0 {
		return t.specimens[i]
	}
	return nil
}

func (t *Tray) index(id string) int {
	return slices.IndexFunc(t.specimens, func(s *Specimen) bool { return s.ID == id })
}

// Add puts new specimens into the tray as one step and gives their
// identifiers. Identifiers, times and revisions are set here; the specimens
// handed in are copied.
func (t *Tray) Add(label string, news ...*Specimen) ([]string, error) {
	return t.Take(label, news, nil)
}

// Take puts new specimens into the tray, as Add does, and gives others what
// over, by identifier, says, all as one step. It gives the identifiers of the
// new ones.
func (t *Tray) Take(label string, news []*Specimen, over map[string]*Specimen) ([]string, error) {
	var changes []Change
	for _, before := range t.specimens {
		theirs, ok := over[before.ID]
		if !ok {
			continue
		}
		after, err := edited(before, func(s *Specimen) { *s = *theirs.Clone() })
		if err != nil {
			return nil, err
		}
		if !same(before, after) {
			changes = append(changes, Change{before, after})
		}
	}
	var ids []string
	created := t.now()
	for _, s := range news {
		c := s.Clone()
		c.ID, c.Revision = t.newID(), 0
		// A browser's clock is coarse: teeth added at one reading of it still
		// keep their order.
		if !created.After(t.created) {
			created = t.created.Add(time.Microsecond)
		}
		c.Created, t.created = created, created
		if err := c.Check(); err != nil {
			return nil, err
		}
		changes = append(changes, Change{After: c})
		ids = append(ids, c.ID)
	}
	if len(changes) > 0 {
		t.do(step{label: label, changes: changes})
	}
	return ids, nil
}

// Edit changes one specimen. edit gets a copy to change as it likes; an edit
// that changes nothing is no step. Edits that follow each other with the same
// non-empty merge word on the same specimen are undone together.
func (t *Tray) Edit(id, label, merge string, edit func(*Specimen)) error {
	before := t.Get(id)
	if before == nil {
		return ErrGone
	}
	after, err := edited(before, edit)
	if err != nil {
		return err
	}
	if same(before, after) {
		return nil
	}
	t.do(step{label: label, merge: merge, changes: []Change{{before, after}}})
	return nil
}

// EditAll changes every specimen as one step; edit gets a copy of each. Those
// that it leaves as they were are no part of the step. When one does not come
// out fit to be kept, none is changed.
func (t *Tray) EditAll(label string, edit func(*Specimen)) error {
	var changes []Change
	for _, before := range t.specimens {
		after, err := edited(before, edit)
		if err != nil {
			return err
		}
		if !same(before, after) {
			changes = append(changes, Change{before, after})
		}
	}
	t.do(step{label: label, changes: changes})
	return nil
}

// edited gives a specimen as an edit leaves it.
func edited(before *Specimen, edit func(*Specimen)) (*Specimen, error) {
	after := before.Clone()
	edit(after)
	after = after.Clone() // what edit put in may be shared, or empty
	after.ID, after.Created = before.ID, before.Created
	after.Changed, after.Revision = before.Changed, before.Revision
	return after, after.Check()
}

// Duplicate adds a copy of a specimen under a new name, without its catalogue
// number, and gives its identifier. The copy's photographs are the same
// pictures.
func (t *Tray) Duplicate(id string) (string, error) {
	s := t.Get(id)
	if s == nil {
		return "", ErrGone
	}
	c := s.Clone()
	c.Name = t.copyName(s.Name)
	c.CatalogNumber = "" // a collection gives each number once
	ids, err := t.Add("duplicate "+s.Name, c)
	if err != nil {
		return "", err
	}
	return ids[0], nil
}

// Delete takes specimens out of the tray as one step.
func (t *Tray) Delete(label string, ids ...string) error {
	var changes []Change
	for i, id := range ids {
		if slices.Contains(ids[:i], id) {
			continue
		}
		s := t.Get(id)
		if s == nil {
			return ErrGone
		}
		changes = append(changes, Change{Before: s})
	}
	t.do(step{label: label, changes: changes})
	return nil
}

// reverse takes changes back and gives what was done for it.
func (t *Tray) reverse(changes []Change) []Change {
	back := make([]Change, len(changes))
	for i, c := range changes {
		back[i] = Change{Before: c.After, After: c.Before}
	}
	return t.apply(back)
}

// Undo takes the last step back and gives its label and the identifiers of
// the specimens it concerned; ok is false when there is none.
func (t *Tray) Undo() (label string, ids []string, ok bool) {
	if len(t.done) == 0 {
		return "", nil, false
	}
	s := t.done[len(t.done)-1]
	t.done = t.done[:len(t.done)-1]
	s.changes = t.reverse(s.changes)
	t.undone = append(t.undone, s)
	if n := len(t.done); n > 0 {
		t.done[n-1].merge = "" // what is done from here on is a step of its own
	}
	return s.label, touched(s), true
}

// Redo does the last undone step again.
func (t *Tray) Redo() (label string, ids []string, ok bool) {
	if len(t.undone) == 0 {
		return "", nil, false
	}
	s := t.undone[len(t.undone)-1]
	t.undone = t.undone[:len(t.undone)-1]
	s.changes = t.reverse(s.changes)
	s.merge = "" // a new drag is a new step
	t.done = append(t.done, s)
	return s.label, touched(s), true
}

// CanUndo and CanRedo give the label of the step that would be taken, or "".
func (t *Tray) CanUndo() string {
	if len(t.done) == 0 {
		return ""
	}
	return t.done[len(t.done)-1].label
}

// CanRedo gives the label of the step that Redo would do again, or "".
func (t *Tray) CanRedo() string {
	if len(t.undone) == 0 {
		return ""
	}
	return t.undone[len(t.undone)-1].label
}

// Adopt takes a specimen as it was saved elsewhere (at start, or by another
// tab) without making a step of it. A copy that is not newer than ours is
// ignored. What earlier steps did to this specimen is forgotten, since undoing
// it would silently take back what was done elsewhere; what they did to others
// stays undoable.
func (t *Tray) Adopt(s *Specimen) (changed bool, err error) {
	if err := s.Check(); err != nil {
		return false, err
	}
	if i := t.index(s.ID); i >= 0 {
		if s.Revision <= t.specimens[i].Revision {
			return false, nil
		}
		t.specimens = slices.Delete(t.specimens, i, i+1)
	}
	t.insert(s.Clone())
	t.forget(s.ID)
	return true, nil
}

// Drop removes a specimen that was deleted elsewhere, without a step.
func (t *Tray) Drop(id string) bool {
	i := t.index(id)
	if i < 0 {
		return false
	}
	t.specimens = slices.Delete(t.specimens, i, i+1)
	t.forget(id)
	return true
}

func (t *Tray) forget(id string) {
	without := func(steps []step) []step {
		for i := range steps {
			steps[i].changes = slices.DeleteFunc(steps[i].changes, func(c Change) bool { return c.ID() == id })
		}
		return slices.DeleteFunc(steps, func(s step) bool { return len(s.changes) == 0 })
	}
	t.done, t.undone = without(t.done), without(t.undone)
}

func (t *Tray) do(s step) {
	if len(s.changes) == 0 {
		return
	}
	s.changes = t.apply(s.changes)
	t.undone = nil
	if n := len(t.done); n > 0 && s.merge != "" && t.done[n-1].merge == s.merge &&
		len(s.changes) == 1 && len(t.done[n-1].changes) == 1 && t.done[n-1].changes[0].ID() == s.changes[0].ID() {
		whole := &t.done[n-1].changes[0]
		whole.After = s.changes[0].After
		if sameInputs(whole.Before, whole.After) { // dragged back to where it began
			t.done = t.done[:n-1]
		}
		return
	}
	t.done = append(t.done, s)
}

// apply carries changes out and gives them as they stand afterwards, with a
// fresh revision: going back to an older state is a newer change.
func (t *Tray) apply(changes []Change) []Change {
	out := make([]Change, len(changes))
	now := t.now()
	for i, c := range changes {
		j := t.index(c.ID())
		if j >= 0 {
			c.Before = t.specimens[j]
		}
		if c.After == nil {
			if j >= 0 {
				t.specimens = slices.Delete(t.specimens, j, j+1)
			}
		} else {
			a := *c.After // deep parts are never changed once handed over
			a.Changed = now
			if c.Before != nil {
				a.Revision = max(a.Revision, c.Before.Revision)
			}
			a.Revision++
			c.After = &a
			if j >= 0 {
				t.specimens[j] = &a
			} else {
				t.insert(&a)
			}
		}
		out[i] = c
	}
	if t.Keep != nil {
		t.Keep(slices.Clone(out))
	}
	return out
}

func (t *Tray) insert(s *Specimen) {
	i, _ := slices.BinarySearchFunc(t.specimens, s, func(a, b *Specimen) int {
		return cmp.Or(a.Created.Compare(b.Created), cmp.Compare(a.ID, b.ID))
	})
	t.specimens = slices.Insert(t.specimens, i, s)
}

// FreshName proposes a name for a new tooth that no specimen has yet.
func (t *Tray) FreshName() string {
	return t.freeName(func(n int) string { return fmt.Sprintf("%s %d", freshName, n) })
}

const freshName = "Tooth"

// copyName proposes a name for a copy. The program's own names count on; to
// the number of a collection nothing is added that could be read as another
// specimen's number.
func (t *Tray) copyName(of string) string {
	if number, ok := strings.CutPrefix(of, freshName+" "); ok && isNumber(number) {
		return t.FreshName()
	}
	base := withoutCopyMark(of)
	return t.freeName(func(n int) string {
		if n == 1 {
			return base + " (copy)"
		}
		return fmt.Sprintf("%s (copy %d)", base, n)
	})
}

// withoutCopyMark takes one " (copy)" or " (copy 2)" off the end of a name.
func withoutCopyMark(name string) string {
	at := strings.LastIndex(name, " (copy")
	if at < 0 {
		return name
	}
	mark := name[at:]
	number, numbered := strings.CutPrefix(strings.TrimSuffix(mark, ")"), " (copy ")
	if mark == " (copy)" || numbered && strings.HasSuffix(mark, ")") && isNumber(number) {
		return name[:at]
	}
	return name
}

// freeName gives the first of the names numbered from 1 that no specimen has.
func (t *Tray) freeName(numbered func(n int) string) string {
	taken := map[string]bool{}
	for _, s := range t.specimens {
		taken[s.Name] = true
	}
	for n := 1; ; n++ {
		if name := numbered(n); !taken[name] {
			return name
		}
	}
}

func isNumber(s string) bool {
	return s != "" && strings.Trim(s, "0123456789") == ""
}

func touched(s step) []string {
	ids := make([]string, len(s.changes))
	for i, c := range s.changes {
		ids[i] = c.ID()
	}
	return ids
}

// now is the time without the monotonic part, which saving would lose.
func (t *Tray) now() time.Time {
	if t.Now != nil {
		return t.Now().UTC().Round(0)
	}
	return time.Now().UTC().Round(0)
}
