package site

import (
	"net/http"
	"net/http/httptest"
	"testing"
	"testing/fstest"
)

func page() fstest.MapFS {
	file := func(s string) *fstest.MapFile { return &fstest.MapFile{Data: []byte(s)} }
	return fstest.MapFS{
		"index.html":           file("<!doctype html>"),
		"boot.js":              file("plain script"),
		"boot.js.br":           file("brotli script"),
		"boot.js.gz":           file("gzip script"),
		"style.css":            file("plain style"),
		"style.css.gz":         file("gzip style"),
		"crownbench.wasm":      file("\x00asm"),
		"demo/index.html":      file("demo"),
		"demo/lateral.jpg":     file("photo"),
		"demo/lateral.jpg.br":  file("never sent"),
		"tooth.webp":           file("webp"),
		"site.webmanifest":     file("{}"),
		"odd.bin":              file("?"),
		".secret":              file("secret"),
		".hidden/style.css":    file("secret"),
		"demo/.hidden/a.html":  file("secret"),
		"folder.js/index.html": file("folder"),
	}
}

func get(t *testing.T, method, path string, header http.Header) *http.Response {
	t.Helper()
	r := httptest.NewRequest(method, "http://localhost"+path, nil)
	for name, values := range header {
		r.Header[name] = values
	}
	w := httptest.NewRecorder()
	Handler(page()).ServeHTTP(w, r)
	return w.Result()
}

func body(t *testing.T, r *http.Response) string {
	t.Helper()
	b := make([]byte, 1000)
	n, _ := r.Body.Read(b)
	return string(b[:n])
}

func TestFilesAndTypes(t *testing.T) {
	for path, want := range map[string]struct {
		status    int
		mediaType string
		body      string
	}{
		"/":                    {200, "text/html; charset=utf-8", "<!doctype html>"},
		"/index.html":          {200, "text/html; charset=utf-8", "<!doctype html>"},
		"/boot.js":             {200, "text/javascript; charset=utf-8", "plain script"},
		"/style.css":           {200, "text/css; charset=utf-8", "plain style"},
		"/crownbench.wasm":     {200, "application/wasm", "\x00asm"},
		"/demo/":               {200, "text/html; charset=utf-8", "demo"},
		"/demo/lateral.jpg":    {200, "image/jpeg", "photo"},
		"/tooth.webp":          {200, "image/webp", "webp"},
		"/site.webmanifest":    {200, "application/manifest+json", "{}"},
		"/odd.bin":             {200, "application/octet-stream", "?"},
		"/demo/../boot.js":     {200, "text/javascript; charset=utf-8", "plain script"},
		"/demo":                {404, "text/plain; charset=utf-8", ""},
		"/folder.js":           {404, "text/plain; charset=utf-8", ""},
		"/absent.js":           {404, "text/plain; charset=utf-8", ""},
		"/.secret":             {404, "text/plain; charset=utf-8", ""},
		"/.hidden/style.css":   {404, "text/plain; charset=utf-8", ""},
		"/demo/.hidden/a.html": {404, "text/plain; charset=utf-8", ""},
		"/../../etc/passwd":    {404, "text/plain; charset=utf-8", ""},
		"/a%00b":               {404, "text/plain; charset=utf-8", ""},
		"/a%5Cb.js":            {404, "text/plain; charset=utf-8", ""},
	} {
		r := get(t, "GET", path, nil)
		if r.StatusCode != want.status || r.Header.Get("Content-Type") != want.mediaType {
			t.Errorf("%s: %d %s, want %d %s", path, r.StatusCode, r.Header.Get("Content-Type"), want.status, want.mediaType)
		}
		if got := body(t, r); want.body != "" && got != want.body {
			t.Errorf("%s: %q, want %q", path, got, want.body)
		}
	}
}

func TestCompressedSiblings(t *testing.T) {
	for _, c := range []struct{ path, accept, coding, body, vary string }{
		{"/boot.js", "gzip, br", "br", "brotli script", "Accept-Encoding"},
		{"/boot.js", "gzip", "gzip", "gzip script", "Accept-Encoding"},
		{"/boot.js", "", "", "plain script", "Accept-Encoding"},
		{"/style.css", "gzip, br", "gzip", "gzip style", "Accept-Encoding"},
		{"/crownbench.wasm", "gzip, br", "", "\x00asm", "Accept-Encoding"},
		{"/demo/lateral.jpg", "gzip, br", "", "photo", ""},
	} {
		r := get(t, "GET", c.path, http.Header{"Accept-Encoding": {c.accept}})
		if r.Header.Get("Content-Encoding") != c.coding || r.Header.Get("Vary") != c.vary || body(t, r) != c.body {
			t.Errorf("%s for %q: coding %q, Vary %q", c.path, c.accept, r.Header.Get("Content-Encoding"), r.Header.Get("Vary"))
		}
	}
}

// Every answer carries the headers, refusals as well.
func TestHeaders(t *testing.T) {
	for _, path := range []string{"/", "/boot.js", "/demo/lateral.jpg", "/absent", "/.secret"} {
		h := get(t, "GET", path, nil).Header
		for name, want := range map[string]string{
			"Content-Security-Policy":      Policy,
			"X-Content-Type-Options":       "nosniff",
			"Referrer-Policy":              "no-referrer",
			"Cross-Origin-Opener-Policy":   "same-origin",
			"Cross-Origin-Resource-Policy": "same-origin",
		} {
			if got := h.Get(name); got != want {
				t.Errorf("%s: %s is %q, want %q", path, name, got, want)
			}
		}
	}
}

func TestUnchangedIsNotSentAgain(t *testing.T) {
	first := get(t, "GET", "/boot.js", http.Header{"Accept-Encoding": {"br"}})
	tag := first.Header.Get("ETag")
	if tag == "" || first.Header.Get("Cache-Control") != "no-cache" {
		t.Fatalf("ETag %q, Cache-Control %q", tag, first.Header.Get("Cache-Control"))
	}
	again := get(t, "GET", "/boot.js", http.Header{"Accept-Encoding": {"br"}, "If-None-Match": {tag}})
	if again.StatusCode != http.StatusNotModified || body(t, again) != "" {
		t.Errorf("asked again: %d", again.StatusCode)
	}
	// The plain file is another representation and needs a tag of its own
	// (RFC 9110, section 8.8.3).
	plain := get(t, "GET", "/boot.js", http.Header{"If-None-Match": {tag}})
	if plain.StatusCode != http.StatusOK || plain.Header.Get("ETag") == tag {
		t.Errorf("the plain file answers %d with tag %s to the tag of the compressed one", plain.StatusCode, plain.Header.Get("ETag"))
	}
}

func TestMethods(t *testing.T) {
	if r := get(t, "HEAD", "/boot.js", nil); r.StatusCode != 200 || body(t, r) != "" || r.Header.Get("Content-Length") != "12" {
		t.Errorf("HEAD: %d, length %q", r.StatusCode, r.Header.Get("Content-Length"))
	}
	for _, method := range []string{"POST", "PUT", "DELETE", "OPTIONS"} {
		if r := get(t, method, "/boot.js", nil); r.StatusCode != http.StatusMethodNotAllowed || r.Header.Get("Allow") != "GET, HEAD" {
			t.Errorf("%s: %d", method, r.StatusCode)
		}
	}
}
