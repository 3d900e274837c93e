package photo

import (
	"bytes"
	"errors"
	"image"
	"image/color"
	"io"

	"golang.org/x/image/tiff"
)

// TIFF tags (TIFF 6.0, appendix A; DNG 1.4 for the last).
const (
	tagSubfileType     = 0x00fe
	tagImageWidth      = 0x0100
	tagImageLength     = 0x0101
	tagBits            = 0x0102
	tagCompression     = 0x0103
	tagPhotometric     = 0x0106
	tagStripOffsets    = 0x0111
	tagSamples         = 0x0115
	tagRowsPerStrip    = 0x0116
	tagStripCounts     = 0x0117
	tagPlanar          = 0x011c
	tagTileWidth       = 0x0142
	tagTileLength      = 0x0143
	tagTileOffsets     = 0x0144
	tagTileCounts      = 0x0145
	tagSubIFDs         = 0x014a
	tagSampleFormat    = 0x0153
	lastBaselineTag    = 0x0214
	tagDNGVersion      = 0xc612
	photometricCMYK    = 5
	photometricYCbCr   = 6
	photometricLab     = 8
	compressionOldJPEG = 6
	compressionJPEG    = 7
)

// asPlainTIFF is what to do about a TIFF of a kind that is not read.
const asPlainTIFF = "Open it in a picture editor and save it as JPEG, or as TIFF with 8 or 16 bits, RGB or grey, uncompressed or LZW."

// walkTIFF reads the first directory and checks that every strip or tile of
// its picture lies within the file. Whether compressed strips are sound only
// decoding shows; that is left to DecodeTIFF, since a picture's pixels are not
// to be held twice.
func walkTIFF(name string, b []byte) (found, error) {
	s, first, ok := openStructure(b)
	if !ok {
		return found{}, truncated(name, TIFF)
	}
	d, whole := s.directory(first)
	if !whole {
		return found{}, truncated(name, TIFF)
	}
	for tag, f := range d {
		// Makers' own tags may be broken without harm to the picture.
		if tag <= lastBaselineTag && !f.whole {
			return found{}, truncated(name, TIFF)
		}
	}
	value := func(tag uint16, missing int) int {
		if v, ok := s.number(d[tag], 0); ok {
			return int(v)
		}
		return missing
	}

	_, dng := d[tagDNGVersion]
	_, parts := d[tagSubIFDs]
	cr2 := len(b) >= 10 && string(b[8:10]) == "CR"
	// A raw file shows a small preview first and keeps the photograph in a
	// part of its own.
	if preview := value(tagSubfileType, 0)&1 == 1; dng || cr2 || parts && preview {
		return found{}, unread(name, rawRemedy, "is a camera's raw file")
	}

	f := found{width: value(tagImageWidth, 0), height: value(tagImageLength, 0), exif: b}
	if err := checkSize(name, TIFF, f.width, f.height); err != nil {
		return f, err
	}
	switch {
	case value(tagCompression, 1) == compressionJPEG, value(tagCompression, 1) == compressionOldJPEG:
		return f, unread(name, asPlainTIFF, "is a TIFF compressed as JPEG, which is not read")
	case value(tagPhotometric, 0) == photometricCMYK:
		return f, unread(name, asPlainTIFF, "is a TIFF in printing colours (CMYK), which is not read")
	case value(tagPhotometric, 0) == photometricYCbCr, value(tagPhotometric, 0) == photometricLab:
		return f, unread(name, asPlainTIFF, "is a TIFF in a colour space that is not read")
	case value(tagSampleFormat, 1) != 1:
		return f, unread(name, asPlainTIFF, "is a TIFF with signed or floating-point pixels, which is not read")
	case value(tagSamples, 1) > 1 && value(tagPlanar, 1) != 1:
		// The decoder does not look at this and would mix the colours up.
		return f, unread(name, asPlainTIFF, "is a TIFF with its colours in separate planes, which is not read")
	}
	return f, checkBlocks(name, s, d, f.width, f.height)
}

