//go:build js

package picture_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"errors"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"strings"
	"syscall/js"
	"testing"

	"crownbench/wasm/page/picture"
	"crownbench/wasm/photo"
	"crownbench/wasm/store/promise"

	"golang.org/x/image/tiff"
)

var ctx = context.Background()

func Example() {
	var file bytes.Buffer
	if err := png.Encode(&file, gradient(640, 480)); err != nil {
		panic(err)
	}
	p, err := picture.Open(context.Background(), "tooth.png", file.Bytes())
	if err != nil {
		panic(err)
	}
	defer p.Close()
	tile := make([]byte, 4*256*256)
	if err := p.Tile(0, image.Rect(0, 0, 256, 256), tile); err != nil {
		panic(err)
	}
}

// gradient has no two rows or columns alike.
func gradient(w, h int) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetNRGBA(x, y, color.NRGBA{uint8(x * 5), uint8(y * 3), uint8(x ^ y), 255})
		}
	}
	return m
}

// quarters has four colours, so that it survives lossy formats and still
// tells every orientation from every other.
func quarters(w, h int) *image.NRGBA {
	m := image.NewNRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			c := color.NRGBA{255, 255, 255, 255}
			switch {
			case x < w/2 && y < h/2:
				c = color.NRGBA{200, 0, 0, 255}
			case y < h/2:
				c = color.NRGBA{0, 160, 0, 255}
			case x < w/2:
				c = color.NRGBA{0, 0, 200, 255}
			}
			m.SetNRGBA(x, y, c)
		}
	}
	return m
}

func encoded(t testing.TB, format photo.Format, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	var err error
	switch format {
	case photo.JPEG:
		err = jpeg.Encode(&b, m, &jpeg.Options{Quality: 98})
	case photo.PNG:
		err = png.Encode(&b, m)
	case photo.TIFF:
		err = tiff.Encode(&b, m, nil)
	case photo.WebP:
		return webpOf(t, m)
	}
	if err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// webpOf has the browser write a WebP: Go has no writer for it.
func webpOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	array := js.Global().Get("Uint8Array").New(b.Len())
	js.CopyBytesToJS(array, b.Bytes())
	bitmap, err := promise.AwaitCall(ctx, js.Global(), "createImageBitmap", js.Global().Get("Blob").New([]any{array}))
	if err != nil {
		t.Fatal(err)
	}
	c := js.Global().Get("OffscreenCanvas").New(m.Bounds().Dx(), m.Bounds().Dy())
	c.Call("getContext", "2d").Call("drawImage", bitmap, 0, 0)
	blob, err := promise.AwaitCall(ctx, c, "convertToBlob", map[string]any{"type": "image/webp", "quality": 1})
	if err != nil {
		t.Fatal(err)
	}
	buffer, err := promise.AwaitCall(ctx, blob, "arrayBuffer")
	if err != nil {
		t.Fatal(err)
	}
	array = js.Global().Get("Uint8Array").New(buffer)
	out := make([]byte, array.Length())
	js.CopyBytesToGo(out, array)
	return out
}

// oriented puts the EXIF orientation o into a file.
func oriented(t testing.TB, format photo.Format, file []byte, o uint16) []byte {
	t.Helper()
	// One directory of one SHORT.
	exif := append([]byte("II*\x00\x08\x00\x00\x00\x01\x00\x12\x01\x03\x00\x01\x00\x00\x00"), byte(o), 0, 0, 0, 0, 0, 0, 0)
	switch format {
	case photo.JPEG:
		body := append([]byte("Exif\x00\x00"), exif...)
		b := binary.BigEndian.AppendUint16([]byte{0xff, 0xd8, 0xff, 0xe1}, uint16(len(body)+2))
		return append(append(b, body...), file[2:]...)
	case photo.PNG:
		c := binary.BigEndian.AppendUint32(nil, uint32(len(exif)))
		c = append(append(c, "eXIf"...), exif...)
		c = binary.BigEndian.AppendUint32(c, crc32.ChecksumIEEE(c[4:]))
		return append(append(bytes.Clone(file[:33]), c...), file[33:]...)
	case photo.WebP:
		i, err := photo.Describe("a", file)
		if err != nil {
			t.Fatal(err)
		}
		chunk := func(kind string, body []byte) []byte {
			return append(binary.LittleEndian.AppendUint32([]byte(kind), uint32(len(body))), body...)
		}
		at := 12
		if string(file[12:16]) == "VP8X" {
			at += 18
		}
		body := append([]byte("WEBP"), chunk("VP8X", []byte{0x08, 0, 0, 0,
			byte(i.StoredWidth - 1), byte((i.StoredWidth - 1) >> 8), 0, byte(i.StoredHeight - 1), byte((i.StoredHeight - 1) >> 8), 0})...)
		body = append(append(body, file[at:]...), chunk("EXIF", exif)...)
		return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
	case photo.TIFF:
		// Moves the directory to the end with the orientation among its tags.
		le := binary.LittleEndian
		at := le.Uint32(file[4:])
		n := int(le.Uint16(file[at:]))
		entries := file[at+2 : int(at)+2+12*n]
		b := bytes.Clone(file)
		le.PutUint32(b[4:], uint32(len(b)))
		b = le.AppendUint16(b, uint16(n+1))
		put := false
		for i := range n {
			e := entries[12*i : 12*i+12]
			if !put && le.Uint16(e) > 0x0112 {
				b, put = append(b, exif[10:22]...), true
			}
			b = append(b, e...)
		}
		return append(b, 0, 0, 0, 0)
	}
	t.Fatal("no such format")
	return nil
}

