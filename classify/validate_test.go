package classify

import (
	"context"
	"errors"
	"slices"
	"strconv"
	"testing"
)

// Another way to the same figures: for every animal, a sample without its teeth
// is asked through Sort. A third of the animals will do.
func TestValidateLeavesTheAnimalOut(t *testing.T) {
	some := &Reference{}
	all := Published().Teeth()
	for i := range all {
		if all[i].Individual[len(all[i].Individual)-1]%3 == 0 {
			some.teeth = append(some.teeth, all[i])
		}
	}
	v, err := some.Validate(context.Background(), nil)
	if err != nil {
		t.Fatal(err)
	}
	var forms, formHits, clades, cladeHits, cladeTop3 int
	seen := make(map[string]bool)
	for _, tooth := range some.teeth {
		if seen[tooth.Individual] {
			continue
		}
		seen[tooth.Individual] = true
		rest := &Reference{}
		for _, o := range some.teeth {
			if o.Individual != tooth.Individual {
				rest.teeth = append(rest.teeth, o)
			}
		}
		for i := range some.teeth {
			o := &some.teeth[i]
			if o.Individual != tooth.Individual || !o.hasBasics() {
				continue
			}
			a := rest.Sort(Query{Values: o.Values(), Mesial: o.MesialDenticles, Distal: o.DistalDenticles}, Options{Brief: true})
			if o.Form != "" {
				forms++
				if a.Shares[0].Form == o.Form {
					formHits++
				}
			}
			if at := slices.IndexFunc(a.Clades, func(s CladeShare) bool { return s.Clade == o.Clade }); at >= 0 {
				clades++
				if at == 0 {
					cladeHits++
				}
				if at < 3 {
					cladeTop3++
				}
			}
		}
	}
	got := []float64{float64(v.Published.FormTeeth), v.Published.Form, float64(v.Published.CladeTeeth), v.Published.Clade, v.Published.CladeTop3}
	want := []float64{float64(forms), float64(formHits) / float64(forms), float64(clades), float64(cladeHits) / float64(clades), float64(cladeTop3) / float64(clades)}
	if forms < 100 || clades < 100 {
		t.Fatalf("only %d teeth with a form, %d with a clade", forms, clades)
	}
	if !slices.Equal(got, want) {
		t.Errorf("form teeth, form, clade teeth, clade, top 3: %.4f, one animal at a time %.4f", got, want)
	}
	if v.PublishedAlone != v.Published || v.Own != (Rates{}) {
		t.Errorf("without own teeth: %+v", v)
	}
}

// Copies of the rarest clades' teeth, as if of other animals, must help those
// clades, and be found themselves.
func TestOwnTeethCanHelp(t *testing.T) {
	var own []Tooth
	for i, tooth := range Published().Teeth() {
		if tooth.Clade != "Basalmost Theropoda" && tooth.Clade != "Therizinosauria" || !tooth.hasBasics() {
			continue
		}
		tooth.ID, tooth.Individual, tooth.Form = "copy "+strconv.Itoa(i), "copy of "+tooth.Individual, ""
		own = append(own, tooth)
	}
	r, err := Published().With(own)
	if err != nil {
		t.Fatal(err)
	}
	last := 0
	v, err := r.Validate(context.Background(), func(done, all int) {
		if done <= last || done > all {
			t.Errorf("%d of %d teeth judged after %d", done, all, last)
		}
		last = done
	})
	if err != nil {
		t.Fatal(err)
	}
	if last != 2*len(r.Teeth()) {
		t.Errorf("the last call told of %d teeth, want every tooth twice, %d", last, 2*len(r.Teeth()))
	}
	if v.Own.CladeTeeth != len(own) || v.Own.FormTeeth != 0 {
		t.Errorf("%d and %d own teeth judged, want %d and none", v.Own.CladeTeeth, v.Own.FormTeeth, len(own))
	}
	if v.Published.CladeBalanced <= v.PublishedAlone.CladeBalanced {
		t.Errorf("balanced rate of clades %.3f with the copies, %.3f without", v.Published.CladeBalanced, v.PublishedAlone.CladeBalanced)
	}
	if v.Published.CladeTeeth != v.PublishedAlone.CladeTeeth {
		t.Errorf("%d teeth judged with the copies, %d without", v.Published.CladeTeeth, v.PublishedAlone.CladeTeeth)
	}
}

func TestValidateCanBeStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	_, err := Published().Validate(ctx, func(done, _ int) {
		if done > progressStep {
			t.Error("judged on after being stopped")
		}
		cancel()
	})
	if !errors.Is(err, context.Canceled) {
		t.Errorf("error %v", err)
	}
}

// Draws that are all the same are as steady as can be; a width between both
// kinds is not, and what is counted is every draw.
func TestSteady(t *testing.T) {
	draws := func(widths ...float64) []Query {
		var list []Query
		for _, w := range widths {
			list = append(list, Query{Values: map[Measure]float64{CBL: 20, CBW: w, CH: 40, DC: 11}, Row: Lateral})
		}
		return list
	}
	r := Published()
	s := r.Steady(slices.Values(draws(9, 9, 9, 9)), Options{})
	lead := Sort(draws(9)[0], Options{}).Clades[0].Clade
	if s.Form != Blade || s.Same != 1 || len(s.Leads) != 1 || s.Leads[0] != (Tally{lead, 4}) {
		t.Errorf("four times the same: %+v", s)
	}
	s = r.Steady(slices.Values(draws(9, 9.5, 17, 9, 200)), Options{})
	if s.Form != Blade || s.Same != 0.6 {
		t.Errorf("three thin draws of five: %+v", s)
	}
	if want := []FormTally{{Blade, 3}, {Robust, 1}, {"", 1}}; !slices.Equal(s.Forms, want) {
		t.Errorf("forms %v, want %v", s.Forms, want)
	}
	n := 0
	for _, l := range s.Leads {
		n += l.Count
	}
	if n != 4 {
		t.Errorf("clades lead in %d draws, want 4 of 5 that are within reach", n)
	}
	if s := r.Steady(slices.Values[[]Query](nil), Options{}); s.Draws != 0 || s.Same != 0 || s.Forms != nil {
		t.Errorf("no draws: %+v", s)
	}
}

func BenchmarkValidate(b *testing.B) {
	own := slices.Clone(Published().Teeth()[:200])
	for i := range own {
		own[i].ID, own[i].Individual = "own "+own[i].ID, "own "+own[i].Individual
	}
	r, err := Published().With(own)
	if err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, err := r.Validate(context.Background(), nil); err != nil {
			b.Fatal(err)
		}
	}
}
