//go:build js

package store

import (
	"context"
	"fmt"
	"syscall/js"
	"time"

	"github.com/hack-pad/go-indexeddb/idb"
)

// NoPhoto is the error for a photograph that is not in the database.
type NoPhoto struct{ Hash string }

func (e *NoPhoto) Error() string {
	return fmt.Sprintf("The photograph (SHA-256 %.12s…) is not among those saved in this browser. Open its file again to go on marking it; what was marked is kept.", e.Hash)
}

// PutPhoto saves the bytes of a photograph's file under its SHA-256, before
// the specimen that shows it is saved. Its errors are *Error or the context's.
// It blocks: see package promise.
func (s *Store) PutPhoto(ctx context.Context, hash string, b []byte) error {
	array := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(array, b)
	return s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		if err := put(tx, photoStore, hash, array); err != nil {
			return err
		}
		return put(tx, photoDateStore, hash, js.ValueOf(float64(time.Now().UnixMilli())))
	}, photoStore, photoDateStore)
}

// Photo reads the bytes of a photograph's file. Its errors are *NoPhoto,
// *Error or the context's. It blocks: see package promise.
func (s *Store) Photo(ctx context.Context, hash string) ([]byte, error) {
	var v js.Value
	err := s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		var err error
		v, err = get(ctx, tx, photoStore, hash)
		return err
	}, photoStore)
	if err != nil {
		return nil, err
	}
	if !v.InstanceOf(js.Global().Get("Uint8Array")) {
		return nil, &NoPhoto{hash}
	}
	b := make([]byte, v.Length())
	js.CopyBytesToGo(b, v)
	return b, nil
}

// Sweep deletes the photographs that no specimen shows any more and that are not
// among those to keep, by hash, and, when no other tab is open, the tombstones,
// whose purpose is to warn other tabs. It
// is meant for the start of the page, when nothing can be undone yet. It gives
// how many photographs were deleted. Its errors are *Error or the context's.
// It blocks: see package promise.
func (s *Store) Sweep(ctx context.Context, keep ...string) (deleted int, err error) {
	alone := s.alone(ctx)
	now := time.Now()
	err = s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		var records []*record
		err := each(ctx, tx, specimenStore, func(key string, v js.Value) {
			records = append(records, recordFromJS(key, v))
		})
		if err != nil {
			return err
		}
		saved := map[string]int64{}
		err = each(ctx, tx, photoDateStore, func(key string, v js.Value) {
			if v.Type() == js.TypeNumber {
				saved[key] = int64(v.Float())
			}
		})
		if err != nil {
			return err
		}
		for _, hash := range keep {
			delete(saved, hash)
		}
		for _, hash := range stray(records, saved, alone, now) {
			if err := remove(tx, photoStore, hash); err != nil {
				return err
			}
			if err := remove(tx, photoDateStore, hash); err != nil {
				return err
			}
			if err := remove(tx, thumbnailStore, hash); err != nil {
				return err
			}
			deleted++
		}
		for _, r := range records {
			if alone && outlived(r, now) {
				if err := remove(tx, specimenStore, r.ID); err != nil {
					return err
				}
			}
		}
		return nil
	}, specimenStore, photoStore, photoDateStore, thumbnailStore)
	if err != nil {
		return 0, err
	}
	return deleted, nil
}