// pixels reads a whole level.
func pixels(t testing.TB, p *picture.Picture, level int) *image.RGBA {
	t.Helper()
	m := image.NewRGBA(image.Rectangle{Max: p.LevelSize(level)})
	if err := p.Tile(level, m.Rect, m.Pix); err != nil {
		t.Fatal(err)
	}
	return m
}

func apart(a, b color.Color) int {
	ar, ag, ab, aa := a.RGBA()
	br, bg, bb, ba := b.RGBA()
	d := func(x, y uint32) int { return max(int(x)-int(y), int(y)-int(x)) >> 8 }
	return max(d(ar, br), d(ag, bg), d(ab, bb), d(aa, ba))
}

func TestFullSizePixels(t *testing.T) {
	src := gradient(61, 47)
	for _, format := range []photo.Format{photo.PNG, photo.TIFF} {
		p, err := picture.Open(ctx, "a", encoded(t, format, src))
		if err != nil {
			t.Fatal(err)
		}
		if p.Size() != image.Pt(61, 47) {
			t.Errorf("%s: size %v", format, p.Size())
		}
		got := pixels(t, p, 0)
		for y := range 47 {
			for x := range 61 {
				if apart(got.At(x, y), src.At(x, y)) != 0 {
					t.Fatalf("%s: (%d, %d) is %v, want %v", format, x, y, got.At(x, y), src.At(x, y))
				}
			}
		}
		p.Close()
	}
}

func TestTransparencyIsPremultiplied(t *testing.T) {
	src := image.NewNRGBA(image.Rect(0, 0, 2, 1))
	src.SetNRGBA(0, 0, color.NRGBA{200, 100, 50, 128})
	for _, format := range []photo.Format{photo.PNG, photo.TIFF} {
		p, err := picture.Open(ctx, "a", encoded(t, format, src))
		if err != nil {
			t.Fatal(err)
		}
		got := pixels(t, p, 0)
		// 200·128/255 = 100.4, 100·128/255 = 50.2, 50·128/255 = 25.1
		if want := (color.RGBA{100, 50, 25, 128}); apart(got.At(0, 0), want) > 1 {
			t.Errorf("%s: got %v, want %v", format, got.At(0, 0), want)
		}
		if got.At(1, 0) != (color.RGBA{}) {
			t.Errorf("%s: a transparent pixel is %v", format, got.At(1, 0))
		}
		p.Close()
	}
}

