//go:build browser

package browsertest

import (
	"strings"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// hand does what a person does and counts their clicks and taps.
type hand struct {
	*Page
	clicks int
}

func (h *hand) press(role, name string) {
	h.t.Helper()
	h.clicks++
	h.ClickRole(role, name)
}

func (h *hand) on(q r2.Vec) {
	h.t.Helper()
	h.clicks++
	h.follow()
	at := onScreen(h.Page, q)
	if h.view.Touch {
		h.Tap(at.X, at.Y)
		return
	}
	h.ClickAt(at.X, at.Y)
}

// findScale has the bar found and says how long it is.
func (h *hand) findScale(length, shot string) {
	h.t.Helper()
	h.press("button", "Find the scale bar")
	h.UntilWithin(20*time.Second, `document.activeElement?.id === "cell-bar"`)
	h.Shot(shot)
	h.Press("Control+a")
	h.Type(length)
	h.Press("Enter")
	h.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
}

// outline has an outline proposed round a point, and takes it.
func (h *hand) outline(button string, at r2.Vec, shot string) {
	h.t.Helper()
	h.press("button", button)
	h.on(at)
	h.UntilWithin(20*time.Second, `[...document.querySelectorAll(".prompt button")].some(b => b.textContent === "Take it")`)
	h.Shot(shot)
	h.press("button", "Take it")
}

func middle(line []r2.Vec) (c r2.Vec) {
	for _, p := range line {
		c = r2.Add(c, r2.Scale(1/float64(len(line)), p))
	}
	return c
}

// Two views on a plain ground, each with its bar. On the dark ground of the basal
// one the denticle that stands out over its distal end is not taken for a part of
// the section.
var (
	assistLateral = toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 2000, Height: 1500, PxPerMM: 16, Rotation: 24, X: 0.42, Y: 0.45, Background: toothphoto.Card,
		LightFrom: 315, Blur: 0.7, Noise: 1.5, Bar: toothphoto.ScaleBar{Length: 50, X: 0.75, Y: 0.9}, Seed: 11,
	}
	assistBasal = toothphoto.Shot{
		View: toothphoto.Basal, Width: 1200, Height: 900, Rotation: -15, Background: toothphoto.Velvet, X: 0.5, Y: 0.42, LightFrom: 315, Blur: 0.6, Noise: 1.5,
		PxPerMM: 20, Bar: toothphoto.ScaleBar{Length: 20, Y: 0.9, X: 0.5}, Seed: 12,
	}
)

// Two dropped photographs become a sorted tooth in fewer than fifteen clicks:
// the picture proposes, the person takes. Truth is the generator's exact
// geometry; lengths come within 1 % of it.
func TestAssistedJob(t *testing.T) {
	p := Open(t, Laptop)
	lateral, side := shootJPEG(t, "HX-1_lateral.jpg", blade, assistLateral, toothphoto.JPEG{})
	basal, base := shootJPEG(t, "HX-1_basal.jpg", blade, assistBasal, toothphoto.JPEG{})
	p.Drop(640, 400, lateral, basal)
	untilPhotographs(p, 2)
	h := &hand{Page: p}

	h.findScale("50", "assist-scale")
	h.press("button", "Crown")
	h.outline("Outline the tooth for me", middle(side.PlainOutline), "assist-crown")
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)

	h.clicks++
	showPhoto(p, 2)
	h.findScale("20", "assist-scale-basal")
	h.press("button", "Section")
	h.press("button", "Outline the section for me")
	h.on(middle(base.Section))
	h.UntilWithin(20*time.Second, `/It would give CBL [\d.]+ ± [\d.]+\u00a0mm and CBW [\d.]+ ± [\d.]+\u00a0mm\./.test(document.querySelector("#prompt").textContent)`)
	h.Shot("assist-section")
	h.press("button", "Take it")
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(4)").textContent)`)

	m := blade
	for _, c := range []struct {
		id   string
		want float64
	}{{"CBL", m.CBL}, {"CBW", m.CBW}, {"CH", m.CH}, {"AL", m.AL}} {
		expect(t, p, c.id, c.want, 0.01*c.want)
	}
	p.UntilWithin(5*time.Second, `/Blade-like/.test(document.querySelector(".said").textContent)`)
	p.Shot("assist-done")
	if h.clicks >= 15 {
		t.Errorf("%d clicks", h.clicks)
	}
	t.Logf("%d clicks", h.clicks)
	if how := p.Text(`tr[data-reading="CH"] .how`); !strings.Contains(how, "proposed and taken") {
		t.Errorf("the crown height was got: %q", how)
	}
}

// On a tablet in the dark a finger does the same, and has denticles proposed along
// the crown that was taken.
func TestAssistedCrownByTouch(t *testing.T) {
	p := Open(t, Tablet.InDark())
	shot := assistLateral
	shot.PxPerMM, shot.Width, shot.Height, shot.Rotation = 28, 2600, 2000, 10
	shot.Bar.X, shot.Bar.Y, shot.Bar.Length = 0.72, 0.92, 20
	lateral, side := shootJPEG(t, "HX-1_lateral.jpg", blade, shot, toothphoto.JPEG{})
	p.Drop(380, 500, lateral)
	untilPhotographs(p, 1)
	h := &hand{Page: p}
	h.findScale("20", "assist-touch-scale")
	h.press("button", "Crown")
	p.Shot("assist-touch-begin")
	h.outline("Outline the tooth for me", middle(side.PlainOutline), "assist-touch-crown")
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	p.Shot("assist-touch-taken")
	expect(t, p, "CH", blade.CH, 0.01*blade.CH)

	h.press("button", "Denticles")
	h.press("button", "Propose denticles of the distal carina")
	p.UntilWithin(20*time.Second, `[...document.querySelectorAll(".prompt button")].some(b => b.textContent === "Take it")`)
	p.Shot("assist-touch-denticles")
	h.press("button", "Take it")
	want := side.Measurements.Distal.Mid.Per5mm
	expect(t, p, "DC", want, 0.05*want)
}
