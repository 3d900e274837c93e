package desk_test

import (
	"encoding/json"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/desk"
)

// Every cell that holds a number takes a decimal comma for a decimal point:
// both leave the same record, which is another one than before.
func TestDecimalComma(t *testing.T) {
	cells := map[string]func(d *desk.Desk, text string){
		"base ratio, by length": func(d *desk.Desk, text string) { d.TypeRatio(text, true, desk.Done) },
		"base ratio, by width":  func(d *desk.Desk, text string) { d.TypeRatio(text, false, desk.Done) },
		"count":                 func(d *desk.Desk, text string) { d.TypeCount("DC", text, "5", desk.Done) },
		"length counted over":   func(d *desk.Desk, text string) { d.TypeCount("DC", "12", text, desk.Done) },
		"pointing error":        func(d *desk.Desk, text string) { d.SetPointing(text, desk.Done) },
		"bar":                   func(d *desk.Desk, text string) { d.SetBarLength(text, "", morph.Millimetre) },
		"bar's uncertainty":     func(d *desk.Desk, text string) { d.SetBarLength("10", text, morph.Millimetre) },
		"latitude":              func(d *desk.Desk, text string) { d.SetField("decimalLatitude", text) },
		"longitude":             func(d *desk.Desk, text string) { d.SetField("decimalLongitude", text) },
		"place's uncertainty":   func(d *desk.Desk, text string) { d.SetField("coordinateUncertaintyInMeters", text) },
	}
	for _, q := range morph.Quantities {
		if q.Typable {
			cells["typed "+string(q.ID)] = func(d *desk.Desk, text string) { d.TypeValue(q.ID, text, desk.Done) }
		}
	}
	for _, c := range []desk.CardCell{desk.CardWidth, desk.CardHeight} {
		cells[string(c)] = func(d *desk.Desk, text string) { d.SetCard(c, text) }
	}
	for _, c := range []desk.DepthCell{desk.DepthOffset, desk.DepthU, desk.DepthDistance} {
		cells[string(c)] = func(d *desk.Desk, text string) {
			d.SetDepth(desk.DepthOffset, "4")
			d.SetDepth(desk.DepthDistance, "300")
			d.SetDepth(c, text)
		}
	}
	for name, cell := range cells {
		after := func(text string) string {
			d, _ := newDesk()
			p := photo("side", "a.jpg")
			p.Bars = []morph.Bar{{From: morph.Vertex{X: 10, Y: 10}, To: morph.Vertex{X: 200, Y: 10}, Length: 10, Unit: morph.Millimetre}}
			p.Flat = &morph.Flat{Corners: [4]morph.Vertex{{}, {X: 400}, {X: 400, Y: 250}, {Y: 250}}, Unit: morph.Millimetre}
			d.AddPhotos(p)
			cell(d, text)
			s := *d.Specimen()
			s.ID, s.Created, s.Changed, s.Revision = "", time.Time{}, time.Time{}, 0
			for i := range s.Photos {
				s.Photos[i].ID = ""
			}
			b, err := json.Marshal(s)
			if err != nil {
				t.Fatal(err)
			}
			return string(b)
		}
		comma, point, none := after("2,5"), after("2.5"), after("no number")
		if comma != point {
			t.Errorf("%s: 2,5 leaves\n%s\nand 2.5\n%s", name, comma, point)
		}
		if comma == none {
			t.Errorf("%s: 2,5 changed nothing", name)
		}
	}
}
