package desk_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/comparison"
	"crownbench/wasm/desk"
)

// acrocanthosaurus is READ Hendrickx, Mateus & Araújo 2015, data set: NCSM 14345
// pm01, the tooth T0482 of the reference.
var acrocanthosaurus = map[classify.Measure]string{classify.CBL: "21.12", classify.CBW: "16.16", classify.CH: "49.12"}

func typed(values map[classify.Measure]string) (*desk.Desk, *surroundings) {
	d, out := newDesk()
	d.QuickCheck()
	for m, text := range values {
		d.TypeValue(morph.ID(m), text, desk.Done)
	}
	return d, out
}

// Every published tooth with both measures is on the map at its values, and
// the tooth on the desk at its own.
func TestMapOfTwoMeasures(t *testing.T) {
	d, _ := typed(map[classify.Measure]string{classify.CBL: "21.12 ± 0.1", classify.CBW: "16.16", classify.CH: "49.12"})
	d.SetMapView(desk.MeasuresView)
	d.SetMapMeasures(classify.CBL, classify.CHR)
	s := d.Map()
	want := 0
	for _, tooth := range classify.Published().Teeth() {
		if _, ok := tooth.Value(classify.CHR); ok { // CH over CBL, so CBL is known too
			want++
		}
	}
	counted := 0
	for _, g := range s.Groups {
		counted += g.Count
	}
	if len(s.Points) != want || counted != want || s.Lack != "" {
		t.Errorf("%d points, %d counted, want %d; it says %q", len(s.Points), counted, want, s.Lack)
	}
	for _, p := range s.Points {
		x, _ := p.Tooth.Value(classify.CBL)
		y, _ := p.Tooth.Value(classify.CH)
		if p.X != x || math.Abs(p.Y-y/x) > 1e-12 || p.Group != string(p.Tooth.Form) {
			t.Fatalf("%s lies at %g, %g in the group %q", p.ID, p.X, p.Y, p.Group)
		}
	}
	own := s.Own
	if own == nil || !own.HasX || !own.HasY || own.X != 21.12 || math.Abs(own.Y-49.12/21.12) > 1e-12 {
		t.Fatalf("the tooth on the desk lies at %+v", own)
	}
	// Relative uncertainties add as squares; only CBL has one.
	if math.Abs(own.UX-0.1) > 1e-12 || math.Abs(own.UY-own.Y*0.1/21.12) > 1e-12 {
		t.Errorf("its ± is %g and %g", own.UX, own.UY)
	}
}

// A published tooth typed with its three lengths lies on discriminant axes
// where the classify package places it, and a hidden group is off the map but
// counted.
func TestMapOnComputedAxes(t *testing.T) {
	for view, layOut := range map[desk.MapView]func() (*classify.Map, error){
		desk.DiscriminantView: classify.Published().DiscriminantMap, desk.PrincipalView: classify.Published().PrincipalMap,
	} {
		d, _ := typed(acrocanthosaurus)
		d.SetMapView(view)
		s := d.Map()
		m, err := layOut()
		if err != nil {
			t.Fatal(err)
		}
		want, ok := m.Place(d.Find(d.Specimen()).Query)
		if !ok || s.View != view || s.Own == nil || s.Own.X != want[0] || s.Own.Y != want[1] {
			t.Errorf("%s: the tooth lies at %+v, want %v", view, s.Own, want)
		}
		if len(s.Points) != len(m.Teeth) {
			t.Errorf("%s: %d points of %d teeth", view, len(s.Points), len(m.Teeth))
		}
		if s.X.Share <= s.Y.Share || len(s.X.Loadings) != 8 {
			t.Errorf("%s: shares %g and %g, %d loadings", view, s.X.Share, s.Y.Share, len(s.X.Loadings))
		}
		d.ToggleMapGroup("blade")
		hidden := d.Map()
		for _, p := range hidden.Points {
			if p.Group == "blade" {
				t.Fatalf("%s: the hidden %s is on the map", view, p.ID)
			}
		}
		if g := hidden.Groups[0]; !g.Hidden || len(hidden.Points)+g.Count != len(s.Points) {
			t.Errorf("%s: %d points with %d hidden, %d without", view, len(hidden.Points), g.Count, len(s.Points))
		}
		d.ToggleMapGroup("blade")
		if again := d.Map(); len(again.Points) != len(s.Points) {
			t.Errorf("%s: %d points once shown again", view, len(again.Points))
		}
	}
}

