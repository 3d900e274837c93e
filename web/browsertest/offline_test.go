//go:build browser

package browsertest

import (
	"crypto/sha256"
	"encoding/hex"
	"io/fs"
	"net/http"
	"net/http/httptest"
	"strings"
	"sync/atomic"
	"testing"

	"crownbench/web/site"
)

// swap is a host whose files can be exchanged while it runs.
type swap struct{ now atomic.Pointer[http.Handler] }

func (s *swap) put(files fs.FS) {
	h := site.Handler(files)
	s.now.Store(&h)
}

func (s *swap) ServeHTTP(w http.ResponseWriter, r *http.Request) { (*s.now.Load()).ServeHTTP(w, r) }

// kept waits until the browser keeps the whole page.
func kept(p *Page) {
	p.t.Helper()
	p.Until(ready)
	p.Until(`navigator.serviceWorker.controller?.state === "activated"`)
}

// After one visit the page starts and does the whole job while its host is gone
// and the network is cut.
func TestWholeJobOffline(t *testing.T) {
	host := httptest.NewServer(http.StripPrefix("/some/path", site.Handler(dist(t, nil))))
	t.Cleanup(host.Close)
	p := OpenAt(t, host.URL+"/some/path/", Laptop)
	kept(p)
	p.Press("F1")
	p.UntilText("#reach", "without a connection")
	host.CloseClientConnections()
	host.Close()
	p.Offline(true)
	p.Reload()
	p.Until(ready)
	wholeJob(t, p, shootJob(t))
	p.Reload()
	p.Until(ready)
	expect(t, p, "DC", 12, 0.6) // the generator's tooth has 12 / 5 mm there
}

// newerVersion is the built page with another look, as the next version would be.
func newerVersion(t *testing.T) map[string][]byte {
	t.Helper()
	page := dist(t, nil)
	read := func(name string) string {
		b, err := fs.ReadFile(page, name)
		if err != nil {
			t.Fatal(err)
		}
		return string(b)
	}
	sum := func(text string) string {
		b := sha256.Sum256([]byte(text))
		return hex.EncodeToString(b[:])
	}
	style := read("style.css")
	newer := style + "\n/* the newer version */\n"
	shelf := read("shelf.js")
	replaced := strings.Replace(shelf, sum(style), sum(newer), 1)
	replaced = strings.Replace(replaced, `"version": "`, `"version": "newer-`, 1)
	if !strings.Contains(shelf, sum(style)) || !strings.Contains(replaced, "newer-") {
		t.Fatal("the shelf does not list the style with its sum and a version")
	}
	return map[string][]byte{"style.css": []byte(newer), "shelf.js": []byte(replaced)}
}

const styleIsNewer = `(await (await fetch("style.css")).text()).includes("the newer version")`

// A newer version is fetched whole behind the page, waits until a person takes
// it up, and everything entered is still there.
func TestUpdateKeepsWork(t *testing.T) {
	host := &swap{}
	host.put(dist(t, nil))
	p := OpenAt(t, serveAt(t, host)+"/", Laptop)
	kept(p)
	p.Click("#quick")
	p.Fill("#cell-CH", "47.5")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")

	host.put(dist(t, newerVersion(t)))
	p.Reload() // the browser looks for a newer version at a visit
	p.Until(ready)
	p.UntilText(".notices", "newer version")
	if Eval[bool](p, `(async () => `+styleIsNewer+`)()`) {
		t.Error("the older page is given a file of the newer version")
	}
	p.Shot("newer")
	p.Fill("#cell-CBL", "24.2")
	p.Press("Tab")
	p.Click("#newer-now")
	p.Until(`document.documentElement.dataset.state === "ready" && !document.querySelector("#newer-now")`)
	if !Eval[bool](p, `(async () => `+styleIsNewer+`)()`) {
		t.Error("the newer version was not taken up")
	}
	expect(t, p, "CH", 47.5, 0)
	expect(t, p, "CBL", 24.2, 0)
}

// A host in the middle of an upload, or one that lost a file, gives files that
// do not belong together: the older version stays in charge, whole.
func TestHalfPublishedVersionIsNotTaken(t *testing.T) {
	half := newerVersion(t)
	delete(half, "style.css") // the older style with the newer shelf
	host := &swap{}
	host.put(dist(t, nil))
	p := OpenAt(t, serveAt(t, host)+"/", Laptop)
	kept(p)
	host.put(dist(t, half))
	p.Exec(`(async () => {
		const r = await navigator.serviceWorker.getRegistration();
		await r.update().catch(() => {});
		while (r.installing) await new Promise(done => setTimeout(done, 50));
	})()`)
	p.Reload()
	p.Until(ready)
	if n := Eval[int](p, `(async () => { const r = await navigator.serviceWorker.getRegistration(); return r.waiting ? 1 : 0 })()`); n != 0 {
		t.Error("a version with files of two versions waits to be taken up")
	}
	if !Eval[bool](p, `navigator.serviceWorker.controller?.state === "activated"`) {
		t.Error("the older version is gone")
	}
}
