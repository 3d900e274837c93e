//go:build js

package store

import (
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// openChannel joins the channel on which tabs announce what they have saved.
// A browser without such channels still notices conflicts, only later.
func (s *Store) openChannel() {
	class := js.Global().Get("BroadcastChannel")
	if class.Type() != js.TypeFunction {
		return
	}
	if c, err := promise.Try(func() js.Value { return class.New(s.name) }); err == nil {
		s.channel = c
	}
}

func (s *Store) announce(r record) {
	if !s.channel.Truthy() {
		return
	}
	// Closing the channel meanwhile is no reason to fail: it is saved.
	_, _ = promise.Try(func() js.Value {
		return s.channel.Call("postMessage", map[string]any{"from": s.tab, "id": r.ID, "revision": r.Revision})
	})
}

// Watch has f called, on a goroutine of its own, with the identifier of each
// specimen that another tab has saved or deleted. f may then Read it, and have
// the tray Adopt or Drop it. Calls may overlap and may repeat. While a change
// to that specimen waits here, f is not called: first it must be known whether
// there is a conflict. There is one f; a later call replaces it.
func (s *Store) Watch(f func(id string)) {
	s.mu.Lock()
	again := s.watch != nil
	s.watch = f
	s.mu.Unlock()
	if again || !s.channel.Truthy() {
		return
	}
	s.channel.Call("addEventListener", "message", js.FuncOf(func(_ js.Value, args []js.Value) any {
		m := args[0].Get("data")
		if m.Type() != js.TypeObject {
			return nil
		}
		from, id := m.Get("from"), m.Get("id")
		if id.Type() == js.TypeString && !from.Equal(js.ValueOf(s.tab)) {
			s.mu.Lock()
			s.heard[id.String()] = true
			s.mu.Unlock()
			s.pass()
		}
		return nil
	}))
}

// pass hands on what has been heard of specimens without a change waiting.
func (s *Store) pass() {
	s.mu.Lock()
	defer s.mu.Unlock()
	for id := range s.heard {
		if !s.queue.concerns(id) {
			delete(s.heard, id)
			go s.watch(id)
		}
	}
}
