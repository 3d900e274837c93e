package photo

import (
	"bytes"
	"encoding/binary"
	"hash/crc32"
	"image/png"
)

// Bare gives a photograph without anything that its file says besides the
// picture: no place, date, device, owner, comment, name, preview or colour
// profile, nor what stands behind the picture's end. Which way is up is kept,
// since every mark rests on it. The pixels stay as they were: those of a JPEG,
// PNG or WebP byte for byte; a TIFF, whose tags cannot be parted from its
// pixels as simply, becomes a PNG of eight bits a sample.
//
// What is to be seen in the picture, such as a label beside the tooth, stays.
//
// It gives the format of what it returns. It refuses, with a *Refusal, what
// Inspect refuses, and a TIFF that DecodeTIFF does.
func Bare(name string, b []byte) ([]byte, Format, error) {
	info, err := Describe(name, b)
	if err != nil {
		return nil, "", err
	}
	switch info.Format {
	case JPEG:
		return bareJPEG(b, info.Orientation), JPEG, nil
	case PNG:
		return barePNG(b, info.Orientation), PNG, nil
	case WebP:
		return bareWebP(b, info.Orientation), WebP, nil
	}
	m, err := DecodeTIFF(name, b)
	if err != nil {
		return nil, "", err
	}
	var out bytes.Buffer
	if err := png.Encode(&out, m); err != nil {
		return nil, "", damaged(name, "its pixels cannot be written anew (%v)", err)
	}
	return barePNG(out.Bytes(), info.Orientation), PNG, nil
}

// orientationOnly is EXIF data that say which way is up and nothing else.
func orientationOnly(o Orientation) []byte {
	return []byte{'M', 'M', 0, 42, 0, 0, 0, 8, // header, first directory at 8
		0, 1, tagOrientation >> 8, tagOrientation & 0xff, 0, typeShort, 0, 0, 0, 1, 0, byte(o), 0, 0, // one field
		0, 0, 0, 0} // no further directory
}

// app14 says how a JPEG's colours are coded; without it some would be read as
// others. Its payload is 12 bytes that begin with "Adobe".
const (
	app14     = 0xee
	app15     = 0xef
	adobeSize = 12
)

// bareJPEG keeps the segments that a decoder needs. b must have passed
// Describe.
func bareJPEG(b []byte, o Orientation) []byte {
	out := append(make([]byte, 0, len(b)), 0xff, soi)
	if o != uprightByDefault {
		exif := append([]byte("Exif\x00\x00"), orientationOnly(o)...)
		out = append(out, 0xff, app1)
		out = binary.BigEndian.AppendUint16(out, uint16(2+len(exif)))
		out = append(out, exif...)
	}
	at := 2
	for {
		marker, after, ok := nextMarker(b, at)
		if !ok {
			return out
		}
		at = after
		switch {
		case marker == eoi:
			return append(out, 0xff, eoi)
		case marker == 0, marker == tem, marker == soi, marker >= rst0 && marker <= rst7:
			continue
		}
		n := int(binary.BigEndian.Uint16(b[at:]))
		segment := b[at : at+n]
		at += n
		switch {
		case marker == app14 && begins(segment[2:], "Adobe") && n >= 2+adobeSize:
			out = append(out, 0xff, app14, 0, 2+adobeSize)
			out = append(out, segment[2:2+adobeSize]...)
		case marker >= app0 && marker <= app15, marker == com, marker > com-14 && marker < com:
			// What programs say of a picture; 0xf0 to 0xfd are extensions
			// that no decoder needs.
		default:
			out = append(out, 0xff, marker)
			out = append(out, segment...)
		}
		if marker == sos {
			end, err := entropyCoded("", b, at)
			if err != nil {
				return out
			}
			out = append(out, b[at:end]...)
			at = end
		}
	}
}

// pngParts are the chunks that decide what is seen: the picture itself, its
// transparency, and colour given in plain numbers.
var pngParts = map[string]bool{
	"IHDR": true, "PLTE": true, "IDAT": true, "IEND": true, "tRNS": true, "gAMA": true, "cHRM": true, "sRGB": true, "sBIT": true,
}

// barePNG keeps pngParts. b must have passed Describe.
func barePNG(b []byte, o Orientation) []byte {
	out := append(make([]byte, 0, len(b)), pngSignature...)
	for at := len(pngSignature); at+12 <= len(b); {
		n := 12 + int(binary.BigEndian.Uint32(b[at:]))
		kind := string(b[at+4 : at+8])
		if pngParts[kind] {
			out = append(out, b[at:at+n]...)
		}
		if kind == "IHDR" && o != uprightByDefault {
			exif := orientationOnly(o)
			out = binary.BigEndian.AppendUint32(out, uint32(len(exif)))
			from := len(out)
			out = append(append(out, "eXIf"...), exif...)
			out = binary.BigEndian.AppendUint32(out, crc32.ChecksumIEEE(out[from:]))
		}
		if kind == "IEND" {
			break
		}
		at += n
	}
	return out
}

// Bits of a WebP's extended header (RFC 9649, section 2.7.1).
const (
	webpHasAlpha = 0x10
	webpHasEXIF  = 0x08
)

// bareWebP keeps the picture and its transparency. b must have passed
// Describe, so the picture does not move.
func bareWebP(b []byte, o Orientation) []byte {
	end := 8 + int(binary.LittleEndian.Uint32(b[4:]))
	out := append(make([]byte, 0, len(b)), b[:12]...)
	add := func(kind string, body []byte) {
		out = append(out, kind...)
		out = binary.LittleEndian.AppendUint32(out, uint32(len(body)))
		out = append(out, body...)
		if len(body)%2 == 1 {
			out = append(out, 0)
		}
	}
	for at := 12; at+8 <= end; {
		kind := string(b[at : at+4])
		n := int(binary.LittleEndian.Uint32(b[at+4:]))
		body := b[at+8 : at+8+n]
		at += 8 + n + n&1
		switch kind {
		case "VP8X":
			header := bytes.Clone(body[:10])
			header[0] &= webpHasAlpha
			header[1], header[2], header[3] = 0, 0, 0
			if o != uprightByDefault {
				header[0] |= webpHasEXIF
			}
			add(kind, header)
		case "VP8 ", "VP8L", "ALPH":
			add(kind, body)
		}
	}
	if o != uprightByDefault {
		add("EXIF", orientationOnly(o))
	}
	binary.LittleEndian.PutUint32(out[4:], uint32(len(out)-8))
	return out
}
