//go:build browser

package browsertest

import (
	"strconv"
	"testing"
	"time"
)

// A page that is left alone is left alone by its program: it asks for no frames
// and sets no timers, and draws again at the next turn of the wheel.
func TestAtRest(t *testing.T) {
	v := Laptop
	v.Prelude = `globalThis.calls = [];
	for (const name of ["requestAnimationFrame", "setTimeout", "setInterval"]) {
		const real = globalThis[name];
		globalThis[name] = (...given) => { calls.push(name + " " + given.slice(1)); return real(...given) };
	}`
	p := Open(t, v)
	openDemo(p)
	p.UntilText("#saving", "Saved")
	const settled = 5 * time.Second // thumbnails, and what is looked up beside
	time.Sleep(settled)
	p.Exec(`calls = []`)
	time.Sleep(settled)
	if n := Eval[int](p, `calls.length`); n > 3 {
		t.Errorf("in %v at rest the program asked %d times for a frame or a timer: %.300s", settled, n, Eval[string](p, `calls.join(", ")`))
	}
	before := Eval[string](p, `document.querySelector("canvas").dataset.place`)
	p.Wheel(600, 300, 0, -200)
	p.Until(`document.querySelector("canvas").dataset.place !== ` + strconv.Quote(before))
}
