package typed

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"slices"
	"strings"
	"unicode/utf8"

	"crownbench/classify"
	"crownbench/classify/typed/grid"
)

// Limits of a table; errors name them. The file's size and the number of its
// columns are limited by package grid.
const (
	MaxRows = 500_000
	MaxCell = 10_000 // bytes
)

// Table is what was read.
type Table struct {
	Rows     []Row
	Problems []Problem
	Ignored  []string // headings of columns that mean nothing here
}

// Row is one tooth.
type Row struct {
	Line   int // of the file, from 1
	ID     string
	Values []Value // in the order of the columns
	// What is said of the denticles of a carina as a whole.
	Mesial, Distal Denticles
	// What a table of identified teeth says they are, and of which animal; blank
	// elsewhere. The query does not hold it.
	Taxon, Clade, Individual string
	Form                     classify.Form
	Texts                    map[string]string // by Column.Field
	Query                    classify.Query
	Notes                    []string // marks in cells, such as a minimum that was left out
	Cells                    []string // as they stand in the file, guards taken off
	Unread                   bool     // the whole line: a quotation mark is open
	Problems                 []Problem
}

// Denticles says what a table records of a carina's denticles.
type Denticles string

const (
	DenticlesUnsaid       Denticles = ""
	DenticlesPresent      Denticles = "present"
	DenticlesAbsent       Denticles = "absent"
	DenticlesNotPreserved Denticles = "not preserved"
)

// Problem is a cell, or with Column 0 a whole line, that could not be used.
type Problem struct {
	Line, Column int // from 1; Column counts cells
	Heading      string
	Value        string // what stands there, shortened
	Want         string // what was expected
}

// Error returns the problem as a sentence. Value is quoted but not escaped for
// any markup: a page must show it as text.
func (p Problem) Error() string {
	if p.Column == 0 {
		return fmt.Sprintf("line %d: %s was expected, found %q", p.Line, p.Want, p.Value)
	}
	return fmt.Sprintf("line %d, column %d (%s): %s was expected, found %q", p.Line, p.Column, Shorten(p.Heading), p.Want, p.Value)
}

