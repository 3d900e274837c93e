package main

import (
	"bytes"
	"compress/gzip"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/andybalholm/brotli"
	"github.com/google/go-cmp/cmp"
)

// tree writes files below a new folder.
func tree(t *testing.T, files map[string]string) string {
	t.Helper()
	root := t.TempDir()
	for name, content := range files {
		put(t, filepath.Join(root, name), content)
	}
	return root
}

func put(t *testing.T, path, content string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o644); err != nil {
		t.Fatal(err)
	}
}

// names lists the files below a folder.
func names(t *testing.T, root string) []string {
	t.Helper()
	var found []string
	err := filepath.WalkDir(root, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			return err
		}
		rel, err := filepath.Rel(root, path)
		found = append(found, filepath.ToSlash(rel))
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return found
}

var words = strings.Repeat("carina, apex, mesial, distal; ", 200)

func TestPage(t *testing.T) {
	web := tree(t, map[string]string{
		"index.html":             "<!doctype html>" + words,
		"boot.js":                words,
		"icons/large.png":        "not compressed",
		"tiny.css":               "a{}",
		"README.md":              "for developers",
		".hidden.html":           words,
		".hidden/a.html":         words,
		"serve/main.go":          "package main",
		"serve/notes.html":       words,
		"testdata/fixture.html":  words,
		"browsertest/a_test.go":  "package browsertest",
		"browsertest/fixture.js": words,
	})
	stage := tree(t, map[string]string{
		"crownbench.wasm":  words + words,
		"demo/lateral.jpg": "photo",
		"demo/demo.json":   words,
		"boot.js":          "// the later source wins\n" + words,
	})
	to := tree(t, map[string]string{
		"stale.js":         "left over",
		"stale.js.br":      "left over",
		"old/deep/a.html":  "left over",
		"tiny.css.br":      "left over",
		"shots/first.png":  "kept",
		"demo/lateral.jpg": "photo",
	})
	if err := run([]string{web, stage}, to, "shots", t.TempDir(), 5, 2.6); err != nil {
		t.Fatal(err)
	}
	want := []string{
		"boot.js", "boot.js.br", "boot.js.gz",
		"crownbench.wasm", "crownbench.wasm.br", "crownbench.wasm.gz",
		"demo/demo.json", "demo/demo.json.br", "demo/demo.json.gz",
		"demo/lateral.jpg",
		"icons/large.png",
		"index.html", "index.html.br", "index.html.gz",
		"shelf.js", "shelf.js.br", "shelf.js.gz",
		"shots/first.png",
		"tiny.css",
	}
	if diff := cmp.Diff(want, names(t, to)); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
	if _, err := os.Stat(filepath.Join(to, "old")); !os.IsNotExist(err) {
		t.Error("an empty folder is left over")
	}
	script, err := os.ReadFile(filepath.Join(to, "boot.js"))
	if err != nil || !strings.HasPrefix(string(script), "// the later source wins") {
		t.Errorf("boot.js holds %.30q, %v", script, err)
	}
}

// The siblings must unpack to the file, whichever quality made them.
func TestSiblingsUnpack(t *testing.T) {
	for _, quality := range []int{0, 5, 11} {
		content := "<!doctype html>" + words
		to := t.TempDir()
		if err := run([]string{tree(t, map[string]string{"index.html": content})}, to, "shots", t.TempDir(), quality, 2.6); err != nil {
			t.Fatal(err)
		}
		br, err := os.ReadFile(filepath.Join(to, "index.html.br"))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(brotli.NewReader(bytes.NewReader(br))); err != nil || string(got) != content {
			t.Errorf("quality %d: brotli unpacks to %d bytes, %v", quality, len(got), err)
		}
		gz, err := os.ReadFile(filepath.Join(to, "index.html.gz"))
		if err != nil {
			t.Fatal(err)
		}
		r, err := gzip.NewReader(bytes.NewReader(gz))
		if err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(r); err != nil || string(got) != content {
			t.Errorf("quality %d: gzip unpacks to %d bytes, %v", quality, len(got), err)
		}
	}
}

// A second build touches nothing, takes a better compression that is at hand,
// and follows a change.
func TestBuildAgain(t *testing.T) {
	web := tree(t, map[string]string{"index.html": "<!doctype html>" + words})
	to, kept := t.TempDir(), t.TempDir()
	build := func(quality int) (brotliSize int64, written time.Time) {
		t.Helper()
		if err := run([]string{web}, to, "shots", kept, quality, 2.6); err != nil {
			t.Fatal(err)
		}
		info, err := os.Stat(filepath.Join(to, "index.html.br"))
		if err != nil {
			t.Fatal(err)
		}
		return info.Size(), info.ModTime()
	}
	_, first := build(5)
	if _, again := build(5); !again.Equal(first) {
		t.Error("an unchanged file was written again")
	}
	best, _ := build(11)
	if quick, _ := build(5); quick != best {
		t.Errorf("a quick build after a slow one has %d bytes, want the %d at hand", quick, best)
	}
	before := len(names(t, kept))
	put(t, filepath.Join(web, "index.html"), "<!doctype html> changed "+words)
	if _, changed := build(5); changed.Equal(first) {
		t.Error("a changed file was not written")
	}
	if after := len(names(t, kept)); after > before {
		t.Errorf("the cache grew from %d to %d files", before, after)
	}
}

func TestRefusals(t *testing.T) {
	if err := run([]string{t.TempDir()}, t.TempDir(), "shots", t.TempDir(), 12, 2.6); err == nil || !strings.Contains(err.Error(), "-quality") {
		t.Errorf("quality 12: %v", err)
	}
	if err := run([]string{filepath.Join(t.TempDir(), "absent")}, t.TempDir(), "shots", t.TempDir(), 5, 2.6); err == nil {
		t.Error("an absent source is accepted")
	}
}

func TestSizes(t *testing.T) {
	var out strings.Builder
	err := printSizes(&out, map[string]packed{
		"crownbench.wasm":  {raw: 9_800_000, gzip: 2_420_000, brotli: 1_750_000},
		"icon.png":         {raw: 10_000},
		"demo/lateral.jpg": {raw: 500_000},
		"licences.txt":     {raw: 20_000, gzip: 7_000, brotli: 6_000},
	}, 11, 2.6)
	if err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{
		"first visit                      9810.0     2430.0     1760.0\n",
		"fetched when asked for            520.0      507.0      506.0\n",
		"first visit with brotli: 1.76 MB of a budget of 2.60 MB\n",
	} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the table lacks %q:\n%s", want, &out)
		}
	}
}
