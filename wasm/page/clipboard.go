//go:build js

package page

import (
	"context"
	"errors"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// Copy puts a text on the clipboard.
func (a *App) Copy(text string, done func(error)) {
	clipboard := js.Global().Get("navigator").Get("clipboard")
	if !clipboard.Truthy() { // an address without https
		done(errors.New("this browser gives the page no clipboard; it does at an address that begins with https"))
		return
	}
	go func() {
		_, err := promise.AwaitCall(context.Background(), clipboard, "writeText", text)
		if err != nil {
			err = errors.New("the browser refused; allow the page the clipboard, or press once on the page and try again")
		}
		done(err)
	}()
}
