package toothphoto

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"image"
	"image/jpeg"
	"io"
	"time"
)

// JPEG says how a photograph is written. The zero value writes quality 85 and
// no EXIF segment.
type JPEG struct {
	Quality int // 1 to 100; 0 means 85
	// Orientation is the EXIF orientation, 1 to 8, or 0 for no such tag. The
	// pixels are stored so that a viewer that honours the tag shows the
	// picture upright.
	Orientation int
	// Camera is an invented maker and model for the EXIF tags Make and Model,
	// "" for none.
	Camera string
	// Taken is an invented date for DateTimeOriginal; the zero time for none.
	Taken time.Time
}

// EncodeJPEG writes a picture. It returns an error for a quality or an
// orientation outside its range and when writing fails.
func EncodeJPEG(w io.Writer, img *image.RGBA, o JPEG) error {
	quality := o.Quality
	if quality == 0 {
		quality = 85
	}
	if quality < 1 || quality > 100 {
		return fmt.Errorf("toothphoto: JPEG quality %d is outside 1 to 100", o.Quality)
	}
	if o.Orientation < 0 || o.Orientation > 8 {
		return fmt.Errorf("toothphoto: EXIF orientation %d is outside 1 to 8", o.Orientation)
	}
	stored := Stored(img, o.Orientation)
	var buf bytes.Buffer
	if err := jpeg.Encode(&buf, stored, &jpeg.Options{Quality: quality}); err != nil {
		return err
	}
	data := buf.Bytes()
	if o.Orientation == 0 && o.Camera == "" && o.Taken.IsZero() {
		_, err := w.Write(data)
		return err
	}
	// The segment follows the start marker (Exif 2.32, section 4.5.4).
	segment := exif(o, stored.Rect.Dx(), stored.Rect.Dy())
	for _, part := range [][]byte{data[:2], segment, data[2:]} {
		if _, err := w.Write(part); err != nil {
			return err
		}
	}
	return nil
}

// Stored returns the pixels of an upright picture laid out as a file with the
// given EXIF orientation holds them: the tag says which sides of the upright
// picture the first stored row and the first stored column are. Orientations 0
// and 1 return img itself.
func Stored(img *image.RGBA, orientation int) *image.RGBA {
	if orientation <= 1 || orientation > 8 {
		return img
	}
	w, h := img.Rect.Dx(), img.Rect.Dy()
	sw, sh := w, h
	if orientation >= 5 {
		sw, sh = h, w
	}
	out := image.NewRGBA(image.Rect(0, 0, sw, sh))
	for row := range sh {
		for col := range sw {
			x, y := col, row
			if orientation >= 5 {
				x, y = row, col
			}
			switch orientation { // row 0 and column 0 are:
			case 2, 7: // top and right; right and bottom
				x = w - 1 - x
			case 4, 8: // bottom and left; left and bottom
				y = h - 1 - y
			case 3: // bottom and right
				x, y = w-1-x, h-1-y
			case 6: // right and top
				x = w - 1 - x
			}
			if orientation == 7 {
				y = h - 1 - y
			}
			copy(out.Pix[out.PixOffset(col, row):][:4], img.Pix[img.PixOffset(img.Rect.Min.X+x, img.Rect.Min.Y+y):][:4])
		}
	}
	return out
}

// exif builds an APP1 segment: a little-endian TIFF with one directory and its
// EXIF sub-directory (TIFF 6.0, section 2; Exif 2.32, section 4.6).
func exif(o JPEG, width, height int) []byte {
	const (
		ascii = 2
		short = 3
		long  = 4
	)
	type entry struct {
		tag, kind uint16
		count     uint32
		value     []byte
	}
	le := binary.LittleEndian
	number := func(tag, kind uint16, v uint32) entry {
		return entry{tag, kind, 1, le.AppendUint32(nil, v)}
	}
	text := func(tag uint16, s string) entry {
		return entry{tag, ascii, uint32(len(s) + 1), append([]byte(s), 0)}
	}
	var main, sub []entry
	if o.Camera != "" {
		main = append(main, text(0x010f, o.Camera), text(0x0110, o.Camera))
	}
	if o.Orientation != 0 {
		main = append(main, number(0x0112, short, uint32(o.Orientation)))
	}
	if !o.Taken.IsZero() {
		sub = append(sub, text(0x9003, o.Taken.Format("2006:01:02 15:04:05")))
	}
	sub = append(sub, number(0xa002, long, uint32(width)), number(0xa003, long, uint32(height)))

	const start = 8 // after the TIFF header
	size := func(n int) int { return 2 + 12*n + 4 }
	main = append(main, number(0x8769, long, 0)) // set below
	subAt := start + size(len(main))
	valuesAt := subAt + size(len(sub))
	main[len(main)-1].value = le.AppendUint32(nil, uint32(subAt))

	var dirs, values []byte
	for _, dir := range [][]entry{main, sub} {
		dirs = le.AppendUint16(dirs, uint16(len(dir)))
		for _, e := range dir {
			dirs = le.AppendUint16(dirs, e.tag)
			dirs = le.AppendUint16(dirs, e.kind)
			dirs = le.AppendUint32(dirs, e.count)
			if len(e.value) <= 4 {
				var inline [4]byte
				copy(inline[:], e.value)
				dirs = append(dirs, inline[:]...)
				continue
			}
			dirs = le.AppendUint32(dirs, uint32(valuesAt+len(values)))
			values = append(values, e.value...)
			if len(values)%2 == 1 {
				values = append(values, 0) // offsets stay even
			}
		}
		dirs = le.AppendUint32(dirs, 0)
	}
	body := append([]byte("Exif\x00\x00II*\x00"), le.AppendUint32(nil, start)...)
	body = append(body, dirs...)
	body = append(body, values...)
	segment := []byte{0xff, 0xe1}
	segment = binary.BigEndian.AppendUint16(segment, uint16(len(body)+2))
	return append(segment, body...)
}
