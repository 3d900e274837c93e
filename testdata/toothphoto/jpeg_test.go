package toothphoto

import (
	"bytes"
	"image"
	"image/color"
	"image/jpeg"
	"testing"
	"time"

	"github.com/bep/imagemeta"
)

// quadrants is an upright picture whose corners differ: red, green, blue and
// white from the top left, clockwise.
func quadrants() *image.RGBA {
	img := image.NewRGBA(image.Rect(0, 0, 64, 32))
	for y := range 32 {
		for x := range 64 {
			c := color.RGBA{255, 0, 0, 255}
			switch {
			case x >= 32 && y < 16:
				c = color.RGBA{0, 255, 0, 255}
			case x >= 32:
				c = color.RGBA{0, 0, 255, 255}
			case y >= 16:
				c = color.RGBA{255, 255, 255, 255}
			}
			img.SetRGBA(x, y, c)
		}
	}
	return img
}

func quarterClockwise(img image.Image) *image.RGBA {
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	out := image.NewRGBA(image.Rect(0, 0, h, w))
	for y := range h {
		for x := range w {
			out.Set(h-1-y, x, img.At(x, y))
		}
	}
	return out
}

func mirror(img image.Image) *image.RGBA {
	w, h := img.Bounds().Dx(), img.Bounds().Dy()
	out := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			out.Set(w-1-x, y, img.At(x, y))
		}
	}
	return out
}

// upright turns stored pixels as viewers do: 6 by a quarter clockwise, 3 by a
// half, 8 by a quarter the other way (READ in the EXIF table), and the other
// even ones mirrored.
func upright(img image.Image, orientation int) image.Image {
	turns := map[int]int{1: 0, 2: 0, 3: 2, 4: 2, 5: 1, 6: 1, 7: 3, 8: 3}[orientation]
	for range turns {
		img = quarterClockwise(img)
	}
	switch orientation {
	case 2, 4, 5, 7:
		img = mirror(img)
	}
	return img
}

func TestOrientation(t *testing.T) {
	for o := 1; o <= 8; o++ {
		var buf bytes.Buffer
		taken := time.Date(2031, 5, 4, 3, 2, 1, 0, time.UTC)
		if err := EncodeJPEG(&buf, quadrants(), JPEG{Quality: 95, Orientation: o, Camera: "Invented camera", Taken: taken}); err != nil {
			t.Fatal(err)
		}
		// An independent reader of EXIF finds the tags.
		var tags imagemeta.Tags
		_, err := imagemeta.Decode(imagemeta.Options{
			R: bytes.NewReader(buf.Bytes()), ImageFormat: imagemeta.JPEG, Sources: imagemeta.EXIF,
			HandleTag: func(ti imagemeta.TagInfo) error { tags.Add(ti); return nil },
		})
		if err != nil {
			t.Fatal(err)
		}
		all := tags.EXIF()
		if got, ok := all["Orientation"].Value.(uint16); !ok || int(got) != o {
			t.Errorf("orientation reads %v, want %d", all["Orientation"].Value, o)
		}
		if all["Model"].Value != "Invented camera" || all["DateTimeOriginal"].Value != "2031:05:04 03:02:01" {
			t.Errorf("model %v, taken %v", all["Model"].Value, all["DateTimeOriginal"].Value)
		}
		img, err := jpeg.Decode(&buf)
		if err != nil {
			t.Fatal(err)
		}
		if tall := img.Bounds().Dy() > img.Bounds().Dx(); tall != (o >= 5) {
			t.Errorf("orientation %d is stored as %v", o, img.Bounds())
		}
		shown := upright(img, o)
		for p, want := range map[image.Point]color.RGBA{{X: 8, Y: 4}: {255, 0, 0, 255}, {X: 56, Y: 4}: {0, 255, 0, 255}, {X: 56, Y: 28}: {0, 0, 255, 255}, {X: 8, Y: 28}: {255, 255, 255, 255}} {
			r, g, b, _ := shown.At(p.X, p.Y).RGBA()
			near := func(a uint32, b uint8) bool { return a>>8+24 > uint32(b) && a>>8 < uint32(b)+24 }
			if !near(r, want.R) || !near(g, want.G) || !near(b, want.B) {
				t.Errorf("orientation %d shows %d %d %d at %v, want %v", o, r>>8, g>>8, b>>8, p, want)
			}
		}
	}
}

func TestPlainJPEG(t *testing.T) {
	var buf bytes.Buffer
	if err := EncodeJPEG(&buf, quadrants(), JPEG{}); err != nil {
		t.Fatal(err)
	}
	if bytes.Contains(buf.Bytes(), []byte("Exif")) {
		t.Error("a plain file carries EXIF")
	}
	for _, o := range []JPEG{{Quality: 101}, {Quality: -1}, {Orientation: 9}, {Orientation: -1}} {
		if err := EncodeJPEG(&buf, quadrants(), o); err == nil {
			t.Errorf("%+v was accepted", o)
		}
	}
}
