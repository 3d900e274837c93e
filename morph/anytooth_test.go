package morph_test

import (
	"encoding/json"
	"math"
	"testing"

	"pgregory.net/rapid"

	"crownbench/morph"
)

// whole fails when a reading is one that no caller can use.
func whole(t reporter, tooth morph.Tooth) {
	ok := func(what string, id morph.ID, v float64) {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			t.Errorf("%s: %s is %g", id, what, v)
		}
	}
	rs := morph.Read(tooth)
	if len(rs) != len(morph.Quantities) {
		t.Errorf("%d readings", len(rs))
	}
	for _, r := range rs {
		ok("value", r.ID, r.Value)
		ok("uncertainty", r.ID, r.U)
		ok("interval", r.ID, r.Interval)
		if r.U < 0 {
			t.Errorf("%s: uncertainty %g", r.ID, r.U)
		}
		if !r.Known && (r.Value != 0 || r.U != 0) {
			t.Errorf("%s: not known, yet %g ± %g", r.ID, r.Value, r.U)
		}
		if !r.Known && r.Needs == "" && r.Problem == "" && r.State == morph.MeasuredState {
			t.Errorf("%s: not known, and nothing says why", r.ID)
		}
		for _, c := range r.Candidates {
			ok("candidate "+c.Key, r.ID, c.Value)
			ok("candidate uncertainty "+c.Key, r.ID, c.U)
			ok("candidate interval "+c.Key, r.ID, c.Interval)
		}
	}
	d := morph.Resample(tooth, 3, 1)
	for _, r := range rs {
		for _, v := range d.Values(r.ID) {
			ok("draw", r.ID, v)
		}
	}
}

// number draws plain and pathological numbers.
func number(t *rapid.T, what string) float64 {
	switch rapid.IntRange(0, 9).Draw(t, what+" kind") {
	case 0:
		return rapid.SampledFrom([]float64{math.NaN(), math.Inf(1), math.Inf(-1), 0, -1, 1e308, -1e308, 5e-324, 1e-160, 1e160}).Draw(t, what)
	case 1:
		return rapid.Float64().Draw(t, what)
	case 2:
		return float64(rapid.IntRange(0, 3).Draw(t, what)) // points that coincide
	}
	return rapid.Float64Range(0, 4000).Draw(t, what)
}

func vertex(t *rapid.T) morph.Vertex {
	v := morph.Vertex{X: number(t, "x"), Y: number(t, "y")}
	for range rapid.IntRange(0, 2).Draw(t, "via") {
		v.Via = append(v.Via, [2]float64{number(t, "via x"), number(t, "via y")})
	}
	return v
}

func path(t *rapid.T) morph.Path {
	var p morph.Path
	for range rapid.IntRange(0, 6).Draw(t, "vertices") {
		p = append(p, vertex(t))
	}
	return p
}

var states = []morph.State{morph.MeasuredState, morph.MeasuredState, morph.Estimated, morph.Minimum, morph.NotApplicable, morph.Unknown, morph.Absent, morph.NotPreserved, "nonsense"}

