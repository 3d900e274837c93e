package tray

import (
	"crypto/rand"
	"reflect"
)

// newID makes an identifier that no other browser will make: 128 random bits.
func (t *Tray) newID() string {
	if t.NewID != nil {
		return t.NewID()
	}
	return NewID()
}

// NewID makes a random identifier for a specimen or a photograph.
func NewID() string { return rand.Text() }

// same tells whether two states of a specimen are equal in every part.
func same(a, b *Specimen) bool { return reflect.DeepEqual(*a, *b) }

// SameContent tells whether two specimens hold the same, whoever made them and
// when.
func SameContent(a, b *Specimen) bool {
	x, y := a.Clone(), b.Clone()
	x.ID, x.Created, x.Changed, x.Revision = y.ID, y.Created, y.Changed, y.Revision
	return same(x, y)
}

// sameInputs tells whether two states of one specimen hold the same inputs,
// whenever they were made.
func sameInputs(a, b *Specimen) bool {
	if a == nil || b == nil {
		return a == b
	}
	c := *b
	c.Changed, c.Revision = a.Changed, a.Revision
	return same(a, &c)
}
