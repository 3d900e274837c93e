package photo_test

import (
	"bytes"
	"encoding/binary"
	"errors"
	"fmt"
	"image"
	"strings"
	"testing"

	"crownbench/wasm/photo"

	"github.com/bep/imagemeta"
	"pgregory.net/rapid"
)

func TestFormatsByTheirBytes(t *testing.T) {
	m := gradient(37, 23)
	for _, c := range []struct {
		name   string
		b      []byte
		format photo.Format
		mime   string // IANA media type registry
	}{
		{"tooth.txt", jpegOf(t, m), photo.JPEG, "image/jpeg"},
		{"tooth.jpg", pngOf(t, m), photo.PNG, "image/png"},
		{"tooth", tiffOf(t, m), photo.TIFF, "image/tiff"},
		{"progressive", sample(t, "progressive.jpg"), photo.JPEG, "image/jpeg"},
		{"four colours", sample(t, "cmyk.jpg"), photo.JPEG, "image/jpeg"},
		{"interlaced", sample(t, "interlaced.png"), photo.PNG, "image/png"},
		{"lossy", sample(t, "lossy.webp"), photo.WebP, "image/webp"},
		{"lossless", sample(t, "lossless.webp"), photo.WebP, "image/webp"},
	} {
		got, err := photo.Inspect(c.name, c.b)
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if got.Format != c.format || got.MIME != c.mime || got.Width != 37 || got.Height != 23 || got.Orientation != 1 {
			t.Errorf("%s: got %+v", c.name, got)
		}
	}
}

// The hash as GNU coreutils' sha256sum gives it for the same file.
func TestHash(t *testing.T) {
	i, err := photo.Inspect("a.webp", sample(t, "lossless.webp"))
	const want = "7e2d1a764cf1e3fba8f327e4298142d5704384a6d95d2cee93e8c9e29754231c"
	if err != nil || i.Hash != want || i.Bytes != 80 {
		t.Errorf("got %s of %d bytes, %v; want %s", i.Hash, i.Bytes, err, want)
	}
}

func TestBytesAfterTheEndAreAllowed(t *testing.T) {
	second := jpegOf(t, gradient(8, 8)) // as in a multi-picture file
	for name, b := range map[string][]byte{
		"JPEG": append(jpegOf(t, gradient(37, 23)), second...),
		"PNG":  append(pngOf(t, gradient(37, 23)), "trailing"...),
		"WebP": append(sample(t, "lossy.webp"), 0, 0, 0),
	} {
		if i, err := photo.Inspect(name, b); err != nil || i.Width != 37 {
			t.Errorf("%s: got width %d, %v", name, i.Width, err)
		}
	}
}

// A cut anywhere must be noticed: a browser would show what is left.
func TestEveryCutIsNoticed(t *testing.T) {
	m := gradient(37, 23)
	for name, b := range map[string][]byte{
		"a.jpg":           jpegOf(t, m),
		"progressive.jpg": sample(t, "progressive.jpg"),
		"exif.jpg":        withExif(t, jpegOf(t, m), exifData(binary.BigEndian, []entry{{0x0112, uint16(6)}}, nil)),
		"a.png":           pngOf(t, m),
		"interlaced.png":  sample(t, "interlaced.png"),
		"lossy.webp":      sample(t, "lossy.webp"),
		"lossless.webp":   sample(t, "lossless.webp"),
		"grey8.tif":       sample(t, "grey8.tif"),
		"lzw.tif":         sample(t, "lzw.tif"),
		"a.tif":           tiffOf(t, m),
	} {
		if _, err := photo.Inspect(name, b); err != nil {
			t.Errorf("%s, whole: %v", name, err)
		}
		last := len(b) - 1
		if bytes.HasSuffix(b, []byte{0}) && strings.HasSuffix(name, ".webp") {
			last-- // a pad byte carries nothing
		}
		first := 4
		if strings.HasSuffix(name, ".webp") {
			first = 12 // before that it might be any kind of RIFF file
		}
		for n := first; n < last; n++ {
			_, err := photo.Inspect(name, b[:n])
			var r *photo.Refusal
			if !errors.As(err, &r) {
				t.Errorf("%s cut to %d of %d bytes: got %v", name, n, len(b), err)
				break
			}
			if r.Fault != photo.Truncated && r.Fault != photo.Damaged {
				t.Errorf("%s cut to %d of %d bytes: refused as %v: %v", name, n, len(b), r.Fault, err)
				break
			}
		}
	}
}

