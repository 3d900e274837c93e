package intake

import (
	"errors"
	"fmt"
	"path"
	"strings"
	"unicode"

	"crownbench/classify/typed"
	"crownbench/classify/typed/grid"
)

// MaxTray is how many teeth a tray may hold after a table was brought in: each
// is kept, listed and sorted whenever it changes. Longer tables can be sorted.
const MaxTray = 500

// Table is a table that a person handed over, with what its columns hold.
type Table struct {
	Name string // of the file, or what the cells are called that were pasted

	file         *typed.File
	decimalComma bool
}

// sampleRows is how many rows under the headings are looked at when a table is
// opened; SampleShown of them are shown.
const (
	sampleRows  = 200
	SampleShown = 4
)

// CheckSize refuses a file by its size in bytes before it is read.
func CheckSize(name string, bytes float64) error {
	if bytes <= grid.MaxBytes {
		return nil
	}
	return fmt.Errorf("%s was not opened: with %.0f MB it is larger than %d MB", shortName(name), bytes/(1<<20), grid.MaxBytes>>20)
}

// Open opens a table. The error is a sentence for the user that begins with the
// table's name.
func Open(name string, raw []byte) (*Table, error) {
	name = shortName(name)
	f, err := typed.Open(raw)
	if err != nil {
		return nil, fmt.Errorf("%s was not opened: %w", name, err)
	}
	t := &Table{Name: name, file: f}
	f.Columns = propose(f.Columns)
	rows, err := t.sample(sampleRows)
	if err != nil {
		return nil, fmt.Errorf("%s was not opened: %w", name, err)
	}
	if len(rows) == 0 {
		return nil, fmt.Errorf("%s was not opened: there are headings, but no row of values under them", name)
	}
	t.decimalComma = f.Delimiter != ',' && anyDecimalComma(rows, f.Columns)
	return t, nil
}

// longestName is how much of a file's name is shown, in characters.
const longestName = 60

// shortName makes a file's name fit for a sentence and for the names of files
// that are made from it.
func shortName(name string) string {
	name = strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r), unicode.Is(unicode.Cf, r), r == '/', r == '\\':
			return -1
		}
		return r
	}, name)
	if r := []rune(name); len(r) > longestName {
		name = string(r[:longestName]) + "…"
	}
	if strings.Trim(name, " .") == "" {
		return "the table"
	}
	return name
}

// FileName names a file that is made from the table: its own name without the
// ending, and then an ending of ours.
func (t *Table) FileName(ending string) string {
	base := strings.TrimSuffix(t.Name, path.Ext(t.Name))
	base = strings.Trim(strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || strings.ContainsRune("-_. ", r) {
			return r
		}
		return -1
	}, base), " .")
	if base == "" {
		base = "table"
	}
	return base + ending
}

// Columns are the table's columns with what they hold. The slice is the
// caller's own.
func (t *Table) Columns() []typed.Column { return append([]typed.Column(nil), t.file.Columns...) }

// Set says what a column holds, by the key of a Choice.
func (t *Table) Set(column int, key string) {
	if column < 0 || column >= len(t.file.Columns) {
		return
	}
	was := t.file.Columns[column]
	now, ok := choiceOf(key)
	if !ok {
		return
	}
	c := now.column
	c.Heading = was.Heading
	if was.Holds.OfMeasure() && c.Holds.OfMeasure() {
		for _, u := range typed.Units(c.Measure) {
			if u == was.Unit {
				c.Unit = u
			}
		}
	}
	t.file.Columns[column] = c
}

// SetUnit says what the numbers of a column are given in.
func (t *Table) SetUnit(column int, u typed.Unit) {
	if column < 0 || column >= len(t.file.Columns) {
		return
	}
	c := &t.file.Columns[column]
	for _, can := range typed.Units(c.Measure) {
		if can == u && c.Holds.OfMeasure() {
			c.Unit = u
		}
	}
}

var errWithoutWidth = errors.New("no column holds the crown's width (CBW) or base ratio (CBR); without one no form can be said")

// Check returns an error, a sentence for the user, when the columns as they are
// now cannot be read: nothing is measured, or two hold the same.
func (t *Table) Check() error { return t.file.Check() }

// Caution returns a sentence about columns that can be read but will say
// little, or nil.
func (t *Table) Caution() error {
	for _, c := range t.file.Columns {
		if c.Holds == typed.Reading && (c.Measure == "CBW" || c.Measure == "CBR") {
			return nil
		}
	}
	return errWithoutWidth
}

// Form tells how the table was written, in words: what parts its cells, and
// whether its numbers have decimal commas.
func (t *Table) Form() string {
	form := map[byte]string{',': "commas", ';': "semicolons", '\t': "tabs"}[t.file.Delimiter] + " between cells"
	if t.decimalComma {
		form += ", decimal commas"
	}
	return form
}

// Sample reads the first rows by the columns as they are now.
func (t *Table) Sample() []typed.Row {
	rows, _ := t.sample(SampleShown) // Open has read further than this
	return rows
}

func (t *Table) sample(n int) ([]typed.Row, error) {
	var sample []typed.Row
	for rows := t.rows(); len(sample) < n; {
		row, ok, err := rows.Next()
		if err != nil {
			return nil, err
		}
		if !ok {
			break
		}
		sample = append(sample, row)
	}
	return sample, nil
}

// anyDecimalComma looks for a number with a decimal comma where readings stand.
func anyDecimalComma(rows []typed.Row, columns []typed.Column) bool {
	for _, r := range rows {
		for i, c := range columns {
			if c.Holds == typed.Reading && i < len(r.Cells) && strings.Contains(r.Cells[i], ",") {
				return true
			}
		}
	}
	return false
}

// rows reads the table from its first row, texts checked as the record has
// them.
func (t *Table) rows() *rows { return &rows{Rows: t.file.Rows(), columns: t.file.Columns} }

type rows struct {
	*typed.Rows
	columns []typed.Column
}

// Next gives the next row; a text that the record does not take is a problem of
// its cell and left out.
func (r *rows) Next() (typed.Row, bool, error) {
	row, ok, err := r.Rows.Next()
	if err != nil || !ok {
		return row, ok, err
	}
	for i, c := range r.columns {
		text, given := row.Texts[c.Field]
		if c.Holds != typed.Text || !given {
			continue
		}
		if want := fieldWant(c.Field, text); want != "" {
			delete(row.Texts, c.Field)
			row.Problems = append(row.Problems, typed.Problem{Line: row.Line, Column: i + 1, Heading: c.Heading, Value: typed.Shorten(text), Want: want})
		}
	}
	return row, true, nil
}
