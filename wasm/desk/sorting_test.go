package desk_test

import (
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/comparison"
	"crownbench/wasm/desk"
)

// din1 types a published crown. READ Hendrickx et al. 2024: Carcharodontosaurus
// SGM Din-1 mx03.
func din1(d *desk.Desk) {
	d.QuickCheck()
	d.TypeValue("CH", "71.01", desk.Done)
	d.TypeValue("CBL", "41.46", desk.Done)
	d.TypeValue("CBW", "15.15", desk.Done)
}

func TestCoverageHoldsForAllAndIsKept(t *testing.T) {
	d, out := newDesk()
	din1(d)
	if d.Coverage() != 0.90 || d.Find(d.Specimen()).Answer.Coverage != 0.90 {
		t.Fatal("the usual coverage is not 90 %")
	}
	d.SetCoverage(0.95)
	if d.Find(d.Specimen()).Answer.Coverage != 0.95 || out.settings.Coverage != 0.95 {
		t.Errorf("answer at %v, kept %v", d.Find(d.Specimen()).Answer.Coverage, out.settings.Coverage)
	}
	other, _ := newDesk()
	other.TakeSettings(out.settings)
	if other.Coverage() != 0.95 {
		t.Error("the coverage did not come back")
	}
	other.TakeSettings(desk.Settings{Coverage: 0.3, Own: comparison.List{Teeth: []comparison.Tooth{{ID: "x"}}}})
	if other.Coverage() != 0.90 || len(other.OwnTeeth().Teeth) != 0 || len(other.Notices()) != 1 {
		t.Errorf("settings that make no sense: coverage %v, %d teeth, notices %v", other.Coverage(), len(other.OwnTeeth().Teeth), other.Notices())
	}
}

func TestOwnTeethComeAndGo(t *testing.T) {
	d, out := newDesk()
	din1(d)
	d.AddOwnTooth()
	if r, refused := d.Refused("own-tooth"); !refused || !strings.Contains(r.Why, "clade or the form") {
		t.Errorf("a tooth that is nothing was taken: %v", r)
	}
	known := desk.Known{Identity: comparison.Identity{Clade: "Abelisauridae", Form: classify.Blade}}
	d.SayKnown(known)
	d.AddOwnTooth()
	if r, refused := d.Refused("own-tooth"); !refused || !strings.Contains(r.Why, "certain") {
		t.Errorf("an uncertain tooth was taken: %v", r)
	}
	known.Certain = true
	d.SayKnown(known)
	d.AddOwnTooth()
	if _, added := d.OwnOf(d.Specimen().ID); !added || len(out.settings.Own.Teeth) != 1 {
		t.Fatal("the tooth was not added and kept")
	}
	if d.Known().Clade != "Abelisauridae" || d.Known().Certain {
		t.Errorf("of the added tooth is said %+v", d.Known())
	}
	din1(d)
	if a := d.Find(d.Specimen()).Answer; a.Own != 1 || !a.Neighbours[0].Tooth.Own() {
		t.Error("a twin does not find the own tooth nearest")
	}
	d.UseOwnTeeth(false)
	if d.Find(d.Specimen()).Answer.Own != 0 {
		t.Error("own teeth that are left aside take part")
	}
	d.UseOwnTeeth(true)
	d.RemoveOwnTeeth()
	if len(d.OwnTeeth().Teeth) != 0 || d.Find(d.Specimen()).Answer.Own != 0 {
		t.Error("removed teeth are still there")
	}
	d.PutOwnBack()
	if len(d.OwnTeeth().Teeth) != 1 || d.Find(d.Specimen()).Answer.Own != 1 {
		t.Error("the removed tooth did not come back")
	}
	d.ReadOwnTable("bad.csv", []byte("nothing\n1\n"))
	if n := d.Notices(); !strings.Contains(n[len(n)-1].Text, "bad.csv was not read") || len(d.OwnTeeth().Teeth) != 1 {
		t.Errorf("notices %v", n)
	}
}

