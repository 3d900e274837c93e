package sheet_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/wasm/comparison"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// withOwn sorts at 95 % and with one tooth of one's own: the published crown of
// carcharodontosaurus under another identity.
func withOwn(t *testing.T) tray.Sorting {
	t.Helper()
	s := carcharodontosaurus(t)
	own, err := comparison.FromSpecimen(s, tray.Find(s), comparison.Identity{Taxon: "<own>", Form: classify.Blade})
	if err != nil {
		t.Fatal(err)
	}
	sample, err := comparison.List{Teeth: []comparison.Tooth{own}}.Sample()
	if err != nil {
		t.Fatal(err)
	}
	return tray.Sorting{Coverage: 0.95, Teeth: sample}
}

// The sheet, the table and the record say at what coverage the sets hold, what
// they hold, how far the tooth lies out, and that teeth of one's own took part.
func TestSheetSaysHowFarTheAnswerGoes(t *testing.T) {
	how := withOwn(t)
	twin := carcharodontosaurus(t)
	twin.ID = "another"
	f := how.Find(twin)
	doc := parse(t, sheet.Standalone(sheet.Sheet(twin, f, nil, versions)))
	text := one(t, doc, "section.sheet-sorting").PlainText()
	for _, want := range []string{"Not ruled out as to shape: blade-like", "Of 100 such teeth about 95", "coverage of the sets 95 %", "1 tooth of one's own", "of 100 published teeth", f.Answer.CladeSet[0]} {
		if !strings.Contains(text, want) {
			t.Errorf("the sheet does not say %q:\n%s", want, text)
		}
	}
	near := rows(one(t, doc, "table.nearest"))
	own := near[3] // as near as the published tooth that it copies, and after it
	if own[len(own)-1] != "own" || !strings.Contains(own[0], "<own>") || near[2][len(own)-1] != "[1]" {
		t.Errorf("the own tooth stands as %q after %q", own, near[2])
	}

	find := func(*tray.Specimen) tray.Finding { return f }
	var b bytes.Buffer
	if err := sheet.CSV(&b, []*tray.Specimen{twin}, find, versions); err != nil {
		t.Fatal(err)
	}
	table, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(b.String(), "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	cells := map[string]string{}
	for i, head := range table[0] {
		cells[head] = table[1][i]
	}
	if cells["coverage"] != "0.95" || cells["form_set"] != "blade" || cells["own_teeth"] != "1" || cells["clade_set"] != strings.Join(f.Answer.CladeSet, "; ") || cells["reach_percentile"] == "" {
		t.Errorf("the table says %q %q %q %q %q", cells["coverage"], cells["form_set"], cells["own_teeth"], cells["clade_set"], cells["reach_percentile"])
	}

	b.Reset()
	if err := sheet.Record(&b, []*tray.Specimen{twin}, find, versions); err != nil {
		t.Fatal(err)
	}
	var record struct {
		Specimens []struct {
			Derived struct {
				Answer struct {
					Coverage float64  `json:"coverage"`
					CladeSet []string `json:"cladeSet"`
					OwnTeeth int      `json:"ownTeeth"`
				} `json:"answer"`
			} `json:"derived"`
		} `json:"specimens"`
	}
	if err := json.Unmarshal(b.Bytes(), &record); err != nil {
		t.Fatal(err)
	}
	if a := record.Specimens[0].Derived.Answer; a.Coverage != 0.95 || a.OwnTeeth != 1 || len(a.CladeSet) != len(f.Answer.CladeSet) {
		t.Errorf("the record says %+v", a)
	}
}

// A tooth outside of everything gets no shares and no sets on the sheet, and
// the reason. READ as tyrannosaurus, its width with the decimal mark one place
// too far right.
func TestSheetOfAToothOutside(t *testing.T) {
	s := tyrannosaurus(t)
	width := s.Typed["CBW"]
	width.Value *= 10
	s.Typed["CBW"] = width
	doc := parse(t, standalone(s))
	sorting := one(t, doc, "section.sheet-sorting")
	if len(all(sorting, "table.shares"))+len(all(sorting, "p.sets")) != 0 || !strings.Contains(sorting.PlainText(), "No name is given") {
		t.Errorf("of a tooth outside the sheet says:\n%s", sorting.PlainText())
	}
	if !strings.Contains(sorting.PlainText(), "rests on CBW, which is in doubt") {
		t.Error("the doubtful width is not named")
	}
}
