//go:build browser

package browsertest

import (
	"strings"
	"testing"
)

// estimateTip has the tip of the broken crown of the demo, whose row shows,
// estimated and taken; proposed is called before.
func estimateTip(p *Page, proposed func()) {
	p.Click("#tray li:nth-child(6) .pick")
	p.Until(`document.querySelector("#tray li:nth-child(6) .pick").hasAttribute("aria-current")`)
	p.Until(`!document.querySelector("#stage .card")`)
	tool(p, "Crown")
	p.ClickRole("button", "Estimate the tip from both edges")
	p.UntilText(".steps", "The tip may have been")
	proposed()
	p.ClickRole("button", "Take it")
}

// The estimated tip of a broken crown is on the sheet as an estimate.
func TestEstimatedTipOnSheet(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	said := ""
	estimateTip(p, func() {
		p.Shot("tip")
		// As far beyond what is left, and as uncertain, as the bench said.
		_, said, _ = strings.Cut(p.Text("#prompt"), "may have been ")
		said, _, _ = strings.Cut(said, " mm")
	})
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelector(".paper path.estimated") && document.querySelector(".paper svg image")`)
	if text := p.Text(".paper figure.plate:first-of-type figcaption"); !strings.Contains(text, "~G") || said == "" || !strings.Contains(text, "~"+said) {
		t.Errorf("the bench said %q, the caption says %q", said, text)
	}
	p.Exec(`document.querySelector(".paper path.estimated").scrollIntoView({block: "center"})`)
	p.Until(`document.querySelectorAll(".paper svg image").length === 3`)
	p.Shot("sheet-tip")
}
