//go:build browser

package browsertest

import (
	"math"
	"testing"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// On a tablet the scale and the crown are marked with a finger: taps place
// points, two fingers zoom, and the numbers slide in from the side.
func TestCrownByTouch(t *testing.T) {
	p := Open(t, Tablet)
	file, truth := shootJPEG(t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	p.Drop(380, 500, file)
	untilPhotographs(p, 1)
	tap := func(q r2.Vec) {
		p.follow()
		at := onScreen(p, q)
		p.Tap(at.X, at.Y)
	}
	tap(truth.Bar.Ends[0])
	tap(truth.Bar.Ends[1])
	p.Fill("#cell-bar", "50")
	p.Press("Enter")
	p.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
	tool(p, "Crown")
	tap(*truth.A)
	tap(*truth.G)
	p.ClickRole("button", "This is the apex (G)")
	tap(*truth.B)
	p.ClickRole("button", "End at the distal base (B)")
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	// A finger at the fitted size is good to a CSS px or so: 2 px of the photo.
	expect(t, p, "CH", blade.CH, 3/truth.PxPerMM)

	before, _ := place(p)
	p.Pinch(380, 500, 100, 220)
	p.follow()
	after, _ := place(p)
	if math.Abs(after/before-2.2) > 0.25 {
		t.Errorf("fingers spread from 100 to 220 px zoom by %.2f", after/before)
	}
	p.ClickRole("button", "Numbers")
	p.Until(`document.querySelector("#side").getBoundingClientRect().right <= innerWidth + 1`)
	p.Shot("touch-numbers")
}

// A tooth is sorted by the keyboard alone, from the first page on.
func TestQuickCheckByKeyboard(t *testing.T) {
	p := Open(t, Laptop)
	for range 20 {
		p.Press("Tab")
		if Eval[string](p, `document.activeElement.id`) == "quick" {
			break
		}
	}
	p.Press("Enter")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Type("71.01")
	p.Press("Tab")
	p.Type("41.46")
	p.Press("Tab")
	p.Type("15.15")
	p.Press("Tab")
	// READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03, a lateral
	// crown of a blade-toothed clade.
	p.UntilText(".said", "Blade-like")
	p.Press("F1")
	p.Until(`document.querySelector("[role=dialog]")`)
	p.Press("Escape")
	p.Until(`!document.querySelector("[role=dialog]")`)
}

// Two points of the scale bar by the keyboard: arrows move the crosshair,
// Enter places.
func TestScaleByKeyboard(t *testing.T) {
	p := Open(t, Laptop)
	file, _ := shootJPEG(t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	p.Exec(`document.querySelector("canvas").focus()`)
	p.Press("ArrowLeft", "Enter")
	for range 20 {
		p.Press("Shift+ArrowRight")
	}
	p.Press("Enter")
	p.Until(`document.querySelector("#cell-bar")`)
	p.Press("Tab")
	if Eval[string](p, `document.activeElement.localName`) == "canvas" {
		t.Error("the Tab key does not leave the photograph")
	}
	p.Fill("#cell-bar", "10")
	p.Press("Enter")
	p.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
}
