package photo

import (
	"bytes"
	"encoding/binary"
)

// JPEG markers (ITU-T T.81, table B.1).
const (
	sof0 = 0xc0 // baseline; 0xc1 extended, 0xc2 progressive follow
	sof2 = 0xc2
	dht  = 0xc4
	jpg  = 0xc8
	dac  = 0xcc
	rst0 = 0xd0
	rst7 = 0xd7
	soi  = 0xd8
	eoi  = 0xd9
	sos  = 0xda
	dnl  = 0xdc
	app0 = 0xe0
	app1 = 0xe1
	tem  = 0x01
	com  = 0xfe
)

// nextMarker gives the first marker at or after b[at] and the place after it; ok
// is false when there is none. A marker may have any number of fill bytes 0xff
// before it (B.1.1.2). Between segments nothing else may stand; some writers
// leave padding all the same, and every decoder steps over it.
func nextMarker(b []byte, at int) (marker byte, after int, ok bool) {
	for at < len(b) && b[at] != 0xff {
		at++
	}
	for at < len(b) && b[at] == 0xff {
		at++
	}
	if at >= len(b) {
		return 0, at, false
	}
	return b[at], at + 1, true
}

// walkJPEG follows the segments from SOI over every scan to EOI. What stands
// after EOI (further pictures of a multi-picture file, a telephone's film) is
// not looked at.
func walkJPEG(name string, b []byte) (found, error) {
	var f found
	scans := 0
	at := 2 // after SOI
	for {
		marker, after, ok := nextMarker(b, at)
		if !ok {
			return f, truncated(name, JPEG)
		}
		at = after
		switch {
		case marker == eoi:
			if scans == 0 {
				return f, damaged(name, "it ends before any picture began")
			}
			return f, nil
		case marker == 0, marker == tem, marker == soi, marker >= rst0 && marker <= rst7:
			continue // stand alone, without a length
		case marker > tem && marker < sof0:
			return f, damaged(name, "it has a mark that no JPEG has (0x%02x at byte %d)", marker, at-1)
		}

		if at+2 > len(b) {
			return f, truncated(name, JPEG)
		}
		n := int(binary.BigEndian.Uint16(b[at:]))
		if n < 2 {
			return f, damaged(name, "a part of it claims an impossible length (byte %d)", at)
		}
		if at+n > len(b) {
			return f, truncated(name, JPEG)
		}
		segment := b[at+2 : at+n]
		at += n

		switch {
		case isFrame(marker):
			if f.width != 0 {
				return f, damaged(name, "it has two headers that contradict each other")
			}
			var err error
			if f.width, f.height, err = frame(name, marker, segment); err != nil {
				return f, err
			}
			if err := checkSize(name, JPEG, f.width, f.height); err != nil {
				return f, err
			}
		case marker == app1 && f.exif == nil && begins(segment, "Exif\x00") && len(segment) > 6:
			f.exif = segment[6:]
		case marker == sos:
			if f.width == 0 {
				return f, damaged(name, "its pixels begin before its header")
			}
			end, err := entropyCoded(name, b, at)
			if err != nil {
				return f, err
			}
			scans++
			at = end
		}
	}
}

func isFrame(marker byte) bool {
	return marker >= sof0 && marker <= 0xcf && marker != dht && marker != jpg && marker != dac
}

// frame reads a frame header (B.2.2): width and height in px.
func frame(name string, marker byte, s []byte) (width, height int, err error) {
	if len(s) < 6 {
		return 0, 0, damaged(name, "its header is too short")
	}
	const asBaseline = "Open it in a picture editor and save it as an ordinary JPEG."
	switch precision := s[0]; {
	case marker > sof2:
		return 0, 0, unread(name, asBaseline, "is a JPEG of a rare kind (lossless, hierarchical or arithmetic) that browsers cannot show")
	case precision != 8:
		return 0, 0, unread(name, asBaseline, "is a JPEG with %d bits a sample; browsers show those with 8", precision)
	}
	height = int(binary.BigEndian.Uint16(s[1:]))
	width = int(binary.BigEndian.Uint16(s[3:]))
	if n := int(s[5]); n == 0 || len(s) < 6+3*n {
		return 0, 0, damaged(name, "its header is too short")
	}
	return width, height, nil
}

// entropyCoded passes over a scan's compressed data, from byte at on, and
// gives where the next marker stands. Inside it 0xff is followed by 0 (a
// stuffed byte), another 0xff (fill) or a restart mark.
func entropyCoded(name string, b []byte, at int) (int, error) {
	start := at
	for {
		i := bytes.IndexByte(b[at:], 0xff)
		if i < 0 || at+i+1 >= len(b) {
			return 0, truncated(name, JPEG)
		}
		at += i
		switch next := b[at+1]; {
		case next == 0, next >= rst0 && next <= rst7:
			at += 2
		case next == 0xff:
			at++
		case at == start:
			return 0, damaged(name, "a part of its picture is missing (byte %d)", at)
		default:
			return at, nil
		}
	}
}
