//go:build browser

package browsertest

import (
	"fmt"
	"net/http"
	"strings"
	"testing"
)

// Each kind of fault must be noticed, or the watch over every other test is
// worth nothing.
func TestFaultsAreNoticed(t *testing.T) {
	for name, c := range map[string]struct{ script, want string }{
		"console error":  {`console.error("on purpose")`, "console error: on purpose"},
		"exception":      {`setTimeout(() => { throw new Error("on purpose") })`, "on purpose"},
		"rejection":      {`void Promise.reject(new Error("on purpose"))`, "on purpose"},
		"missing file":   {`fetch("absent.json")`, "404"},
		"inline style":   {`document.body.insertAdjacentHTML("beforeend", "<p style='color: red'>x</p>")`, "style-src"},
		"inline script":  {`document.body.append(Object.assign(document.createElement("script"), {textContent: "1"}))`, "script-src"},
		"inline handler": {`document.body.setAttribute("onclick", "1")`, "script-src"},
		"eval":           {`setTimeout("1")`, "script-src"},
		"foreign fetch":  {`fetch("http://elsewhere.invalid/").catch(() => {})`, "connect-src"},
		"alert box":      {`setTimeout(() => alert("on purpose"))`, "alert box stopped the page: on purpose"},
	} {
		t.Run(name, func(t *testing.T) {
			p := openFixture(t, "quiet.html", Laptop)
			if faults := p.TakeFaults(); faults != nil {
				t.Fatalf("the quiet page has faults: %q", faults)
			}
			p.Exec(c.script)
			awaitFault(p, c.want)
		})
	}
}

// awaitFault waits for a fault with a text in it and takes all that is there.
func awaitFault(p *Page, want string) {
	p.t.Helper()
	var seen []string
	for range 100 {
		seen = append(seen, p.TakeFaults()...)
		if strings.Contains(strings.Join(seen, "\n"), want) {
			// Whatever else belongs to it may be a moment later.
			p.Exec(`new Promise(done => setTimeout(done, 100))`)
			p.TakeFaults()
			return
		}
		p.Exec(`new Promise(done => setTimeout(done, 20))`)
	}
	p.t.Errorf("no fault with %q in it was noticed, only %q", want, seen)
}

// A page without a policy of its own can ask another host; the watch sees it.
func TestForeignRequestIsNoticed(t *testing.T) {
	other := serveAt(t, http.NotFoundHandler())
	for name, body := range map[string]string{
		"image":    `<img src="%s/a.png">`,
		"script":   `<script src="%s/a.js"></script>`,
		"redirect": `<meta http-equiv="refresh" content="0; url=%s/">`,
		"socket":   `<script>new WebSocket("%s".replace("http", "ws"))</script>`,
	} {
		t.Run(name, func(t *testing.T) {
			here := serveAt(t, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
				w.Header().Set("Content-Type", "text/html")
				fmt.Fprintf(w, `<!doctype html><link rel="icon" href="data:,">`+body, other)
			}))
			p := OpenAt(t, here, Laptop)
			awaitFault(p, "foreign origin")
		})
	}
}

// Data and blob addresses stay within the page and are no fault.
func TestOwnRequestsAreNoFault(t *testing.T) {
	p := openFixture(t, "quiet.html", Laptop)
	p.Exec(`new Promise((done, fail) => {
		const picture = new Image();
		picture.onload = done;
		picture.onerror = fail;
		picture.src = URL.createObjectURL(new Blob(["<svg xmlns='http://www.w3.org/2000/svg' width='4' height='4'/>"], {type: "image/svg+xml"}));
		document.body.append(picture);
	})`)
	if faults := p.TakeFaults(); faults != nil {
		t.Errorf("faults: %q", faults)
	}
}
