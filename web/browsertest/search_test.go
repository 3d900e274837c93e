//go:build browser

package browsertest

import (
	"testing"
	"time"

	"crownbench/testdata/toothphoto"
)

// framesCounted counts the frames that the page draws while it searches a
// picture.
const framesCounted = `
window.framesSearching = 0;
requestAnimationFrame(function count() {
  if (document.querySelector("#searching")) window.framesSearching++;
  requestAnimationFrame(count);
});`

// answerNoted notes, at the moment the map unfolds, whether the search goes on:
// a slow page draws what came of a click only in a later frame.
const answerNoted = `
new MutationObserver((_, watching) => {
  if (!document.querySelector("details.map").open) return;
  watching.disconnect();
  window.stillSearching = !!document.querySelector("#searching");
}).observe(document.body, {subtree: true, attributes: true, attributeFilter: ["open"]});`

// While a photograph of 24 megapixels is searched the page draws frames and
// answers clicks, and the search can be stopped; asked again, it finds the crown.
func TestSearchLeavesThePageAlive(t *testing.T) {
	view := Laptop
	view.Prelude = framesCounted
	p := Open(t, view)
	shot := assistLateral
	shot.Width, shot.Height, shot.PxPerMM = 6000, 4000, 42
	file, truth := shootJPEG(t, "HX-1_lateral.jpg", blade, shot, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	h := &hand{Page: p}
	tool(p, "Crown")
	outline := func() {
		t.Helper()
		h.press("button", "Outline the tooth for me")
		h.on(middle(truth.PlainOutline))
	}
	found := `[...document.querySelectorAll(".prompt button")].some(b => b.textContent === "Take it")`

	// Pixels are read the first time; from then on what takes long is the search.
	outline()
	p.UntilWithin(60*time.Second, found)
	p.ClickRole("button", "Discard")
	p.Exec(`framesSearching = 0`)
	outline()
	p.UntilWithin(60*time.Second, found)
	// Without a rest there would be the frame before and the one after.
	if n := Eval[int](p, `framesSearching`); n < 5 {
		t.Errorf("the page drew %d frames while it searched", n)
	}
	p.ClickRole("button", "Discard")

	// On a slow machine a click elsewhere is answered while the search goes on,
	// and then the search is stopped.
	p.SlowDown(20)
	outline()
	p.Exec(answerNoted)
	p.Until(`document.querySelector("#searching")`)
	p.Click("#map-fold")
	p.Until(`"stillSearching" in window`)
	if !Eval[bool](p, `stillSearching`) {
		t.Error("the click was not answered before the search was over")
	}
	p.ClickRole("button", "Stop")
	p.Until(`!document.querySelector("#searching") && document.querySelector("#prompt").textContent.includes("Mark the mesial end")`)
	p.SlowDown(1)
	// Nothing comes of it later, and it can be asked for again.
	outline()
	p.UntilWithin(60*time.Second, found)
	p.ClickRole("button", "Take it")
	p.UntilText(".prompt", "")
}