// What a tooth lacks is said, and what it has is shown.
func TestMapOfWhatIsKnown(t *testing.T) {
	for _, tt := range []struct {
		name       string
		typed      map[classify.Measure]string
		x, y       classify.Measure
		hasX, hasY bool
		says       string
	}{
		{"no width", map[classify.Measure]string{"CBL": "21", "CH": "49"}, "CBL", "CH", true, true, "not known of this tooth: CBW."},
		{"a height alone", map[classify.Measure]string{"CH": "49"}, "CBL", "CH", false, true, "not known of this tooth: CBL and CBW."},
		{"a width alone", map[classify.Measure]string{"CBW": "9"}, "CBW", "CH", true, false, "CH is not known of this tooth; the line marks its CBW."},
		{"nothing", nil, "CBL", "CBW", false, false, "Without CBL and CBW the tooth has no place here."},
	} {
		t.Run(tt.name, func(t *testing.T) {
			d, _ := typed(tt.typed)
			s := d.Map()
			if s.View != desk.MeasuresView || s.X.Measure != tt.x || s.Y.Measure != tt.y {
				t.Errorf("shown is %s: %s against %s", s.View, s.Y.Measure, s.X.Measure)
			}
			if s.Own == nil || s.Own.HasX != tt.hasX || s.Own.HasY != tt.hasY {
				t.Errorf("the tooth has %+v", s.Own)
			}
			if !strings.Contains(s.Lack, tt.says) {
				t.Errorf("it says %q", s.Lack)
			}
			if d.MapView() != desk.DiscriminantView {
				t.Error("the person's choice was changed")
			}
		})
	}
}

// A ratio and one length give the other: CBW = CBR·CBL.
func TestMapCompletesLengthsFromRatios(t *testing.T) {
	d, _ := typed(map[classify.Measure]string{"CBL": "20", "CH": "50"})
	d.TypeRatio("2", true, desk.Done) // CBL ÷ CBW
	d.SetMapView(desk.MeasuresView)
	s := d.Map() // CBW against CBL
	if s.Own == nil || !s.Own.HasY || math.Abs(s.Own.Y-10) > 1e-9 || s.Lack != "" {
		t.Errorf("CBW is taken as %+v; it says %q", s.Own, s.Lack)
	}
}

func TestMapByClade(t *testing.T) {
	d, _ := typed(acrocanthosaurus)
	d.ToggleMapGroup("robust")
	d.SetMapClade("Spinosauridae")
	s := d.Map()
	if len(s.Groups) != 2 || s.Groups[0].Hidden || s.Groups[1].Hidden {
		t.Fatalf("groups %+v", s.Groups)
	}
	for _, p := range s.Points {
		if (p.Tooth.Clade == "Spinosauridae") != (p.Group == "Spinosauridae") {
			t.Fatalf("%s of %s is in the group %q", p.ID, p.Tooth.Clade, p.Group)
		}
	}
	if all := d.MapClades(); len(all) != 20 { // CALC: distinct values in the table's column clade
		t.Errorf("%d clades: %v", len(all), all)
	}
}

func TestOtherTeethOfTheTray(t *testing.T) {
	d, out := typed(acrocanthosaurus)
	first := d.Specimen().ID
	d.QuickCheck()
	d.TypeValue("CBL", "10", desk.Done)
	d.TypeValue("CBW", "5", desk.Done)
	d.SetMapView(desk.MeasuresView)
	before := len(d.Map().Points)
	d.SetMapOthers(true)
	s := d.Map()
	last := s.Points[len(s.Points)-1]
	if len(s.Points) != before+1 || last.Group != desk.TrayGroup || last.Specimen.ID != first || last.X != 21.12 || last.Y != 16.16 {
		t.Errorf("%d points after %d, the last is %+v", len(s.Points), before, last)
	}
	d.Select(first)
	d.SetMapView(desk.PrincipalView)
	// The other one has no height, so no place on computed axes.
	if s := d.Map(); s.View != desk.PrincipalView || s.Points[len(s.Points)-1].Specimen != nil {
		t.Errorf("a tooth without height has a place on %s", s.View)
	}
	d.PointOut("T0482")
	if d.MapAt() != "T0482" {
		t.Errorf("pointed out is %q", d.MapAt())
	}
	d.SaveMap([]byte("<svg/>"))
	if string(out.downloaded["map.svg"]) != "<svg/>" {
		t.Errorf("handed out was %v", out.downloaded)
	}
}

