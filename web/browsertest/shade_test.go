//go:build browser

package browsertest

import (
	"image"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"
)

// shown is the mean red, green and blue, 0 to 255, of the middle of the window.
func shown(p *Page) (c [3]float64) {
	p.t.Helper()
	img, at := p.Picture(), image.Rect(500, 250, 600, 350)
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			for i, v := range []uint32{r, g, b} {
				c[i] += float64(v) / 257 / float64(at.Dx()*at.Dy())
			}
		}
	}
	return c
}

// Dark enamel is looked into by brightness, contrast and single colours; the photo
// comes back as it is, and its record knows nothing of it.
func TestLookIntoDarkEnamel(t *testing.T) {
	p := Open(t, Laptop)
	file, _ := shootJPEG(t, "HX-1_lateral.jpg", blade, assistLateral, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	p.Until(`document.querySelectorAll(".photos button").length === 2 && !document.querySelector("#stage .card")`)
	tool(p, "Look")
	p.Click(".shade summary")
	p.follow()
	until := func(what string, ok func(c [3]float64) bool) {
		t.Helper()
		var c [3]float64
		for range 50 {
			if c = shown(p); ok(c) {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		t.Errorf("%s: the middle shows %.0f", what, c)
	}
	before := shown(p)
	p.Click("#brightness") // the middle of it
	for range 8 {
		p.Press("ArrowRight")
	}
	until("brighter", func(c [3]float64) bool { return c[0] > before[0]+20 && c[2] > before[2]+20 })
	p.Pick("#channel", "red only")
	until("red only", func(c [3]float64) bool { return c[0]-c[1] < 3 && c[1]-c[0] < 3 && c[0]-c[2] < 3 })
	p.Shot("shade")
	undo := Eval[string](p, `[...document.querySelectorAll(".right button")].find(b => b.textContent === "Undo").title`)
	p.ClickRole("button", "As it is")
	until("as it is", func(c [3]float64) bool {
		for i := range c {
			if c[i]-before[i] > 3 || before[i]-c[i] > 3 {
				return false
			}
		}
		return true
	})
	if again := Eval[string](p, `[...document.querySelectorAll(".right button")].find(b => b.textContent === "Undo").title`); again != undo {
		t.Errorf("looking became a step to undo: %q after %q", again, undo)
	}
}
