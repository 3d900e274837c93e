//go:build js

package store

import (
	"context"
	"syscall/js"

	"crownbench/wasm/tray"

	"github.com/hack-pad/go-indexeddb/idb"
)

// Load reads every specimen. Records that cannot be read come back as damaged
// and stay in the database untouched; they keep no other from being read. The
// errors are *Error or the context's. It blocks: see package promise.
func (s *Store) Load(ctx context.Context) (specimens []*tray.Specimen, damaged []*Damaged, err error) {
	// Read first, decoded after: a transaction does not wait for long work.
	var records []*record
	err = s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		return each(ctx, tx, specimenStore, func(key string, v js.Value) {
			records = append(records, recordFromJS(key, v))
		})
	}, specimenStore)
	if err != nil {
		return nil, nil, err
	}
	for _, r := range records {
		switch specimen, d := r.specimen(); {
		case d != nil:
			damaged = append(damaged, d)
		case specimen != nil:
			specimens = append(specimens, specimen)
		}
	}
	return specimens, damaged, nil
}

// Read reads one specimen as it is stored now: nil and nil when it is not
// there or was deleted. The errors are *Damaged, *Error or the context's. It
// blocks: see package promise.
func (s *Store) Read(ctx context.Context, id string) (*tray.Specimen, error) {
	var r *record
	err := s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		v, err := get(ctx, tx, specimenStore, id)
		if err == nil && !v.IsUndefined() {
			r = recordFromJS(id, v)
		}
		return err
	}, specimenStore)
	if err != nil || r == nil {
		return nil, err
	}
	specimen, damaged := r.specimen()
	if damaged != nil {
		return nil, damaged
	}
	return specimen, nil
}

// toJS gives a record as it is stored, under its ID.
func (r *record) toJS() js.Value {
	photos := make([]any, len(r.Photos))
	for i, h := range r.Photos {
		photos[i] = h
	}
	return js.ValueOf(map[string]any{
		"format": r.Format, "revision": r.Revision, "stamp": r.Stamp, "deleted": r.Deleted,
		"when": float64(r.When), "photos": photos, "body": r.Body,
	})
}

// recordFromJS takes what it can from a stored value, whatever that is; what
// is not a record has format 0.
func recordFromJS(key string, v js.Value) *record {
	r := &record{ID: key}
	if v.Type() != js.TypeObject {
		r.Body = stringify(v)
		return r
	}
	number := func(name string) float64 {
		if n := v.Get(name); n.Type() == js.TypeNumber {
			return n.Float()
		}
		return 0
	}
	text := func(name string) string {
		if t := v.Get(name); t.Type() == js.TypeString {
			return t.String()
		}
		return ""
	}
	r.Format, r.Revision = int(number("format")), int(number("revision"))
	r.When = int64(number("when"))
	r.Stamp, r.Body = text("stamp"), text("body")
	r.Deleted = v.Get("deleted").Equal(js.ValueOf(true))
	if photos := v.Get("photos"); js.Global().Get("Array").Call("isArray", photos).Bool() {
		for i := range photos.Length() {
			if h := photos.Index(i); h.Type() == js.TypeString {
				r.Photos = append(r.Photos, h.String())
			}
		}
	}
	if r.Format == 0 {
		r.Body = stringify(v)
	}
	return r
}

func stringify(v js.Value) string {
	if t := js.Global().Get("JSON").Call("stringify", v); t.Type() == js.TypeString {
		return t.String()
	}
	return v.String()
}
