package photo

import (
	"crypto/sha256"
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
	sum := sha256.Sum256(b)
	i := Info{
		Format: format, MIME: format.MIME(), Bytes: len(b), Hash: hex.EncodeToString(sum[:]),
		StoredWidth: f.width, StoredHeight: f.height, Orientation: t.orientation,
		Taken: t.taken, Device: t.device,
	}
	i.Width, i.Height = i.Orientation.Upright(f.width, f.height)
	return i, nil
}