// A CRC-32 finds every single changed byte (W3C PNG, annex D).
func TestEveryChangedByteOfAPNGIsNoticed(t *testing.T) {
	b := pngOf(t, gradient(19, 11))
	rapid.Check(t, func(t *rapid.T) {
		i := rapid.IntRange(8, len(b)-1).Draw(t, "at")
		d := byte(rapid.IntRange(1, 255).Draw(t, "xor"))
		c := bytes.Clone(b)
		c[i] ^= d
		if _, err := photo.Inspect("a.png", c); err == nil {
			t.Fatalf("byte %d changed by %02x: not noticed", i, d)
		}
	})
}

func TestRefusals(t *testing.T) {
	jpg := jpegOf(t, gradient(37, 23))
	sofAt := bytes.Index(jpg, []byte{0xff, 0xc0})
	patched := func(at int, v byte) []byte {
		b := bytes.Clone(jpg)
		b[at] = v
		return b
	}
	for _, c := range []struct {
		name  string
		b     []byte
		fault photo.Fault
		says  string // a part of the sentence
	}{
		{"nothing.jpg", nil, photo.Empty, "nothing.jpg is empty. Copy it"},
		{"notes.jpg", []byte("CH 46.1 mm, CBL 22.6 mm\n"), photo.NotPhotograph,
			"notes.jpg is not a photograph this program can read: it begins like a text file. JPEG, PNG, WebP and TIFF are read."},
		{"notes.jpg", []byte("BM is not a bitmap\n"), photo.NotPhotograph, "text file"},
		{"notes.jpg", []byte("\xff\xfeC\x00H\x00"), photo.NotPhotograph, "text file"},
		{"paper.jpg", []byte("%PDF-1.7\n\x00"), photo.NotPhotograph, "a PDF document"},
		{"table.png", []byte("PK\x03\x04\x14\x00\x00\x00"), photo.NotPhotograph, "zip archive or an office document"},
		{"film.jpg", []byte("\x00\x00\x00\x18ftypisom\x00\x00\x00\x00"), photo.NotPhotograph, "film"},
		{"sound.webp", []byte("RIFF\x24\x00\x00\x00WAVEfmt "), photo.NotPhotograph, "sound"},
		{"noise", []byte("\x93\x01\x00\x88\xfe\x00"), photo.NotPhotograph, "not that of any format it knows"},
		{"IMG_1.jpg", sample(t, "heic.heic"), photo.OtherFormat, "HEIC photograph, which most browsers cannot show. Save it as JPEG"},
		{"a.avif", []byte("\x00\x00\x00\x1cftypavif\x00\x00\x00\x00"), photo.OtherFormat, "AVIF"},
		{"a.gif", sample(t, "gif.gif"), photo.OtherFormat, "GIF"},
		{"a.cr3", []byte("\x00\x00\x00\x18ftypcrx \x00\x00\x00\x01"), photo.OtherFormat, "raw file. Develop it"},
		{"a.dng", exifData(binary.LittleEndian, []entry{{0xc612, uint32(4)}}, nil), photo.OtherFormat, "raw file"},
		{"a.cr2", []byte("II*\x00\x10\x00\x00\x00CR\x02\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00\x00"), photo.OtherFormat, "raw file"},
		{"cmyk.tif", sample(t, "cmyk.tif"), photo.OtherFormat, "CMYK"},
		{"planes.tif", sample(t, "planes.tif"), photo.OtherFormat, "separate planes"},
		{"jpeg.tif", sample(t, "jpeg.tif"), photo.OtherFormat, "compressed as JPEG"},
		{"float.tif", sample(t, "float.tif"), photo.OtherFormat, "floating-point"},
		{"big.tif", sample(t, "big.tif"), photo.OtherFormat, "BigTIFF"},
		{"lossless.jpg", patched(sofAt+1, 0xc3), photo.OtherFormat, "rare kind"},
		{"arithmetic.jpg", patched(sofAt+1, 0xc9), photo.OtherFormat, "rare kind"},
		{"deep.jpg", patched(sofAt+4, 12), photo.OtherFormat, "12 bits"},

		// A header's claim is enough: a decoder would set the memory aside.
		{"bomb.jpg", resized(t, jpg, 65535, 65535), photo.TooManyPixels, "65535 × 65535 pixels; sides up to 30,000 pixels"},
		{"flat.png", pngHeader(12_000, 10_000), photo.TooManyPixels, "120 million in all; a PNG of up to 100 million pixels is read. Make it smaller"},
		{"large.jpg", resized(t, jpg, 20_000, 6_000), photo.TooManyPixels, "120 million"},
		{"large.tif", exifData(binary.BigEndian, []entry{{0x0100, uint32(10_000)}, {0x0101, uint32(6_000)}}, nil),
			photo.TooManyPixels, "60 million in all; a TIFF of up to 50 million"},
		{"long.png", pngHeader(30_001, 1), photo.TooManyPixels, "30001 × 1"},
		{"flat.jpg", resized(t, jpg, 0, 10), photo.Damaged, "zero"},
		{"zero.png", pngHeader(10, 0), photo.Damaged, "zero"},
		{"huge.png", pngHeader(1<<31, 10), photo.Damaged, "zero"},

		{"changed.jpg", bytes.Replace(jpg, []byte{0xff, 0xda}, []byte{0xff, 0x22}, 1), photo.Damaged, "a mark that no JPEG has"},
		{"headless.jpg", append([]byte("\xff\xd8"), jpg[bytes.Index(jpg, []byte{0xff, 0xda}):]...), photo.Damaged, "before its header"},
		{"hollow.jpg", []byte("\xff\xd8\xff\xd9"), photo.Damaged, "before any picture began"},
		{"short.jpg", []byte("\xff\xd8\xff\xe0\x00\x01\xff\xd9"), photo.Damaged, "impossible length"},
		{"twice.jpg", append(bytes.Clone(jpg[:len(jpg)-2]), jpg[sofAt:]...), photo.Damaged, "two headers"},
		{"hollow.png", append(pngHeader(3, 3), chunk("IEND", nil)...), photo.Damaged, "no pixels"},
		{"odd.png", append([]byte("\x89PNG\r\n\x1a\n"), chunk("IDAT", []byte{1})...), photo.Damaged, "does not begin"},
		{"odd.webp", append([]byte("RIFF\x12\x00\x00\x00WEBP"), riff("ICCP", make([]byte, 6))...), photo.Damaged, "no picture"},
		{"moving.webp", append([]byte("RIFF\x16\x00\x00\x00WEBP"), riff("VP8X", []byte{2, 0, 0, 0, 3, 0, 0, 3, 0, 0})...),
			photo.OtherFormat, "moving picture"},
	} {
		_, err := photo.Inspect(c.name, c.b)
		var r *photo.Refusal
		if !errors.As(err, &r) {
			t.Errorf("%s: got %v, want a refusal", c.name, err)
			continue
		}
		if r.Fault != c.fault || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: refused as %d with %q; want %d and %q", c.name, r.Fault, err, c.fault, c.says)
		}
		if !strings.HasPrefix(err.Error(), c.name+" ") || !strings.HasSuffix(err.Error(), ".") {
			t.Errorf("%s: %q is no sentence about the file", c.name, err)
		}
	}
}

