package photo

import (
	"encoding/binary"
	"hash/crc32"
)

// walkPNG follows the chunks from IHDR to IEND and checks the sum of each
// (W3C PNG, third edition, clauses 5 and 11).
func walkPNG(name string, b []byte) (found, error) {
	var f found
	pixels := false
	at := len(pngSignature)
	for first := true; ; first = false {
		if at+12 > len(b) {
			return f, truncated(name, PNG)
		}
		n := int64(binary.BigEndian.Uint32(b[at:]))
		kind := string(b[at+4 : at+8])
		if !isChunkName(kind) || n > 1<<31-1 {
			return f, damaged(name, "what stands at byte %d is no part of a PNG", at)
		}
		if first {
			// The claim is judged before the rest is followed, so that a
			// header is refused for what it says even in a damaged file.
			if kind != "IHDR" || n != 13 {
				return f, damaged(name, "it does not begin with a PNG's header")
			}
		}
		if n > int64(len(b)-at-12) {
			return f, truncated(name, PNG)
		}
		body := b[at+8 : at+8+int(n)]
		sum := binary.BigEndian.Uint32(b[at+8+int(n):])
		if crc32.ChecksumIEEE(b[at+4:at+8+int(n)]) != sum {
			return f, damaged(name, "the check sum of its part %s does not fit", kind)
		}
		at += 12 + int(n)

		switch kind {
		case "IHDR":
			if !first {
				return f, damaged(name, "it has two headers")
			}
			f.width, f.height = dimension(body[0:]), dimension(body[4:])
			if err := checkHeader(name, body); err != nil {
				return f, err
			}
			if err := checkSize(name, PNG, f.width, f.height); err != nil {
				return f, err
			}
		case "IDAT":
			pixels = pixels || n > 0
		case "eXIf":
			if f.exif == nil {
				f.exif = body
			}
		case "IEND":
			if !pixels {
				return f, damaged(name, "it holds no pixels")
			}
			return f, nil
		}
	}
}

func dimension(b []byte) int {
	v := binary.BigEndian.Uint32(b)
	if v > 1<<31-1 {
		return 0 // not allowed (11.2.1); refused as such
	}
	return int(v)
}

// checkHeader refuses what PNG does not allow (table 8 and clause 11.2.1).
func checkHeader(name string, ihdr []byte) error {
	depths := map[byte]string{0: "\x01\x02\x04\x08\x10", 2: "\x08\x10", 3: "\x01\x02\x04\x08", 4: "\x08\x10", 6: "\x08\x10"}
	depth, colour := ihdr[8], ihdr[9]
	for i := range len(depths[colour]) {
		if depths[colour][i] == depth && ihdr[10] == 0 && ihdr[11] == 0 && ihdr[12] <= 1 {
			return nil
		}
	}
	return damaged(name, "its header is none that a PNG can have")
}

func isChunkName(s string) bool {
	for i := range len(s) {
		if c := s[i] | 0x20; c < 'a' || c > 'z' {
			return false
		}
	}
	return true
}
