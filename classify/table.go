package classify

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
)

// CellError says which cell of a reference table is wrong, and what belongs
// there. Line and Column count from 1; Column counts cells, as a spreadsheet
// does.
type CellError struct {
	Line, Column int
	Field        string // heading of the column
	Value        string // what stands there
	Want         string // what should
}

func (e *CellError) Error() string {
	return fmt.Sprintf("line %d, column %d (%s): %q stands where %s is expected", e.Line, e.Column, e.Field, e.Value, e.Want)
}

// toothColumns are the headings of the reference table, in order.
var toothColumns = []string{
	"id", "taxon", "clade", "tooth_row", "position", "specimen", "individual",
	"maturity", "formation", "country", "epoch", "source",
	"CBL_mm", "CBW_mm", "CH_mm", "AL_mm", "MCL_mm", "MCW_mm", "MSL_mm",
	"MA_per5mm", "MC_per5mm", "MB_per5mm", "DA_per5mm", "DC_per5mm", "DB_per5mm",
	"mesial_denticles", "distal_denticles", "estimated", "form", "form_basis", "study_class",
}

const firstValueColumn = 12 // of CBL_mm in toothColumns

// ReadTeeth reads a reference table: UTF-8, commas, the heading row of
// reference/teeth.csv, one tooth a row. Rows keep their order.
//
// The error is a [*CellError] for a bad cell (including a doubled id), a
// [*csv.ParseError] for broken quoting or a row of the wrong length, or says
// which heading is missing.
func ReadTeeth(r io.Reader) ([]Tooth, error) {
	table := csv.NewReader(r)
	table.FieldsPerRecord = len(toothColumns)
	table.ReuseRecord = true
	if err := readHeading(table, toothColumns); err != nil {
		return nil, err
	}
	var teeth []Tooth
	lineOf := make(map[string]int)
	for {
		row, err := table.Read()
		if errors.Is(err, io.EOF) {
			return teeth, nil
		}
		if err != nil {
			return nil, err
		}
		t, err := readTooth(table, row)
		if err != nil {
			return nil, err
		}
		if line, twice := lineOf[t.ID]; twice {
			return nil, cellError(table, row, 0, fmt.Sprintf("an id other than that of line %d", line))
		}
		lineOf[t.ID], _ = table.FieldPos(0)
		teeth = append(teeth, t)
	}
}

// ReadSources reads the table of papers: key, reference, note. Its errors are
// those of [ReadTeeth].
func ReadSources(r io.Reader) ([]Source, error) {
	table := csv.NewReader(r)
	if err := readHeading(table, []string{"key", "reference", "note"}); err != nil {
		return nil, err
	}
	var sources []Source
	for {
		row, err := table.Read()
		if errors.Is(err, io.EOF) {
			return sources, nil
		}
		if err != nil {
			return nil, err
		}
		if row[0] == "" {
			return nil, cellError(table, row, 0, "a key")
		}
		sources = append(sources, Source{Key: row[0], Reference: row[1], Note: row[2]})
	}
}

func readHeading(table *csv.Reader, want []string) error {
	row, err := table.Read()
	if errors.Is(err, io.EOF) {
		return errors.New("the table is empty; a heading row is expected")
	}
	if err != nil {
		return err
	}
	for i, heading := range want {
		if i >= len(row) || row[i] != heading {
			got := ""
			if i < len(row) {
				got = row[i]
			}
			return &CellError{Line: 1, Column: i + 1, Field: "heading", Value: got, Want: strconv.Quote(heading)}
		}
	}
	return nil
}

func cellError(table *csv.Reader, row []string, field int, want string) *CellError {
	line, _ := table.FieldPos(field)
	return &CellError{Line: line, Column: field + 1, Field: toothColumns[field], Value: strings.Clone(row[field]), Want: want}
}

func readTooth(table *csv.Reader, row []string) (Tooth, error) {
	t := Tooth{
		ID: row[0], Taxon: row[1], Clade: row[2], Position: row[4], Specimen: row[5],
		Individual: row[6], Formation: row[8], Country: row[9], Epoch: row[10], Source: row[11],
		Estimated: row[27], FormBasis: row[29], StudyClass: row[30],
	}
	for _, must := range []int{0, 2, 6} {
		if row[must] == "" {
			return t, cellError(table, row, must, "a name")
		}
	}
	var ok bool
	if t.Row, ok = parseWord(row[3], RowUnknown, Mesial, Lateral, Mesiolateral); !ok {
		return t, cellError(table, row, 3, "mesial, lateral, mesiolateral or unknown")
	}
	if t.Maturity, ok = parseWord(row[7], MaturityUnknown, Immature, Subadult, Adult); !ok {
		return t, cellError(table, row, 7, "adult, subadult, immature or unknown")
	}
	for i := range nTabled {
		cell := row[firstValueColumn+i]
		if cell == "" {
			continue
		}
		v, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			return t, cellError(table, row, firstValueColumn+i, "a number with a decimal point, or nothing")
		}
		if err := CheckValue(measures[i].id, v); err != nil {
			return t, cellError(table, row, firstValueColumn+i, "a number above zero that a tooth can have")
		}
		t.values[i] = v
	}
	t.values.ratios()
	if t.MesialDenticles, ok = parseWord(row[25], DenticlesUnknown, DenticlesPresent, DenticlesAbsent); !ok {
		return t, cellError(table, row, 25, "present, absent or unknown")
	}
	if t.DistalDenticles, ok = parseWord(row[26], DenticlesUnknown, DenticlesPresent, DenticlesAbsent); !ok {
		return t, cellError(table, row, 26, "present, absent or unknown")
	}
	t.Form = Form(row[28])
	if t.Form != "" && !slices.Contains(Forms(), t.Form) {
		return t, cellError(table, row, 28, "blade, robust, front or nothing")
	}
	return t, nil
}

// parseWord finds the one of some named states that word spells.
func parseWord[S fmt.Stringer](word string, states ...S) (state S, ok bool) {
	for _, s := range states {
		if s.String() == word {
			return s, true
		}
	}
	return state, false
}
