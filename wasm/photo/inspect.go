package photo

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
)

// Info is what a photograph's file says about it.
type Info struct {
	Format Format
	MIME   string
	Bytes  int    // size of the file
	Hash   string // SHA-256 of the file, hexadecimal

	StoredWidth, StoredHeight int // px, as the rows lie in the file
	Orientation               Orientation
	Width, Height             int // px, upright: the frame of everything marked on it

	Taken  string // date and time as the camera's clock had it, ISO 8601, or ""
	Device string // the camera or scanner, or ""
}

// found is what walking a file's parts brings to light.
type found struct {
	width, height int
	exif          []byte // a TIFF structure, or nil
}

// Inspect reads what the file b says about itself and refuses, with a
// *Refusal, one that is not a whole photograph or claims more than the limits
// of this package. The name serves to speak of the file, nothing else.
//
// What only decoding can show is not found here: bits changed inside a JPEG's
// or WebP's compressed data, or a compressed TIFF's (see DecodeTIFF).
func Inspect(name string, b []byte) (Info, error) {
	i, err := Describe(name, b)
	if err != nil {
		return Info{}, err
	}
	sum := sha256.Sum256(b)
	i.Hash = hex.EncodeToString(sum[:])
	return i, nil
}

// Describe is Inspect without the Hash, which takes most of the time: for a
// photograph that is opened again under a hash already known.
func Describe(name string, b []byte) (Info, error) {
	if err := CheckBytes(name, int64(len(b))); err != nil {
		return Info{}, err
	}
	format, err := sniff(name, b)
	if err != nil {
		return Info{}, err
	}
	walk := map[Format]func(string, []byte) (found, error){
		JPEG: walkJPEG, PNG: walkPNG, WebP: walkWebP, TIFF: walkTIFF,
	}[format]
	f, err := walk(name, b)
	if err != nil {
		return Info{}, err
	}

	t := readTags(f.exif)
	i := Info{
		Format: format, MIME: format.MIME(), Bytes: len(b),
		StoredWidth: f.width, StoredHeight: f.height, Orientation: t.orientation,
		Taken: t.taken, Device: t.device,
	}
	i.Width, i.Height = i.Orientation.Upright(f.width, f.height)
	return i, nil
}

// WithoutOrientation gives a PNG's or WebP's bytes without their EXIF data, so
// that every decoder shows the picture as it is stored. Browsers disagree on
// the orientation in these two formats; in a JPEG all of them obey it, and its
// bytes are given back as they are. b must have passed Describe.
func WithoutOrientation(f Format, b []byte) []byte {
	switch f {
	case PNG:
		out := append(make([]byte, 0, len(b)), pngSignature...)
		for at := len(pngSignature); at+12 <= len(b); {
			n := 12 + int(binary.BigEndian.Uint32(b[at:]))
			kind := string(b[at+4 : at+8])
			if kind != "eXIf" {
				out = append(out, b[at:at+n]...)
			}
			if kind == "IEND" {
				break
			}
			at += n
		}
		return out
	case WebP:
		out := bytes.Clone(b)
		for at := 12; at+8 <= len(out); {
			n := int64(binary.LittleEndian.Uint32(out[at+4:]))
			if string(out[at:at+4]) == "EXIF" {
				copy(out[at:], "none") // decoders step over chunks they do not know
			}
			at += 8 + int(n+n&1)
		}
		return out
	}
	return b
}
