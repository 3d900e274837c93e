package lesson

import (
	"encoding/json"
	"errors"
	"fmt"
	"slices"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Key is what the instructor keeps: the lesson as it was handed out and what is
// held to be true of its teeth.
type Key struct {
	Lesson *Lesson
	Digest string // of the lesson
	Teeth  []KeyTooth
	// Changed tells that the file is not as the program wrote it.
	Changed bool
}

// KeyTooth is a tooth of the lesson as the instructor has it.
type KeyTooth struct {
	ID       string            `json:"id"`
	Specimen *tray.Specimen    `json:"specimen"`
	Truth    string            `json:"truth,omitempty"`
	Photos   map[string]string `json:"photos"` // the specimen's photograph by the lesson's
}

type keyBody struct {
	Lesson json.RawMessage `json:"lesson"`
	Digest string          `json:"digest"`
	Teeth  []KeyTooth      `json:"teeth"`
}

func (k *Key) write() ([]byte, error) {
	text, digest, err := k.Lesson.manifest()
	if err != nil {
		return nil, err
	}
	out, err := seal(KeyFormat, keyBody{text, digest, k.Teeth})
	if err != nil {
		return nil, err
	}
	if len(out) > MaxKeyBytes {
		return nil, fmt.Errorf("the key would be larger than %d MB: choose fewer teeth", MaxKeyBytes>>20)
	}
	return out, nil
}

// ReadKey reads a key file. The error says what is wrong with it; a key that
// was changed after it was written is read all the same, and says so.
func ReadKey(b []byte) (*Key, error) {
	var body keyBody
	whole, err := unseal(b, KeyFormat, MaxKeyBytes, &body)
	if err != nil {
		return nil, err
	}
	k := &Key{Digest: body.Digest, Teeth: body.Teeth, Changed: !whole}
	if k.Lesson, err = readManifest(body.Lesson); err != nil {
		return nil, err
	}
	if len(k.Teeth) != len(k.Lesson.Teeth) {
		return nil, errors.New("the key has other teeth than its lesson")
	}
	for i := range k.Teeth {
		t := &k.Teeth[i]
		if t.ID != k.Lesson.Teeth[i].ID || t.Specimen == nil {
			return nil, errors.New("the key has other teeth than its lesson")
		}
		if err := t.Specimen.Check(); err != nil {
			return nil, err
		}
		if t.Truth != "" && !slices.Contains(k.Lesson.Choices, t.Truth) {
			return nil, fmt.Errorf("the key calls tooth %d %.40q, which is none of the names to choose from", i+1, t.Truth)
		}
		t.Specimen = t.Specimen.Clone()
	}
	return k, nil
}

// Fits tells, in a sentence, why a lesson is not the one of this key, or nil.
func (k *Key) Fits(o *Opened) error {
	switch {
	case o.Lesson.ID != k.Lesson.ID:
		return fmt.Errorf("this key belongs to another lesson, %.60q", k.Lesson.Title)
	case o.Digest != k.Digest:
		return errors.New("the lesson file was changed after its key was made")
	}
	return nil
}

func (t *KeyTooth) readings() morph.Readings { return morph.Values(t.Specimen.Tooth()) }

// judged gives a reading's value where it is fit to be compared: known, and of
// the part that is there. A minimum is, since everyone measures what is left of
// the tooth.
func judged(r morph.Reading) (float64, bool) {
	switch r.State {
	case morph.MeasuredState, morph.Estimated, morph.Minimum:
		return r.Value, r.Known
	}
	return 0, false
}
