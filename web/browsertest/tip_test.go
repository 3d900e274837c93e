//go:build browser

package browsertest

import (
	"strings"
	"testing"
)

// estimateTip has the tip of the broken crown of the demo estimated and taken.
func estimateTip(p *Page) {
	p.Click("#tray li:nth-child(6) .pick")
	p.Until(`document.querySelector("#tray li:nth-child(6) .pick").hasAttribute("aria-current")`)
	p.Until(`!document.querySelector("#stage .card")`)
	tool(p, "Crown")
	p.ClickRole("button", "Estimate the tip from both edges")
	p.UntilText(".steps", "The tip may have been")
	p.ClickRole("button", "Take it")
}

// The estimated tip of a broken crown is on the sheet as an estimate.
func TestEstimatedTipOnSheet(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	estimateTip(p)
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelector(".paper path.estimated") && document.querySelector(".paper svg image")`)
	if text := p.Text(".paper figure.plate:first-of-type figcaption"); !strings.Contains(text, "~G") || !strings.Contains(text, "±") {
		t.Errorf("the caption says %q", text)
	}
	p.Exec(`document.querySelector(".paper path.estimated").scrollIntoView({block: "center"})`)
	p.Until(`document.querySelectorAll(".paper svg image").length === 3`)
	p.Shot("sheet-tip")
}
