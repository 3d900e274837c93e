//go:build browser

package browsertest

import (
	"encoding/json"
	"net/http"
	"os"
	"regexp"
	"strings"
	"testing"
)

// The page opened with a language that it has shows it, in the panels and in
// what readers hear, and says so in <html lang>; without that language it is
// in English and fetches nothing. The language is made of the catalogue.
func TestLanguage(t *testing.T) {
	list, err := os.ReadFile("../../wasm/words/english.json")
	if err != nil {
		t.Fatal(err)
	}
	var texts []struct{ English string }
	if err := json.Unmarshal(list, &texts); err != nil {
		t.Fatal(err)
	}
	letter := regexp.MustCompile(`[A-Za-z]`)
	said := map[string]string{}
	for _, x := range texts {
		said[x.English] = letter.ReplaceAllString(x.English, "é") + strings.Repeat("é", len(x.English)/3)
	}
	file, err := json.Marshal(map[string]any{"language": "qps", "texts": said})
	if err != nil {
		t.Fatal(err)
	}
	index, err := os.ReadFile(distFolder + "/index.html")
	if err != nil {
		t.Fatal(err)
	}
	listed := strings.Replace(string(index), `name="languages" content=""`, `name="languages" content="qps"`, 1)
	address := serveAt(t, http.FileServerFS(dist(t, map[string][]byte{"index.html": []byte(listed), "words/qps.json": file}))) + "/"

	p := OpenAt(t, address+"?lang=qps", Laptop)
	p.Until(ready)
	if lang := Eval[string](p, `document.documentElement.lang`); lang != "qps" {
		t.Errorf("<html lang> is %q", lang)
	}
	left := func(state string) {
		p.Shot("language-" + state)
		for _, text := range Eval[[]string](p, `[...document.querySelectorAll("#app button, #app h1, #app h2, #app h3, #app label, #app legend, #app p, #app [aria-label]")]
			.filter(e => e.checkVisibility()).flatMap(e => [e.getAttribute("aria-label") ?? "", ...[...e.childNodes].filter(n => n.nodeType === 3).map(n => n.data)])`) {
			if english.MatchString(text) {
				t.Errorf("%s: %q is in English", state, text)
			}
		}
	}
	left("doors")
	openDemo(p)
	left("demo")

	plain := OpenAt(t, address, Laptop)
	plain.Until(ready)
	if got := plain.Text("#demo"); strings.Contains(got, "é") {
		t.Errorf("without the language the page says %q", got)
	}
}

// english is a word of ours; teeth, taxa and files are called as they are.
var english = regexp.MustCompile(`\b(the|and|of|with|photograph|tooth|crown|scale|undo|lesson|nearest|needs|sheet)\b`)
