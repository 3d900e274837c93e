//go:build browser

package browsertest

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"os"
	"strings"
	"sync"
	"testing"

	"crownbench/testdata/toothphoto"
	"crownbench/web/site"
)

// journal is a host that writes down what it is asked for, by whomever: the page,
// its worker, the browser itself.
type journal struct {
	files http.Handler

	mu    sync.Mutex
	asked []*http.Request
}

func (j *journal) ServeHTTP(w http.ResponseWriter, r *http.Request) {
	j.mu.Lock()
	j.asked = append(j.asked, r)
	j.mu.Unlock()
	j.files.ServeHTTP(w, r)
}

// read gives what was asked for so far.
func (j *journal) read() []*http.Request {
	j.mu.Lock()
	defer j.mu.Unlock()
	return append([]*http.Request(nil), j.asked...)
}

// onShelf tells which names belong to the page, as the packing wrote them down.
func onShelf(t *testing.T) map[string]bool {
	t.Helper()
	b, err := os.ReadFile(distFolder + "/shelf.js")
	if err != nil {
		t.Fatal(err)
	}
	var shelf struct{ Files, Later map[string]string }
	text := strings.TrimSuffix(strings.TrimPrefix(strings.TrimSpace(string(b)), "self.shelf = "), ";")
	if err := json.Unmarshal([]byte(text), &shelf); err != nil {
		t.Fatal(err)
	}
	own := map[string]bool{"": true, "shelf.js": true, "offline.js": true}
	for _, names := range []map[string]string{shelf.Files, shelf.Later} {
		for name := range names {
			own[name] = true
		}
	}
	return own
}

// Through the job from photograph and callipers to sheet, table and record,
// nothing goes out but requests for the page's own files, and these carry
// nothing. That no other host is asked is watched on every page (watch.go), and
// that none could be reached is how the browser is started (browser.go).
func TestNothingLeaves(t *testing.T) {
	host := &journal{files: site.Handler(os.DirFS(distFolder))}
	server := httptest.NewServer(host)
	t.Cleanup(server.Close)
	p := OpenAt(t, server.URL+"/", Laptop)
	kept(p)
	p.Click("#quick")
	p.Fill("#cell-CH", "71.01")
	p.Fill("#cell-CBL", "41.46")
	p.Fill("#cell-CBW", "15.15")
	p.Press("Tab")
	p.UntilText(".said", "Blade-like") // READ Hendrickx et al. 2024, Carcharodontosaurus SGM Din-1 mx03
	unfoldAll(p)
	p.Click("#map-open")
	p.Until(`document.querySelector("#map-plot .spot")`)
	p.Press("Escape")
	p.ClickRole("button", "+ tooth")
	p.Until(`document.querySelector("#tray .count")?.textContent === "2"`)
	file, truth := shootJPEG(t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	setScale(p, truth.Bar)
	tool(p, "Crown")
	point(p, *truth.A)
	pointTwice(p, *truth.G)
	pointTwice(p, *truth.B)
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper image, .paper img").length > 0`)
	p.Click("#sheet-close")
	p.ClickRole("button", "Out")
	p.Download(func() { p.Click("#out-csv") })
	p.Download(func() { p.Click("#out-json") })
	p.Click("#out-close")
	p.UntilText("#saving", "Saved")
	p.Reload()
	p.Until(ready)

	own := onShelf(t)
	asked := host.read()
	if len(asked) < 5 {
		t.Fatalf("the host was asked for %d files only", len(asked))
	}
	for _, r := range asked {
		name := strings.TrimPrefix(r.URL.Path, "/")
		switch {
		case !own[name]:
			t.Errorf("the page asks for %s, which is none of its files", r.URL)
		case r.Method != http.MethodGet || r.ContentLength > 0 || r.URL.RawQuery != "" || r.Header.Get("Cookie") != "":
			t.Errorf("the request %s %s carries something: %d bytes, cookie %q", r.Method, r.URL, r.ContentLength, r.Header.Get("Cookie"))
		}
	}
	for what, list := range map[string]string{
		"scripts from elsewhere": `[...document.scripts].filter(s => new URL(s.src).origin !== location.origin)`,
		"loaded from elsewhere":  `performance.getEntriesByType("resource").filter(e => !e.name.startsWith(location.origin + "/") && !e.name.startsWith("blob:" + location.origin) && !e.name.startsWith("data:"))`,
		"frames":                 `document.querySelectorAll("iframe, object, embed")`,
	} {
		if n := Eval[int](p, list+".length"); n != 0 {
			t.Errorf("%s: %d", what, n)
		}
	}
}

// The policy that the page runs under, wherever it comes from, lets no text run
// as a program: such an attempt fails in the page itself.
func TestNoTextBecomesProgram(t *testing.T) {
	p := Open(t, Laptop)
	for what, attempt := range map[string]string{
		"eval":            `(0, eval)("1")`,
		"a function":      `new Function("return 1")()`,
		"a timer's text":  `setTimeout("globalThis.ran = true", 0), new Promise(done => setTimeout(() => done(globalThis.ran === true || Promise.reject()), 50))`,
		"inline handlers": `(() => { const b = document.createElement("button"); b.setAttribute("onclick", "globalThis.clicked = true"); document.body.append(b); b.click(); b.remove(); if (!globalThis.clicked) throw 0 })()`,
	} {
		// From a script of the page's world, which the policy governs; what the
		// protocol evaluates is beyond it.
		ran := Eval[bool](p, `new Promise(done => setTimeout(async () => { try { await (`+attempt+`); done(true) } catch { done(false) } }))`)
		if ran {
			t.Errorf("%s: the text ran", what)
		}
	}
	awaitFault(p, "script-src")
}

// The licences are found from the help, name what the program is made of, and
// are kept for times without a connection once they were read.
func TestLicences(t *testing.T) {
	p := Open(t, Laptop)
	kept(p)
	p.Press("F1")
	p.UntilText("#licences", "Licences")
	home := Eval[string](p, `location.href`)
	address := Eval[string](p, `document.querySelector("#licences").href`)
	for range 2 {
		p.Goto(address)
		// READ: the licence of Ebitengine, whose first line this is.
		p.UntilText("body", "Apache License")
		p.UntilText("body", "gonum.org/v1/gonum")
		p.Goto(home)
		p.Until(ready)
		p.Offline(true)
	}
	for _, fault := range p.TakeFaults() {
		// A text has no icon, so that the browser looks for one by itself.
		if !strings.Contains(fault, "favicon.ico") {
			t.Errorf("fault in the page: %s", fault)
		}
	}
}
