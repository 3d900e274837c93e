package classify

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"
	"maps"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"crownbench/classify/internal/model"
)

// The model must have been learned from these very teeth, and its version must
// be that of its content.
func TestModelBelongsToTheTeeth(t *testing.T) {
	var f model.File
	if err := json.Unmarshal(modelFile, &f); err != nil {
		t.Fatal(err)
	}
	if f.TeethHash != Published().Hash() {
		t.Errorf("the model was learned from teeth %.8s, the table is %.8s; run go run ./classify/train", f.TeethHash, Published().Hash())
	}
	version := f.Version
	f.Version = ""
	text, err := json.Marshal(&f)
	if err != nil {
		t.Fatal(err)
	}
	sum := sha256.Sum256(text)
	if got := hex.EncodeToString(sum[:4]); got != version {
		t.Errorf("the model says version %s, its content is %s", version, got)
	}
}

// Two samples read from the same bytes give the same answers.
func TestSameBytesSameAnswer(t *testing.T) {
	teeth, err := ReadTeeth(strings.NewReader(teethTable))
	if err != nil {
		t.Fatal(err)
	}
	again := &Reference{teeth: teeth, sources: Published().Sources(), hash: Published().Hash()}
	for _, f := range fixtureTeeth {
		q := Query{Values: map[Measure]float64{CBL: f.cbl, CBW: f.cbw, CH: f.ch, DC: f.dc}, Row: f.row}
		if diff := cmp.Diff(Published().Sort(q, Options{}), again.Sort(q, Options{}), cmp.AllowUnexported(Tooth{})); diff != "" {
			t.Fatalf("%s %s:\n%s", f.taxon, f.position, diff)
		}
	}
}

// A higher coverage can only widen a set.
func TestSetsGrowWithCoverage(t *testing.T) {
	for _, f := range fixtureTeeth {
		q := Query{Values: map[Measure]float64{CBL: f.cbl, CBW: f.cbw, CH: f.ch, DC: f.dc}}
		var forms []Form
		var clades []string
		for _, coverage := range []float64{0.8, 0.9, 0.95} {
			a := Sort(q, Options{Coverage: coverage})
			if a.Coverage != coverage {
				t.Fatalf("coverage %g, asked %g", a.Coverage, coverage)
			}
			for _, x := range forms {
				if !slices.Contains(a.FormSet, x) {
					t.Errorf("%s: %s left the set at %g", f.taxon, x, coverage)
				}
			}
			for _, x := range clades {
				if !slices.Contains(a.CladeSet, x) {
					t.Errorf("%s: %s left the set at %g", f.taxon, x, coverage)
				}
			}
			forms, clades = a.FormSet, a.CladeSet
		}
	}
}

// A base three times wider than long on a crown lower than wide is no theropod
// tooth of any published kind.
func TestFarFromEverythingGetsNoName(t *testing.T) {
	a := Sort(Query{Values: map[Measure]float64{CBL: 5, CBW: 60, CH: 3}}, Options{})
	if !a.Reach.Outside || a.Form != "" || a.CladeSet != nil || !strings.Contains(a.CannotSay, "farther") {
		t.Errorf("reach %+v, said %q", a.Reach, a.Said)
	}
	b := Sort(Query{Values: map[Measure]float64{CBL: 20, CBW: 10, CH: 40}}, Options{})
	if b.Reach.Outside || b.Reach.Percentile > 90 {
		t.Errorf("an everyday crown lies at percentile %.0f", b.Reach.Percentile)
	}
}

// An uncertain value says less: with a hopeless width the answer nears that
// without one.
func TestUncertaintyWeakensAValue(t *testing.T) {
	values := map[Measure]float64{CBL: 40, CBW: 30, CH: 80, DC: 8}
	share := func(u float64) float64 {
		a := Sort(Query{Values: values, U: map[Measure]float64{CBW: u}}, Options{})
		for _, s := range a.Shares {
			if s.Form == Robust {
				return s.Share
			}
		}
		return 0
	}
	if sure, unsure := share(0.1), share(15); unsure >= sure {
		t.Errorf("robust share %.2f with ±0.1 mm, %.2f with ±15 mm", sure, unsure)
	}
}

// The pull of a measure is the share with it against the share of the same
// query without it.
func TestWhyComparesWithTheQueryWithout(t *testing.T) {
	values := map[Measure]float64{CBL: 40, CBW: 30, CH: 80, AL: 88, DC: 8}
	a := Sort(Query{Values: values}, Options{})
	why := Published().Why(Query{Values: values}, &a)
	if len(why) != len(values) || why[0].With != a.Shares[0].Share {
		t.Fatalf("why: %+v", why)
	}
	less := maps.Clone(values)
	delete(less, AL)
	b := Sort(Query{Values: less}, Options{})
	for _, p := range why {
		if p.Measure != AL {
			continue
		}
		for _, s := range b.Shares {
			if s.Form == p.Form && s.Share != p.Without {
				t.Errorf("without AL %g, said %g", s.Share, p.Without)
			}
		}
	}
	brief := Sort(Query{Values: values}, Options{Brief: true})
	whole := a
	whole.Said, whole.Cautions, whole.Used, whole.Dropped = "", nil, nil, nil
	whole.Missing, whole.Epochs, whole.Continents = nil, nil, nil
	if diff := cmp.Diff(whole, brief, cmp.AllowUnexported(Tooth{})); diff != "" {
		t.Errorf("a brief answer differs in more than its words and reasons (-whole +brief):\n%s", diff)
	}
}