// The limits themselves are still read, one more is not.
func TestLimitsAreExact(t *testing.T) {
	jpg := jpegOf(t, gradient(37, 23))
	if _, err := photo.Inspect("a.jpg", resized(t, jpg, 10_000, 10_000)); err != nil {
		t.Errorf("exactly %d pixels: %v", photo.MaxPixels, err)
	}
	if _, err := photo.Inspect("a.jpg", resized(t, jpg, 10_001, 10_000)); err == nil {
		t.Error("10,001 × 10,000 pixels were read")
	}
	if err := photo.CheckBytes("a.jpg", photo.MaxFileBytes); err != nil {
		t.Error(err)
	}
	err := photo.CheckBytes("a.jpg", photo.MaxFileBytes+1)
	if want := "a.jpg takes up 201 MB; files up to 200 MB are read. "; err == nil || !strings.HasPrefix(err.Error(), want) {
		t.Errorf("one byte too many: got %v", err)
	}
}

// A file's name is foreign text too.
func TestNamesInSentences(t *testing.T) {
	for name, want := range map[string]string{
		"":                                "The file is empty",
		"a\n\x1b[31mb\u202egpj.png":       "a[31mbgpj.png is empty",
		"\xff\xfe.jpg":                    ".jpg is empty",
		strings.Repeat("x", 500) + ".tif": strings.Repeat("x", 67) + "…xxxxxxxx.tif is empty",
	} {
		if err := photo.CheckBytes(name, 0); !strings.HasPrefix(err.Error(), want) {
			t.Errorf("%.20q: got %q, want %q", name, err, want)
		}
	}
}

