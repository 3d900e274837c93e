package typed

import (
	"encoding/binary"
	"errors"
	"strings"
	"unicode/utf16"
	"unicode/utf8"
)

// decode returns the text of a file in UTF-8 or, told by its byte order mark,
// UTF-16.
func decode(raw []byte) (string, error) {
	switch {
	case len(raw) >= 2 && raw[0] == 0xff && raw[1] == 0xfe:
		return wide(raw[2:], binary.LittleEndian), nil
	case len(raw) >= 2 && raw[0] == 0xfe && raw[1] == 0xff:
		return wide(raw[2:], binary.BigEndian), nil
	}
	text := strings.TrimPrefix(string(raw), "\ufeff")
	if !utf8.ValidString(text) {
		return "", errors.New("the table is not in UTF-8 or UTF-16; save it again as \"CSV UTF-8\"")
	}
	if strings.ContainsRune(text, 0) {
		return "", errors.New("the table holds zero bytes; it is not a text table")
	}
	return text, nil
}

// wide decodes UTF-16; a stray last byte and broken pairs become U+FFFD.
func wide(raw []byte, order binary.ByteOrder) string {
	units := make([]uint16, 0, len(raw)/2)
	for ; len(raw) >= 2; raw = raw[2:] {
		units = append(units, order.Uint16(raw))
	}
	return string(utf16.Decode(units))
}

// splitLines splits at CR, LF or both.
func splitLines(text string) []string {
	text = strings.ReplaceAll(text, "\r\n", "\n")
	return strings.Split(strings.ReplaceAll(text, "\r", "\n"), "\n")
}

// delimiterOf returns the mark that the heading row has most of outside quotes.
func delimiterOf(heading string) byte {
	best, most := byte(','), -1
	for _, d := range []byte{',', ';', '\t'} {
		n, quoted := 0, false
		for i := range len(heading) {
			switch heading[i] {
			case '"':
				quoted = !quoted
			case d:
				if !quoted {
					n++
				}
			}
		}
		if n > most {
			best, most = d, n
		}
	}
	return best
}

// longestCell is how many lines one quoted cell may run over; beyond it a
// missing quotation mark is likelier than a long note.
const longestCell = 20

// joinQuoted returns the record that begins at line i, joined over line breaks
// inside quotes, and the line after it. When the quotes never close the record
// is that line alone, so that one slip does not swallow the rest of the table.
func joinQuoted(lines []string, i int, delimiter byte) (record string, next int) {
	record = lines[i]
	if _, ok := splitCells(record, delimiter); ok {
		return record, i + 1
	}
	joined := record
	for j := i + 1; j < len(lines) && j < i+longestCell; j++ {
		joined += "\n" + lines[j]
		if _, ok := splitCells(joined, delimiter); ok {
			return joined, j + 1
		}
	}
	return record, i + 1
}

// splitCells splits a record. A cell in quotes may hold delimiters, line breaks
// and doubled quotes; quotes inside a cell that does not begin with one are
// plain text. ok is false when a quote is not closed or text follows one.
func splitCells(record string, delimiter byte) (cells []string, ok bool) {
	for {
		var cell strings.Builder
		rest := strings.TrimLeft(record, " ")
		if !strings.HasPrefix(rest, `"`) {
			end := strings.IndexByte(record, delimiter)
			if end < 0 {
				return append(cells, record), true
			}
			cells, record = append(cells, record[:end]), record[end+1:]
			continue
		}
		rest = rest[1:]
		for {
			end := strings.IndexByte(rest, '"')
			if end < 0 {
				return nil, false
			}
			cell.WriteString(rest[:end])
			rest = rest[end+1:]
			if !strings.HasPrefix(rest, `"`) {
				break
			}
			cell.WriteByte('"')
			rest = rest[1:]
		}
		cells = append(cells, cell.String())
		rest = strings.TrimLeft(rest, " ")
		switch {
		case rest == "":
			return cells, true
		case rest[0] != delimiter:
			return nil, false
		}
		record = rest[1:]
	}
}
