//go:build browser

package browsertest

import (
	"io/fs"
	"net/http"
	"os"
	"strings"
	"testing"
	"testing/fstest"

	"crownbench/web/site"
)

// dist is the built page with some of its files replaced; nil takes one away.
// No compressed sibling is left that could stand in for a replaced file.
func dist(t *testing.T, replaced map[string][]byte) fs.FS {
	t.Helper()
	page := fstest.MapFS{}
	root := os.DirFS(distFolder)
	for _, name := range []string{"*.*", "demo/*.*"} {
		files, err := fs.Glob(root, name)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range files {
			if strings.HasSuffix(f, ".br") || strings.HasSuffix(f, ".gz") {
				continue
			}
			content, err := fs.ReadFile(root, f)
			if err != nil {
				t.Fatal(err)
			}
			page[f] = &fstest.MapFile{Data: content}
		}
	}
	for name, content := range replaced {
		delete(page, name)
		if content != nil {
			page[name] = &fstest.MapFile{Data: content}
		}
	}
	return page
}

const ready = `document.documentElement.dataset.state === "ready"`

// A host that knows nothing of WebAssembly, compression or headers is enough.
func TestBootFromSimpleHost(t *testing.T) {
	files := http.FileServerFS(dist(t, nil))
	for name, host := range map[string]http.Handler{
		"plain": files,
		"wrong media type": http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
			if strings.HasSuffix(r.URL.Path, ".wasm") {
				w.Header().Set("Content-Type", "application/octet-stream")
			}
			files.ServeHTTP(w, r)
		}),
		"in a folder": http.StripPrefix("/teeth/bench", files),
	} {
		t.Run(name, func(t *testing.T) {
			address := serveAt(t, host) + "/"
			if name == "in a folder" {
				address += "teeth/bench/"
			}
			p := OpenAt(t, address, Laptop)
			p.Until(ready)
		})
	}
}

// The policy in the page itself holds on a host that sends no headers.
func TestPageCarriesItsPolicy(t *testing.T) {
	p := OpenAt(t, serveAt(t, http.FileServerFS(dist(t, nil)))+"/", Laptop)
	p.Until(ready)
	p.Exec(`fetch("http://elsewhere.invalid/").catch(() => {})`)
	awaitFault(p, "connect-src")
	p.Exec(`document.body.append(Object.assign(document.createElement("script"), {textContent: "1"}))`)
	awaitFault(p, "script-src")
}

// Whatever keeps the program from running, the page says so in words.
func TestBootFailures(t *testing.T) {
	program, err := os.ReadFile(distFolder + "/crownbench.wasm")
	if err != nil {
		t.Fatal(err)
	}
	for name, c := range map[string]struct {
		replaced map[string][]byte
		prelude  string
		state    string
		want     string
		// fault is what the browser itself may report in the console.
		fault string
	}{
		"no WebAssembly":  {prelude: `delete globalThis.WebAssembly`, state: "failed", want: "no WebAssembly"},
		"no program":      {replaced: map[string][]byte{"crownbench.wasm": nil}, state: "failed", want: "404", fault: "crownbench.wasm"},
		"half a program":  {replaced: map[string][]byte{"crownbench.wasm": program[:len(program)/2]}, state: "failed", want: "could not be started"},
		"not a program":   {replaced: map[string][]byte{"crownbench.wasm": []byte("<!doctype html>")}, state: "failed", want: "could not be started"},
		"no bridge":       {replaced: map[string][]byte{"wasm_exec.js": nil}, state: "failed", want: "wasm_exec.js", fault: "wasm_exec.js"},
		"no connection":   {prelude: `globalThis.fetch = () => Promise.reject(new TypeError("Failed to fetch"))`, state: "failed", want: "could not be fetched"},
		"program stopped": {replaced: map[string][]byte{"wasm_exec.js": []byte(idleBridge), "crownbench.wasm": emptyModule}, state: "stopped", want: "has stopped"},
	} {
		t.Run(name, func(t *testing.T) {
			v := Laptop
			v.Prelude = c.prelude
			p := OpenAt(t, serveAt(t, site.Handler(dist(t, c.replaced)))+"/", v)
			p.Until(`["failed", "stopped"].includes(document.documentElement.dataset.state)`)
			if got := Eval[string](p, `document.documentElement.dataset.state`); got != c.state {
				t.Errorf("the state is %q, want %q", got, c.state)
			}
			if got := p.Text("#loading"); !strings.Contains(got, c.want) {
				t.Errorf("the page says %q, want %q in it", got, c.want)
			}
			for _, fault := range p.TakeFaults() {
				if c.fault == "" || !strings.Contains(fault, c.fault) {
					t.Errorf("fault in the page: %s", fault)
				}
			}
		})
	}
}

// idleBridge stands in for wasm_exec.js with a program that ends at once.
const idleBridge = `globalThis.Go = class { importObject = {}; async run() {} };`

// emptyModule is the smallest module: magic number and version (WebAssembly
// Core Specification, section 5.5.16).
var emptyModule = []byte("\x00asm\x01\x00\x00\x00")

// Ebitengine draws without styles or scripts in the text of the page, which the
// policy would refuse; style set through the CSSOM is allowed.
func TestNoInlineCode(t *testing.T) {
	p := Open(t, Laptop)
	p.Until(`document.querySelector("canvas") !== null`)
	for what, list := range map[string]string{
		"style elements":  `document.querySelectorAll("style")`,
		"inline scripts":  `document.querySelectorAll("script:not([src])")`,
		"inline handlers": `[...document.querySelectorAll("*")].filter(e => e.getAttributeNames().some(n => n.startsWith("on")))`,
	} {
		if n := Eval[int](p, list+`.length`); n != 0 {
			t.Errorf("%d %s", n, what)
		}
	}
}