// Each orientation by the words of the EXIF standard: which side of the
// upright picture the stored 0th row and 0th column are.
func TestOrientations(t *testing.T) {
	const w, h = 64, 48
	src := quarters(w, h)
	stored := func(o uint16, x, y int) (int, int) { // of an upright pixel
		switch o {
		case 1: // top, left
			return x, y
		case 2: // top, right
			return w - 1 - x, y
		case 3: // bottom, right
			return w - 1 - x, h - 1 - y
		case 4: // bottom, left
			return x, h - 1 - y
		case 5: // left, top
			return y, x
		case 6: // right, top
			return y, h - 1 - x
		case 7: // right, bottom
			return w - 1 - y, h - 1 - x
		default: // left, bottom
			return w - 1 - y, x
		}
	}
	for _, format := range []photo.Format{photo.JPEG, photo.PNG, photo.WebP, photo.TIFF} {
		file := encoded(t, format, src)
		for o := uint16(1); o <= 8; o++ {
			p, err := picture.Open(ctx, "a", oriented(t, format, file, o))
			if err != nil {
				t.Errorf("%s, orientation %d: %v", format, o, err)
				continue
			}
			size := image.Pt(w, h)
			if o >= 5 {
				size = image.Pt(h, w)
			}
			if p.Size() != size {
				t.Errorf("%s, orientation %d: size %v, want %v", format, o, p.Size(), size)
			}
			got := pixels(t, p, 0)
			// Away from the seams, where a lossy format blends.
			for _, at := range []image.Point{{5, 5}, {size.X - 6, 5}, {5, size.Y - 6}, {size.X - 6, size.Y - 6}} {
				x, y := stored(o, at.X, at.Y)
				if want := src.At(x, y); apart(got.At(at.X, at.Y), want) > 6 {
					t.Errorf("%s, orientation %d: %v is %v, want %v", format, o, at, got.At(at.X, at.Y), want)
				}
			}
			p.Close()
		}
	}
}

// Level n's pixel is the mean of 2ⁿ × 2ⁿ pixels, of those that there are.
func TestLevelsAreMeans(t *testing.T) {
	for _, size := range []image.Point{{64, 48}, {61, 47}} {
		src := image.NewNRGBA(image.Rectangle{Max: size})
		for y := range size.Y {
			for x := range size.X {
				// Smooth on the whole, rough in detail.
				src.SetNRGBA(x, y, color.NRGBA{uint8(x*3 + 40*(x&1)), uint8(y*4 + 30*(y&1)), uint8(100 * ((x + y) & 1)), 255})
			}
		}
		p, err := picture.Open(ctx, "a", encoded(t, photo.PNG, src))
		if err != nil {
			t.Fatal(err)
		}
		for level := 1; level <= 3; level++ {
			n := 1 << level
			if got, want := p.LevelSize(level), image.Pt((size.X+n-1)/n, (size.Y+n-1)/n); got != want {
				t.Errorf("level %d of %v: size %v, want %v", level, size, got, want)
			}
			got := pixels(t, p, level)
			for y := range got.Rect.Dy() {
				for x := range got.Rect.Dx() {
					block := image.Rect(x*n, y*n, x*n+n, y*n+n).Intersect(src.Rect)
					var r, g, b int
					for sy := block.Min.Y; sy < block.Max.Y; sy++ {
						for sx := block.Min.X; sx < block.Max.X; sx++ {
							c := src.NRGBAAt(sx, sy)
							r, g, b = r+int(c.R), g+int(c.G), b+int(c.B)
						}
					}
					k := block.Dx() * block.Dy()
					want := color.NRGBA{uint8(r / k), uint8(g / k), uint8(b / k), 255}
					tolerance := 3
					if block.Dx() < n || block.Dy() < n {
						tolerance = 60 // a partly covered edge is only near it
					}
					if apart(got.At(x, y), want) > tolerance {
						t.Errorf("level %d of %v: (%d, %d) is %v, want %v", level, size, x, y, got.At(x, y), want)
					}
				}
			}
		}
		p.Close()
	}
}

func TestTileBeyondTheEdgeIsTransparent(t *testing.T) {
	src := gradient(61, 47)
	p, err := picture.Open(ctx, "a", encoded(t, photo.PNG, src))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	m := image.NewRGBA(image.Rect(50, 40, 70, 60))
	if err := p.Tile(0, m.Rect, m.Pix); err != nil {
		t.Fatal(err)
	}
	for y := 40; y < 60; y++ {
		for x := 50; x < 70; x++ {
			want := color.Color(color.RGBA{})
			if x < 61 && y < 47 {
				want = src.At(x, y)
			}
			if apart(m.At(x, y), want) != 0 {
				t.Fatalf("(%d, %d) is %v, want %v", x, y, m.At(x, y), want)
			}
		}
	}
	out := image.NewRGBA(image.Rect(-5, -5, -1, -1))
	out.Pix[3] = 9
	if err := p.Tile(2, out.Rect, out.Pix); err != nil || out.Pix[3] != 0 {
		t.Errorf("a tile outside: %v, %v", out.Pix[:4], err)
	}
}

