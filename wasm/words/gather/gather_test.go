package main

import (
	"bytes"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"crownbench/wasm/words"
)

// The list of texts is what the sources say.
func TestCatalogueIsTrue(t *testing.T) {
	texts, err := Gather("../../..")
	if err != nil {
		t.Fatal(err)
	}
	listed, err := os.ReadFile("../english.json")
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(listed, Catalogue(texts)) {
		t.Error("wasm/words/english.json is not what the sources say; run: go run ./wasm/words/gather")
	}
	if _, err := words.Read(Accented(texts)); err != nil {
		t.Errorf("the accented language cannot be read: %v", err)
	}
}

// What is a text in a source and what is not, written by hand.
func TestGather(t *testing.T) {
	root := t.TempDir()
	for _, f := range folders {
		if err := os.MkdirAll(filepath.Join(root, f), 0o755); err != nil {
			t.Fatal(err)
		}
	}
	const source = `package panel

import "fmt"

func page(n int, name string) {
	m.El("div.card", m.Key("the key"), m.Attr("class", "wide card"), m.Attr("title", "Take it"), m.Attr("aria-label", "Remove "+name))
	say("Only %d of %d %%, 50 % of them", n, n)
	fmt.Sprintf("%[2]s before %[1]s", name, name)
	text := "Tooth " + name + ", " + fmt.Sprintf("%d times", n)
	text += " or more"
	if name == "not shown" {
		m.Text("in one word: crown")
	}
	switch name {
	case "nor this":
		m.Text("blade")
	}
	_ = []string{"CBL", "crownBase", "a/b", "<p>no</p>", "https://x.example/y z"}
}
`
	for name, text := range map[string]string{"wasm/panel/a.go": source, "wasm/lesson/ready.json": `[{"title": "Two views", "key": "x"}]`} {
		if err := os.WriteFile(filepath.Join(root, name), []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	texts, err := Gather(root)
	if err != nil {
		t.Fatal(err)
	}
	var got []string
	for _, x := range texts {
		got = append(got, x.English)
	}
	want := []string{
		"Only {1} of {2} %, 50 % of them", "Remove {1}", "Take it", "Tooth {1}, {2}", "Two views",
		"blade", "in one word: crown", "{1} or more", "{1} times", "{2} before {1}",
	}
	if !slices.Equal(got, want) {
		t.Errorf("gathered\n%s\nnot\n%s", strings.Join(got, "\n"), strings.Join(want, "\n"))
	}
}
