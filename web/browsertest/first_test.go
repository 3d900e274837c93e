//go:build browser

package browsertest

import (
	"os"
	"path/filepath"
	"testing"

	"crownbench/web/site"
)

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

// BenchmarkFirstVisit opens the page with nothing cached, and beside it a page
// with the engine alone (wasm/empty), which is the least that any could take. The
// time that counts is ms-to-ready: from the start of the navigation until the
// program says that its panels work.
func BenchmarkFirstVisit(b *testing.B) {
	v := Laptop
	v.Prelude = `new MutationObserver(() => {
		if (document.documentElement?.dataset.state === "ready") globalThis.readyAt ??= performance.now();
	}).observe(document, {attributes: true, subtree: true, attributeFilter: ["data-state"]});`
	for _, page := range []struct{ name, folder string }{{"crownbench", distFolder}, {"engine-alone", emptyFolder}} {
		b.Run(page.name, func(b *testing.B) {
			if _, err := os.Stat(filepath.Join(page.folder, "index.html")); err != nil {
				b.Fatalf("there is no page to measure; ./build.sh bench builds it: %v", err)
			}
			url := serveAt(b, site.Handler(os.DirFS(page.folder)))
			var total float64
			for b.Loop() {
				p := OpenAt(b, url+"/", v)
				p.Until(`globalThis.readyAt > 0`)
				total += Eval[float64](p, `readyAt`)
				p.Close()
			}
			b.ReportMetric(total/float64(b.N), "ms-to-ready")
		})
	}
}
