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

// same tells whether two states of a specimen hold the same inputs.
func same(a, b *Specimen) bool { return reflect.DeepEqual(*a, *b) }
