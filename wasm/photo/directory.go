package photo

import (
	"encoding/binary"
	"strings"
	"unicode/utf8"
)

// Field types (TIFF 6.0, section 2).
const (
	typeByte  = 1
	typeASCII = 2
	typeShort = 3
	typeLong  = 4
)

// structure is a TIFF structure: a TIFF file, or the EXIF data of another
// format.
type structure struct {
	b     []byte
	order binary.ByteOrder
}

// field is one entry of a directory. value is as many bytes as the file has
// for it, at most size × count.
type field struct {
	kind  uint16
	count uint32
	value []byte
	whole bool // value is complete
}

// openStructure reads a TIFF header and gives the offset of the first
// directory.
func openStructure(b []byte) (s structure, first uint32, ok bool) {
	switch {
	case len(b) < 8:
		return s, 0, false
	case begins(b, "II*\x00"):
		s.order = binary.LittleEndian
	case begins(b, "MM\x00*"):
		s.order = binary.BigEndian
	default:
		return s, 0, false
	}
	s.b = b
	return s, s.order.Uint32(b[4:]), true
}

// directory reads the fields of the directory at an offset; of a tag that
// stands twice, the first counts. whole is false when the file ends inside the
// directory. No offset is followed from here, so there is no way in a circle.
func (s structure) directory(at uint32) (fields map[uint16]field, whole bool) {
	fields = map[uint16]field{}
	if uint64(at)+2 > uint64(len(s.b)) {
		return fields, false
	}
	n := int(s.order.Uint16(s.b[at:]))
	rest := s.b[at+2:]
	for range n {
		if len(rest) < 12 {
			return fields, false
		}
		tag := s.order.Uint16(rest)
		if _, twice := fields[tag]; !twice {
			fields[tag] = s.field(rest[:12])
		}
		rest = rest[12:]
	}
	return fields, len(rest) >= 4 // where the next directory would be
}

func (s structure) field(entry []byte) field {
	f := field{kind: s.order.Uint16(entry[2:]), count: s.order.Uint32(entry[4:])}
	size := map[uint16]uint64{1: 1, 2: 1, 3: 2, 4: 4, 5: 8, 6: 1, 7: 1, 8: 2, 9: 4, 10: 8, 11: 4, 12: 8, 13: 4}[f.kind]
	n := size * uint64(f.count)
	from := entry[8:12]
	if n > 4 {
		at := uint64(s.order.Uint32(entry[8:]))
		if at > uint64(len(s.b)) {
			return f
		}
		from = s.b[at:]
	}
	f.whole = uint64(len(from)) >= n
	f.value = from[:min(n, uint64(len(from)))]
	return f
}

// number gives the i-th value of a field of whole numbers, or 0 and false.
func (s structure) number(f field, i int) (uint32, bool) {
	switch {
	case i < 0 || uint64(i) >= uint64(f.count):
	case f.kind == typeByte && i < len(f.value):
		return uint32(f.value[i]), true
	case f.kind == typeShort && 2*i+2 <= len(f.value):
		return uint32(s.order.Uint16(f.value[2*i:])), true
	case f.kind == typeLong && 4*i+4 <= len(f.value):
		return s.order.Uint32(f.value[4*i:]), true
	}
	return 0, false
}

// maxTagText is how many bytes of a text field are taken over.
const maxTagText = 100

// text gives a text field up to its NUL, with what does not print left out.
func (s structure) text(f field) string {
	if f.kind != typeASCII {
		return ""
	}
	v := string(f.value[:min(len(f.value), maxTagText)])
	v, _, _ = strings.Cut(v, "\x00")
	v = strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r == utf8.RuneError {
			return -1
		}
		return r
	}, v)
	return strings.Join(strings.Fields(v), " ")
}
