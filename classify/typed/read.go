package typed

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"crownbench/classify"
)

// Limits of a table; errors name them.
const (
	MaxBytes = 64 << 20
	MaxRows  = 500_000
)

// Table is what was read.
type Table struct {
	Rows     []Row
	Problems []Problem
	Ignored  []string // headings of columns that mean nothing here
}

// Row is one tooth.
type Row struct {
	Line  int // of the file, from 1
	ID    string
	Query classify.Query
	Notes []string // marks in cells, such as a minimum that was left out

	// What a table of identified teeth says they are, and of which animal; blank
	// elsewhere. The query does not hold it.
	Taxon, Clade, Individual string
	Form                     classify.Form
}

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
	return fmt.Sprintf("line %d, column %d (%s): %s was expected, found %q", p.Line, p.Column, p.Heading, p.Want, p.Value)
}

// Read reads a table. The error is a sentence for the user: the input cannot be
// read, is over a limit, or has no heading row with a measurement in it.
// Everything smaller is in Problems.
func Read(r io.Reader) (*Table, error) {
	raw, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("the table could not be read: %w", err)
	}
	if len(raw) > MaxBytes {
		return nil, fmt.Errorf("the table is larger than %d MB", MaxBytes>>20)
	}
	text, err := decode(raw)
	if err != nil {
		return nil, err
	}
	lines := splitLines(text)
	first := 0
	for first < len(lines) && strings.TrimSpace(lines[first]) == "" {
		first++
	}
	if first == len(lines) {
		return nil, errors.New("the table is empty; a heading row with measurements such as CBL, CBW, CH is expected")
	}
	t := &Table{}
	delimiter := delimiterOf(lines[first])
	heading, ok := splitCells(lines[first], delimiter)
	if !ok {
		return nil, fmt.Errorf("line %d: the heading row has a quotation mark that is not closed", first+1)
	}
	columns, ignored := readHeading(heading)
	t.Ignored = ignored
	if !measured(columns) {
		return nil, fmt.Errorf("line %d: no measurement is among the headings; CBL, CBW, CH, DC or another is expected", first+1)
	}
	seen := make(map[string]int)
	for i := first + 1; i < len(lines); {
		record, next := joinQuoted(lines, i, delimiter)
		line := i + 1
		i = next
		if strings.TrimSpace(record) == "" {
			continue
		}
		cells, ok := splitCells(record, delimiter)
		if !ok {
			t.Problems = append(t.Problems, Problem{Line: line, Value: shorten(record), Want: "a closing quotation mark"})
			continue
		}
		if blank(cells) {
			continue
		}
		if len(t.Rows) == MaxRows {
			return nil, fmt.Errorf("line %d: the table has more than %d rows", line, MaxRows)
		}
		row, problems := readRow(cells, columns, line)
		if row.ID != "" {
			if before, twice := seen[row.ID]; twice {
				at := columnOf(columns, isID)
				problems = append(problems, Problem{line, at + 1, columns[at].heading, shorten(row.ID), fmt.Sprintf("a name other than that of line %d", before)})
			} else {
				seen[row.ID] = line
			}
		}
		t.Problems = append(t.Problems, problems...)
		t.Rows = append(t.Rows, row)
	}
	return t, nil
}

func measured(columns []column) bool {
	return columnOf(columns, isValue) >= 0
}

func blank(cells []string) bool {
	for _, c := range cells {
		if strings.TrimSpace(c) != "" {
			return false
		}
	}
	return true
}

// readRow reads one row; cells beyond the headings and missing ones are
// reported.
func readRow(cells []string, columns []column, line int) (Row, []Problem) {
	row := Row{Line: line, Query: classify.Query{
		Values: make(map[classify.Measure]float64),
	}}
	var problems []Problem
	if len(cells) > len(columns) {
		for i, c := range cells[len(columns):] {
			if strings.TrimSpace(c) != "" {
				problems = append(problems, Problem{line, len(columns) + i + 1, "no heading", shorten(c), "nothing beyond the last heading"})
				break
			}
		}
	}
	for i, c := range columns {
		if i >= len(cells) {
			break
		}
		cell := strings.TrimSpace(cells[i])
		if cell == "" {
			continue
		}
		if want := c.read(&row, cell); want != "" {
			problems = append(problems, Problem{line, i + 1, c.heading, shorten(cell), want})
		}
	}
	return row, problems
}

