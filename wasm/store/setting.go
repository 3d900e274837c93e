//go:build js

package store

import (
	"context"
	"encoding/json"
	"fmt"
	"syscall/js"

	"github.com/hack-pad/go-indexeddb/idb"
)

// SetSetting saves a value as JSON under a name. Its errors are *Error, the
// context's or those of encoding/json. It blocks: see package promise.
func (s *Store) SetSetting(ctx context.Context, name string, value any) error {
	b, err := json.Marshal(value)
	if err != nil {
		return fmt.Errorf("the setting %s cannot be written down: %w", name, err)
	}
	return s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		return put(tx, settingStore, name, js.ValueOf(string(b)))
	}, settingStore)
}

// Setting reads the value saved under a name into what value points to; ok is
// false, and value as it was, when there is none or it is of another kind. Its
// errors are *Error or the context's. It blocks: see package promise.
func (s *Store) Setting(ctx context.Context, name string, value any) (ok bool, err error) {
	var v js.Value
	err = s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		var err error
		v, err = get(ctx, tx, settingStore, name)
		return err
	}, settingStore)
	if err != nil || v.Type() != js.TypeString {
		return false, err
	}
	// A setting of another version is no reason not to start.
	return json.Unmarshal([]byte(v.String()), value) == nil, nil
}