// A scene is kept until something on it changes: then, and only then, it is
// drawn anew.
func TestMapIsKept(t *testing.T) {
	d, _ := typed(acrocanthosaurus)
	d.QuickCheck()
	d.TypeValue("CBL", "10", desk.Done)
	d.SetMapOthers(true)
	before := d.Map()
	d.PointOut("T0482")
	d.ToggleMap()
	if d.Map() != before {
		t.Error("pointing out a tooth made another map")
	}
	for _, step := range []struct {
		what string
		do   func()
	}{
		{"a value", func() { d.TypeValue("CBW", "5", desk.Done) }},
		{"a view", func() { d.SetMapView(desk.MeasuresView) }},
		{"a measure", func() { d.SetMapMeasures(classify.CBL, classify.CH) }},
		{"a group", func() { d.ToggleMapGroup("front") }},
		{"a clade", func() { d.SetMapClade("Troodontidae") }},
		{"another tooth of the tray", func() { d.Delete(d.Tray.Specimens()[0].ID) }},
		{"undo", d.Undo},
		{"no other teeth", func() { d.SetMapOthers(false) }},
	} {
		step.do()
		after := d.Map()
		if after == before {
			t.Errorf("%s made no other map", step.what)
		}
		before = after
	}
}

// The map shows what the sorting compares with: own teeth too, unless they are
// left aside.
func TestOwnComparisonTeethAreOnTheMap(t *testing.T) {
	d, _ := typed(acrocanthosaurus)
	d.SetMapView(desk.MeasuresView)
	before := d.Map()
	d.SayKnown(desk.Known{Identity: comparison.Identity{Clade: "Spinosauridae", Form: classify.Robust}, Certain: true})
	d.AddOwnTooth()
	d.QuickCheck()
	s := d.Map()
	if len(s.Points) != len(before.Points)+1 || s.Yours != 1 || before.Yours != 0 {
		t.Fatalf("%d points after %d, %d of one's own", len(s.Points), len(before.Points), s.Yours)
	}
	p := s.Points[len(s.Points)-1]
	if !desk.Yours(p.Tooth) || p.X != 21.12 || p.Y != 16.16 || p.Group != "robust" {
		t.Errorf("one's own is %+v", p)
	}
	d.UseOwnTeeth(false)
	if s := d.Map(); s.Yours != 0 || len(s.Points) != len(before.Points) {
		t.Errorf("left aside, %d are on the map", s.Yours)
	}
}

func TestMapPassesOverNonsense(t *testing.T) {
	d, _ := typed(acrocanthosaurus)
	d.SetMapView("upside down")
	d.SetMapMeasures("XYZ", classify.CH)
	d.SetMapClade("No such clade")
	d.PointOut("nobody")
	if x, y := d.MapMeasures(); d.MapView() != desk.DiscriminantView || x != classify.CBL || y != classify.CBW {
		t.Errorf("the map shows %s, %s against %s", d.MapView(), y, x)
	}
	if s := d.Map(); s.Groups[0].Count != 0 || len(s.Points) == 0 {
		t.Errorf("groups %+v", s.Groups)
	}
	empty, _ := newDesk()
	if s := empty.Map(); s.Own != nil || len(s.Points) == 0 {
		t.Error("without a tooth there is no map")
	}
}

func BenchmarkMap(b *testing.B) {
	d, _ := typed(acrocanthosaurus)
	for b.Loop() {
		d.Map()
	}
}
