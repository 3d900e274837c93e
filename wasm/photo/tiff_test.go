package photo_test

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"strings"
	"testing"

	"crownbench/wasm/photo"
)

// The gradient that the sample files were drawn with runs from the first
// colour in the top row to the second in the bottom row.
var top, bottom = color.NRGBA{0xd0, 0x40, 0x20, 0xff}, color.NRGBA{0x10, 0x60, 0xf0, 0xff}

func TestDecodeTIFF(t *testing.T) {
	half := func(c color.NRGBA) color.NRGBA { c.A = 0x80; return c }
	// Grey of an sRGB colour after ITU-R BT.709, as ImageMagick reckons it:
	// 0.2126 R + 0.7152 G + 0.0722 B.
	grey := func(c color.NRGBA) color.NRGBA {
		v := uint8(0.2126*float64(c.R) + 0.7152*float64(c.G) + 0.0722*float64(c.B) + 0.5)
		return color.NRGBA{v, v, v, 0xff}
	}
	for _, c := range []struct {
		name          string
		w, h          int
		first, last   color.NRGBA
		within        int
		checkInterior bool
	}{
		{"lzw.tif", 37, 23, top, bottom, 0, true},
		{"deflate_bigendian.tif", 37, 23, top, bottom, 0, true},
		{"tiled.tif", 37, 23, top, bottom, 0, true},
		{"rgb16.tif", 19, 11, top, bottom, 0, true},
		{"alpha.tif", 37, 23, half(top), half(bottom), 0, true},
		{"palette.tif", 37, 23, top, bottom, 0, true},
		{"grey8.tif", 37, 23, grey(top), grey(bottom), 1, false},
		{"grey16.tif", 37, 23, grey(top), grey(bottom), 1, false},
		{"group4.tif", 37, 23, color.NRGBA{255, 255, 255, 255}, color.NRGBA{0, 0, 0, 255}, 0, false},
	} {
		m, err := photo.DecodeTIFF(c.name, sample(t, c.name))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if m.Bounds() != image.Rect(0, 0, c.w, c.h) {
			t.Errorf("%s: size %v", c.name, m.Bounds())
			continue
		}
		check := func(x, y int, want color.NRGBA, within int) {
			if got := m.NRGBAAt(x, y); apart(got, want) > within {
				t.Errorf("%s: (%d, %d) is %v, want %v", c.name, x, y, got, want)
			}
		}
		check(0, 0, c.first, c.within)
		check(c.w-1, c.h-1, c.last, c.within)
		if c.checkInterior {
			mid := color.NRGBA{(c.first.R + c.last.R) / 2, (c.first.G + c.last.G) / 2, uint8((int(c.first.B) + int(c.last.B)) / 2), c.first.A}
			check(c.w/2, c.h/2, mid, 1)
		}
	}
}

func apart(a, b color.NRGBA) int {
	d := func(x, y uint8) int { return max(int(x)-int(y), int(y)-int(x)) }
	return max(d(a.R, b.R), d(a.G, b.G), d(a.B, b.B), d(a.A, b.A))
}

// What is compressed can be whole in length and still be damaged; then it is
// the decoder that notices.
func TestDecodeTIFFNoticesDamagedPixels(t *testing.T) {
	b := bytes.Clone(sample(t, "deflate_bigendian.tif"))
	copy(b[10:], make([]byte, 40)) // libtiff puts the strips behind the header
	if _, err := photo.Inspect("a.tif", b); err != nil {
		t.Fatalf("the directory was not to be touched: %v", err)
	}
	_, err := photo.DecodeTIFF("a.tif", b)
	var r *photo.Refusal
	if !errors.As(err, &r) || r.Fault != photo.Damaged && r.Fault != photo.Truncated {
		t.Errorf("got %v", err)
	}
}

func TestDecodeTIFFRefuses(t *testing.T) {
	_, err := photo.DecodeTIFF("a.tif", sample(t, "palette4.tif"))
	if err == nil || !strings.HasPrefix(err.Error(), "a.tif is a TIFF of a kind that is not read (BitsPerSample of 4). Open it in a picture editor") {
		t.Errorf("four bits a sample: got %v", err)
	}
	_, err = photo.DecodeTIFF("a.tif", sample(t, "lossy.webp"))
	if err == nil || err.Error() != "a.tif is a WebP, not a TIFF. Copy it from the camera or the disk again." {
		t.Errorf("got %v", err)
	}
}

// Pictures that one library wrote come back as they went in.
func TestTIFFRoundTrip(t *testing.T) {
	src := gradient(37, 23)
	m, err := photo.DecodeTIFF("a.tif", tiffOf(t, src))
	if err != nil {
		t.Fatal(err)
	}
	for y := range 23 {
		for x := range 37 {
			if got, want := m.NRGBAAt(x, y), color.NRGBAModel.Convert(src.At(x, y)); got != want {
				t.Fatalf("(%d, %d): got %v, want %v", x, y, got, want)
			}
		}
	}
}