// checkBlocks refuses a TIFF whose strips or tiles are too few or reach beyond
// the file, and one cut into so many that decoding would never end.
func checkBlocks(name string, s structure, d map[uint16]field, width, height int) error {
	offsets, counts := d[tagStripOffsets], d[tagStripCounts]
	n := 1
	if tw, ok := s.number(d[tagTileWidth], 0); ok && tw > 0 {
		th, _ := s.number(d[tagTileLength], 0)
		// Both are multiples of 16 (TIFF 6.0, section 15).
		if tw%16 != 0 || th%16 != 0 || th == 0 {
			return damaged(name, "its tiles have an impossible size")
		}
		offsets, counts = d[tagTileOffsets], d[tagTileCounts]
		n = blocks(width, tw) * blocks(height, th)
	} else if rows, ok := s.number(d[tagRowsPerStrip], 0); ok && rows > 0 {
		n = blocks(height, rows)
	}
	if uint64(offsets.count) < uint64(n) || uint64(counts.count) < uint64(n) {
		return damaged(name, "parts of its picture are not listed")
	}
	for i := range n {
		at, ok1 := s.number(offsets, i)
		size, ok2 := s.number(counts, i)
		if !ok1 || !ok2 || size == 0 {
			return damaged(name, "parts of its picture are not listed")
		}
		if uint64(at)+uint64(size) > uint64(len(s.b)) {
			return truncated(name, TIFF)
		}
	}
	return nil
}

// blocks is how many blocks of a length cover a side.
func blocks(side int, length uint32) int {
	return int((uint64(side) + uint64(length) - 1) / uint64(length))
}

// DecodeTIFF decodes the first picture of a TIFF file as it is stored, not
// yet turned upright: grey, palette and RGB with 8 or 16 bits a sample (16 are
// shown as 8), black and white with one. It refuses, with a *Refusal, what
// Inspect refuses, and a file whose compressed pixels turn out damaged.
func DecodeTIFF(name string, b []byte) (*image.NRGBA, error) {
	if err := CheckBytes(name, int64(len(b))); err != nil {
		return nil, err
	}
	if format, err := sniff(name, b); err != nil {
		return nil, err
	} else if format != TIFF {
		return nil, refuse(name, NotPhotograph, copyAgain, "is a %s, not a TIFF", format)
	}
	if _, err := walkTIFF(name, b); err != nil {
		return nil, err
	}
	m, err := tiff.Decode(bytes.NewReader(b))
	var unsupported tiff.UnsupportedError
	switch {
	case errors.As(err, &unsupported):
		return nil, unread(name, asPlainTIFF, "is a TIFF of a kind that is not read (%s)", string(unsupported))
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return nil, truncated(name, TIFF)
	case err != nil:
		return nil, damaged(name, "its pixels cannot be decoded (%v)", err)
	}
	return straight(m), nil
}

// straight gives a picture with eight bits a sample and alpha not multiplied
// in, as a browser's ImageData wants it. The pixels of m are reused when they
// fit, since a photograph is large.
func straight(m image.Image) *image.NRGBA {
	r := m.Bounds()
	switch m := m.(type) {
	case *image.NRGBA:
		return m
	case *image.RGBA:
		for i := 3; i < len(m.Pix); i += 4 {
			if a := uint32(m.Pix[i]); a != 0xff {
				p := m.Pix[i-3 : i]
				for j, v := range p {
					p[j] = 0
					if a > 0 {
						p[j] = uint8(min((uint32(v)*0xff+a/2)/a, 0xff))
					}
				}
			}
		}
		return &image.NRGBA{Pix: m.Pix, Stride: m.Stride, Rect: m.Rect}
	}

	out := image.NewNRGBA(r)
	set := func(x, y int, c color.NRGBA) {
		i := out.PixOffset(x, y)
		p := out.Pix[i : i+4 : i+4]
		p[0], p[1], p[2], p[3] = c.R, c.G, c.B, c.A
	}
	for y := r.Min.Y; y < r.Max.Y; y++ {
		switch m := m.(type) {
		case *image.Gray:
			for x := r.Min.X; x < r.Max.X; x++ {
				v := m.GrayAt(x, y).Y
				set(x, y, color.NRGBA{v, v, v, 0xff})
			}
		case *image.Gray16:
			for x := r.Min.X; x < r.Max.X; x++ {
				v := uint8(m.Gray16At(x, y).Y >> 8)
				set(x, y, color.NRGBA{v, v, v, 0xff})
			}
		case *image.RGBA64:
			for x := r.Min.X; x < r.Max.X; x++ {
				c := m.RGBA64At(x, y)
				if c.A == 0xffff {
					set(x, y, color.NRGBA{uint8(c.R >> 8), uint8(c.G >> 8), uint8(c.B >> 8), 0xff})
				} else {
					set(x, y, color.NRGBAModel.Convert(c).(color.NRGBA))
				}
			}
		case *image.NRGBA64:
			for x := r.Min.X; x < r.Max.X; x++ {
				c := m.NRGBA64At(x, y)
				set(x, y, color.NRGBA{uint8(c.R >> 8), uint8(c.G >> 8), uint8(c.B >> 8), uint8(c.A >> 8)})
			}
		default:
			for x := r.Min.X; x < r.Max.X; x++ {
				set(x, y, color.NRGBAModel.Convert(m.At(x, y)).(color.NRGBA))
			}
		}
	}
	return out
}
