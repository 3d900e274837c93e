package grid

import (
	"errors"
	"fmt"
	"strings"
)

// Limits of a table; errors name them.
const (
	MaxBytes = 64 << 20 // of the file
	MaxCells = 400      // in a row
)

// Row is one row of a table.
type Row struct {
	Line  int // of the file, from 1
	Cells []string
	// Open is set when a quotation mark is not closed, or text follows a closed
	// one. The row is then the one line, in a single cell.
	Open bool
}

// Reader reads the rows of a table one after another.
type Reader struct {
	// Delimiter parts the cells: the one of comma, semicolon and tab that the
	// first row has most of.
	Delimiter byte
	// Marked is set when the file began with a byte order mark.
	Marked bool

	text string
	at   int // of the next line
	line int // its number, from 1
}

// NewReader starts to read a file. The error is a sentence for the user: the
// file is larger than MaxBytes, is no text in UTF-8 or UTF-16, or holds
// nothing but blank lines.
func NewReader(raw []byte) (*Reader, error) {
	if len(raw) > MaxBytes {
		return nil, fmt.Errorf("the table is larger than %d MB", MaxBytes>>20)
	}
	text, marked, err := decode(raw)
	if err != nil {
		return nil, err
	}
	r := &Reader{Marked: marked, text: text, line: 1}
	for {
		if r.at >= len(r.text) {
			return nil, errors.New("the table is empty; a heading row with measurements such as CBL, CBW, CH is expected")
		}
		line, next := lineAt(r.text, r.at)
		if strings.TrimSpace(line) != "" {
			r.Delimiter = delimiterOf(r.text[r.at:])
			return r, nil
		}
		r.at, r.line = next, r.line+1
	}
}

// Progress is the part of the text that has been read, 0 to 1.
func (r *Reader) Progress() float64 {
	if len(r.text) == 0 {
		return 1
	}
	return float64(r.at) / float64(len(r.text))
}

// Fork returns a reader that goes on from where r is now; both then read on
// their own.
func (r *Reader) Fork() *Reader {
	f := *r
	return &f
}

// Next returns the next row that is not blank, and false after the last one.
// The error names MaxCells and the line that has more.
func (r *Reader) Next() (row Row, ok bool, err error) {
	for r.at < len(r.text) {
		row := r.record()
		if len(row.Cells) > MaxCells {
			return Row{}, false, fmt.Errorf("line %d has more than %d cells", row.Line, MaxCells)
		}
		if row.Open || !blank(row.Cells) {
			return row, true, nil
		}
	}
	return Row{}, false, nil
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

// longestCell is how many lines one quoted cell may run over; beyond it a
// missing quotation mark is likelier than a long note.
const longestCell = 20

// record reads the row that begins at the next line, over line breaks inside
// quotes. When the quotes never close it is that line alone, so that one slip
// does not swallow the rest of the table.
func (r *Reader) record() Row {
	first, next := lineAt(r.text, r.at)
	row := Row{Line: r.line}
	if cells, ok := splitCells(first, r.Delimiter); ok {
		row.Cells = cells
		r.at, r.line = next, r.line+1
		return row
	}
	joined, after := first, next
	for more := 1; more < longestCell && after < len(r.text); more++ {
		var line string
		line, after = lineAt(r.text, after)
		joined += "\n" + line
		if cells, ok := splitCells(joined, r.Delimiter); ok {
			row.Cells = cells
			r.at, r.line = after, r.line+1+more
			return row
		}
	}
	row.Cells, row.Open = []string{first}, true
	r.at, r.line = next, r.line+1
	return row
}

// lineAt returns the line that begins at a place, without its end (CR, LF or
// both), and the place of the line after it.
func lineAt(text string, at int) (line string, next int) {
	rest := text[at:]
	i := strings.IndexAny(rest, "\r\n")
	if i < 0 {
		return rest, len(text)
	}
	next = at + i + 1
	if strings.HasPrefix(rest[i:], "\r\n") {
		next++
	}
	return rest[:i], next
}

// delimiterOf returns the mark that the row at the start of a text has most of
// outside quotes.
func delimiterOf(text string) byte {
	counts := map[byte]int{}
	quoted, lines := false, 0
	for i := 0; i < len(text) && lines < longestCell; i++ {
		switch c := text[i]; c {
		case '"':
			quoted = !quoted
		case '\r', '\n':
			if !quoted {
				lines = longestCell
			}
			lines++
		case ',', ';', '\t':
			if !quoted {
				counts[c]++
			}
		}
	}
	best := byte(',')
	for _, d := range []byte{';', '\t'} {
		if counts[d] > counts[best] {
			best = d
		}
	}
	return best
}

// splitCells splits a record. A cell in quotes may hold delimiters, line breaks
// and doubled quotes; quotes inside a cell that does not begin with one are
// plain text. ok is false when a quote is not closed or text follows one.
func splitCells(record string, delimiter byte) (cells []string, ok bool) {
	cells = make([]string, 0, 1+strings.Count(record, string(delimiter)))
	for {
		rest := strings.TrimLeft(record, " ")
		if !strings.HasPrefix(rest, `"`) {
			end := strings.IndexByte(record, delimiter)
			if end < 0 {
				return append(cells, record), true
			}
			cells, record = append(cells, record[:end]), record[end+1:]
			continue
		}
		cell, rest, ok := quoted(rest[1:])
		if !ok {
			return nil, false
		}
		cells = append(cells, cell)
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

// quoted reads a cell up to the quotation mark that closes it.
func quoted(s string) (cell, rest string, ok bool) {
	var b strings.Builder
	for {
		end := strings.IndexByte(s, '"')
		if end < 0 {
			return "", "", false
		}
		b.WriteString(s[:end])
		s = s[end+1:]
		if !strings.HasPrefix(s, `"`) {
			return b.String(), s, true
		}
		b.WriteByte('"')
		s = s[1:]
	}
}
