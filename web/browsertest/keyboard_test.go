//go:build browser

package browsertest

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestKeys(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Click("#field")
	p.Press("a", "Enter", "Shift+ArrowLeft", "Control+z", "Shift+b", "Alt+ArrowUp", "Delete", "Space")
	var got []heard
	for _, h := range heardSo(p, "keydown") {
		got = append(got, heard{Key: h.Key, Code: h.Code, Shift: h.Shift, Control: h.Control, Alt: h.Alt, Trusted: h.Trusted})
	}
	// Key and code values are those of UI Events KeyboardEvent key and code
	// values (W3C).
	want := []heard{
		{Key: "a", Code: "KeyA", Trusted: true},
		{Key: "Enter", Code: "Enter", Trusted: true},
		{Key: "Shift", Code: "ShiftLeft", Shift: true, Trusted: true},
		{Key: "ArrowLeft", Code: "ArrowLeft", Shift: true, Trusted: true},
		{Key: "Control", Code: "ControlLeft", Control: true, Trusted: true},
		{Key: "z", Code: "KeyZ", Control: true, Trusted: true},
		{Key: "Shift", Code: "ShiftLeft", Shift: true, Trusted: true},
		{Key: "B", Code: "KeyB", Shift: true, Trusted: true},
		{Key: "Alt", Code: "AltLeft", Alt: true, Trusted: true},
		{Key: "ArrowUp", Code: "ArrowUp", Alt: true, Trusted: true},
		{Key: "Delete", Code: "Delete", Trusted: true},
		{Key: " ", Code: "Space", Trusted: true},
	}
	if diff := cmp.Diff(want, got); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
	if down, up := len(heardSo(p, "keydown")), len(heardSo(p, "keyup")); down != up {
		t.Errorf("%d keys went down, %d came up", down, up)
	}
}

func TestTyping(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	for _, text := range []string{"22.6", "KB-014 ±", "Größe, µm", ">46 (broken)"} {
		p.Fill("#name", text)
		if got := p.Value("#name"); got != text {
			t.Errorf("typed %q, the field holds %q", text, got)
		}
	}
	p.Press("Home", "Shift+End", "Control+c", "End", "Control+v")
	if got := p.Value("#name"); got != ">46 (broken)>46 (broken)" {
		t.Errorf("copied and pasted, the field holds %q", got)
	}
	p.Press("Tab", "Tab", "Space")
	if !Eval[bool](p, `document.querySelector("#tick").checked`) {
		t.Error("Tab and Space did not reach the tick box")
	}
}

func TestPick(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Pick("#choice", "Mid-crown section")
	got := heardSo(p, "change")
	if p.Value("#choice") != "Mid-crown section" || len(got) == 0 || got[len(got)-1].Value != "Mid-crown section" {
		t.Errorf("picked, the page heard %+v", got)
	}
}