// read takes a cell into the row, and returns what was expected when it cannot.
func (c column) read(row *Row, cell string) (want string) {
	q := &row.Query
	switch c.kind {
	case isID:
		row.ID = cell
	case isValue, isUncertainty:
		return c.readNumber(row, cell)
	case isRow:
		for _, r := range []classify.ToothRow{classify.Mesial, classify.Lateral, classify.Mesiolateral, classify.RowUnknown} {
			if strings.EqualFold(cell, r.String()) {
				q.Row = r
				return ""
			}
		}
		if unknown(cell) {
			return ""
		}
		return "mesial, lateral, mesiolateral or unknown"
	case isMesialState:
		return readState(&q.Mesial, cell)
	case isDistalState:
		return readState(&q.Distal, cell)
	case isEpoch:
		q.Epoch = cell
	case isCountry:
		q.Country = cell
	case isIndividual:
		row.Individual = cell
	case isTaxon:
		row.Taxon = cell
	case isClade:
		row.Clade = cell
	case isForm:
		return readForm(&row.Form, cell)
	}
	return ""
}

func readState(s *classify.DenticleState, cell string) (want string) {
	for _, state := range []classify.DenticleState{classify.DenticlesPresent, classify.DenticlesAbsent, classify.DenticlesUnknown} {
		if strings.EqualFold(cell, state.String()) {
			*s = state
			return ""
		}
	}
	if unknown(cell) {
		return ""
	}
	return "present, absent or unknown"
}

// readForm takes a form by its name or by its words.
func readForm(to *classify.Form, cell string) (want string) {
	for _, f := range classify.Forms() {
		if strings.EqualFold(cell, string(f)) || strings.EqualFold(cell, f.Words()) {
			*to = f
			return ""
		}
	}
	if unknown(cell) {
		return ""
	}
	return "blade, robust or front"
}

// unknown reports whether a cell carries the trade's marks for no value.
func unknown(cell string) bool {
	return cell == "?" || cell == "/" || cell == "-" || cell == "–" || strings.EqualFold(cell, "NA")
}

func (c column) readNumber(row *Row, cell string) (want string) {
	if unknown(cell) {
		return ""
	}
	if strings.EqualFold(cell, "absent") {
		switch c.measure {
		case classify.MA, classify.MC, classify.MB:
			row.Query.Mesial = classify.DenticlesAbsent
			return ""
		case classify.DA, classify.DC, classify.DB:
			row.Query.Distal = classify.DenticlesAbsent
			return ""
		}
	}
	number := cell
	switch {
	case strings.HasPrefix(number, ">"):
		if _, ok := parse(strings.TrimSpace(number[1:])); ok {
			row.Notes = append(row.Notes, fmt.Sprintf("%s %s is a minimum of a broken crown and was left out", c.measure, cell))
			return ""
		}
	case strings.HasPrefix(number, "~"):
		number = strings.TrimSpace(number[1:])
	case strings.HasSuffix(number, "*"):
		number = strings.TrimSpace(number[:len(number)-1])
	}
	v, ok := parse(number)
	if !ok {
		return "a number"
	}
	v *= c.scale
	if c.kind == isUncertainty {
		if v < 0 || math.IsNaN(v) || math.IsInf(v, 0) {
			return "an uncertainty of zero or more"
		}
		if row.Query.U == nil {
			row.Query.U = make(map[classify.Measure]float64)
		}
		row.Query.U[c.measure] = v
		return ""
	}
	if classify.CheckValue(c.measure, v) != nil {
		return "a number above zero that a tooth can have"
	}
	row.Query.Values[c.measure] = v
	return ""
}

// parse reads a number with a decimal point or comma. Groups of thousands, and
// the words that strconv takes for numbers, are refused.
func parse(s string) (float64, bool) {
	if strings.Count(s, ",") == 1 && !strings.Contains(s, ".") {
		s = strings.Replace(s, ",", ".", 1)
	}
	for _, r := range s {
		if (r < '0' || r > '9') && !strings.ContainsRune("+-.eE", r) {
			return 0, false
		}
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}

// shorten keeps a value fit for a message.
func shorten(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
