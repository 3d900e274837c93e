package comparison_test

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/comparison"
	"crownbench/wasm/tray"
)

// din1 is a published crown, READ in the table compiled by Hendrickx et al.
// 2024: Carcharodontosaurus SGM Din-1 mx03.
func din1() *tray.Specimen {
	return &tray.Specimen{ID: "s1", Name: "KB-1", Row: tray.RowLateral, Age: "Late Cretaceous", Typed: map[morph.ID]morph.Typed{
		morph.CBL: {Value: 41.46}, morph.CBW: {Value: 15.15}, morph.CH: {Value: 71.01}, morph.AL: {Value: 82.32},
	}}
}

func Example() {
	teeth, problems, err := comparison.Read("mine.csv", strings.NewReader("id;clade;form;CBL mm;CBW mm;CH mm\nA 1;Abelisauridae;blade;14,1;7,2;25,9\nA 2;;;14,1;7,2;25,9\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	list, err := comparison.List{}.Add(teeth...)
	if err != nil {
		fmt.Println(err)
		return
	}
	sample, err := list.Sample()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(sample.Own(), "added")
	fmt.Println(problems[0])
	// Output:
	// 1 added
	// line 3 (A 2): say the clade or the form; a tooth without either speaks for nothing
}

// A specimen that was added is not its own evidence: its answer is the one of
// the published teeth alone, while a twin of it finds it nearest.
func TestSpecimenIsNotItsOwnEvidence(t *testing.T) {
	s := din1()
	tooth, err := comparison.FromSpecimen(s, tray.Find(s), comparison.Identity{Clade: "abelisauridae ", Form: classify.Robust})
	if err != nil {
		t.Fatal(err)
	}
	if tooth.Clade != "Abelisauridae" || !tooth.Compared() {
		t.Errorf("the clade became %q", tooth.Clade)
	}
	list, err := comparison.List{}.Add(tooth)
	if err != nil {
		t.Fatal(err)
	}
	sample, err := list.Sample()
	if err != nil {
		t.Fatal(err)
	}
	how := tray.Sorting{Teeth: sample}
	a, plain := how.Find(s).Answer, tray.Find(s).Answer
	// The entry still counts toward the size of its form's class, one in 232,
	// by which votes are balanced; that may move a share by less than a tenth
	// of a percent.
	for i, want := range plain.Shares {
		if got := a.Shares[i]; got.Form != want.Form || got.Count != want.Count || math.Abs(got.Share-want.Share) > 0.001 {
			t.Errorf("its own entry changed its share: %+v, without it %+v", got, want)
		}
	}
	if a.Neighbours[0].Tooth.Own() {
		t.Error("it is its own nearest tooth")
	}
	if a.Own != 1 {
		t.Errorf("%d own teeth in the comparison", a.Own)
	}
	twin := din1()
	twin.ID = "s2"
	side := how.Find(twin).Beside()
	if !side.Rows[0].Tooth.Own() || side.Rows[0].Paper != 0 || side.Rows[0].Name != "KB-1" {
		t.Errorf("a twin's nearest tooth is %+v", side.Rows[0])
	}
	list.Off = true
	if off, _ := list.Sample(); off.Own() != 0 {
		t.Error("a list that is off is compared with")
	}
}

func TestRefusals(t *testing.T) {
	blade := comparison.Identity{Form: classify.Blade}
	for name, c := range map[string]struct {
		change func(*tray.Specimen)
		known  comparison.Identity
		want   string
	}{
		"no identity":  {func(*tray.Specimen) {}, comparison.Identity{Taxon: "something"}, "clade or the form"},
		"no such form": {func(*tray.Specimen) {}, comparison.Identity{Form: "round"}, "blade, robust or front"},
		"no width":     {func(s *tray.Specimen) { delete(s.Typed, morph.CBW) }, blade, "CBW"},
		"broken":       {func(s *tray.Specimen) { s.Typed[morph.CH] = morph.Typed{Value: 71.01, State: morph.Minimum} }, blade, "minimum"},
		"invented":     {func(s *tray.Specimen) { s.Invented = true }, blade, "invented"},
		"in doubt":     {func(s *tray.Specimen) { s.Typed[morph.CBW] = morph.Typed{Value: 151.5} }, blade, "doubt"},
		"long name":    {func(s *tray.Specimen) { s.Name = strings.Repeat("x", 300) }, blade, "longer"},
	} {
		s := din1()
		c.change(s)
		if _, err := comparison.FromSpecimen(s, tray.Find(s), c.known); err == nil || !strings.Contains(err.Error(), c.want) {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A list is the same after it was saved and read back; adding a tooth again
// replaces it, removing takes it away.
func TestListKeeps(t *testing.T) {
	s := din1()
	tooth, err := comparison.FromSpecimen(s, tray.Find(s), comparison.Identity{Taxon: "T", Form: classify.Blade})
	if err != nil {
		t.Fatal(err)
	}
	list, _ := comparison.List{Off: true}.Add(tooth)
	b, err := json.Marshal(list)
	if err != nil {
		t.Fatal(err)
	}
	var back comparison.List
	if err := json.Unmarshal(b, &back); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(list, back); diff != "" {
		t.Errorf("after saving (-was +is):\n%s", diff)
	}
	tooth.Name = "renamed"
	again, _ := list.Add(tooth)
	if len(again.Teeth) != 1 || again.Teeth[0].Name != "renamed" || list.Teeth[0].Name != "KB-1" {
		t.Error("adding a tooth again does not replace it, or changes the list it was added to")
	}
	if left := again.Remove(tooth.ID); len(left.Teeth) != 0 || !left.Off {
		t.Errorf("after removing: %+v", left)
	}
	broken := tooth
	broken.ID, broken.Values = "x", nil
	if sound, lost := (comparison.List{Teeth: []comparison.Tooth{tooth, broken, tooth}}).Sound(); lost != 2 || len(sound.Teeth) != 1 {
		t.Errorf("%d sound, %d lost", len(sound.Teeth), lost)
	}
	many := make([]comparison.Tooth, comparison.MaxTeeth+1)
	for i := range many {
		many[i] = tooth
		many[i].ID = fmt.Sprint(i)
	}
	if _, err := (comparison.List{}).Add(many...); err == nil {
		t.Error("a list beyond the limit was taken")
	}
}

// Whatever a table holds, what is read of it can be compared with.
func TestWhatIsReadIsSound(t *testing.T) {
	cell := rapid.SampledFrom([]string{"", "14.1", "7,2", "-3", "x", "blade", "Abelisauridae", "absent", ">5", "1e9", "\"", "lateral"})
	rapid.Check(t, func(t *rapid.T) {
		text := "id,clade,form,CBL,CBW,CH,DC,row\n"
		for range rapid.IntRange(0, 6).Draw(t, "rows") {
			text += strings.Join(rapid.SliceOfN(cell, 8, 8).Draw(t, "cells"), ",") + "\n"
		}
		teeth, _, err := comparison.Read("a.csv", strings.NewReader(text))
		if err != nil {
			return
		}
		list, err := comparison.List{}.Add(teeth...)
		if err != nil {
			t.Fatal(err)
		}
		sample, err := list.Sample()
		if err != nil {
			t.Fatal(err)
		}
		if _, lost := list.Sound(); lost > 0 || sample.Own() != len(list.Teeth) {
			t.Errorf("%d unsound, %d in the sample of %d", lost, sample.Own(), len(list.Teeth))
		}
	})
}