func TestAgeAndContinentOfTheFind(t *testing.T) {
	values := map[Measure]float64{CBL: 41.46, CBW: 15.15, CH: 71.01, DC: 9}
	warned := func(q Query, words string) bool {
		return slices.ContainsFunc(Sort(q, Options{}).Cautions, func(s string) bool { return strings.Contains(s, words) })
	}
	if !warned(Query{Values: values, Epoch: "Late Triassic"}, "another age") {
		t.Error("a Triassic find beside Cretaceous neighbours passed without a word")
	}
	if warned(Query{Values: values, Epoch: "mid-Cretaceous"}, "another age") || warned(Query{Values: values}, "another age") {
		t.Error("a warning of age without a reason")
	}
	if !warned(Query{Values: values, Country: "Australia"}, "another continent") {
		t.Error("an Australian find beside neighbours from elsewhere passed without a word")
	}
	a := Sort(Query{Values: values}, Options{})
	n := 0
	for _, e := range a.Epochs {
		n += e.Count
	}
	if n != len(a.CladeNeighbours) {
		t.Errorf("epochs of %d of %d neighbours", n, len(a.CladeNeighbours))
	}
}

// Every country and epoch of the reference is known to the scales.
func TestPlacesOfTheReferenceAreKnown(t *testing.T) {
	for _, tooth := range Published().Teeth() {
		if tooth.Country != "" && Continent(tooth.Country) == "" {
			t.Errorf("%s: no continent for %q", tooth.ID, tooth.Country)
		}
		if _, _, ok := age(tooth.Epoch); tooth.Epoch != "" && !ok {
			t.Errorf("%s: no age for %q", tooth.ID, tooth.Epoch)
		}
	}
}

func TestOwnTeethJoinAndLeave(t *testing.T) {
	own := Tooth{ID: "own 1", Clade: "Spinosauridae", Form: Robust, Row: Lateral, DistalDenticles: DenticlesPresent}
	for m, v := range map[Measure]float64{CBL: 20, CBW: 10, CH: 40, DC: 11} {
		if err := own.SetValue(m, v); err != nil {
			t.Fatal(err)
		}
	}
	with, err := Published().With([]Tooth{own})
	if err != nil {
		t.Fatal(err)
	}
	q := Query{Values: own.Values(), Row: Lateral}
	before := Sort(q, Options{})
	a := with.Sort(q, Options{})
	if a.Neighbours[0].Tooth.ID != "own 1" || a.Neighbours[0].Distance > 1e-9 {
		t.Errorf("nearest is %s at %g", a.Neighbours[0].Tooth.ID, a.Neighbours[0].Distance)
	}
	if !slices.ContainsFunc(a.Cautions, func(s string) bool { return strings.Contains(s, "your own") }) {
		t.Error("own teeth are not mentioned")
	}
	if diff := cmp.Diff(before, Sort(q, Options{}), cmp.AllowUnexported(Tooth{})); diff != "" {
		t.Errorf("the published sample changed:\n%s", diff)
	}
	for _, bad := range []Tooth{{}, {ID: "T0001", Clade: "x"}, {ID: "y"}, {ID: "z", Form: "round"}} {
		if _, err := Published().With([]Tooth{bad}); err == nil {
			t.Errorf("tooth %+v was taken", bad)
		}
	}
}

func TestSeriesReportsAndStops(t *testing.T) {
	q := Query{Values: map[Measure]float64{CBL: 20, CBW: 10, CH: 40}}
	queries := func(yield func(Query) bool) {
		for range 50 {
			if !yield(q) {
				return
			}
		}
	}
	want := Sort(q, Options{Brief: true})
	n := 0
	err := Published().SortSeries(context.Background(), queries, Options{Brief: true}, func(i int, a Answer) bool {
		if i != n || a.Said != want.Said {
			t.Fatalf("answer %d: %s", i, a.Said)
		}
		n++
		return true
	})
	if err != nil || n != 50 {
		t.Errorf("%d answers, error %v", n, err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	n = 0
	err = Published().SortSeries(ctx, queries, Options{Brief: true}, func(int, Answer) bool {
		if n++; n == 10 {
			cancel()
		}
		return true
	})
	if !errors.Is(err, context.Canceled) || n != 10 {
		t.Errorf("cancelled after 10: %d answers, error %v", n, err)
	}
	n = 0
	err = Published().SortSeries(context.Background(), queries, Options{Brief: true}, func(int, Answer) bool { n++; return n < 3 })
	if err != nil || n != 3 {
		t.Errorf("stopped after 3: %d answers, error %v", n, err)
	}
}

// The published teeth as a long table of queries, each with what it has.
func BenchmarkSortSeries(b *testing.B) {
	const rows = 10_000
	teeth := Published().Teeth()
	table := make([]Query, len(teeth))
	for i := range teeth {
		table[i] = Query{Values: teeth[i].Values()}
	}
	queries := func(yield func(Query) bool) {
		for i := range rows {
			if !yield(table[i%len(table)]) {
				return
			}
		}
	}
	b.ReportAllocs()
	for b.Loop() {
		err := Published().SortSeries(context.Background(), queries, Options{Brief: true}, func(int, Answer) bool { return true })
		if err != nil {
			b.Fatal(err)
		}
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*rows), "ns/row")
}
