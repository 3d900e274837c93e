//go:build browser

package browsertest

import (
	"bytes"
	"image"
	"image/jpeg"
	"image/png"
	"math"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"
)

// middleOfWindow is a part of the window that a photograph covers.
var middleOfWindow = image.Rect(500, 250, 600, 350)

// mean is the mean red, green and blue, 0 to 255, of a part of a picture.
func mean(img image.Image, at image.Rectangle) (c [3]float64) {
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

// beneath is the part of the photograph that lies in a part of the window now.
func beneath(p *Page, at image.Rectangle) image.Rectangle {
	p.t.Helper()
	scale, shift := place(p)
	in := func(q image.Point) image.Point {
		return image.Pt(int(math.Round((float64(q.X)-shift.X)/scale)), int(math.Round((float64(q.Y)-shift.Y)/scale)))
	}
	return image.Rectangle{Min: in(at.Min), Max: in(at.Max)}
}

// contrast is the standard deviation of the grey, 0 to 255, of a part of the
// window.
func contrast(img image.Image, at image.Rectangle) float64 {
	sum, squares, n := 0.0, 0.0, 0.0
	for y := at.Min.Y; y < at.Max.Y; y++ {
		for x := at.Min.X; x < at.Max.X; x++ {
			r, g, b, _ := img.At(x, y).RGBA()
			v := float64(r+g+b) / 3 / 257
			sum, squares, n = sum+v, squares+v*v, n+1
		}
	}
	return math.Sqrt(squares/n - sum*sum/n/n)
}

// In a photograph of 24 megapixels whose left half is dark and whose right half
// is light, each with a faint chequer, local contrast brings out both at once, at
// every size it is drawn at and with the other controls; the photo comes back as
// it is.
func TestLocalContrast(t *testing.T) {
	p := Open(t, Laptop)
	const w, h = 6000, 4000
	img := image.NewGray(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			v := uint8(30)
			if x > w/2 {
				v = 225
			}
			if (x/40+y/40)%2 == 0 {
				v += 6
			}
			img.Pix[y*img.Stride+x] = v
		}
	}
	var b bytes.Buffer
	if err := (&png.Encoder{CompressionLevel: png.BestSpeed}).Encode(&b, img); err != nil {
		t.Fatal(err)
	}
	p.Drop(640, 400, File{Name: "halves.png", Bytes: b.Bytes()})
	untilPhotographs(p, 1)
	tool(p, "Look")
	p.Click(".shade summary")
	p.follow()
	both := func() (dark, light float64) {
		img := p.Picture()
		return contrast(img, image.Rect(280, 200, 400, 320)), contrast(img, image.Rect(720, 200, 840, 320))
	}
	until := func(what string, ok func(x float64) bool) {
		t.Helper()
		var dark, light float64
		for range 50 {
			if dark, light = both(); ok(dark) && ok(light) {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		t.Errorf("%s: contrast %.1f in the dark half, %.1f in the light one", what, dark, light)
	}
	// A chequer of two greys 6 apart deviates by 3 from its mean; the most that
	// local contrast enlarges it to is 15.
	until("before", func(x float64) bool { return x > 2 && x < 4 })
	p.Click("#local")
	p.Press("End")
	until("local contrast", func(x float64) bool { return x > 9 && x < 18 })
	p.Shot("local-contrast")
	x, y := p.Box("canvas").Centre()
	for range 6 {
		p.Wheel(x-100, y-80, 0, -240)
	}
	p.follow()
	p.Shot("local-contrast-near")
	p.Pick("#channel", "green only")
	p.follow()
	p.Press("Home")
	p.ClickRole("button", "As it is")
	p.Press("0")
	p.Shot("local-contrast-none")
	until("as it is", func(x float64) bool { return x > 2 && x < 4 })
}

// Dark enamel is looked into by brightness, contrast and single colours; the photo
// comes back as it is, and its record knows nothing of it.
func TestLookIntoDarkEnamel(t *testing.T) {
	p := Open(t, Laptop)
	file, _ := shootJPEG(t, "HX-1_lateral.jpg", blade, assistLateral, toothphoto.JPEG{})
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	tool(p, "Look")
	p.Click(".shade summary")
	p.follow()
	photo, err := jpeg.Decode(bytes.NewReader(file.Bytes))
	if err != nil {
		t.Fatal(err)
	}
	// The photograph is compared where it lies at that moment: it moves when the
	// steps under it grow.
	until := func(what string, ok func(shown, photo [3]float64) bool) {
		t.Helper()
		var shown, is [3]float64
		for range 50 {
			shown, is = mean(p.Picture(), middleOfWindow), mean(photo, beneath(p, middleOfWindow))
			if ok(shown, is) {
				return
			}
			time.Sleep(100 * time.Millisecond)
		}
		t.Errorf("%s: the middle shows %.0f where the photograph is %.0f", what, shown, is)
	}
	asItIs := func(shown, photo [3]float64) bool {
		for i := range shown {
			if math.Abs(shown[i]-photo[i]) > 3 {
				return false
			}
		}
		return true
	}
	until("before", asItIs)
	p.Click("#brightness") // the middle of it
	for range 8 {
		p.Press("ArrowRight")
	}
	until("brighter", func(shown, photo [3]float64) bool { return shown[0] > photo[0]+20 && shown[2] > photo[2]+20 })
	p.Pick("#channel", "red only")
	until("red only", func(c, _ [3]float64) bool { return math.Abs(c[0]-c[1]) < 3 && math.Abs(c[0]-c[2]) < 3 })
	p.Shot("shade")
	undo := Eval[string](p, `[...document.querySelectorAll(".right button")].find(b => b.textContent === "Undo").title`)
	p.ClickRole("button", "As it is")
	until("as it is", asItIs)
	if again := Eval[string](p, `[...document.querySelectorAll(".right button")].find(b => b.textContent === "Undo").title`); again != undo {
		t.Errorf("looking became a step to undo: %q after %q", again, undo)
	}
}
