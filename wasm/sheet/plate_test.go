package sheet_test

import (
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"

	"gonum.org/v1/gonum/spatial/r2"
)

// triangle is a side view of a crown A (0, 0), G, B as a triangle with a base of
// 20 mm and 40 mm high over the middle of it, turned by so many degrees, at
// 10 px per mm.
func triangle(degrees float64) tray.Photo {
	turn := r2.NewRotation(degrees*math.Pi/180, r2.Vec{})
	at := func(x, y float64) morph.Vertex {
		return morph.At(r2.Add(r2.Vec{X: 900, Y: 900}, turn.Rotate(r2.Vec{X: 10 * x, Y: 10 * y})))
	}
	p := tray.Photo{View: morph.View{ID: "v", Role: morph.LateralLabial}, Width: 2000, Height: 2000}
	p.Bars = []morph.Bar{{From: morph.Vertex{X: 0, Y: 10}, To: morph.Vertex{X: 100, Y: 10}, Length: 1, Unit: morph.Centimetre}}
	p.Crown = &morph.Crown{Path: morph.Path{at(0, 0), at(10, -40), at(20, 0)}, Apex: 1, Done: true}
	return p
}

// However it was photographed, a crown stands upright on its base in mm: CALC
// from the triangle.
func TestPlateStandsUpright(t *testing.T) {
	for _, degrees := range []float64{0, 37, 90, 180, 271} {
		p := sheet.PlateOf([]*tray.Specimen{{Name: "a", Photos: []tray.Photo{triangle(degrees)}}, {Name: "nothing traced"}})
		if len(p.Teeth) != 1 || len(p.Without) != 1 {
			t.Fatalf("%d teeth, without %q", len(p.Teeth), p.Without)
		}
		want := []r2.Vec{{}, {X: 10, Y: -40}, {X: 20}}
		for i, v := range p.Teeth[0].Crown {
			if r2.Norm(r2.Sub(v, want[i])) > 1e-9 {
				t.Errorf("turned by %g°: point %d at %.3f, want %.3f", degrees, i, v, want[i])
			}
		}
		// 40 mm would be 60 mm on paper at × 1.5, the largest round one that fits.
		if got := p.Magnification(); got != 1.5 {
			t.Errorf("magnified × %g", got)
		}
	}
}

// Seen from its other face the crown is turned, not mirrored: A stands right.
func TestPlateDoesNotMirror(t *testing.T) {
	p := triangle(0)
	for i := range p.Crown.Path {
		p.Crown.Path[i].X = 1800 - p.Crown.Path[i].X
	}
	got := sheet.PlateOf([]*tray.Specimen{{Name: "a", Photos: []tray.Photo{p}}}).Teeth[0].Crown
	if r2.Norm(r2.Sub(got[0], r2.Vec{X: 20})) > 1e-9 || got[1].Y > 0 || r2.Norm(got[2]) > 1e-9 {
		t.Errorf("it stands on %.2f", got)
	}
}

// The drawing's units are mm on paper, its bar is as long as it says, and names
// are text.
func TestPlateDocument(t *testing.T) {
	s := &tray.Specimen{Name: `<script>alert("x")</script> with a name as long as nobody writes one`, Invented: true, Photos: []tray.Photo{triangle(20)}}
	doc := string(sheet.PlateOf([]*tray.Specimen{s}).Document())
	for _, want := range []string{`width="180mm"`, `viewBox="0 0 180 `, "20 mm</text>", "× 1.5", `class="scale-bar"`} {
		if !strings.Contains(doc, want) {
			t.Errorf("the plate lacks %s", want)
		}
	}
	// A bar of 20 mm at × 1.5: CALC 30 mm on paper.
	if bar := doc[strings.Index(doc, `class="scale-bar"`):]; !strings.Contains(bar[:strings.Index(bar, ">")], `width="30"`) {
		t.Errorf("the bar is not as long as it says: %.120s", bar)
	}
	if strings.Contains(doc, "<script") {
		t.Error("a name reached the drawing as markup")
	}
}

