package site

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"io/fs"
	"net/http"
	"path"
	"strings"
	"time"
)

// encodings are the pre-compressed siblings in order of preference: the
// extension of the sibling and its name in Accept-Encoding and
// Content-Encoding.
var encodings = []struct{ ext, coding string }{
	{".br", "br"},
	{".gz", "gzip"},
}

// Handler serves the files of dir by GET and HEAD. A path that ends in a slash
// means its index.html; directories are never listed, and names that begin
// with a dot are never served. For a compressible file it sends the sibling
// name.br or name.gz when there is one and the request accepts its coding.
//
// Every answer is marked no-cache with a strong ETag over the bytes sent, so a
// browser asks each time and is told 304 while nothing has changed.
func Handler(dir fs.FS) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", Policy)
		h.Set("Cross-Origin-Opener-Policy", "same-origin")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("Cache-Control", "no-cache")

		if r.Method != http.MethodGet && r.Method != http.MethodHead {
			h.Set("Allow", "GET, HEAD")
			http.Error(w, "This site only hands out files.", http.StatusMethodNotAllowed)
			return
		}
		name, ok := fileName(r.URL.Path)
		if !ok {
			notFound(w)
			return
		}
		kind, ok := KindOf(name)
		if !ok {
			kind = Kind{Type: "application/octet-stream"}
		}
		body, err := fs.ReadFile(dir, name)
		if err != nil {
			refuse(w, err)
			return
		}
		h.Set("Content-Type", kind.Type)
		if kind.Compressible {
			h.Set("Vary", "Accept-Encoding")
			for _, e := range encodings {
				if !accepts(r.Header.Get("Accept-Encoding"), e.coding) {
					continue
				}
				packed, err := fs.ReadFile(dir, name+e.ext)
				if err != nil {
					continue
				}
				body = packed
				h.Set("Content-Encoding", e.coding)
				break
			}
		}
		sum := sha256.Sum256(body)
		h.Set("ETag", `"`+hex.EncodeToString(sum[:12])+`"`)
		// The zero time sends no Last-Modified: the ETag alone decides.
		http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(body))
	})
}

// fileName turns the path of a request into a name within the directory, or
// says that there can be no such file.
func fileName(urlPath string) (string, bool) {
	if urlPath == "" || strings.HasSuffix(urlPath, "/") {
		urlPath += "index.html"
	}
	name := strings.TrimPrefix(path.Clean("/"+urlPath), "/")
	for part := range strings.SplitSeq(name, "/") {
		if strings.HasPrefix(part, ".") {
			return "", false
		}
	}
	return name, fs.ValidPath(name)
}

func refuse(w http.ResponseWriter, err error) {
	if errors.Is(err, fs.ErrNotExist) || errors.Is(err, fs.ErrInvalid) {
		notFound(w)
		return
	}
	// Reading a directory as a file lands here too; the reason stays with the
	// server, the browser learns only that there is nothing to have.
	http.Error(w, "This file cannot be read.", http.StatusNotFound)
}

func notFound(w http.ResponseWriter) {
	http.Error(w, "There is no such file here.", http.StatusNotFound)
}
