//go:build browser

package browsertest

import "testing"

// views are the screens that every state of the page is looked at on.
var views = map[string]View{
	"laptop": Laptop, "desk": Desk, "tablet": Tablet,
	"laptop-dark": Laptop.InDark(), "desk-dark": Desk.InDark(), "tablet-dark": Tablet.InDark(),
}

// openDemo puts the invented tray on the desk.
func openDemo(p *Page) {
	p.Click("#demo")
	p.Until(`document.querySelector("#tray .count")?.textContent === "7"`) // on a tablet the tray is slid out
	p.Until(`document.querySelector("canvas").dataset.place && !document.querySelector("#stage .card")`)
}

// Every state of the page is drawn on every screen, for somebody to look at:
// the pictures are in dist/shots.
func TestEveryState(t *testing.T) {
	for name, view := range views {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			p.Shot("doors-" + name)
			openDemo(p)
			p.Shot("demo-" + name)
			if !p.Visible(".top button.drawer") {
				p.Click("#tray li:nth-child(2) .pick")
				p.Until(`!document.querySelector("#stage .card")`)
				p.Shot("blade-" + name)
			}
			if p.Visible(".top button.drawer") {
				p.ClickRole("button", "Numbers")
				p.Shot("numbers-" + name)
				p.ClickRole("button", "Numbers")
			}
			if p.Visible(".top button.drawer") {
				p.ClickRole("button", "Tray")
				p.Shot("tray-" + name)
				p.ClickRole("button", "Quick check")
				p.Shot("quick-" + name)
				p.ClickRole("button", "Undo")
			} else {
				p.ClickRole("button", "Quick check")
				p.Shot("quick-" + name)
				p.ClickRole("button", "Undo")
			}
			p.ClickRole("button", "Sheet")
			p.Until(`document.querySelectorAll(".paper image, .paper img").length > 0`)
			p.Shot("sheet-" + name)
			p.Click("#sheet-close")
			p.ClickRole("button", "Out")
			p.Shot("out-" + name)
			p.Click("#out-close")
			p.ClickRole("button", "Help")
			p.Shot("help-" + name)
			p.Click("#help-close")
		})
	}
}
