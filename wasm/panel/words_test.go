package panel_test

import (
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/panel"
	"crownbench/wasm/words"
)

// typedByPeople is what no translation touches: what the states' teeth, files
// and columns are called, and names of taxa, specimens, publications and
// places that are in published tables. One "the" is left where the answer's
// first sentence is put together from a count and a whole (classify/said.go).
var typedByPeople = regexp.MustCompile(`scriptalertxscript (key\.json|lesson\.zip)|<[a-z/]*>|script|alert|abc|colour|nothing known|"answer"|"far"|nonsense|"open,|\.jpg|\.png|\.csv|[A-Z][a-z]+(idae|auria|auroidea|auria|saurus|opoda)|megalosaurian|abelisauroid|averostran|tyrannosaurid|Basal(most)?|Hendrickx C\..*|Hendrickx|add$|15 ẋẋ the 15`)

// Every text that the panels show in any state is found in the catalogue: in
// a language made of it, in which every translated letter is an "x", no English
// word is left.
func TestEveryTextIsInTheCatalogue(t *testing.T) {
	list, err := os.ReadFile("../words/english.json")
	if err != nil {
		t.Fatal(err)
	}
	var texts []struct{ English string }
	if err := json.Unmarshal(list, &texts); err != nil {
		t.Fatal(err)
	}
	lower := regexp.MustCompile(`[A-Za-z]`)
	file := struct {
		Language string            `json:"language"`
		Texts    map[string]string `json:"texts"`
	}{"qps", map[string]string{}}
	for _, x := range texts {
		file.Texts[x.English] = lower.ReplaceAllString(x.English, "ẋ")
	}
	b, err := json.Marshal(file)
	if err != nil {
		t.Fatal(err)
	}
	language, err := words.Read(b)
	if err != nil {
		t.Fatal(err)
	}
	word := regexp.MustCompile(`[a-z]{3,}`)
	fingerprint := regexp.MustCompile(`\b[0-9a-f]{8}\b`) // of the model and the published teeth
	shown, left := 0, map[string]bool{}
	check := func(english string) {
		shown++
		if said := language.Say(english); word.MatchString(fingerprint.ReplaceAllString(typedByPeople.ReplaceAllString(said, ""), "")) {
			left[english+"\n\t"+said] = true
		}
	}
	var walk func(n *m.Node)
	walk = func(n *m.Node) {
		if n == nil {
			return
		}
		if n.Tag == "" && !n.Name {
			check(n.Text)
		}
		for _, name := range []string{"title", "aria-label", "placeholder", "alt"} {
			check(n.Attrs[name])
		}
		for _, c := range n.Children {
			walk(c)
		}
	}
	for _, d := range states() {
		for _, n := range panel.Page(d) {
			walk(n)
		}
	}
	if shown < 5000 {
		t.Errorf("only %d texts were looked at", shown)
	}
	var all []string
	for text := range left {
		all = append(all, text)
	}
	slices.Sort(all)
	if len(all) > 0 {
		t.Errorf("%d texts of %d are not in the catalogue:\n%s", len(all), shown, strings.Join(all, "\n"))
	}
}

// A tooth that is called like a text of the page keeps its name in every
// language, while the text of the page is translated.
func TestNamesStayAsTheyAreTyped(t *testing.T) {
	language, err := words.Read([]byte(`{"language": "de", "texts": {"Crown": "Krone", "Undo": "Zurück", "Help": "Hilfe"}}`))
	if err != nil {
		t.Fatal(err)
	}
	d := newDesk()
	d.QuickCheck()
	d.SetField(desk.NameField, "Help")
	said := &strings.Builder{}
	for _, n := range language.Nodes(panel.Page(d)) {
		if n != nil {
			said.WriteString(n.String())
		}
	}
	if !strings.Contains(said.String(), ">Help</span>") {
		t.Error("in the tray the tooth's name was translated")
	}
	if !strings.Contains(said.String(), "Zurück") || !strings.Contains(said.String(), ">Hilfe</button>") {
		t.Error("the page is not in the language")
	}
}
