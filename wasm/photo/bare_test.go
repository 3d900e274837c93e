package photo_test

import (
	"bytes"
	"encoding/binary"
	"image"
	_ "image/jpeg"
	_ "image/png"
	"testing"

	_ "golang.org/x/image/tiff"
	_ "golang.org/x/image/webp"

	"crownbench/wasm/photo"
)

// secret is hidden wherever a file has room for words.
const secret = "KB-014 crown base 22.6 mm"

func pixels(t testing.TB, b []byte) image.Image {
	t.Helper()
	m, _, err := image.Decode(bytes.NewReader(b))
	if err != nil {
		t.Fatal(err)
	}
	return m
}

func samePixels(t testing.TB, what string, a, b image.Image) {
	t.Helper()
	if a.Bounds() != b.Bounds() {
		t.Fatalf("%s: %v became %v", what, a.Bounds(), b.Bounds())
	}
	for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
		for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
			r1, g1, b1, a1 := a.At(x, y).RGBA()
			r2, g2, b2, a2 := b.At(x, y).RGBA()
			if r1>>8 != r2>>8 || g1>>8 != g2>>8 || b1>>8 != b2>>8 || a1>>8 != a2>>8 {
				t.Fatalf("%s: pixel %d, %d changed", what, x, y)
			}
		}
	}
}

// wordy puts words into every place of a file that allows some.
func wordy(t testing.TB, file []byte, orientation uint16) []byte {
	t.Helper()
	exif := exifData(binary.BigEndian, []entry{{0x010e, secret}, {0x0112, orientation}}, []entry{{0x9286, secret}})
	b := withExif(t, file, exif)
	switch {
	case bytes.HasPrefix(b, []byte("\xff\xd8")):
		comment := append([]byte{0xff, 0xfe, 0, byte(2 + len(secret))}, secret...)
		profile := append([]byte{0xff, 0xe2, 0, byte(2 + len(secret))}, secret...)
		return append(append(append(append(b[:2:2], comment...), profile...), b[2:]...), secret...)
	case bytes.HasPrefix(b, []byte("\x89PNG")):
		const afterHeader = 8 + 25
		text := append(chunk("tEXt", []byte("Comment\x00"+secret)), chunk("iCCP", []byte(secret))...)
		return append(append(append(b[:afterHeader:afterHeader], text...), b[afterHeader:]...), secret...)
	case bytes.HasPrefix(b, []byte("RIFF")):
		words := secret
		if len(words)%2 == 1 {
			words += " "
		}
		b = append(append(bytes.Clone(b), riff("XMP ", []byte(words))...), riff("ICCP", []byte(words))...)
		binary.LittleEndian.PutUint32(b[4:], uint32(len(b)-8))
		return append(b, secret...)
	}
	t.Fatal("no place for words in this file")
	return nil
}

func TestBareSaysNothing(t *testing.T) {
	for name, file := range map[string][]byte{
		"jpeg": jpegOf(t, gradient(37, 23)), "png": pngOf(t, gradient(37, 23)), "progressive.jpg": sample(t, "progressive.jpg"),
		"interlaced.png": sample(t, "interlaced.png"), "lossy.webp": sample(t, "lossy.webp"), "lossless.webp": sample(t, "lossless.webp"),
	} {
		for _, o := range []photo.Orientation{1, 6} {
			b := wordy(t, file, uint16(o))
			if !bytes.Contains(b, []byte(secret)) {
				t.Fatalf("%s: the words were not put in", name)
			}
			bare, format, err := photo.Bare(name, b)
			if err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			if bytes.Contains(bare, []byte("KB-014")) || bytes.Contains(bare, []byte("22.6")) {
				t.Errorf("%s: the words are still there", name)
			}
			was, err := photo.Describe(name, b)
			if err != nil {
				t.Fatal(err)
			}
			is, err := photo.Describe(name, bare)
			if err != nil {
				t.Fatalf("%s: what is left is no photograph: %v", name, err)
			}
			if is.Orientation != o || is.Width != was.Width || is.Height != was.Height || is.Format != format || is.Taken != "" || is.Device != "" {
				t.Errorf("%s: %+v became %+v", name, was, is)
			}
			samePixels(t, name, pixels(t, file), pixels(t, bare))
		}
	}
}

// A TIFF becomes a PNG with the same pixels, and a CMYK JPEG keeps what says
// how its colours are coded.
func TestBareOfOtherKinds(t *testing.T) {
	for _, name := range []string{"lzw.tif", "rgb16.tif", "palette.tif", "cmyk.jpg"} {
		b := sample(t, name)
		bare, format, err := photo.Bare(name, b)
		if err != nil {
			t.Fatalf("%s: %v", name, err)
		}
		if (format == photo.PNG) != (name != "cmyk.jpg") {
			t.Errorf("%s became a %s", name, format)
		}
		samePixels(t, name, pixels(t, b), pixels(t, bare))
	}
	for _, b := range [][]byte{nil, []byte("words"), sample(t, "heic.heic")} {
		if _, _, err := photo.Bare("x", b); err == nil {
			t.Error("what is no photograph was taken")
		}
	}
}

// What is left of any photograph is a photograph of the same size, the same
// way up, and has nothing more to lose.
func FuzzBare(f *testing.F) {
	for _, name := range []string{"lossy.webp", "lossless.webp", "interlaced.png", "cmyk.jpg", "palette4.tif"} {
		f.Add(sample(f, name))
	}
	f.Add(wordy(f, jpegOf(f, gradient(9, 5)), 6))
	f.Add(wordy(f, pngOf(f, gradient(9, 5)), 3))
	f.Fuzz(func(t *testing.T, b []byte) {
		was, err := photo.Describe("x", b)
		if err != nil || was.StoredWidth*was.StoredHeight > 1e6 {
			return
		}
		bare, _, err := photo.Bare("x", b)
		if err != nil {
			if was.Format != photo.TIFF {
				t.Fatalf("%v", err)
			}
			return
		}
		is, err := photo.Describe("x", bare)
		if err != nil {
			t.Fatalf("what is left is no photograph: %v", err)
		}
		if is.Width != was.Width || is.Height != was.Height || is.Orientation != was.Orientation {
			t.Fatalf("%+v became %+v", was, is)
		}
		again, _, err := photo.Bare("x", bare)
		if err != nil || !bytes.Equal(again, bare) {
			t.Fatalf("a bare photograph has more to lose (%v)", err)
		}
	})
}