// Read reads a whole table by the columns that its headings propose. The error
// is a sentence for the user: the input cannot be read, is over a limit, or has
// no heading row with a measurement in it. Everything smaller is in Problems.
func Read(r io.Reader) (*Table, error) {
	raw, err := io.ReadAll(io.LimitReader(r, grid.MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("the table could not be read: %w", err)
	}
	f, err := Open(raw)
	if err != nil {
		return nil, err
	}
	if err := f.Check(); err != nil {
		return nil, fmt.Errorf("line %d: %w", f.Line, err)
	}
	t := &Table{}
	for _, c := range f.Columns {
		if h := strings.TrimSpace(c.Heading); c.Holds == Nothing && h != "" {
			t.Ignored = append(t.Ignored, h)
		}
	}
	for rows := f.Rows(); ; {
		tooth, ok, err := rows.Next()
		if err != nil {
			return nil, err
		}
		if !ok {
			return t, nil
		}
		t.Problems = append(t.Problems, tooth.Problems...)
		if !tooth.Unread {
			t.Rows = append(t.Rows, tooth)
		}
	}
}

// Rows reads one tooth after another.
type Rows struct {
	columns []Column
	rows    *grid.Reader
	named   map[string]int // the line of each name
	n       int
}

// Progress is the part of the table that has been read, 0 to 1.
func (r *Rows) Progress() float64 { return r.rows.Progress() }

// Next returns the next row, and false after the last one. The error names the
// limit that the table is over.
func (r *Rows) Next() (Row, bool, error) {
	row, ok, err := r.rows.Next()
	if err != nil || !ok {
		return Row{}, false, err
	}
	if r.n++; r.n > MaxRows {
		return Row{}, false, fmt.Errorf("line %d: the table has more than %d rows", row.Line, MaxRows)
	}
	t := Row{Line: row.Line, Cells: row.Cells}
	for i, c := range t.Cells {
		t.Cells[i] = grid.Unguard(c)
	}
	if row.Open {
		t.Unread = true
		t.Problems = []Problem{{Line: row.Line, Value: Shorten(row.Cells[0]), Want: "a closing quotation mark"}}
		return t, true, nil
	}
	t.read(r.columns)
	r.name(&t)
	return t, true, nil
}

// name notices a name that an earlier row has.
func (r *Rows) name(t *Row) {
	if t.ID == "" {
		return
	}
	before, twice := r.named[t.ID]
	if !twice {
		r.named[t.ID] = t.Line
		return
	}
	at := columnOf(r.columns, Name)
	t.Problems = append(t.Problems, Problem{t.Line, at + 1, r.columns[at].Heading, Shorten(t.ID), fmt.Sprintf("a name other than that of line %d", before)})
	slices.SortStableFunc(t.Problems, func(a, b Problem) int { return cmp.Compare(a.Column, b.Column) })
}

// read reads the cells; those beyond the headings are reported.
func (t *Row) read(columns []Column) {
	t.Query.Values = make(map[classify.Measure]float64)
	t.Values = make([]Value, 0, len(columns))
	var u map[classify.Measure]float64
	var standing map[classify.Measure]Mark
	for i, cell := range t.Cells {
		text := strings.TrimSpace(cell)
		if cell = trim(cell); cell == "" {
			continue
		}
		if i >= len(columns) {
			t.Problems = append(t.Problems, Problem{t.Line, i + 1, "no heading", Shorten(cell), "nothing beyond the last heading"})
			break
		}
		c, want := columns[i], ""
		switch {
		case c.Holds == Nothing:
		case len(text) > MaxCell:
			want = fmt.Sprintf("no more than %d bytes", MaxCell)
		case c.Holds == Name:
			t.ID = text
		case c.Holds == Text:
			if t.Texts == nil {
				t.Texts = map[string]string{}
			}
			t.Texts[c.Field] = text
		case c.Holds == Uncertainty:
			var spread float64
			if unsaid(cell) {
				break
			}
			if spread, want = c.readUncertainty(cell); want == "" {
				u = put(u, c.Measure, spread)
			}
		case c.Holds == Standing:
			mark, known := marks[strings.ToLower(cell)]
			if !known {
				want = "one of " + strings.Join(slices.Sorted(maps.Keys(marks)), ", ")
				break
			}
			standing = put(standing, c.Measure, mark)
		default:
			want = c.read(t, cell)
		}
		if want != "" {
			t.Problems = append(t.Problems, Problem{t.Line, i + 1, c.Heading, Shorten(cell), want})
		}
	}
	t.join(u, standing)
	t.ask()
}

func put[V any](m map[classify.Measure]V, k classify.Measure, v V) map[classify.Measure]V {
	if m == nil {
		m = map[classify.Measure]V{}
	}
	m[k] = v
	return m
}

// join gives the values what other columns say of them.
func (t *Row) join(u map[classify.Measure]float64, standing map[classify.Measure]Mark) {
	for i := range t.Values {
		v := &t.Values[i]
		if v.U == 0 && v.Mark.numbered() {
			v.U = u[v.Measure]
		}
		if mark := standing[v.Measure]; v.Mark == Measured && mark.numbered() {
			v.Mark = mark
		}
	}
	if standing == nil {
		return
	}
	for _, m := range classify.Measures() {
		mark := standing[m]
		if !mark.numbered() && !slices.ContainsFunc(t.Values, func(v Value) bool { return v.Measure == m }) {
			t.Values = append(t.Values, Value{Measure: m, Mark: mark})
		}
	}
}

// ask puts the row as a question to the published teeth. A minimum says nothing
// of the whole crown and takes no part.
func (t *Row) ask() {
	q := &t.Query
	mesial, distal := carina{said: t.Mesial}, carina{said: t.Distal}
	for _, v := range t.Values {
		switch v.Measure {
		case classify.MA, classify.MC, classify.MB:
			mesial.count(v, classify.MC)
		case classify.DA, classify.DC, classify.DB:
			distal.count(v, classify.DC)
		}
		switch v.Mark {
		case Minimum:
			t.Notes = append(t.Notes, fmt.Sprintf("%s >%g is a minimum of a broken crown and was left out", v.Measure, v.Number))
		case Measured, Estimated:
			q.Values[v.Measure] = v.Number
			if v.U > 0 {
				q.U = put(q.U, v.Measure, v.U)
			}
		}
	}
	q.Mesial, q.Distal = mesial.state(), distal.state()
}

// carina gathers what a row says of the denticles of one carina: what stands
// there of the whole carina, else that they are absent where its mid-crown
// count says so and nothing was counted elsewhere on it.
type carina struct {
	said            Denticles
	counted, absent bool
}

func (c *carina) count(v Value, mid classify.Measure) {
	c.counted = c.counted || v.Mark.numbered()
	c.absent = c.absent || v.Mark == Absent && v.Measure == mid
}

func (c carina) state() classify.DenticleState {
	switch {
	case c.said == DenticlesPresent, c.said == DenticlesUnsaid && c.counted:
		return classify.DenticlesPresent
	case c.said == DenticlesAbsent, c.said == DenticlesUnsaid && c.absent:
		return classify.DenticlesAbsent
	}
	return classify.DenticlesUnknown
}

// read takes a cell that is no free text into the row, and returns what was expected when it cannot.
func (c Column) read(t *Row, cell string) (want string) {
	switch c.Holds {
	case Reading:
		if empty(cell) {
			return ""
		}
		v, want := c.readValue(cell)
		if want != "" {
			return want
		}
		t.Values = append(t.Values, v)
	case ToothRow:
		return readRow(&t.Query.Row, cell)
	case MesialDenticles:
		return readDenticles(&t.Mesial, cell)
	case DistalDenticles:
		return readDenticles(&t.Distal, cell)
	case Epoch:
		t.Query.Epoch = cell
	case Country:
		t.Query.Country = cell
	case Individual:
		t.Individual = cell
	case Taxon:
		t.Taxon = cell
	case Clade:
		t.Clade = cell
	case Form:
		return readForm(&t.Form, cell)
	}
	return ""
}

func readRow(row *classify.ToothRow, cell string) (want string) {
	for _, r := range []classify.ToothRow{classify.Mesial, classify.Lateral, classify.Mesiolateral, classify.RowUnknown} {
		if strings.EqualFold(cell, r.String()) {
			*row = r
			return ""
		}
	}
	if unsaid(cell) {
		return ""
	}
	return "mesial, lateral, mesiolateral or unknown"
}

func readDenticles(d *Denticles, cell string) (want string) {
	for _, state := range []Denticles{DenticlesPresent, DenticlesAbsent, DenticlesNotPreserved} {
		if strings.EqualFold(cell, string(state)) {
			*d = state
			return ""
		}
	}
	if unsaid(cell) || strings.EqualFold(cell, "unknown") {
		return ""
	}
	return "present, absent, not preserved or unknown"
}

// readForm takes a form by its name or by its words.
func readForm(to *classify.Form, cell string) (want string) {
	for _, f := range classify.Forms() {
		if strings.EqualFold(cell, string(f)) || strings.EqualFold(cell, f.Words()) {
			*to = f
			return ""
		}
	}
	if unsaid(cell) {
		return ""
	}
	return "blade, robust or front"
}

// Shorten keeps a value fit for a message: 40 characters at most.
func Shorten(s string) string {
	const most = 40
	if utf8.RuneCountInString(s) <= most {
		return s
	}
	return string([]rune(s)[:most]) + "…"
}