func TestThumbnail(t *testing.T) {
	src := quarters(640, 480)
	p, err := picture.Open(ctx, "a", encoded(t, photo.PNG, src))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	for maxSide, want := range map[int]image.Point{96: {96, 72}, 5000: {640, 480}, 1: {1, 1}} {
		b, err := p.Thumbnail(ctx, maxSide)
		if err != nil {
			t.Fatal(err)
		}
		m, err := jpeg.Decode(bytes.NewReader(b))
		if err != nil {
			t.Fatal(err)
		}
		if m.Bounds().Size() != want {
			t.Errorf("at most %d px: size %v, want %v", maxSide, m.Bounds().Size(), want)
		}
		if maxSide == 96 {
			for _, at := range []image.Point{{10, 10}, {80, 10}, {10, 60}, {80, 60}} {
				if want := src.At(at.X*640/96, at.Y*480/72); apart(m.At(at.X, at.Y), want) > 12 {
					t.Errorf("%v is %v, want %v", at, m.At(at.X, at.Y), want)
				}
			}
		}
	}
}

func TestRefusals(t *testing.T) {
	jpg := encoded(t, photo.JPEG, gradient(61, 47))
	// Sound from outside, but the picture has no quantisation tables.
	hollow := bytes.Clone(jpg)
	for {
		i := bytes.Index(hollow, []byte{0xff, 0xdb})
		if i < 0 {
			break
		}
		hollow[i+1] = 0xfe // a comment
	}
	for _, c := range []struct {
		name  string
		b     []byte
		fault photo.Fault
		says  string
	}{
		{"cut.jpg", jpg[:len(jpg)/2], photo.Truncated, "cut.jpg is cut off"},
		{"hollow.jpg", hollow, photo.Damaged, "hollow.jpg cannot be decoded by the browser, though it is a JPEG"},
		{"notes.jpg", []byte("notes"), photo.NotPhotograph, "text file"},
	} {
		p, err := picture.Open(ctx, c.name, c.b)
		var r *photo.Refusal
		if !errors.As(err, &r) || r.Fault != c.fault || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: got %v, %v", c.name, p, err)
		}
	}
}

func TestClosedPicture(t *testing.T) {
	p, err := picture.Open(ctx, "a.png", encoded(t, photo.PNG, gradient(8, 8)))
	if err != nil {
		t.Fatal(err)
	}
	p.Close()
	p.Close()
	if err := p.Tile(0, image.Rect(0, 0, 1, 1), make([]byte, 4)); err == nil || err.Error() != "a.png has been closed" {
		t.Errorf("tile: got %v", err)
	}
	if _, err := p.Thumbnail(ctx, 10); err == nil {
		t.Error("thumbnail: got none")
	}
}

func TestReadFile(t *testing.T) {
	file := func(parts ...any) js.Value {
		return js.Global().Get("File").New(parts, "tooth.jpg")
	}
	b, err := picture.ReadFile(ctx, file("CBL", " 22.6"))
	if err != nil || string(b) != "CBL 22.6" {
		t.Errorf("got %q, %v", b, err)
	}
	_, err = picture.ReadFile(ctx, file())
	var r *photo.Refusal
	if !errors.As(err, &r) || r.Fault != photo.Empty {
		t.Errorf("empty: got %v", err)
	}
	large := js.Global().Get("Object").New()
	large.Set("name", "scan.tif")
	large.Set("size", float64(photo.MaxFileBytes)+1) // has no arrayBuffer to read
	if _, err = picture.ReadFile(ctx, large); !errors.As(err, &r) || r.Fault != photo.FileTooLarge {
		t.Errorf("too large: got %v", err)
	}
	large.Set("size", 7)
	if _, err = picture.ReadFile(ctx, large); !errors.As(err, &r) || !strings.Contains(err.Error(), "scan.tif could not be read") {
		t.Errorf("unreadable: got %v", err)
	}
}