func anyTooth(t *rapid.T) morph.Tooth {
	place := func(what string) int { return rapid.IntRange(-2, 7).Draw(t, what) }
	var tooth morph.Tooth
	for range rapid.IntRange(0, 4).Draw(t, "views") {
		v := morph.View{ID: rapid.SampledFrom([]string{"", "a", "b", "c"}).Draw(t, "id"),
			Role: rapid.SampledFrom(append([]morph.Role{"", "nonsense"}, morph.Roles...)).Draw(t, "role"), Pointing: number(t, "pointing")}
		for range rapid.IntRange(0, 2).Draw(t, "bars") {
			v.Bars = append(v.Bars, morph.Bar{From: vertex(t), To: vertex(t), Length: number(t, "length"), ULength: number(t, "u length"),
				Unit: rapid.SampledFrom([]morph.Unit{"", morph.Millimetre, morph.Centimetre, morph.Inch, "ell"}).Draw(t, "unit")})
		}
		for range rapid.IntRange(0, 2).Draw(t, "repeats") {
			v.Repeats = append(v.Repeats, path(t))
		}
		if rapid.Bool().Draw(t, "flat") {
			v.Flat = &morph.Flat{Width: number(t, "width"), Height: number(t, "height"), USide: number(t, "u side"),
				Unit: rapid.SampledFrom([]morph.Unit{"", morph.Millimetre, morph.Inch, "ell"}).Draw(t, "unit")}
			for i := range v.Flat.Corners {
				v.Flat.Corners[i] = vertex(t)
			}
		}
		if rapid.Bool().Draw(t, "depth") {
			v.Depth = &morph.Depth{Offset: number(t, "offset"), UOffset: number(t, "u offset"), Distance: number(t, "distance"), UDistance: number(t, "u distance")}
		}
		if rapid.Bool().Draw(t, "crown") {
			v.Crown = &morph.Crown{Path: path(t), Apex: place("apex"), Done: rapid.Bool().Draw(t, "done"),
				ApexBroken: rapid.Bool().Draw(t, "apex broken"), BaseBroken: rapid.Bool().Draw(t, "base broken")}
		}
		if rapid.Bool().Draw(t, "section") {
			v.Section = &morph.Section{Outline: path(t), Done: rapid.Bool().Draw(t, "done"), Mesial: place("mesial"), Distal: place("distal")}
		}
		for range rapid.IntRange(0, 2).Draw(t, "stretches") {
			v.Stretches = append(v.Stretches, morph.Stretch{Carina: rapid.SampledFrom([]morph.Carina{"", morph.MesialCarina, morph.DistalCarina}).Draw(t, "carina"),
				Third:    rapid.SampledFrom([]morph.Third{"", morph.Apical, morph.Mid, morph.Basal}).Draw(t, "third"),
				Serrated: rapid.Bool().Draw(t, "serrated"), Line: path(t), Ticks: path(t), Done: rapid.Bool().Draw(t, "done")})
		}
		tooth.Views = append(tooth.Views, v)
	}
	ids := []morph.ID{"", "nonsense"}
	for _, q := range morph.Quantities {
		ids = append(ids, q.ID)
	}
	tooth.Typed, tooth.Counts, tooth.Prefer = map[morph.ID]morph.Typed{}, map[morph.ID]morph.Count{}, map[morph.ID]string{}
	for range rapid.IntRange(0, 6).Draw(t, "typed") {
		tooth.Typed[rapid.SampledFrom(ids).Draw(t, "id")] = morph.Typed{Value: number(t, "value"), U: number(t, "u"), State: rapid.SampledFrom(states).Draw(t, "state")}
	}
	for range rapid.IntRange(0, 3).Draw(t, "counts") {
		tooth.Counts[rapid.SampledFrom(ids).Draw(t, "id")] = morph.Count{N: number(t, "n"), LengthMM: number(t, "over")}
	}
	for range rapid.IntRange(0, 3).Draw(t, "preferred") {
		tooth.Prefer[rapid.SampledFrom(ids).Draw(t, "id")] = rapid.SampledFrom([]string{"", "typed", "counted", "derived", "ellipse", "view:a", "view:b", "view:a#0"}).Draw(t, "key")
	}
	carina := []morph.CarinaState{"", morph.DenticlesPresent, morph.DenticlesAbsent, morph.DenticlesNotPreserved, "nonsense"}
	tooth.Mesial, tooth.Distal = rapid.SampledFrom(carina).Draw(t, "mesial"), rapid.SampledFrom(carina).Draw(t, "distal")
	tooth.DSDI = rapid.SampledFrom([]morph.DSDIRule{"", morph.DSDIMid, morph.DSDIMean, "nonsense"}).Draw(t, "DSDI")
	tooth.CHR = rapid.SampledFrom([]morph.CHRRule{"", morph.CHRByLength, morph.CHRByLongAxis, "nonsense"}).Draw(t, "CHR")
	return tooth
}

// Whatever a tooth holds, reading it neither panics nor gives a number that is
// none.
func TestAnyTooth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { whole(t, anyTooth(t)) })
}

// The same from arbitrary records.
func FuzzRead(f *testing.F) {
	for _, tooth := range []morph.Tooth{{}, typedTooth(45.46, 32.63, 94.06, 108.36), inventedTooth(5, 8, 4)} {
		b, err := json.Marshal(tooth)
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, record []byte) {
		var tooth morph.Tooth
		if json.Unmarshal(record, &tooth) != nil {
			return
		}
		whole(t, tooth)
	})
}
