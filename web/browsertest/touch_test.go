//go:build browser

package browsertest

import (
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestTap(t *testing.T) {
	p := openFixture(t, "events.html", Tablet)
	p.Tap(150, 90)
	p.Until(`log.some(e => e.type === "click")`)
	want := []heard{
		{Type: "pointerdown", X: 150, Y: 90, Kind: "touch", Buttons: 1, Trusted: true},
		{Type: "touchstart", Fingers: [][2]float64{{150, 90}}, Trusted: true},
		{Type: "pointerup", X: 150, Y: 90, Kind: "touch", Trusted: true},
		{Type: "touchend", Fingers: [][2]float64{}, Trusted: true},
		{Type: "click", X: 150, Y: 90, Kind: "touch", Detail: 1, Trusted: true},
	}
	if diff := cmp.Diff(want, heardSo(p, "pointerdown", "touchstart", "touchend", "pointerup", "click")); diff != "" {
		t.Errorf("events (-want +got):\n%s", diff)
	}
	p.Click("#plain")
	p.Until(`log.some(e => e.id === "plain" && e.trusted)`)
}

func TestSwipe(t *testing.T) {
	p := openFixture(t, "events.html", Tablet)
	p.Swipe(100, 200, 300, 100)
	moves := heardSo(p, "touchmove")
	if len(moves) == 0 {
		t.Fatal("no move arrived")
	}
	if last := moves[len(moves)-1].Fingers; !cmp.Equal(last, [][2]float64{{300, 100}}) {
		t.Errorf("the finger ended at %v", last)
	}
}

func TestPinch(t *testing.T) {
	p := openFixture(t, "events.html", Tablet)
	p.Pinch(300, 150, 40, 120)
	starts, moves := heardSo(p, "touchstart"), heardSo(p, "touchmove")
	if len(starts) == 0 || len(moves) == 0 {
		t.Fatalf("%d starts and %d moves arrived", len(starts), len(moves))
	}
	if first := starts[len(starts)-1].Fingers; !cmp.Equal(first, [][2]float64{{260, 150}, {340, 150}}) {
		t.Errorf("the fingers went down at %v", first)
	}
	if last := moves[len(moves)-1].Fingers; !cmp.Equal(last, [][2]float64{{180, 150}, {420, 150}}) {
		t.Errorf("the fingers ended at %v", last)
	}
}

func TestTouchScreen(t *testing.T) {
	p := openFixture(t, "events.html", Tablet)
	if !Eval[bool](p, `matchMedia("(pointer: coarse)").matches && matchMedia("(hover: none)").matches && navigator.maxTouchPoints > 1`) {
		t.Error("the tablet does not look like a touch screen to the page")
	}
	if got := Eval[[]int](p, `[innerWidth, innerHeight]`); !cmp.Equal(got, []int{768, 1024}) {
		t.Errorf("the window is %v", got)
	}
}
