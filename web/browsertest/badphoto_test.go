//go:build browser

package browsertest

import (
	"bytes"
	"compress/zlib"
	"encoding/binary"
	"fmt"
	"hash/crc32"
	"image"
	"image/png"
	"strings"
	"testing"
)

// Files that are no photographs each get a sentence with their name; what was
// there stays, and the page goes on.
func TestBadPhotographs(t *testing.T) {
	var whole bytes.Buffer
	if err := png.Encode(&whole, image.NewGray(image.Rect(0, 0, 400, 300))); err != nil {
		t.Fatal(err)
	}
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Fill("#cell-CH", "46.1")
	p.Press("Tab")
	for _, bad := range []File{
		{Name: "notes.jpg", Bytes: []byte("These are notes about a tooth, not a photograph of one.\n")},
		{Name: "cut.png", Bytes: whole.Bytes()[:whole.Len()*2/3]},
		{Name: "claims.png", Bytes: flatPNG(65535, 65535, false)},
		{Name: "empty.jpg", Bytes: nil},
		{Name: "flat.png", Bytes: flatPNG(12000, 10000, true)},
	} {
		p.Drop(640, 400, bad)
		p.UntilText(".notices", bad.Name)
		p.Until(`!/Reading /.test(document.querySelector(".notices").textContent)`)
	}
	if n := Eval[int](p, `document.querySelectorAll(".notice.grave").length`); n != 5 {
		t.Errorf("%d sentences for 5 files", n)
	}
	p.Shot("bad-photographs")
	for n := 5; n > 0; n-- {
		p.Click(".notice:first-child button")
		p.Until(fmt.Sprintf(`document.querySelectorAll(".notice").length === %d`, n-1))
	}
	if got := p.Value("#cell-CH"); got != "46.1" {
		t.Errorf("the crown height was lost: %q", got)
	}
	p.Drop(640, 400, File{Name: "good.png", Bytes: whole.Bytes()})
	untilPhotographs(p, 1)
	if text := p.Text(".photos"); !strings.Contains(text, "lateral") {
		t.Errorf("after the bad files a good one shows as %q", text)
	}
}

// flatPNG writes an even grey picture; without pixels only its header claims
// the size.
func flatPNG(w, h int, pixels bool) []byte {
	b := []byte("\x89PNG\r\n\x1a\n")
	header := binary.BigEndian.AppendUint32(nil, uint32(w))
	header = binary.BigEndian.AppendUint32(header, uint32(h))
	b = append(b, pngChunk("IHDR", append(header, 8, 0, 0, 0, 0))...)
	var packed bytes.Buffer
	z := zlib.NewWriter(&packed)
	if pixels {
		row := make([]byte, w+1)
		for range h {
			z.Write(row)
		}
	}
	z.Close()
	b = append(b, pngChunk("IDAT", packed.Bytes())...)
	return append(b, pngChunk("IEND", nil)...)
}

// pngChunk is a part of a PNG: length, kind, body, checksum.
func pngChunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// Without WebGL the panels go on: typed values, sorting and sheet.
func TestWithoutWebGL(t *testing.T) {
	v := Laptop
	v.NoWebGL = true
	p := Open(t, v)
	p.Click("#quick")
	p.Fill("#cell-CH", "71.01")
	p.Fill("#cell-CBL", "41.46")
	p.Fill("#cell-CBW", "15.15")
	p.Press("Tab")
	p.UntilText(".said", "Blade-like")
	p.Drop(640, 400, File{Name: "flat.png", Bytes: flatPNG(300, 200, true)})
	p.UntilText("#stage", "WebGL 2")
	if p.Visible("canvas") {
		t.Error("a photo view that draws nothing is in the way")
	}
	p.Shot("without-webgl")
	p.TakeFaults()
}
