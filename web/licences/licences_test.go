package main

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// Everything in the program is named with its terms. The phrases are from the
// licences themselves: the Apache License 2.0, section 1, and the three-clause
// BSD licence (READ in the modules).
func TestProgramsLicences(t *testing.T) {
	to := filepath.Join(t.TempDir(), "licences.txt")
	if err := run("crownbench/wasm", to); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(to)
	if err != nil {
		t.Fatal(err)
	}
	text := string(b)
	mod, err := os.ReadFile("../../go.mod")
	if err != nil {
		t.Fatal(err)
	}
	for _, module := range []string{"github.com/hajimehoshi/ebiten/v2", "gonum.org/v1/gonum", "github.com/hack-pad/go-indexeddb", "golang.org/x/image"} {
		line := module
		for l := range strings.Lines(string(mod)) {
			if f := strings.Fields(l); len(f) >= 2 && f[0] == module {
				line += " " + f[1]
			}
		}
		if !strings.Contains(text, "\n  "+line+"\n") || !strings.Contains(text, "\n"+line+": LICENSE\n") {
			t.Errorf("%q is not named with its licence", line)
		}
	}
	for _, phrase := range []string{"Apache License", "Redistribution and use in source and binary forms", "The Go Authors", "crownbench: LICENSE", "THIRD_PARTY_LICENSES/Cephes-LICENSE"} {
		if !strings.Contains(text, phrase) {
			t.Errorf("%q is missing", phrase)
		}
	}
	for _, other := range []string{"golearn", "chromedp", "rapid"} { // of tests and training only
		if strings.Contains(text, other) {
			t.Errorf("%s is named and is not in the program", other)
		}
	}
}

func TestWithoutLicence(t *testing.T) {
	dir := t.TempDir()
	if err := os.WriteFile(filepath.Join(dir, "licence.go"), []byte("package x"), 0o644); err != nil {
		t.Fatal(err)
	}
	if _, err := document([]part{{Name: "example.org/bare", Version: "v1.0.0", Dir: dir}}); err == nil || !strings.Contains(err.Error(), "example.org/bare v1.0.0") {
		t.Errorf("a module without a licence is passed on: %v", err)
	}
}

func Example() {
	dir, err := os.MkdirTemp("", "")
	if err != nil {
		panic(err)
	}
	defer os.RemoveAll(dir)
	if err := os.WriteFile(filepath.Join(dir, "LICENSE"), []byte("Do what you like.\n"), 0o644); err != nil {
		panic(err)
	}
	text, err := document([]part{{Name: "example.org/kind", Version: "v1.2.0", Dir: dir}})
	if err != nil {
		panic(err)
	}
	os.Stdout.Write(text)
	// Output:
	// What this program is made of, and under which terms. The terms follow the list.
	//
	//   example.org/kind v1.2.0
	//
	// ========================================================================
	// example.org/kind v1.2.0: LICENSE
	//
	// Do what you like.
}
