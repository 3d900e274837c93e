package grid

import (
	"bytes"
	"encoding/binary"
	"errors"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// signatures of files that hold a table but are no text: the zip archives of
// current spreadsheets and the compound files of older ones.
var signatures = [][]byte{[]byte("PK\x03\x04"), {0xd0, 0xcf, 0x11, 0xe0}}

// decode returns the text of a file in UTF-8 or, told by its byte order mark,
// UTF-16, and whether it began with such a mark.
func decode(raw []byte) (text string, marked bool, err error) {
	for _, s := range signatures {
		if bytes.HasPrefix(raw, s) {
			return "", false, errors.New("this is a spreadsheet's own kind of file; save the sheet as \"CSV UTF-8\" and open that")
		}
	}
	switch {
	case len(raw) >= 2 && raw[0] == 0xff && raw[1] == 0xfe:
		text, marked = wide(raw[2:], binary.LittleEndian), true
	case len(raw) >= 2 && raw[0] == 0xfe && raw[1] == 0xff:
		text, marked = wide(raw[2:], binary.BigEndian), true
	default:
		text, marked = strings.CutPrefix(string(raw), "\ufeff")
	}
	if strings.ContainsRune(text, 0) {
		return "", false, errors.New("the table holds zero bytes; it is not a text table")
	}
	if !utf8.ValidString(text) {
		return "", false, errors.New("the table is not in UTF-8 or UTF-16; save it again as \"CSV UTF-8\"")
	}
	return text, marked, nil
}

// wide decodes UTF-16; a stray last byte and broken pairs become U+FFFD.
func wide(raw []byte, order binary.ByteOrder) string {
	units := make([]uint16, 0, len(raw)/2)
	for ; len(raw) >= 2; raw = raw[2:] {
		units = append(units, order.Uint16(raw))
	}
	return string(utf16.Decode(units))
}
