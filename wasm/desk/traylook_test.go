package desk_test

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/tray"
)

// trayOf puts invented teeth on a desk: every fifth lacks its width, and the
// crown grows with the number.
func trayOf(t *testing.T, n int) (*desk.Desk, *surroundings) {
	t.Helper()
	d, out := newDesk()
	var specimens []*tray.Specimen
	for i := range n {
		s := &tray.Specimen{Name: fmt.Sprintf("T %d", i), Locality: "quarry " + string("bcd"[i%3])}
		s.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: 10 + float64(i)}, morph.CH: {Value: 20 + 2*float64(i)}}
		if i%5 != 0 {
			s.Typed[morph.CBW] = morph.Typed{Value: 4 + 0.4*float64(i)}
		}
		specimens = append(specimens, s)
	}
	if _, err := d.Tray.Add("add", specimens...); err != nil {
		t.Fatal(err)
	}
	d.Start(desk.Place{})
	return d, out
}

func namesOf(rows []*tray.Specimen) string {
	var names []string
	for _, s := range rows {
		names = append(names, s.Name)
	}
	return strings.Join(names, " | ")
}

func TestLookThroughTheTray(t *testing.T) {
	d, _ := trayOf(t, 12)
	for _, c := range []struct {
		name string
		look desk.TrayLook
		want string
	}{
		{"two words of two fields", desk.TrayLook{Search: "QUARRY b  t"}, "T 0 | T 3 | T 6 | T 9"},
		{"lacks the width", desk.TrayLook{Lacks: morph.CBW, By: desk.ByName, Down: true}, "T 10 | T 5 | T 0"},
		{"numbers in names", desk.TrayLook{Search: "quarry c", By: desk.ByName}, "T 1 | T 4 | T 7 | T 10"},
		{"longest first", desk.TrayLook{Search: "quarry b", By: "CBL", Down: true}, "T 9 | T 6 | T 3 | T 0"},
		{"no photographs at all", desk.TrayLook{State: desk.Untraced}, ""},
	} {
		d.LookThrough(c.look)
		got := namesOf(d.TrayRows())
		if got != c.want {
			t.Errorf("%s: %q, want %q", c.name, got, c.want)
		}
	}
	// What is not known comes last, whichever way round.
	for _, down := range []bool{false, true} {
		d.LookThrough(desk.TrayLook{By: "CBW", Down: down})
		rows := d.TrayRows()
		for _, s := range rows[len(rows)-3:] {
			if d.Find(s).Readings.Get(morph.CBW).Known {
				t.Errorf("down %v: %s stands among the last", down, s.Name)
			}
		}
	}
	// A filter follows an edit, and every row of the form is listed.
	d.LookThrough(desk.TrayLook{Form: desk.NotSorted})
	for _, s := range d.Tray.Specimens() {
		listed := slices.ContainsFunc(d.TrayRows(), func(r *tray.Specimen) bool { return r.ID == s.ID })
		if listed != (d.Find(s).Answer.Form == "") {
			t.Errorf("%s: listed %v, form %q", s.Name, listed, d.Find(s).Answer.Form)
		}
	}
	d.LookThrough(desk.TrayLook{Lacks: morph.CBW})
	d.Select(d.TrayRows()[0].ID)
	d.TypeValue("CBW", "5", desk.Done)
	if len(d.TrayRows()) != 2 {
		t.Errorf("%d rows lack the width after one of three got it", len(d.TrayRows()))
	}
	if classify.Blade == desk.NotSorted {
		t.Error("no form has a form's name")
	}
}

// Only the rows in sight of a long tray, and some around them, are in the page,
// wherever it is scrolled to; a short tray has all of its rows.
func TestTrayWindow(t *testing.T) {
	d, _ := trayOf(t, 500)
	for _, top := range []float64{0, 56, 1000, 13_999, 27_300, 1e9, -5, math.Inf(1)} {
		d.ScrollTray(top, 560)
		w := d.TrayWindow()
		if len(w.Rows) == 0 || len(w.Rows) > 10+2*8+4 || w.Of != 500 {
			t.Fatalf("scrolled to %g: %d rows of %d", top, len(w.Rows), w.Of)
		}
		first := int(max(0, min(top, 499*desk.TrayRowHeight))) / desk.TrayRowHeight
		if w.From > first || w.From+len(w.Rows) < min(500, first+10) {
			t.Errorf("scrolled to %g: rows %d to %d do not cover what is in sight", top, w.From, w.From+len(w.Rows))
		}
	}
	short, _ := trayOf(t, 7)
	short.LookThrough(desk.TrayLook{Search: "nothing"})
	if w := short.TrayWindow(); len(w.Rows) != 7 || w.Long {
		t.Errorf("a tray of 7 shows %d rows", len(w.Rows))
	}
}

// A range is picked as it is listed; what was picked is deleted as one step.
func TestPick(t *testing.T) {
	d, _ := trayOf(t, 12)
	d.LookThrough(desk.TrayLook{By: desk.ByName, Down: true}) // 11 … 0
	d.SetPicking(true)
	rows := d.TrayRows()
	d.Pick(rows[2].ID, true, false) // T 9
	d.Pick(rows[5].ID, true, true)  // T 6
	d.Pick(rows[4].ID, false, false)
	if got := namesOf(d.Picked()); got != "T 6 | T 8 | T 9" {
		t.Errorf("picked %s", got)
	}
	d.Select(rows[2].ID)
	d.DeletePicked()
	if d.Tray.Len() != 9 || len(d.Picked()) != 0 || d.Specimen() == nil {
		t.Errorf("after the deletion: %d teeth, %d picked", d.Tray.Len(), len(d.Picked()))
	}
	d.Undo()
	if d.Tray.Len() != 12 {
		t.Errorf("one step brought back %d of 12", d.Tray.Len())
	}
	d.PickRows(true)
	if len(d.Picked()) != 12 {
		t.Errorf("%d of 12 picked", len(d.Picked()))
	}
	d.SetPicking(false)
	if len(d.Picked()) != 0 {
		t.Error("teeth stay picked without their boxes")
	}
}

// The same catalogue number or photograph is noticed, another collection's
// number is not.
func TestTwin(t *testing.T) {
	add := func(d *desk.Desk, name, number, institution, hash string) {
		s := &tray.Specimen{Name: name, Catalogue: tray.Catalogue{CatalogNumber: number, InstitutionCode: institution}}
		if hash != "" {
			p := photo("p", "a.jpg")
			p.Hash, p.Role = strings.Repeat(hash, 64), morph.OtherView
			s.Photos = []tray.Photo{p}
		}
		if _, err := d.Tray.Add("add", s); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []struct {
		name                  string
		number, institution   string
		hash                  string
		twin                  bool
		number2, institution2 string
		hash2                 string
	}{
		{name: "same number, written otherwise", number: "AB  12", number2: "ab 12", twin: true},
		{name: "same number in two institutions", number: "12", institution: "X", number2: "12", institution2: "Y"},
		{name: "same number, one institution named", number: "12", institution: "X", number2: "12", twin: true},
		{name: "same photograph", hash: "a", hash2: "a", twin: true},
		{name: "nothing given"},
	} {
		d, _ := newDesk()
		add(d, "one", c.number, c.institution, c.hash)
		add(d, "two", c.number2, c.institution2, c.hash2)
		d.Start(desk.Place{})
		twin, ok := d.Twin()
		if ok != c.twin {
			t.Errorf("%s: noticed %v", c.name, ok)
		}
		if ok {
			d.LeaveTwin(twin)
			if _, again := d.Twin(); again {
				t.Errorf("%s: the note comes back", c.name)
			}
		}
	}
}
