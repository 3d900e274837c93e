//go:build js

package page

import (
	"context"
	"syscall/js"

	"crownbench/wasm/desk"
	"crownbench/wasm/store/promise"
)

// keeperScript keeps the page's own files in the browser; see web/offline.js.
const keeperScript = "offline.js"

// keepPage has the browser keep the page, so that it starts without a
// connection, and follows what becomes of it. Where a browser does not do that,
// the page works as long as it is open.
func (a *App) keepPage(ctx context.Context) {
	workers := js.Global().Get("navigator").Get("serviceWorker")
	if !workers.Truthy() {
		return
	}
	led := workers.Get("controller").Truthy()
	if led {
		a.desk.SetReach(desk.KeptHere)
	}
	workers.Call("addEventListener", "controllerchange", js.FuncOf(func(js.Value, []js.Value) any {
		switch {
		case a.takingUp:
			js.Global().Get("location").Call("reload")
		case led:
			a.desk.TakenOverElsewhere()
		default: // the first visit: the page has just been kept
			led = true
			a.desk.SetReach(desk.KeptHere)
		}
		return nil
	}))
	registration, err := promise.AwaitCall(ctx, workers, "register", keeperScript, map[string]any{"updateViaCache": "none"})
	if err != nil {
		return // no connection, a private window: the help says what that means
	}
	// Beside one that is at work, what waits is newer. Whether the page is led
	// does not tell: a browser may say that before it says that the very first
	// one is installed.
	atWork := func() bool { return registration.Get("active").Truthy() }
	if registration.Get("waiting").Truthy() && atWork() {
		a.desk.NewerReady()
	}
	registration.Call("addEventListener", "updatefound", js.FuncOf(func(js.Value, []js.Value) any {
		next := registration.Get("installing")
		if !next.Truthy() || !atWork() {
			return nil
		}
		next.Call("addEventListener", "statechange", js.FuncOf(func(js.Value, []js.Value) any {
			if next.Get("state").String() == "installed" {
				a.desk.NewerReady()
			}
			return nil
		}))
		return nil
	}))
}

// TakeUpNewer saves what is pending and lets the newer version take over, which
// loads the page again.
func (a *App) TakeUpNewer() {
	go func() {
		ctx := context.Background()
		if a.keeper.store != nil {
			if err := a.keeper.store.Flush(ctx); err != nil {
				a.desk.Warn("The newer version waits, since something is not saved yet. " + sentence(err))
				return
			}
		}
		registration, err := promise.AwaitCall(ctx, js.Global().Get("navigator").Get("serviceWorker"), "getRegistration")
		if err != nil || !registration.Truthy() || !registration.Get("waiting").Truthy() {
			a.desk.PutOffNewer()
			a.desk.Remark("Close every tab of the program to take up the newer version.")
			return
		}
		a.takingUp = true
		registration.Get("waiting").Call("postMessage", "take over")
	}()
}
