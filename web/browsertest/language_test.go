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

// inLanguage serves the page with a language made of the catalogue by say, and
// gives the address at which it speaks it.
func inLanguage(t *testing.T, say func(english string) string) (address string) {
	t.Helper()
	list, err := os.ReadFile("../../wasm/words/english.json")
	if err != nil {
		t.Fatal(err)
	}
	var texts []struct{ English string }
	if err := json.Unmarshal(list, &texts); err != nil {
		t.Fatal(err)
	}
	said := map[string]string{}
	for _, x := range texts {
		said[x.English] = say(x.English)
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
	return serveAt(t, http.FileServerFS(dist(t, map[string][]byte{"index.html": []byte(listed), "words/qps.json": file}))) + "/"
}

// The page opened with a language that it has shows it, in the panels and in
// what readers hear, and says so in <html lang>; without that language it is
// in English and fetches nothing. The language is made of the catalogue.
func TestLanguage(t *testing.T) {
	letter := regexp.MustCompile(`[A-Za-z]`)
	address := inLanguage(t, func(english string) string { return letter.ReplaceAllString(english, "é") })

	p := OpenAt(t, address+"?lang=qps", Laptop)
	p.Until(ready)
	if lang := Eval[string](p, `document.documentElement.lang`); lang != "qps" {
		t.Errorf("<html lang> is %q", lang)
	}
	left := func(state string) {
		for _, text := range Eval[[]string](p, `[...document.querySelectorAll("#app input, #app button, #app h1, #app h2, #app h3, #app label, #app legend, #app p, #app [aria-label]")]
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

// In a language of which every text is a third longer than in English, no text
// that is read or pressed is cut off or runs out of what it stands in.
func TestLongerWords(t *testing.T) {
	address := inLanguage(t, longer)
	for _, name := range []string{"laptop", "tablet"} {
		t.Run(name, func(t *testing.T) {
			p := OpenAt(t, address+"?lang=qps", views[name])
			p.longer = true
			p.Until(ready)
			eachState(p, func(state string) {
				p.Shot(state + "-longer-" + name)
				for _, cut := range Eval[[]string](p, cutTexts) {
					t.Errorf("%s: %s", state, cut)
				}
			})
		})
	}
}

// cutTexts names the elements of which the text is wider or higher than there is
// room, or reaches beyond the panel that it stands in.
const cutTexts = `[...document.querySelectorAll("#app input, #app button, #app summary, #app label, #app legend, #app h1, #app h2, #app h3, #app th, #app dt, #app option:checked, #app .prompt, #app p")]
	.filter(e => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length > 0 && !e.closest("[inert], .unseen, .paper"))
	.flatMap(e => {
		if (e.localName === "input") return e.getBoundingClientRect().width < 60 && e.type === "text" ? [e.id + " has no room to type in"] : [];
		const box = e.getBoundingClientRect(), style = getComputedStyle(e);
		const clips = style.overflowX !== "visible" && style.overflowX !== "auto" && style.overflowX !== "scroll";
		const range = document.createRange();
		range.selectNodeContents(e);
		const text = range.getBoundingClientRect();
		const panel = e.closest(".side, .tray, .top, .bottom, dialog, [role=dialog], .card, .photos, #stage")?.getBoundingClientRect();
		const said = JSON.stringify(e.textContent.trim().slice(0, 60)) + " of a " + e.localName + "." + e.className + "#" + e.id;
		if (style.display === "inline" || text.width === 0) return [];
		if (clips && (e.scrollWidth > e.clientWidth + 1 || e.scrollHeight > e.clientHeight + 1)) return [said + " is cut: " + e.scrollWidth + " of " + e.clientWidth + " px, " + e.scrollHeight + " of " + e.clientHeight + " px"];
		if (text.right > box.right + 2 || text.left < box.left - 2 || text.bottom > box.bottom + 2) return [said + " runs out of its " + box.width.toFixed(0) + " by " + box.height.toFixed(0) + " px: " + text.width.toFixed(0) + " by " + text.height.toFixed(0)];
		if (e.closest(".photos, .scroll")) return []; // they scroll
		if (panel && box.right > panel.right + 2 && panel.width > 0 && box.left < panel.right) return [said + " reaches " + (box.right - panel.right).toFixed(0) + " px beyond its panel"];
		return [];
	})`

// english is a word of ours; teeth, taxa and files are called as they are.
var english = regexp.MustCompile(`\b(the|and|of|with|photograph|tooth|crown|scale|undo|lesson|nearest|needs|sheet)\b`)
