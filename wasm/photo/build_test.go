package photo_test

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image"
	"image/color"
	"image/jpeg"
	"image/png"
	"os"
	"path/filepath"
	"testing"

	"golang.org/x/image/tiff"
)

// gradient is a picture with no two rows or columns alike.
func gradient(w, h int) *image.RGBA {
	m := image.NewRGBA(image.Rect(0, 0, w, h))
	for y := range h {
		for x := range w {
			m.SetRGBA(x, y, color.RGBA{uint8(x * 5), uint8(y * 3), uint8(x ^ y), 255})
		}
	}
	return m
}

func jpegOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := jpeg.Encode(&b, m, nil); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func pngOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := png.Encode(&b, m); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func tiffOf(t testing.TB, m image.Image) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := tiff.Encode(&b, m, &tiff.Options{Compression: tiff.Deflate}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

func sample(t testing.TB, name string) []byte {
	t.Helper()
	b, err := os.ReadFile(filepath.Join("testdata", name))
	if err != nil {
		t.Fatal(err)
	}
	return b
}

// entry is a TIFF directory entry for exifData; a value is a string (ASCII),
// a uint16 (SHORT) or a uint32 (LONG).
type entry struct {
	tag   uint16
	value any
}

// exifData writes a TIFF structure with a main directory and, when sub is not
// empty, an Exif directory that it points to.
func exifData(order binary.AppendByteOrder, main, sub []entry) []byte {
	b := []byte("II*\x00")
	if order == binary.BigEndian {
		b = []byte("MM\x00*")
	}
	b = order.AppendUint32(b, 8)
	if len(sub) > 0 {
		main = append(main, entry{0x8769, uint32(0)})
	}
	sizeOf := func(es []entry) int { return 2 + 12*len(es) + 4 }
	textOf := func(es []entry) (n int) {
		for _, e := range es {
			if s, ok := e.value.(string); ok && len(s) >= 4 {
				n += len(s) + 1
			}
		}
		return n
	}
	subAt := 8 + sizeOf(main) + textOf(main)
	write := func(es []entry) {
		b = order.AppendUint16(b, uint16(len(es)))
		text := len(b) + 12*len(es) + 4
		var tail []byte
		for _, e := range es {
			b = order.AppendUint16(b, e.tag)
			switch v := e.value.(type) {
			case uint16:
				b = order.AppendUint16(b, 3)
				b = order.AppendUint32(b, 1)
				b = order.AppendUint16(b, v)
				b = append(b, 0, 0)
			case uint32:
				if e.tag == 0x8769 {
					v = uint32(subAt)
				}
				b = order.AppendUint16(b, 4)
				b = order.AppendUint32(b, 1)
				b = order.AppendUint32(b, v)
			case string:
				b = order.AppendUint16(b, 2)
				b = order.AppendUint32(b, uint32(len(v)+1))
				if len(v) < 4 {
					b = append(b, append([]byte(v), 0, 0, 0, 0)[:4]...)
					continue
				}
				b = order.AppendUint32(b, uint32(text+len(tail)))
				tail = append(append(tail, v...), 0)
			}
		}
		b = order.AppendUint32(b, 0)
		b = append(b, tail...)
	}
	write(main)
	if len(sub) > 0 {
		write(sub)
	}
	return b
}

// withExif puts EXIF data into a JPEG, PNG or simple WebP file.
func withExif(t testing.TB, file, exif []byte) []byte {
	t.Helper()
	switch {
	case bytes.HasPrefix(file, []byte("\xff\xd8")):
		body := append([]byte("Exif\x00\x00"), exif...)
		b := []byte{0xff, 0xd8, 0xff, 0xe1}
		b = binary.BigEndian.AppendUint16(b, uint16(len(body)+2))
		return append(append(b, body...), file[2:]...)
	case bytes.HasPrefix(file, []byte("\x89PNG")):
		const afterHeader = 8 + 25
		b := append([]byte{}, file[:afterHeader]...)
		b = append(b, chunk("eXIf", exif)...)
		return append(b, file[afterHeader:]...)
	case bytes.HasPrefix(file, []byte("RIFF")):
		if len(exif)%2 == 1 {
			exif = append(exif, 0)
		}
		body := append([]byte("WEBP"), riff("VP8X", []byte{0x08, 0, 0, 0, 36, 0, 0, 22, 0, 0})...)
		body = append(body, file[12:]...)
		body = append(body, riff("EXIF", exif)...)
		return append(binary.LittleEndian.AppendUint32([]byte("RIFF"), uint32(len(body))), body...)
	}
	t.Fatal("no place for EXIF data in this file")
	return nil
}

func riff(kind string, body []byte) []byte {
	return append(binary.LittleEndian.AppendUint32([]byte(kind), uint32(len(body))), body...)
}

// chunk writes a PNG chunk with its check sum.
func chunk(kind string, body []byte) []byte {
	b := binary.BigEndian.AppendUint32(nil, uint32(len(body)))
	b = append(append(b, kind...), body...)
	return binary.BigEndian.AppendUint32(b, crc32.ChecksumIEEE(b[4:]))
}

// pngHeader is the beginning of a PNG of 8-bit grey that claims a size.
func pngHeader(w, h uint32) []byte {
	body := binary.BigEndian.AppendUint32(nil, w)
	body = binary.BigEndian.AppendUint32(body, h)
	body = append(body, 8, 0, 0, 0, 0)
	return append([]byte("\x89PNG\r\n\x1a\n"), chunk("IHDR", body)...)
}

// resized gives a JPEG whose frame header claims another size.
func resized(t testing.TB, file []byte, w, h uint16) []byte {
	t.Helper()
	i := bytes.Index(file, []byte{0xff, 0xc0})
	if i < 0 {
		t.Fatal("no baseline frame header")
	}
	b := bytes.Clone(file)
	binary.BigEndian.PutUint16(b[i+5:], h)
	binary.BigEndian.PutUint16(b[i+7:], w)
	return b
}
