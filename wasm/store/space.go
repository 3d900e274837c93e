//go:build js

package store

import (
	"context"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// Estimate gives how many bytes this page takes up in the browser and how many
// it may; both are rough, and zero where the browser does not tell. It blocks:
// see package promise.
func (s *Store) Estimate(ctx context.Context) (used, quota int64) {
	manager := storageManager()
	if !manager.Truthy() {
		return 0, 0
	}
	v, err := promise.AwaitCall(ctx, manager, "estimate")
	if err != nil {
		return 0, 0
	}
	number := func(name string) int64 {
		if n := v.Get(name); n.Type() == js.TypeNumber {
			return int64(n.Float())
		}
		return 0
	}
	return number("usage"), number("quota")
}

const askedSetting = "askedToPersist"

// Persist asks the browser, once for all, not to throw the tray away when the
// disk runs full, and tells whether it promises that. Some browsers ask the
// user: the right moment is when there is something worth keeping. Its errors
// are *Error or the context's. It blocks: see package promise.
func (s *Store) Persist(ctx context.Context) (bool, error) {
	manager := storageManager()
	if !manager.Truthy() || manager.Get("persist").Type() != js.TypeFunction {
		return false, nil
	}
	if v, err := promise.AwaitCall(ctx, manager, "persisted"); err == nil && v.Truthy() {
		return true, nil
	}
	var asked bool
	if _, err := s.Setting(ctx, askedSetting, &asked); err != nil || asked {
		return false, err
	}
	if err := s.SetSetting(ctx, askedSetting, true); err != nil {
		return false, err
	}
	v, err := promise.AwaitCall(ctx, manager, "persist")
	return err == nil && v.Truthy(), ctx.Err()
}

func storageManager() js.Value {
	return js.Global().Get("navigator").Get("storage")
}
