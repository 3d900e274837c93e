//go:build browser

package browsertest

import "testing"

// The page loads without a complaint, names itself, and has the canvas of the
// photo view.
func TestFirstPage(t *testing.T) {
	for name, view := range map[string]View{"laptop": Laptop, "desk": Desk, "tablet": Tablet, "dark": Laptop.InDark()} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			if got := p.Text("h1"); got != "Crownbench" {
				t.Errorf("the main heading says %q", got)
			}
			p.Until(`document.querySelector("canvas")?.width > 100`)
			p.Shot("first-" + name)
		})
	}
}
