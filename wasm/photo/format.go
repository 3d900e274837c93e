package photo

import (
	"bytes"
	"unicode/utf8"
)

// Format is a file format in which photographs are read.
type Format string

const (
	JPEG Format = "JPEG"
	PNG  Format = "PNG"
	WebP Format = "WebP"
	TIFF Format = "TIFF"
)

// MIME is the format's media type as registered with IANA.
func (f Format) MIME() string {
	switch f {
	case JPEG:
		return "image/jpeg"
	case PNG:
		return "image/png"
	case WebP:
		return "image/webp"
	case TIFF:
		return "image/tiff"
	}
	return ""
}

// allRead ends the sentences about files in other formats.
const allRead = "JPEG, PNG, WebP and TIFF are read."

const pngSignature = "\x89PNG\r\n\x1a\n"

// sniff tells the format by the bytes that every file of it begins with, or
// refuses with what the file begins like.
func sniff(name string, b []byte) (Format, error) {
	switch {
	case begins(b, "\xff\xd8\xff"):
		return JPEG, nil
	case begins(b, pngSignature):
		return PNG, nil
	case begins(b, "RIFF") && len(b) >= 12 && string(b[8:12]) == "WEBP":
		return WebP, nil
	case begins(b, "II*\x00"), begins(b, "MM\x00*"):
		return TIFF, nil
	}

	// A whole file cannot be shorter than its signature, so the beginning of
	// one is a photograph cut off at once.
	for _, k := range []struct {
		magic  string
		format Format
	}{{"\xff\xd8\xff", JPEG}, {pngSignature, PNG}, {"II*\x00", TIFF}, {"MM\x00*", TIFF}} {
		if len(b) >= 2 && len(b) < len(k.magic) && begins([]byte(k.magic), string(b)) {
			return "", truncated(name, k.format)
		}
	}

	const asJPEG = "Open it in the program it came from and save it as JPEG."
	switch brand := isoBrand(b); brand {
	case "heic", "heix", "heim", "heis", "hevc", "hevx", "mif1", "msf1":
		return "", unread(name, "Save it as JPEG, or set the telephone's camera to take JPEG (“most compatible”).",
			"is a HEIC photograph, which most browsers cannot show")
	case "avif", "avis":
		return "", unread(name, asJPEG, "is an AVIF picture, which is not read")
	case "crx ":
		return "", unread(name, rawRemedy, "is a camera's raw file")
	case "":
	default:
		return "", notPhoto(name, "a film or sound file")
	}
	switch {
	case begins(b, "%PDF"):
		return "", notPhoto(name, "a PDF document")
	case begins(b, "<svg"):
		return "", notPhoto(name, "a drawing (SVG)")
	case isText(b):
		return "", notPhoto(name, "a text file")
	}
	for _, k := range pictures {
		if begins(b, k.magic) {
			return "", unread(name, asJPEG+" "+allRead, "is a %s, which is not read", k.kind)
		}
	}
	for _, k := range others {
		if begins(b, k.magic) {
			return "", notPhoto(name, k.kind)
		}
	}
	return "", &Refusal{File: name, Fault: NotPhotograph, Remedy: allRead,
		Wrong: "is not a photograph this program can read: its beginning is not that of any format it knows"}
}

func notPhoto(name, kind string) *Refusal {
	return refuse(name, NotPhotograph, allRead,
		"is not a photograph this program can read: it begins like %s", kind)
}

const rawRemedy = "Develop it with the camera's software and save it as JPEG or TIFF."

// signature is what files of some kind begin with.
type signature struct{ magic, kind string }

var pictures = []signature{
	{"GIF8", "GIF picture"},
	{"BM", "BMP picture"},
	{"8BPS", "layered picture (PSD)"},
	{"II+\x00", "BigTIFF picture"},
	{"MM\x00+", "BigTIFF picture"},
	{"\xff\x0a", "JPEG XL picture"},
	{"\x00\x00\x00\x0cJXL ", "JPEG XL picture"},
	{"\x00\x00\x00\x0cjP  ", "JPEG 2000 picture"},
	{"\xff\x4f\xff\x51", "JPEG 2000 picture"},
	{"FUJIFILMCCD-RAW", "camera's raw file"},
	{"IIRO", "camera's raw file"},
	{"IIU\x00", "camera's raw file"},
	{"FOVb", "camera's raw file"},
	{"\x00\x00\x01\x00", "icon"},
}

var others = []signature{
	{"PK\x03\x04", "a zip archive or an office document"},
	{"\xd0\xcf\x11\xe0", "an old office document"},
	{"\x1f\x8b", "a compressed archive"},
	{"7z\xbc\xaf", "a compressed archive"},
	{"Rar!", "a compressed archive"},
	{"RIFF", "a film or sound file"},
	{"ID3", "a sound file"},
	{"OggS", "a film or sound file"},
	{"\x1aE\xdf\xa3", "a film"},
	{"MZ", "a program"},
	{"\x7fELF", "a program"},
}

// isoBrand gives the major brand of a file built of boxes (ISO/IEC 14496-12),
// or "".
func isoBrand(b []byte) string {
	if len(b) < 12 || string(b[4:8]) != "ftyp" {
		return ""
	}
	return string(b[8:12])
}

func begins(b []byte, magic string) bool {
	return len(b) >= len(magic) && string(b[:len(magic)]) == magic
}

// isText tells whether the file's first bytes are text in UTF-8, as far as the
// cut after them allows.
func isText(b []byte) bool {
	const sample = 512
	if len(b) > sample {
		b = b[:sample]
		for i := 0; i < utf8.UTFMax-1 && len(b) > 0 && !utf8.Valid(b); i++ {
			b = b[:len(b)-1]
		}
	}
	if !utf8.Valid(b) {
		return begins(b, "\xff\xfe") || begins(b, "\xfe\xff") // UTF-16
	}
	return bytes.IndexFunc(b, func(r rune) bool {
		return r < ' ' && r != '\t' && r != '\n' && r != '\r' && r != '\f'
	}) < 0
}
