//go:build browser

package browsertest

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

// heard is one event as the fixture page wrote it down.
type heard struct {
	Type                    string
	ID                      string
	X, Y, DX, DY            float64
	Kind                    string
	Button, Buttons, Detail int
	Shift, Control, Alt     bool
	Trusted                 bool
	Key, Code               string
	Fingers                 [][2]float64
	Kinds                   []string
	Name, Text, Value       string
}

// heardSo returns the events of the named types that arrived, in order.
func heardSo(p *Page, types ...string) []heard {
	p.t.Helper()
	wanted := make(map[string]bool)
	for _, typ := range types {
		wanted[typ] = true
	}
	var got []heard
	for _, h := range Eval[[]heard](p, "log") {
		if wanted[h.Type] {
			got = append(got, h)
		}
	}
	return got
}

func TestMouseClick(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.ClickAt(120, 80)
	p.RightClickAt(30, 40)
	p.Hold([]string{"Shift", "Control"}, func() { p.ClickAt(50, 60) })
	want := []heard{
		{Type: "pointerdown", X: 120, Y: 80, Kind: "mouse", Buttons: 1, Trusted: true},
		{Type: "pointerup", X: 120, Y: 80, Kind: "mouse", Trusted: true},
		{Type: "click", X: 120, Y: 80, Kind: "mouse", Detail: 1, Trusted: true},
		{Type: "pointerdown", X: 30, Y: 40, Kind: "mouse", Button: 2, Buttons: 2, Trusted: true},
		{Type: "contextmenu", X: 30, Y: 40, Kind: "mouse", Button: 2, Buttons: 2, Trusted: true},
		{Type: "pointerup", X: 30, Y: 40, Kind: "mouse", Button: 2, Trusted: true},
		{Type: "pointerdown", X: 50, Y: 60, Kind: "mouse", Buttons: 1, Shift: true, Control: true, Trusted: true},
		{Type: "pointerup", X: 50, Y: 60, Kind: "mouse", Shift: true, Control: true, Trusted: true},
		{Type: "click", X: 50, Y: 60, Kind: "mouse", Detail: 1, Shift: true, Control: true, Trusted: true},
	}
	if diff := cmp.Diff(want, heardSo(p, "pointerdown", "pointerup", "click", "contextmenu")); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
}

func TestDoubleClick(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.DoubleClickAt(200, 100)
	got := heardSo(p, "click", "dblclick")
	if len(got) != 3 || got[1].Detail != 2 || got[2].Type != "dblclick" || !got[2].Trusted {
		t.Errorf("a double click arrived as %+v", got)
	}
}

func TestDrag(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Drag(100, 100, 200, 150)
	var held int
	for _, h := range heardSo(p, "pointermove") {
		if h.Buttons == 1 {
			held++
		}
	}
	if held != dragSteps {
		t.Errorf("%d moves arrived with the button down, want %d", held, dragSteps)
	}
	ends := heardSo(p, "pointerdown", "pointerup")
	if len(ends) != 2 || ends[0].X != 100 || ends[0].Y != 100 || ends[1].X != 200 || ends[1].Y != 150 {
		t.Errorf("the drag went %+v", ends)
	}
	p.MiddleDrag(10, 10, 60, 10)
	if got := heardSo(p, "pointerdown"); len(got) != 2 || got[1].Button != 1 || got[1].Buttons != 4 {
		t.Errorf("the middle button arrived as %+v", got)
	}
}

func TestWheel(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Wheel(100, 100, 5, -120)
	p.Hold([]string{"Control"}, func() { p.Wheel(100, 100, 0, 60) })
	p.Until(`log.filter(e => e.type === "wheel").length >= 2`)
	want := []heard{
		{Type: "wheel", DX: 5, DY: -120, Trusted: true},
		{Type: "wheel", DY: 60, Control: true, Trusted: true},
	}
	if diff := cmp.Diff(want, heardSo(p, "wheel")); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
}
