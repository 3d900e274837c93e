//go:build js

package page

import (
	"context"
	"fmt"
	"syscall/js"
	"time"

	"crownbench/wasm/intake"
	"crownbench/wasm/store/promise"
)

const (
	// spell is how long work beside the page runs before the browser gets its
	// turn: less than half a frame, so that the page answers at once.
	spell = 7 * time.Millisecond
	// showing is the time between two looks at how far such work is.
	showing = 300 * time.Millisecond
	// rest is how long a person has stopped for to have paused.
	rest = 400 * time.Millisecond
)

// PickTable lets the person choose a table of teeth.
func (a *App) PickTable() {
	a.pick("text/csv,text/tab-separated-values,text/plain,.csv,.tsv,.tab,.txt", false, false)
}

// takeTable reads the file of a table and opens it.
func (a *App) takeTable(ctx context.Context, name string, file js.Value) {
	if err := intake.CheckSize(name, file.Get("size").Float()); err != nil {
		a.desk.Warn(sentence(err))
		return
	}
	buffer, err := promise.AwaitCall(ctx, file, "arrayBuffer")
	if err != nil { // moved or changed since it was chosen, or on a disk pulled out
		a.desk.Warn(fmt.Sprintf("%s could not be read (%v). See that it is still where it was, and open it again.", name, err))
		return
	}
	array := js.Global().Get("Uint8Array").New(buffer)
	b := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(b, array)
	a.desk.TakeTable(name, b)
}

// pasteTable opens a table that was pasted: on the page itself, or into the
// field for pasted cells. What is pasted into any other field belongs there.
func (a *App) pasteTable(e js.Value) bool {
	text := e.Get("clipboardData").Call("getData", "text/plain").String()
	target := e.Get("target")
	switch tag := target.Get("localName"); {
	case target.Get("id").Equal(js.ValueOf("table-typed")):
	case tag.Type() == js.TypeString && (tag.String() == "input" || tag.String() == "textarea" || tag.String() == "select"):
		return false
	}
	return a.desk.PasteTable(text)
}

// Beside runs work between the browser's own tasks.
func (a *App) Beside(work func(turn func() bool)) {
	go func() {
		b := newBreath()
		defer b.close()
		began, shown := time.Now(), time.Now()
		work(func() bool {
			now := time.Now()
			if now.Sub(began) < spell {
				return false
			}
			show := now.Sub(shown) >= showing
			if show {
				shown = now
			}
			b.take()
			began = time.Now()
			return show
		})
	}()
}

// Rested calls f after a moment.
func (a *App) Rested(f func()) { time.AfterFunc(rest, f) }

// breath lets the browser do what is waiting. A message to oneself comes back
// after the tasks before it, and, unlike a timer, without a least delay.
type breath struct {
	here, there js.Value
	back        chan struct{}
	came        js.Func
}

func newBreath() *breath {
	channel := js.Global().Get("MessageChannel").New()
	b := &breath{here: channel.Get("port1"), there: channel.Get("port2"), back: make(chan struct{}, 1)}
	b.came = js.FuncOf(func(js.Value, []js.Value) any {
		b.back <- struct{}{}
		return nil
	})
	b.here.Set("onmessage", b.came)
	return b
}

func (b *breath) take() {
	b.there.Call("postMessage", js.Null())
	<-b.back
}

func (b *breath) close() {
	b.here.Call("close")
	b.came.Release()
}
