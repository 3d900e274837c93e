//go:build browser

package browsertest

import (
	"context"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/storage"
	"github.com/chromedp/chromedp"
)

// A photograph that is dropped a second time keeps its marks and is not added
// again; one whose file had gone missing from the browser is shown again.
func TestSamePhotographAgain(t *testing.T) {
	j := shootJob(t)
	p := Open(t, Laptop)
	p.Drop(640, 400, j.basal)
	untilPhotographs(p, 1)
	setScale(p, j.base.Bar)
	scale := p.Text("#scale-value")
	p.UntilText("#saving", "Saved")
	// The browser's storage loses the file.
	p.Exec(`new Promise((done, fail) => {
		const open = indexedDB.open("crownbench");
		open.onerror = fail;
		open.onsuccess = () => {
			const db = open.result;
			const name = [...db.objectStoreNames].find(n => n === "photos");
			const tx = db.transaction(name, "readwrite");
			tx.objectStore(name).clear();
			tx.oncomplete = () => { db.close(); done() };
		};
	})`)
	p.Reload()
	p.Until(ready)
	p.UntilText("#stage", "cannot be shown")
	p.Drop(640, 400, j.basal)
	p.Until(`!document.querySelector("#stage .card")`)
	p.UntilText(".notices", "already")
	if n := Eval[int](p, `document.querySelectorAll(".photos button").length`); n != 2 {
		t.Errorf("%d buttons in the strip, want the one photograph and the button to add", n)
	}
	tool(p, "Scale")
	p.UntilText("#scale-value", scale)
}

// A person clears the site's data while the page is open: what was entered is
// saved anew, and the page says what is missing.
func TestClearedWhileOpen(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Fill("#cell-CH", "47.5")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	origin := Eval[string](p, `location.origin`)
	do(p, "clearing the site's data", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, storage.ClearDataForOrigin, storage.ClearDataForOriginParams{Origin: origin, StorageTypes: "indexeddb"})
		return err
	})
	p.UntilText(".notices", "saved anew")
	p.UntilText("#saving", "Saved")
	p.Reload()
	p.Until(ready)
	expect(t, p, "CH", 47.5, 0)
}
