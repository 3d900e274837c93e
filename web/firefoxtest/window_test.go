//go:build firefox

package firefoxtest

import (
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

// Window is a Firefox with the page in it.
type Window struct {
	t    *testing.T
	fox  *marionette
	home string
}

func (w *Window) call(command string, parameters, result any) {
	w.t.Helper()
	if err := w.fox.call(command, parameters, result); err != nil {
		w.t.Fatal(err)
	}
}

// value gives what a JavaScript expression comes to; a promise is waited for.
func value[T any](w *Window, expression string) (T, error) {
	var r struct{ Value T }
	err := w.fox.call("WebDriver:ExecuteScript", map[string]any{"script": "return (" + expression + ")", "args": []any{}}, &r)
	return r.Value, err
}

// Eval is value for what cannot fail.
func Eval[T any](w *Window, expression string) T {
	w.t.Helper()
	v, err := value[T](w, expression)
	if err != nil {
		w.t.Fatalf("%s: %v", expression, err)
	}
	return v
}

// Until waits until a JavaScript expression is true.
func (w *Window) Until(expression string) {
	w.t.Helper()
	var last error
	for deadline := time.Now().Add(patience); time.Now().Before(deadline); time.Sleep(50 * time.Millisecond) {
		var ok bool
		if ok, last = value[bool](w, "!!("+expression+")"); ok {
			return
		}
	}
	w.t.Fatalf("waited in vain for\n\t%s\n%v", expression, last)
}

// UntilText waits until an element shows a text, wherever in it.
func (w *Window) UntilText(selector, want string) {
	w.t.Helper()
	w.Until(fmt.Sprintf(`(document.querySelector(%q)?.innerText ?? "").includes(%q)`, selector, want))
}

// follow waits until the page has drawn what came of the last events.
func (w *Window) follow() {
	w.t.Helper()
	Eval[bool](w, `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
}

// act has the browser carry out input of one device.
func (w *Window) act(device map[string]any, actions ...map[string]any) {
	w.t.Helper()
	device["id"], device["actions"] = device["type"], actions
	w.call("WebDriver:PerformActions", map[string]any{"actions": []any{device}}, nil)
}

// ClickAt clicks at a point of the window, in CSS px, as often as is said.
func (w *Window) ClickAt(x, y float64, times int) {
	w.t.Helper()
	actions := []map[string]any{{"type": "pointerMove", "x": x, "y": y, "origin": "viewport", "duration": 0}}
	for range times {
		actions = append(actions, map[string]any{"type": "pointerDown", "button": 0}, map[string]any{"type": "pointerUp", "button": 0})
	}
	w.act(map[string]any{"type": "pointer", "parameters": map[string]any{"pointerType": "mouse"}}, actions...)
}

// Click clicks into the middle of the one visible element that the selector
// names, which nothing may cover.
func (w *Window) Click(selector string) {
	w.t.Helper()
	w.follow()
	w.Until(fmt.Sprintf(`[...document.querySelectorAll(%q)].filter(e => e.checkVisibility({visibilityProperty: true})).length === 1`, selector))
	at := Eval[struct {
		X, Y    float64
		Covered string
	}](w, fmt.Sprintf(`(e => {
		e.scrollIntoView({block: "nearest"});
		const r = e.getClientRects()[0], X = r.x + r.width / 2, Y = r.y + r.height / 2, hit = document.elementFromPoint(X, Y);
		return {X, Y, Covered: e.contains(hit) ? "" : hit?.outerHTML.slice(0, 100) ?? "nothing"};
	})([...document.querySelectorAll(%q)].find(e => e.checkVisibility({visibilityProperty: true})))`, selector))
	if at.Covered != "" {
		w.t.Fatalf("%s is covered by %s", selector, at.Covered)
	}
	w.ClickAt(at.X, at.Y, 1)
}

// Wheel turns the wheel over a point of the window.
func (w *Window) Wheel(x, y, dy float64) {
	w.t.Helper()
	w.act(map[string]any{"type": "wheel"}, map[string]any{"type": "scroll", "x": int(x), "y": int(y), "deltaX": 0, "deltaY": dy, "duration": 0, "origin": "viewport"})
}

// Keys of WebDriver (W3C, WebDriver, 17.4.2, "keyboard actions").
const (
	Tab     = "\ue004"
	Enter   = "\ue007"
	Control = "\ue009"
	Escape  = "\ue00c"
	Delete  = "\ue017"
)

// Type strikes keys one after the other.
func (w *Window) Type(text string) {
	w.t.Helper()
	var actions []map[string]any
	for _, r := range text {
		actions = append(actions, map[string]any{"type": "keyDown", "value": string(r)}, map[string]any{"type": "keyUp", "value": string(r)})
	}
	w.act(map[string]any{"type": "key"}, actions...)
}

// Fill puts the text in place of what a field holds.
func (w *Window) Fill(selector, text string) {
	w.t.Helper()
	w.Click(selector)
	w.act(map[string]any{"type": "key"},
		map[string]any{"type": "keyDown", "value": Control}, map[string]any{"type": "keyDown", "value": "a"},
		map[string]any{"type": "keyUp", "value": "a"}, map[string]any{"type": "keyUp", "value": Control})
	w.Type(Delete + text)
}

// Drop lets a file go over the bench.
func (w *Window) Drop(name string, content []byte) {
	w.t.Helper()
	Eval[bool](w, fmt.Sprintf(`(() => {
		const bytes = Uint8Array.from(atob(%q), c => c.charCodeAt(0)), dataTransfer = new DataTransfer();
		dataTransfer.items.add(new File([bytes], %q));
		for (const kind of ["dragenter", "dragover", "drop"]) {
			document.body.dispatchEvent(new DragEvent(kind, {bubbles: true, cancelable: true, dataTransfer}));
		}
		return true;
	})()`, base64.StdEncoding.EncodeToString(content), name))
}

// Reload loads the page anew, as the reload button does.
func (w *Window) Reload() {
	w.t.Helper()
	w.call("WebDriver:Refresh", nil, nil)
	w.Until(`document.documentElement.dataset.state === "ready"`)
}

// Shot saves a picture of the page as it stands in dist/shots/<name>.png.
func (w *Window) Shot(name string) {
	w.t.Helper()
	var r struct{ Value string }
	w.call("WebDriver:TakeScreenshot", map[string]any{"full": false}, &r)
	picture, err := base64.StdEncoding.DecodeString(r.Value)
	if err != nil {
		w.t.Fatal(err)
	}
	if err := os.MkdirAll(shotFolder, 0o755); err != nil {
		w.t.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(shotFolder, name+".png"), picture, 0o644); err != nil {
		w.t.Fatal(err)
	}
}

// lastLook runs when the test is over: what Firefox complained of in the page
// fails it, and a failure leaves a picture.
func (w *Window) lastLook() {
	if w.t.Failed() {
		w.Shot("FAILED-firefox-" + strings.ReplaceAll(w.t.Name(), "/", "-"))
		w.t.Logf("the page at the end: dist/shots/FAILED-firefox-%s.png", w.t.Name())
	}
	w.call("Marionette:SetContext", map[string]any{"value": "chrome"}, nil)
	complaints := Eval[[]string](w, fmt.Sprintf(`Services.console.getMessageArray()
		.filter(m => m instanceof Ci.nsIScriptError && !(m.flags & Ci.nsIScriptError.warningFlag) && (m.sourceName.startsWith(%[1]q) || /CSP|Content Security/.test(m.category) && m.innerWindowID))
		.map(String)`, w.home))
	for _, c := range complaints {
		w.t.Errorf("Firefox complains: %s", c)
	}
}
