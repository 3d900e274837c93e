package typed

import (
	"errors"
	"fmt"
	"strings"
	"unicode"

	"crownbench/classify/typed/grid"
)

// File is a table that has been opened, with what its columns hold.
type File struct {
	// Columns are proposed from the headings and may be changed, but for their
	// number, before Rows is called.
	Columns   []Column
	Line      int  // of the headings, from 1
	Delimiter byte // between the cells
	Marked    bool // began with a byte order mark

	rest *grid.Reader // after the headings
}

// Open reads the headings of a table. The error is a sentence for the user: the
// input is over a limit, is no text, is empty or has no headings.
func Open(raw []byte) (*File, error) {
	r, err := grid.NewReader(raw)
	if err != nil {
		return nil, err
	}
	heading, _, err := r.Next()
	switch {
	case err != nil:
		return nil, err
	case heading.Open:
		return nil, fmt.Errorf("line %d: the heading row has a quotation mark that is not closed", heading.Line)
	case !strings.ContainsFunc(strings.Join(heading.Cells, ""), unicode.IsLetter):
		return nil, fmt.Errorf("line %d: a heading row with measurements such as CBL, CBW, CH is expected; there is not a letter in it", heading.Line)
	}
	for i, c := range heading.Cells {
		if len(c) > MaxCell {
			return nil, fmt.Errorf("line %d: the heading of column %d is longer than %d bytes", heading.Line, i+1, MaxCell)
		}
		heading.Cells[i] = grid.Unguard(c)
	}
	return &File{
		Columns: Propose(heading.Cells), Line: heading.Line,
		Delimiter: r.Delimiter, Marked: r.Marked, rest: r,
	}, nil
}

var errUnmeasured = errors.New("no measurement is among the columns; CBL, CBW, CH, DC or another is expected")

// Check returns an error, a sentence for the user, when the columns hold no
// measurement, or two hold the same.
func (f *File) Check() error {
	if columnOf(f.Columns, Reading) < 0 {
		return errUnmeasured
	}
	for i, c := range f.Columns {
		for j, o := range f.Columns[:i] {
			if c.Same(o) {
				return fmt.Errorf("columns %d (%s) and %d (%s) are both set to the same; one of them is to be changed",
					j+1, Shorten(o.Heading), i+1, Shorten(c.Heading))
			}
		}
	}
	return nil
}

// Rows begins to read the rows under the headings, from the first one. Each call
// reads on its own, by the columns as they are now.
func (f *File) Rows() *Rows {
	return &Rows{columns: append([]Column(nil), f.Columns...), rows: f.rest.Fork(), named: map[string]int{}}
}
