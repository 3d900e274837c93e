//go:build browser

package browsertest

import "testing"

// While a dialog is open the keyboard stays in it; when it closes, the focus
// returns to where it was (WAI-ARIA Authoring Practices, dialog pattern).
func TestDialogKeepsKeyboard(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Press("F1")
	p.Until(`document.activeElement?.id === "help-close"`)
	for range 12 {
		p.Press("Tab")
		if !Eval[bool](p, `document.activeElement === document.body || document.activeElement.closest(".over, .notices") !== null`) {
			t.Fatalf("the keyboard is outside the dialog, on %s", Eval[string](p, `document.activeElement.outerHTML.slice(0, 80)`))
		}
	}
	p.Press("Escape")
	p.Until(`document.activeElement?.id === "cell-CH"`)
}
