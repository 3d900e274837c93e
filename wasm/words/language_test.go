package words_test

import (
	"encoding/json"
	"fmt"
	"os"
	"strings"
	"testing"
	"unicode/utf8"

	m "crownbench/wasm/markup"
	"crownbench/wasm/words"
)

// german is a few sentences, translated by hand.
const german = `{"language": "de", "texts": {
	"Undo": "Zurück",
	"Undo {1}": "{1} zurücknehmen",
	"count {1}": "{1} zählen",
	"{1} of the {2} nearest published crowns": "unter den {2} nächsten veröffentlichten Kronen {1}",
	"{1} is not a number; one such as 22.6 is expected": "{1} ist keine Zahl; erwartet wird eine wie 22,6",
	"after the ±: {1}": "nach dem ±: {1}",
	"distal denticle density, apical": "distale Dentikeldichte, apikal",
	"teeth": "Zähne",
	"not robust": "nicht robust",
	"still to be done": ""
}}`

func read(t testing.TB, file string) *words.Language {
	t.Helper()
	l, err := words.Read([]byte(file))
	if err != nil {
		t.Fatal(err)
	}
	return l
}

func Example() {
	l, err := words.Read([]byte(german))
	if err != nil {
		panic(err)
	}
	fmt.Println(l.Say("14 of the 15 nearest published crowns; not robust."))
	// Output: unter den 15 nächsten veröffentlichten Kronen 14; nicht robust.
}

func TestSay(t *testing.T) {
	l := read(t, german)
	for english, want := range map[string]string{
		"Undo":                               "Zurück",
		" Undo ":                             " Zurück ",
		"Undo count MC":                      "MC zählen zurücknehmen",
		"3 teeth":                            "3 Zähne",
		"Teeth:":                             "Zähne:",
		"still to be done":                   "still to be done",
		"undone":                             "undone", // no template begins within a word
		"":                                   "",
		"22.6 ± 0.2":                         "22.6 ± 0.2",
		"Nothing of this":                    "Nothing of this",
		"distal denticle density, apical, 5": "distale Dentikeldichte, apikal, 5",
		"After the ±: \"x\" is not a number; one such as 22.6 is expected.": "Nach dem ±: \"x\" ist keine Zahl; erwartet wird eine wie 22,6.",
	} {
		if got := l.Say(english); got != want {
			t.Errorf("%q became %q, not %q", english, got, want)
		}
		if got := l.Say(english); got != want {
			t.Errorf("%q became %q when said again", english, got)
		}
	}
	var none *words.Language
	if got := none.Say("Undo"); got != "Undo" {
		t.Errorf("without a language Undo became %q", got)
	}
}

func TestNodes(t *testing.T) {
	clicked := false
	page := []*m.Node{m.El("p", m.Attr("title", "Undo"), m.Attr("class", "Undo"), m.OnClick(func() { clicked = true }),
		m.Text("Undo"), m.El("i", m.Name("Undo")), m.El("b", m.Attr("translate", "no"), m.Text("Undo")), m.El("input", m.Attr("value", "Undo"))), nil}
	said := read(t, german).Nodes(page)
	const want = `<p class="Undo" title="Zurück">Zurück<i>Undo</i><b translate="no">Undo</b><input value="Undo"/></p>`
	if got := said[0].String(); got != want || said[1] != nil {
		t.Errorf("%s, not %s", got, want)
	}
	if strings.Contains(page[0].String(), "Zurück") {
		t.Error("the page itself was changed")
	}
	if said[0].On["click"](m.Event{}); !clicked {
		t.Error("the handler was lost")
	}
}

func TestReadRefuses(t *testing.T) {
	for name, c := range map[string]struct{ file, says string }{
		"no JSON":      {"{", "form"},
		"no language":  {`{"texts": {"a": "b"}}`, "language"},
		"a lost hole":  {`{"language": "de", "texts": {"Undo {1}": "zurück"}}`, "other holes"},
		"a new hole":   {`{"language": "de", "texts": {"Undo": "{1} zurück"}}`, "other holes"},
		"not a string": {`{"language": "de", "texts": {"Undo": 1}}`, "form"},
	} {
		if _, err := words.Read([]byte(c.file)); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A person's languages in their order, as navigator.languages gives them.
func TestChoose(t *testing.T) {
	has := []string{"de", "pt-BR"}
	for wanted, want := range map[string]string{
		"": "", "de": "de", "de-AT": "de", "pt-BR": "pt-BR", "pt-PT": "", "en-GB de": "", "fr de en": "de", "../x": "",
	} {
		if got := words.Choose(strings.Fields(wanted), has); got != want {
			t.Errorf("%q: %q, not %q", wanted, got, want)
		}
	}
}

// Any file and any text: no panic, no endless work, and text stays text.
func FuzzSay(f *testing.F) {
	f.Add([]byte(german), "Undo count MC, Undo; Undo")
	f.Add([]byte(`{"language": "x", "texts": {"{1}a{2}": "{2}{1}{1}", "{1}{2}b{1}": "{1}{2}"}}`), strings.Repeat("ab", 99))
	f.Fuzz(func(t *testing.T, file []byte, text string) {
		l, err := words.Read(file)
		if err != nil {
			return
		}
		said := l.Say(text)
		if utf8.Valid(file) && utf8.ValidString(text) && !utf8.ValidString(said) {
			t.Errorf("%q became %q", text, said)
		}
		if l.Say(text) != said {
			t.Error("said otherwise the second time")
		}
	})
}

// Fingers and pens do not click: what is said of marking suits them as well as a
// mouse.
func TestNoTextTellsAFingerToClick(t *testing.T) {
	file, err := os.ReadFile("english.json")
	if err != nil {
		t.Fatal(err)
	}
	var list []struct{ English string }
	if err := json.Unmarshal(file, &list); err != nil {
		t.Fatal(err)
	}
	marking := 0
	for _, text := range list {
		said := strings.ToLower(text.English)
		if strings.Contains(said, "click") {
			t.Errorf("%q", text.English)
		}
		if strings.Contains(said, "mark the ") {
			marking++
		}
	}
	if marking == 0 {
		t.Error("the list has no text about marking")
	}
}
