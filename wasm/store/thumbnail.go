//go:build js

package store

import (
	"context"
	"syscall/js"

	"github.com/hack-pad/go-indexeddb/idb"
)

// PutThumbnail saves a small picture of a photograph, a JPEG, under the SHA-256
// of the photograph's file. It goes with the photograph when that is swept. Its
// errors are *Error or the context's. It blocks: see package promise.
func (s *Store) PutThumbnail(ctx context.Context, hash string, jpeg []byte) error {
	array := js.Global().Get("Uint8Array").New(len(jpeg))
	js.CopyBytesToJS(array, jpeg)
	return s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		return put(tx, thumbnailStore, hash, array)
	}, thumbnailStore)
}

// Thumbnail reads the small picture of a photograph, nil when none was saved.
// Its errors are *Error or the context's. It blocks: see package promise.
func (s *Store) Thumbnail(ctx context.Context, hash string) ([]byte, error) {
	var v js.Value
	err := s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		var err error
		v, err = get(ctx, tx, thumbnailStore, hash)
		return err
	}, thumbnailStore)
	if err != nil || !v.InstanceOf(js.Global().Get("Uint8Array")) {
		return nil, err
	}
	b := make([]byte, v.Length())
	js.CopyBytesToGo(b, v)
	return b, nil
}