func TestLabels(t *testing.T) {
	var l picture.Labels
	m := l.Label("A", 16)
	if m.Rect.Dx() < 10 || m.Rect.Dy() < 16 || m.Rect.Dx() > 40 || m.Rect.Dy() > 40 {
		t.Fatalf("size %v", m.Rect)
	}
	white, dark := 0, 0
	for i := 0; i < len(m.Pix); i += 4 {
		p := m.Pix[i : i+4]
		if p[0] > p[3] || p[1] > p[3] || p[2] > p[3] {
			t.Fatalf("not premultiplied: %v", p)
		}
		if p[0] > 250 && p[3] == 255 {
			white++
		}
		if p[0] == 0 && p[3] > 180 {
			dark++
		}
	}
	if white < 10 || dark < 10 {
		t.Errorf("%d white and %d dark pixels: no core or no halo", white, dark)
	}
	// Nothing may be cut off at the border.
	for x := range m.Rect.Dx() {
		if m.RGBAAt(x, 0).A > 100 || m.RGBAAt(x, m.Rect.Dy()-1).A > 100 {
			t.Errorf("column %d reaches the border", x)
		}
	}
	if l.Label("A", 16) != m {
		t.Error("the same label was drawn again")
	}
	if wide := l.Label("mesial denticles", 16); wide.Rect.Dx() <= 3*m.Rect.Dx() || wide.Rect.Dy() != m.Rect.Dy() {
		t.Errorf("a long label is %v, a short one %v", wide.Rect, m.Rect)
	}
	if l.Label("A", 16) != m {
		t.Error("the canvas grew and labels were lost")
	}
	if none := l.Label(strings.Repeat("wide ", 5000), 16); !none.Rect.Empty() {
		t.Errorf("a label beyond all bounds is %v", none.Rect)
	}
}

// The budgets (see benchmarks in the project's report): a 24-megapixel JPEG
// from bytes to its first 2048-px level, and tiles while panning.
func BenchmarkOpen24MP(b *testing.B) {
	file := encoded(b, photo.JPEG, large(6000, 4000))
	b.SetBytes(int64(len(file)))
	for b.Loop() {
		p, err := picture.Open(ctx, "a.jpg", file)
		if err != nil {
			b.Fatal(err)
		}
		m := image.NewRGBA(image.Rectangle{Max: p.LevelSize(2)}) // 1500 × 1000
		if err := p.Tile(2, m.Rect, m.Pix); err != nil {
			b.Fatal(err)
		}
		p.Close()
	}
}

func BenchmarkTile(b *testing.B) {
	p, err := picture.Open(ctx, "a.jpg", encoded(b, photo.JPEG, large(6000, 4000)))
	if err != nil {
		b.Fatal(err)
	}
	defer p.Close()
	dst := make([]byte, 4*512*512)
	for level, name := range []string{"full", "half", "quarter"} {
		b.Run(name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				at := image.Pt(i*64%(6000>>level-512), i*32%(4000>>level-512))
				if err := p.Tile(level, image.Rectangle{at, at.Add(image.Pt(512, 512))}, dst); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

func BenchmarkInspect24MP(b *testing.B) {
	file := encoded(b, photo.JPEG, large(6000, 4000))
	b.SetBytes(int64(len(file)))
	b.Run("with hash", func(b *testing.B) {
		for b.Loop() {
			if _, err := photo.Inspect("a.jpg", file); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("without", func(b *testing.B) {
		for b.Loop() {
			if _, err := photo.Describe("a.jpg", file); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// large is a picture with grain, as a photograph has it: a flat one would be
// decoded faster.
func large(w, h int) *image.YCbCr {
	m := image.NewYCbCr(image.Rect(0, 0, w, h), image.YCbCrSubsampleRatio420)
	seed := uint32(1)
	for i := range m.Y {
		seed = seed*1664525 + 1013904223
		m.Y[i] = uint8(100 + i/w%64 + int(seed>>27))
	}
	for i := range m.Cb {
		m.Cb[i], m.Cr[i] = 120, 136
	}
	return m
}

// Read gives what Tile gives of the whole picture, strip by strip, and stops when
// it is told to.
func TestReadInStrips(t *testing.T) {
	m := gradient(1500, 900)
	p, err := picture.Open(ctx, "tooth.png", encoded(t, photo.PNG, m))
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	for level := range 2 {
		size := p.LevelSize(level)
		want, got := make([]byte, 4*size.X*size.Y), make([]byte, 4*size.X*size.Y)
		if err := p.Tile(level, image.Rectangle{Max: size}, want); err != nil {
			t.Fatal(err)
		}
		turns, last := 0, 0.0
		err := p.Read(level, got, func(done float64) error {
			if done <= last || done > 1 {
				t.Errorf("after %g of it %g is done", last, done)
			}
			turns, last = turns+1, done
			return nil
		})
		if err != nil || last != 1 || level == 0 && turns < 2 || !bytes.Equal(got, want) {
			t.Errorf("level %d: %d turns to %g, %v; the same px: %v", level, turns, last, err, bytes.Equal(got, want))
		}
	}
	enough := errors.New("enough")
	if err := p.Read(0, make([]byte, 4*1500*900), func(float64) error { return enough }); err != enough {
		t.Errorf("told to stop, it says %v", err)
	}
}
