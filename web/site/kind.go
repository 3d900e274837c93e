package site

import (
	"path"
	"strings"
)

// Kind is what the site knows about one sort of file.
type Kind struct {
	// Type is the media type sent as Content-Type.
	Type string
	// Compressible says whether a .br or .gz sibling is worth having;
	// photographs and fonts are compressed already.
	Compressible bool
}

// kinds is written out here because the table of the operating system differs
// from machine to machine, and a wrong type stops scripts and streaming
// WebAssembly under nosniff.
var kinds = map[string]Kind{
	".css":         {"text/css; charset=utf-8", true},
	".csv":         {"text/csv; charset=utf-8", true},
	".html":        {"text/html; charset=utf-8", true},
	".ico":         {"image/x-icon", true},
	".jpeg":        {"image/jpeg", false},
	".jpg":         {"image/jpeg", false},
	".js":          {"text/javascript; charset=utf-8", true},
	".json":        {"application/json", true},
	".png":         {"image/png", false},
	".svg":         {"image/svg+xml", true},
	".txt":         {"text/plain; charset=utf-8", true},
	".wasm":        {"application/wasm", true},
	".webmanifest": {"application/manifest+json", true},
	".webp":        {"image/webp", false},
	".woff2":       {"font/woff2", false},
}

// KindOf returns the kind of the file with the given name, judged by its
// extension, and whether it is one that the site is made of.
func KindOf(name string) (Kind, bool) {
	k, ok := kinds[strings.ToLower(path.Ext(name))]
	return k, ok
}