// A damaged record draws nothing, and is no reason to stop.
func TestPlateOfDamagedMarks(t *testing.T) {
	broken := []func(*tray.Photo){
		func(p *tray.Photo) { p.Crown.Apex = morph.Unset },
		func(p *tray.Photo) { p.Crown.Path[2] = p.Crown.Path[0] },
		func(p *tray.Photo) { p.Crown.Path[1].X = math.NaN() },
		func(p *tray.Photo) { p.Bars = nil },
	}
	for i, damage := range broken {
		p := triangle(0)
		damage(&p)
		if got := sheet.PlateOf([]*tray.Specimen{{Name: "a", Photos: []tray.Photo{p}}}); len(got.Teeth) != 0 {
			t.Errorf("damage %d is drawn as %v", i, got.Teeth[0].Crown)
		}
	}
	if doc := string((sheet.Plate{}).Document()); !strings.Contains(doc, "<svg") {
		t.Error("an empty plate is no drawing")
	}
}

// The paragraph says what the numbers rest on, and nothing of what is not there.
func TestMethods(t *testing.T) {
	s := &tray.Specimen{Name: "T 1", Row: tray.RowLateral, Photos: []tray.Photo{triangle(0)}, Counts: map[morph.ID]morph.Count{morph.DC: {N: 12, LengthMM: 5}},
		Typed: map[morph.ID]morph.Typed{morph.CBW: {Value: 10}, morph.MC: {Value: 13}}}
	s.InstitutionCode, s.CatalogNumber = "XYZ", "12"
	text := sheet.Methods(s, tray.Find(s), sheet.Versions{Program: "1.2", Sorting: "model 3"})
	for _, want := range []string{
		"T 1 (XYZ 12) was measured on 1 photograph with Crownbench 1.2", "10.0 px per mm", "lateral labial", "DC over 5.00 mm", "CBW and MC were entered",
		"DSDI was computed as MC/DC", "follow published definitions", "(Smith 2005)", "by plain geometry", "taken for a lateral one", "It was compared in CBL", "model ", "Hendrickx", "not a taxon",
	} {
		if !strings.Contains(text, want) {
			t.Errorf("the paragraph lacks %q:\n%s", want, text)
		}
	}
	if strings.ContainsAny(text, "\n\t") || strings.Contains(text, "..") || strings.Contains(text, "%!") {
		t.Errorf("the paragraph is no paragraph:\n%s", text)
	}
	bare := sheet.Methods(&tray.Specimen{Name: "T 2"}, tray.Find(&tray.Specimen{Name: "T 2"}), sheet.Versions{})
	if strings.Contains(bare, "px per mm") || !strings.Contains(bare, "not compared") {
		t.Errorf("of a tooth without numbers it says:\n%s", bare)
	}
}

// Every row has as many cells as its headings, and no cell runs a formula.
func TestReadingCells(t *testing.T) {
	s := &tray.Specimen{Name: "T", Typed: map[morph.ID]morph.Typed{morph.CBL: {Value: 22.625, U: 0.1}, morph.CBW: {State: morph.NotPreserved}}}
	rows := strings.Split(strings.TrimSuffix(sheet.ReadingCells(tray.Find(s)), "\n"), "\n")
	found := false
	for _, row := range rows {
		cells := strings.Split(row, "\t")
		if len(cells) != 7 {
			t.Errorf("%d cells in %q", len(cells), row)
		}
		for _, c := range cells {
			if strings.HasPrefix(c, "=") {
				t.Errorf("a formula: %q", c)
			}
		}
		if cells[0] == "CBL" {
			found = cells[2] == "22.625" && cells[3] == "0.1" && cells[4] == "mm"
		}
		if cells[0] == "CBW" && (cells[2] != "" || cells[5] == "") {
			t.Errorf("what is not preserved has the row %q", row)
		}
	}
	if !found {
		t.Errorf("CBL is not as it was typed: %q", rows)
	}
}
