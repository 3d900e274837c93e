package desk_test

import (
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// Whoever presses nothing but the way on marks every photograph for what it
// shows, comes to the photograph that the form hangs on, and to an end.
func TestTheWayOnLeadsToASortedTooth(t *testing.T) {
	d, out := newDesk()
	on := func(words string) {
		t.Helper()
		w := d.NextStep()
		if w.Words != words {
			t.Fatalf("the way on is %q, want %q", w.Words, words)
		}
		if w.Go != nil {
			w.Go()
		}
	}
	mark := func(f func(*tray.Photo)) {
		t.Helper()
		s, id := d.Specimen(), d.Photo().ID
		if err := d.Tray.Edit(s.ID, "mark", "", func(s *tray.Specimen) { f(s.Photo(id)) }); err != nil {
			t.Fatal(err)
		}
		d.SelectPhoto(id)
	}
	bar := func(p *tray.Photo) {
		p.Bars = []morph.Bar{{From: morph.Vertex{X: 10, Y: 10}, To: morph.Vertex{X: 110, Y: 10}, Length: 10, Unit: morph.Millimetre}}
	}
	on("") // no tooth
	d.AddPhotos(photo("side", "a.jpg"))
	on("") // the scale is at work
	d.SetTool(bench.Look)
	on("Set the scale")
	if d.Bench.Tool() != bench.Scale {
		t.Fatal("the way on does not take up the scale")
	}
	mark(bar)
	d.SetTool(bench.Scale)
	on("Trace the crown")
	if d.Bench.Tool() != bench.Crown {
		t.Fatal("the way on does not take up the crown")
	}
	mark(func(p *tray.Photo) {
		p.Crown = &morph.Crown{Path: morph.Path{{X: 100, Y: 250}, {X: 120, Y: 100}, {X: 180, Y: 250}}, Apex: 1, Done: true}
	})
	d.SetTool(bench.Crown)
	on("Add a basal photograph")
	if out.picks == 0 {
		t.Fatal("no photograph is asked for")
	}
	basal := photo("b", "IMG_0002.jpg")
	basal.Hash = strings.Repeat("cd", 32)
	d.AddPhotos(basal)
	d.SelectPhoto("side")
	on("On to the basal photograph")
	if d.Photo().ID != "b" || d.Bench.Tool() != bench.Scale {
		t.Fatalf("the way on leads to %s with tool %v", d.Photo().ID, d.Bench.Tool())
	}
	mark(bar)
	d.SetTool(bench.Scale)
	on("Outline the base section")
	mark(func(p *tray.Photo) {
		p.Section = &morph.Section{Outline: morph.Path{{X: 100, Y: 100}, {X: 140, Y: 80}, {X: 180, Y: 100}, {X: 140, Y: 120}}, Mesial: 0, Distal: 2, Done: true}
	})
	d.SetTool(bench.Section)
	on("")
	if d.Find(d.Specimen()).Answer.Form == "" {
		t.Error("at the end of the way the tooth has no form")
	}
}

// One traced side view is enough for every reading, so nobody is sent to trace
// the other one: the way goes past it, to it and from it.
func TestTheWayOnLeadsPastASecondSideView(t *testing.T) {
	d, _ := newDesk()
	second, basal := photo("lingual", "b.jpg"), photo("basal", "c.jpg")
	second.Hash, basal.Hash = strings.Repeat("cd", 32), strings.Repeat("ef", 32)
	second.Role, basal.Role = morph.LateralLingual, morph.BasalView
	d.AddPhotos(photo("labial", "a.jpg"), second, basal)
	roles := map[string]morph.Role{"labial": morph.LateralLabial, "lingual": morph.LateralLingual, "basal": morph.BasalView}
	mark := func(id string, f func(*tray.Photo)) {
		t.Helper()
		if err := d.Tray.Edit(d.Specimen().ID, "mark", "", func(s *tray.Specimen) { f(s.Photo(id)) }); err != nil {
			t.Fatal(err)
		}
	}
	for id, role := range roles {
		mark(id, func(p *tray.Photo) { p.Role = role })
	}
	d.SelectPhoto("lingual")
	if d.Spare() || d.Bench.Tool() != bench.Scale {
		t.Fatal("with no side view traced, one is taken for spare")
	}
	bar := morph.Bar{From: morph.Vertex{X: 10, Y: 10}, To: morph.Vertex{X: 110, Y: 10}, Length: 10, Unit: morph.Millimetre}
	mark("labial", func(p *tray.Photo) {
		p.Bars = []morph.Bar{bar}
		p.Crown = &morph.Crown{Path: morph.Path{{X: 100, Y: 250}, {X: 120, Y: 100}, {X: 180, Y: 250}}, Apex: 1, Done: true}
	})
	for _, at := range []string{"labial", "lingual"} {
		d.SelectPhoto(at)
		if tool := d.Bench.Tool(); tool != bench.Look {
			t.Errorf("%s is taken up with tool %v", at, tool)
		}
		if w := d.NextStep(); w.Words != "On to the basal photograph" {
			t.Errorf("from %s the way on is %q", at, w.Words)
		}
	}
	// Whoever wants it traced all the same is led on there as everywhere.
	d.SelectPhoto("lingual")
	d.SetTool(bench.Scale)
	mark("lingual", func(p *tray.Photo) { p.Bars = []morph.Bar{bar} })
	d.SelectPhoto("lingual")
	d.SetTool(bench.Scale)
	if w := d.NextStep(); w.Words != "Trace the crown" {
		t.Errorf("from the scale of a second side view the way on is %q", w.Words)
	}
}