// The test of the sample tells its progress, can be stopped, and is forgotten
// when the list changes.
func TestSampleTest(t *testing.T) {
	d, out := newDesk()
	d.ReadOwnTable("mine.csv", []byte("id,clade,form,CBL,CBW,CH\na,Abelisauridae,blade,14.1,7.2,25.9\n"))
	turns := 0
	out.turn = func() { turns++ }
	d.TestSample()
	test := d.SampleTest()
	if test.Running || test.Result == nil || test.Done != test.All || turns == 0 {
		t.Fatalf("after the test: %+v, %d turns", test, turns)
	}
	if v := test.Result; v.Own.FormTeeth != 1 || v.Published.FormTeeth == 0 {
		t.Errorf("tested %+v", v)
	}
	d.RemoveOwnTeeth()
	if d.SampleTest().Result != nil {
		t.Error("the result of another list is still shown")
	}
	out.turn = d.StopTest
	d.TestSample()
	if test := d.SampleTest(); test.Running || test.Result != nil {
		t.Errorf("a stopped test: %+v", test)
	}
}

// Each measurement leads to the photograph that shows it, to a new one, or to
// the cell that takes it.
func TestWayToAMeasurement(t *testing.T) {
	d, _ := newDesk()
	if w := d.WayTo(classify.CBW); w.Words != "" {
		t.Errorf("without a tooth the way is %q", w.Words)
	}
	d.QuickCheck()
	d.TakeFocus()
	for m, cell := range map[classify.Measure]string{"CBW": "cell-CBW", "DC": "cell-count-DC", "AL": "more-cell-AL"} {
		d.WayTo(m).Go()
		if got := d.TakeFocus(); got != cell {
			t.Errorf("%s is typed into %q, want %q", m, got, cell)
		}
	}
	if !d.ReadingOpen("AL") {
		t.Error("the reading with the cell for AL is closed")
	}
	d.AddPhotos(photo("side", "a.jpg"))
	if got := d.Specimen().Photos[0].Role; got != morph.LateralLabial {
		t.Fatalf("the photograph shows %q", got)
	}
	if w := d.WayTo(classify.CBW); w.Words != "Add a basal photograph" {
		t.Errorf("the way to CBW is %q", w.Words)
	}
	d.WayTo(classify.CBW).Go()
	basal := photo("b", "IMG_0002.jpg")
	basal.Hash = strings.Repeat("cd", 32)
	d.AddPhotos(basal)
	if got := d.Specimen().Photo("b").Role; got != morph.BasalView {
		t.Errorf("the photograph asked for shows %q", got)
	}
	d.SelectPhoto("side")
	d.WayTo(classify.CBW).Go()
	if d.Photo().ID != "b" {
		t.Error("the way to CBW does not lead to the basal photograph")
	}
	for _, m := range classify.Measures() {
		if w := d.WayTo(m); w.Words == "" || w.Go == nil {
			t.Errorf("no way to %s", m)
		}
	}
	if got := d.WayTo(classify.MC).Words; got != "Mark the mesial denticles" {
		t.Errorf("the way to MC is %q", got)
	}
}

// How steady the answer is holds for the tooth as it was when that was tried.
func TestSteadyHoldsForOneState(t *testing.T) {
	d, _ := newDesk()
	din1(d)
	d.TrySteady()
	if _, tried, _ := d.Steady(d.Specimen()); tried {
		t.Error("without any ± there is nothing to try")
	}
	d.TypeValue("CBW", "15.15 ± 0.2", desk.Done)
	d.TrySteady()
	if found, tried, _ := d.Steady(d.Specimen()); !tried || found.Form != classify.Blade || found.Same < 0.9 {
		t.Errorf("tried %v: %+v", tried, found)
	}
	d.TypeValue("CBW", "15.15 ± 0.3", desk.Done)
	if _, tried, _ := d.Steady(d.Specimen()); tried {
		t.Error("the finding of another state is shown")
	}
	d.Undo()
	d.TrySteady()
	d.SetCoverage(0.8)
	if _, tried, _ := d.Steady(d.Specimen()); tried {
		t.Error("the finding of another coverage is shown")
	}
}

// What was unfolded stays so when the next tooth is taken up.
func TestUnfoldedStays(t *testing.T) {
	d, _ := newDesk()
	din1(d)
	d.Unfold("near", true)
	din1(d)
	if !d.Unfolded("near") || d.Unfolded("why") {
		t.Error("the folds are not as they were left")
	}
	d.Unfold("near", false)
	if d.Unfolded("near") {
		t.Error("a closed fold is open")
	}
}
