package desk_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/tray"
)

// leaning is a tooth whose traced crown leans so far to the distal side.
func leaning(name string, lean float64) *tray.Specimen {
	p := photo("v", name+".jpg")
	p.Role = morph.LateralLabial
	c := &morph.Crown{Apex: 20, Done: true}
	for i := range 41 {
		x := float64(i) / 40
		y := math.Sin(math.Pi * x)
		c.Path = append(c.Path, morph.Vertex{X: 100 + 60*(x+lean*y*y), Y: 250 - 120*y})
	}
	p.Crown = c
	return &tray.Specimen{Name: name, Photos: []tray.Photo{p}}
}

// The tooth on the desk is among the crowns whether it is picked or not; the
// others follow by how much more they lean, which is what they differ in.
func TestShapesNearestFirst(t *testing.T) {
	d, out := newDesk()
	ids, err := d.Tray.Add("add", leaning("own", 0.1), leaning("far", 0.6), leaning("near", 0.15), leaning("between", 0.3), &tray.Specimen{Name: "bare"})
	if err != nil {
		t.Fatal(err)
	}
	d.Select(ids[0])
	for _, id := range ids[1:] {
		d.Pick(id, true, false)
	}
	s := d.Shapes()
	if s.Own == nil || s.Own.Specimen.Name != "own" || len(s.Shapes.Without) != 1 {
		t.Fatalf("%+v", s)
	}
	var names []string
	for i, o := range s.Others {
		names = append(names, o.Specimen.Name)
		if i > 0 && o.Distance <= s.Others[i-1].Distance {
			t.Errorf("%s is %g away, the one before it %g", o.Specimen.Name, o.Distance, s.Others[i-1].Distance)
		}
	}
	if got := strings.Join(names, " "); got != "near between far" {
		t.Errorf("the order is %s", got)
	}
	if d.Shapes() != s {
		t.Error("nothing changed, yet the scene was made anew")
	}
	// From another tooth the order is another one.
	d.Select(ids[1])
	if s := d.Shapes(); s.Own.Specimen.Name != "far" || s.Others[0].Specimen.Name != "between" {
		t.Errorf("from %s the nearest is %s", s.Own.Specimen.Name, s.Others[0].Specimen.Name)
	}
	// Without a crown of its own nothing is near or far.
	d.Select(ids[4])
	if s := d.Shapes(); s.Own != nil || len(s.Others) != 3 || s.Others[0].Distance != 0 {
		t.Errorf("%+v", s)
	}
	d.SaveDescriptors()
	if table := onlyFile(t, out, "tray-shapes"); strings.Count(string(table), "\r\n") != 4 {
		t.Errorf("the table is %.200q", table)
	}
}

// More lines than can be told apart are left out, and counted.
func TestShapesOfALongTray(t *testing.T) {
	d, _ := newDesk()
	var all []*tray.Specimen
	for i := range desk.MostShapes + 7 {
		all = append(all, leaning(fmt.Sprint("T ", i), float64(i)/1000))
	}
	ids, err := d.Tray.Add("add", all...)
	if err != nil {
		t.Fatal(err)
	}
	d.Select(ids[len(ids)-1]) // the last, yet shown
	d.PickRows(true)
	s := d.Shapes()
	if s.Own == nil || len(s.Others) != desk.MostShapes-1 || s.Left != 7 {
		t.Errorf("%d others, %d left out", len(s.Others), s.Left)
	}
}