// Values as imagemeta, a reader of its own, finds them in the same bytes.
func TestExifAgreesWithAnotherReader(t *testing.T) {
	formats := map[string]imagemeta.ImageFormat{"jpeg": imagemeta.JPEG, "png": imagemeta.PNG, "webp": imagemeta.WebP}
	files := map[string][]byte{
		"jpeg": jpegOf(t, gradient(37, 23)), "png": pngOf(t, gradient(37, 23)), "webp": sample(t, "lossy.webp"), // of even length: the other reader stumbles over a pad byte
	}
	for format, file := range files {
		for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
			for o := uint16(1); o <= 8; o++ {
				b := withExif(t, file, exifData(order,
					[]entry{{0x010f, "INV"}, {0x0110, "Invented camera 7"}, {0x0112, o}},
					[]entry{{0x9003, "2024:05:01 12:33:21"}, {0x9011, "+02:00"}}))

				theirs := map[string]any{}
				_, err := imagemeta.Decode(imagemeta.Options{
					R: bytes.NewReader(b), ImageFormat: formats[format], Sources: imagemeta.EXIF,
					HandleTag: func(i imagemeta.TagInfo) error { theirs[i.Tag] = i.Value; return nil },
				})
				if err != nil {
					t.Fatalf("%s %v: the other reader says %v", format, order, err)
				}
				ours, err := photo.Inspect("a", b)
				if err != nil {
					t.Fatalf("%s %v: %v", format, order, err)
				}
				if fmt.Sprint(int(ours.Orientation)) != fmt.Sprint(theirs["Orientation"]) {
					t.Errorf("%s %v: orientation %d, theirs %v", format, order, ours.Orientation, theirs["Orientation"])
				}
				if want := fmt.Sprint(theirs["Make"], " ", theirs["Model"]); ours.Device != want {
					t.Errorf("%s %v: device %q, theirs %q", format, order, ours.Device, want)
				}
				if theirs["DateTimeOriginal"] != "2024:05:01 12:33:21" || ours.Taken != "2024-05-01T12:33:21+02:00" {
					t.Errorf("%s %v: taken %q, theirs %v", format, order, ours.Taken, theirs["DateTimeOriginal"])
				}
				w, h := 37, 23
				if o >= 5 { // EXIF: values 5 to 8 lay rows where columns belong
					w, h = h, w
				}
				if ours.Width != w || ours.Height != h || ours.StoredWidth != 37 || ours.StoredHeight != 23 {
					t.Errorf("%s, orientation %d: upright %d × %d, stored %d × %d", format, o, ours.Width, ours.Height, ours.StoredWidth, ours.StoredHeight)
				}
			}
		}
	}
}

func TestExifNonsenseIsLeftOut(t *testing.T) {
	jpg := jpegOf(t, gradient(37, 23))
	for _, c := range []struct {
		name          string
		exif          []byte
		taken, device string
	}{
		{"empty date", exifData(binary.LittleEndian, nil, []entry{{0x9003, "0000:00:00 00:00:00"}}), "", ""},
		{"blank date", exifData(binary.LittleEndian, nil, []entry{{0x9003, "    :  :     :  :  "}}), "", ""},
		{"30 February", exifData(binary.LittleEndian, nil, []entry{{0x9003, "2024:02:30 10:00:00"}}), "", ""},
		{"odd offset", exifData(binary.BigEndian, nil, []entry{{0x9003, "2024:02:29 10:00:00"}, {0x9011, "<b>"}}), "2024-02-29T10:00:00", ""},
		{"orientation 9", exifData(binary.BigEndian, []entry{{0x0110, "X-1\x01\x1b"}, {0x0112, uint16(9)}}, nil), "", "X-1"},
		{"orientation of another type", exifData(binary.BigEndian, []entry{{0x010f, "Invented"}, {0x0112, uint32(6)}}, nil), "", "Invented"},
		{"repeated maker", exifData(binary.BigEndian, []entry{{0x010f, "Invented Works"}, {0x0110, "INVENTED 7"}}, nil), "", "INVENTED 7"},
		{"no structure", []byte("II*\x00\xff\xff\xff\xff"), "", ""},
		{"cut off", exifData(binary.BigEndian, []entry{{0x010f, "Invented"}, {0x0110, "Camera"}}, nil)[:20], "", ""},
	} {
		i, err := photo.Inspect(c.name, withExif(t, jpg, c.exif))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if i.Taken != c.taken || i.Device != c.device || i.Orientation != 1 || i.Width != 37 {
			t.Errorf("%s: got %+v", c.name, i)
		}
	}
}

