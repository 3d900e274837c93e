//go:build js

package page

import (
	"syscall/js"
	"time"

	"crownbench/wasm/bench"
)

// Pointer, wheel and key events are taken from the document, each with its own
// place and time, rather than asked of Ebitengine once a frame: on a slow
// machine a click would otherwise land where the pointer has got to since.
// They are caught on their way down and end here, so that Ebitengine neither
// draws a frame for each nor keeps the Tab key from leaving the canvas.

func (a *App) onCanvas(event js.Value) bool {
	return !a.canvas.IsNull() && event.Get("target").Equal(a.canvas)
}

func (a *App) listen(event string, f func(js.Value)) {
	js.Global().Call("addEventListener", event, js.FuncOf(func(_ js.Value, args []js.Value) any {
		f(args[0])
		return nil
	}), map[string]any{"capture": true, "passive": false})
}

func (a *App) listenPointer() {
	for event, kind := range map[string]bench.PointerKind{
		"pointerdown": bench.Down, "pointermove": bench.Move, "pointerup": bench.Up,
		"pointercancel": bench.Cancel, "pointerout": bench.Leave,
	} {
		a.listen(event, func(e js.Value) {
			if !a.onCanvas(e) {
				return
			}
			if kind == bench.Down {
				// What was being typed is taken before the click counts.
				a.canvas.Call("focus", map[string]any{"preventScroll": true})
				a.canvas.Call("setPointerCapture", e.Get("pointerId"))
				a.desk.SetDrawer(false, false)
			}
			device := bench.Mouse
			switch e.Get("pointerType").String() {
			case "touch":
				device = bench.Touch
			case "pen":
				device = bench.Pen
			}
			a.desk.Bench.Pointer(bench.PointerEvent{
				Kind: kind, ID: e.Get("pointerId").Int(), X: e.Get("clientX").Float(), Y: e.Get("clientY").Float(),
				Button: e.Get("button").Int(), Device: device,
				Shift: e.Get("shiftKey").Bool(), Ctrl: e.Get("ctrlKey").Bool(), Alt: e.Get("altKey").Bool(),
				Time: time.Duration(e.Get("timeStamp").Float() * float64(time.Millisecond)),
			})
		})
	}
	// The older events that the browser makes beside pointer events end here.
	for _, event := range []string{"mousedown", "mouseup", "mousemove", "touchstart", "touchmove", "touchend"} {
		a.listen(event, func(e js.Value) {
			if a.onCanvas(e) {
				e.Call("stopPropagation")
				if event == "mousedown" {
					e.Call("preventDefault")
				}
			}
		})
	}
	a.listen("contextmenu", func(e js.Value) {
		if a.onCanvas(e) {
			e.Call("preventDefault")
		}
	})
	a.listen("wheel", func(e js.Value) {
		if !a.onCanvas(e) {
			return
		}
		e.Call("preventDefault")
		e.Call("stopPropagation")
		a.desk.Bench.Wheel(bench.WheelEvent{
			X: e.Get("clientX").Float(), Y: e.Get("clientY").Float(),
			DX: e.Get("deltaX").Float(), DY: e.Get("deltaY").Float(), Mode: bench.WheelMode(e.Get("deltaMode").Int()),
			Shift: e.Get("shiftKey").Bool(), Ctrl: e.Get("ctrlKey").Bool(), Alt: e.Get("altKey").Bool(),
		})
	})
}

func (a *App) listenKeys() {
	key := func(up bool) func(js.Value) {
		return func(e js.Value) {
			if e.Get("key").Type() != js.TypeString { // some browsers fill in forms with such events
				return
			}
			if a.onCanvas(e) {
				e.Call("stopPropagation")
			}
			k := bench.KeyEvent{
				Key: e.Get("key").String(), Up: up, Repeat: e.Get("repeat").Bool(),
				Shift: e.Get("shiftKey").Bool(), Ctrl: e.Get("ctrlKey").Bool(), Alt: e.Get("altKey").Bool(), Meta: e.Get("metaKey").Bool(),
			}
			if a.key(e.Get("target"), k) {
				e.Call("preventDefault")
			}
		}
	}
	a.listen("keydown", key(false))
	a.listen("keyup", key(true))
}

// key tells whether the program took the key.
func (a *App) key(target js.Value, k bench.KeyEvent) bool {
	tag := ""
	if n := target.Get("localName"); n.Type() == js.TypeString {
		tag = n.String()
	}
	if tag == "input" && target.Get("type").String() == "checkbox" {
		tag = "button" // nothing is typed into it
	}
	typing := tag == "input" || tag == "textarea" || tag == "select"
	switch {
	case k.Up:
	case k.Key == "F1":
		a.desk.ToggleHelp()
		return true
	case k.Key == "Escape" && a.desk.Escape():
		return true
	case (k.Ctrl || k.Meta) && (k.Key == "z" || k.Key == "Z") && !typing:
		if k.Shift {
			a.desk.Redo()
		} else {
			a.desk.Undo()
		}
		return true
	case (k.Ctrl || k.Meta) && k.Key == "y" && !typing:
		a.desk.Redo()
		return true
	}
	// Keys belong to the element in focus; a button or a box to tick needs
	// only those that press it, so that the photograph's keys work after a tool was chosen.
	switch tag {
	case "canvas", "body":
	case "button":
		if k.Key == "Enter" || k.Key == " " || k.Key == "Tab" {
			return false
		}
	default:
		return false
	}
	return a.desk.Photo() != nil && a.desk.Bench.Key(k)
}
