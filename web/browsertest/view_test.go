//go:build browser

package browsertest

import (
	"image"
	"strings"
	"testing"
)

func TestViews(t *testing.T) {
	for name, c := range map[string]struct {
		view View
		want string
	}{
		"laptop":   {Laptop, `innerWidth === 1280 && innerHeight === 720`},
		"desk":     {Desk, `innerWidth === 1920 && innerHeight === 1080`},
		"light":    {Laptop, `matchMedia("(prefers-color-scheme: light)").matches`},
		"dark":     {Laptop.InDark(), `matchMedia("(prefers-color-scheme: dark)").matches`},
		"mouse":    {Laptop, `matchMedia("(pointer: fine)").matches && navigator.maxTouchPoints === 0`},
		"print":    {View{Width: 800, Height: 600, Print: true}, `matchMedia("print").matches`},
		"focus":    {Laptop, `document.hasFocus()`},
		"WebGL":    {Laptop, `document.createElement("canvas").getContext("webgl2") !== null`},
		"no WebGL": {View{Width: 800, Height: 600, NoWebGL: true}, `["webgl", "webgl2"].every(k => document.createElement("canvas").getContext(k) === null)`},
		"canvas":   {View{Width: 800, Height: 600, NoWebGL: true}, `document.createElement("canvas").getContext("2d") !== null`},
		"prelude":  {View{Width: 800, Height: 600, Prelude: "window.before = 7"}, `window.before === 7`},
		"secure":   {Laptop, `isSecureContext`},
	} {
		t.Run(name, func(t *testing.T) {
			p := openFixture(t, "quiet.html", c.view)
			if !Eval[bool](p, c.want) {
				t.Errorf("%s is false", c.want)
			}
		})
	}
}

// Each page starts with nothing stored, whatever the page before it stored.
func TestStorageIsFresh(t *testing.T) {
	for range 2 {
		p := openFixture(t, "quiet.html", Laptop)
		if n := Eval[int](p, `localStorage.length`); n != 0 {
			t.Errorf("%d entries are stored at the start", n)
		}
		p.Exec(`localStorage.setItem("tray", "full")`)
		p.Reload()
		if n := Eval[int](p, `localStorage.length`); n != 1 {
			t.Errorf("%d entries after loading again, want 1", n)
		}
	}
}

// The window can be changed, and cut off, while a page is open.
func TestChangesOfView(t *testing.T) {
	p := openFixture(t, "quiet.html", Laptop)
	p.SetView(View{Width: 500, Height: 900, Dark: true})
	p.Until(`innerWidth === 500 && innerHeight === 900 && matchMedia("(prefers-color-scheme: dark)").matches`)
	if got := p.Picture().Bounds().Size(); got != image.Pt(500, 900) {
		t.Errorf("the picture has %v pixels", got)
	}

	const reach = `fetch("quiet.html").then(r => r.ok, () => false)`
	if !Eval[bool](p, reach) {
		t.Error("the server cannot be reached")
	}
	p.Offline(true)
	if Eval[bool](p, reach) {
		t.Error("cut off, the server can be reached")
	}
	p.Offline(false)
	if !Eval[bool](p, reach) {
		t.Error("connected again, the server cannot be reached")
	}
	for _, fault := range p.TakeFaults() {
		if !strings.Contains(fault, "ERR_INTERNET_DISCONNECTED") {
			t.Errorf("fault in the page: %s", fault)
		}
	}
}