// Where the 0th row and the 0th column lie when the picture is upright: EXIF,
// tag 0x0112 (CIPA DC-008; READ in trade.md, section 7).
func TestOrientationCarriesRowAndColumn(t *testing.T) {
	const w, h = 37.0, 23.0
	for o, want := range map[photo.Orientation][2]string{
		1: {"top", "left"}, 2: {"top", "right"}, 3: {"bottom", "right"}, 4: {"bottom", "left"},
		5: {"left", "top"}, 6: {"right", "top"}, 7: {"right", "bottom"}, 8: {"left", "bottom"},
	} {
		m := o.Matrix(w, h)
		at := func(x, y float64) (float64, float64) { return m[0]*x + m[2]*y + m[4], m[1]*x + m[3]*y + m[5] }
		uw, uh := o.Upright(w, h)
		side := func(x1, y1, x2, y2 float64) string {
			switch {
			case x1 == x2 && x1 == 0:
				return "left"
			case x1 == x2 && x1 == float64(uw):
				return "right"
			case y1 == y2 && y1 == 0:
				return "top"
			case y1 == y2 && y1 == float64(uh):
				return "bottom"
			}
			return fmt.Sprint("inside: ", x1, y1, x2, y2)
		}
		x0, y0 := at(0, 0)
		x1, y1 := at(w, 0)
		x2, y2 := at(0, h)
		if got := [2]string{side(x0, y0, x1, y1), side(x0, y0, x2, y2)}; got != want {
			t.Errorf("orientation %d: row and column lie %v, want %v", o, got, want)
		}
	}
}

func FuzzInspect(f *testing.F) {
	m := gradient(9, 7)
	exif := exifData(binary.LittleEndian, []entry{{0x010f, "Invented"}, {0x0112, uint16(6)}}, []entry{{0x9003, "2024:05:01 12:33:21"}})
	for _, b := range [][]byte{
		withExif(f, jpegOf(f, m), exif), withExif(f, pngOf(f, m), exif), tiffOf(f, m), exif,
		withExif(f, sample(f, "lossy.webp"), exif), sample(f, "lossless.webp"),
		sample(f, "progressive.jpg"), sample(f, "heic.heic"), sample(f, "tiled.tif"), []byte("text"),
	} {
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		i, err := photo.Inspect("fuzzed", b)
		if err != nil {
			var r *photo.Refusal
			if !errors.As(err, &r) || r.Fault == 0 || !strings.HasPrefix(err.Error(), "fuzzed ") || !strings.HasSuffix(err.Error(), ".") {
				t.Errorf("refused without a sentence: %v", err)
			}
			return
		}
		switch {
		case i.Width <= 0, i.Height <= 0, i.Width > photo.MaxSide, i.Height > photo.MaxSide, i.Width*i.Height > photo.MaxPixels:
			t.Errorf("accepted at %d × %d", i.Width, i.Height)
		case i.Orientation < 1, i.Orientation > 8, i.MIME == "", len(i.Hash) != 64:
			t.Errorf("incomplete: %+v", i)
		}
		if again, err := photo.Describe("again", photo.WithoutOrientation(i.Format, b)); err != nil {
			t.Errorf("without its orientation: %v", err)
		} else if again.StoredWidth != i.StoredWidth || again.StoredHeight != i.StoredHeight {
			t.Errorf("%d × %d without its orientation, %d × %d with it", again.StoredWidth, again.StoredHeight, i.StoredWidth, i.StoredHeight)
		}
		if i.Format == photo.TIFF && i.Width*i.Height <= 1<<20 {
			if m, err := photo.DecodeTIFF("fuzzed", b); err == nil && m.Bounds() != image.Rect(0, 0, i.StoredWidth, i.StoredHeight) {
				t.Errorf("decoded to %v, inspected as %d × %d", m.Bounds(), i.StoredWidth, i.StoredHeight)
			}
		}
	})
}

func TestWithoutOrientation(t *testing.T) {
	exif := exifData(binary.BigEndian, []entry{{0x0112, uint16(6)}}, nil)
	for name, plain := range map[string][]byte{"PNG": pngOf(t, gradient(37, 23)), "WebP": sample(t, "lossy.webp"), "JPEG": jpegOf(t, gradient(37, 23))} {
		b := withExif(t, plain, exif)
		turned, err := photo.Describe(name, b)
		if err != nil || turned.Orientation != 6 {
			t.Fatalf("%s: orientation %d, %v", name, turned.Orientation, err)
		}
		before := bytes.Clone(b)
		got, err := photo.Describe(name, photo.WithoutOrientation(turned.Format, b))
		want := photo.Orientation(1)
		if turned.Format == photo.JPEG {
			want = 6
		}
		if err != nil || got.Orientation != want || got.StoredWidth != 37 || got.StoredHeight != 23 {
			t.Errorf("%s: got %+v, %v", name, got, err)
		}
		if !bytes.Equal(b, before) {
			t.Errorf("%s: the bytes handed in were changed", name)
		}
	}
}
