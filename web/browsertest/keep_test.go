//go:build browser

package browsertest

import (
	"testing"
	"time"

	"crownbench/testdata/toothphoto"
)

// A reload in the middle of a walk loses nothing and goes on where it was.
func TestReloadInTheMiddle(t *testing.T) {
	p := Open(t, Laptop)
	file, truth := shootJPEG(t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	setScale(p, truth.Bar)
	tool(p, "Crown")
	walk, g := truth.PlainOutline, truth.PlainApex
	point(p, walk[0])
	point(p, walk[g/2])
	pointTwice(p, *truth.G)
	p.Fill("#name", "HX-1")
	p.Press("Tab")
	p.follow()
	p.UntilText("#saving", "Saved")
	before := p.Text("#prompt")
	scale := p.Text(".tools")

	p.Reload()
	p.Until(`document.querySelector(".photos button") && !document.querySelector("#stage .card")`)
	if got := p.Value("#name"); got != "HX-1" {
		t.Errorf("the name came back as %q", got)
	}
	if got := p.Text("#prompt"); got != before {
		t.Errorf("the walk went on with %q instead of %q", got, before)
	}
	if got := p.Text(".tools"); got != scale {
		t.Errorf("the tools came back as %q instead of %q", got, scale)
	}
	pointTwice(p, *truth.B)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))

	// Undo and redo by key; a deletion comes back whole.
	p.Press("Control+z")
	p.Until(`!/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	p.Press("Control+Shift+Z")
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	p.ClickRole("button", "Delete")
	p.Until(`!document.querySelector("#tray")`)
	p.ClickRole("button", "Undo")
	p.UntilText("#tray .count", "1")
	p.UntilText(".said", "annot say")
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
}

// scaledLateral drops the side view of the invented blade, waits until it shows
// and sets its scale.
func scaledLateral(p *Page) toothphoto.Truth {
	p.t.Helper()
	file, truth := shootJPEG(p.t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	p.Drop(float64(p.view.Width)/2, 400, file)
	untilPhotographs(p, 1)
	setScale(p, truth.Bar)
	return truth
}

// lateralShot is a side view of the invented blade.
var lateralShot = toothphoto.Shot{
	View: toothphoto.LateralLabial, Width: 1600, Height: 1200, PxPerMM: 13, Rotation: 24, X: 0.42, Y: 0.45, Background: toothphoto.Card,
	LightFrom: 315, Blur: 0.7, Noise: 1.2, Bar: toothphoto.ScaleBar{Length: 50, X: 0.72, Y: 0.9}, Seed: 21,
}

// A photograph that its camera stored lying down is shown upright, and its
// marks measure what they should.
func TestTurnedPhotographs(t *testing.T) {
	for _, orientation := range []int{3, 6, 8} {
		p := Open(t, Laptop)
		file, truth := shootJPEG(t, "lateral.jpg", blade, lateralShot, toothphoto.JPEG{Orientation: orientation, Camera: "Invented camera"})
		p.Drop(640, 400, file)
		untilPhotographs(p, 1)
		setScale(p, truth.Bar)
		tool(p, "Crown")
		point(p, *truth.A)
		pointTwice(p, *truth.G)
		pointTwice(p, *truth.B)
		p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
		expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
		p.Press("0")
		p.Shot("turned-" + number(float64(orientation)))
		p.Close()
	}
}

// What is typed into one tooth stays with it while the person goes to and fro.
func TestTwoSpecimensAndTyping(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Fill("#cell-CH", "12.5")
	p.Press("Tab")
	p.Click("#next")
	p.UntilText("#tray .count", "2")
	p.Fill("#cell-CH", "9,5")
	p.Press("Tab")
	p.Click("#tray li:first-child .pick")
	p.UntilWithin(5*time.Second, `document.querySelector("#cell-CH").value === "12.5"`)
	p.Click("#tray li:last-child .pick")
	p.Until(`document.querySelector("#cell-CH").value === "9.5"`)
	p.ClickRole("button", "Duplicate")
	p.UntilText("#tray .count", "3")
	p.Until(`document.querySelector("#cell-CH").value === "9.5"`)
}

// A picture on the clipboard becomes a photograph of the specimen.
func TestPastedPhotograph(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.PasteImage(flatPNG(320, 240, true))
	untilPhotographs(p, 1)
}
