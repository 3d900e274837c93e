package intake

import (
	"context"
	"fmt"
	"strings"

	"crownbench/classify"
	"crownbench/classify/typed"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// states are the marks of a table as readings have them.
var states = map[typed.Mark]morph.State{
	typed.Measured: morph.MeasuredState, typed.Estimated: morph.Estimated, typed.Minimum: morph.Minimum,
	typed.Unknown: morph.Unknown, typed.NotApplicable: morph.NotApplicable,
	typed.Absent: morph.Absent, typed.NotPreserved: morph.NotPreserved,
}

// specimen makes a specimen of a row. One without a name is called by its line.
func (t *Table) specimen(r typed.Row) *tray.Specimen {
	s := &tray.Specimen{
		Name: r.ID, Age: r.Query.Epoch, Country: r.Query.Country,
		Mesial: morph.CarinaState(r.Mesial), Distal: morph.CarinaState(r.Distal),
	}
	if s.Name == "" {
		s.Name = fmt.Sprintf("%s line %d", t.Name, r.Line)
	}
	s.Invented, _ = yesOrNo(r.Texts[inventedField])
	for id, text := range r.Texts {
		if f, ok := tray.FieldOf(id); ok {
			f.Set(s, text)
		}
	}
	switch r.Query.Row {
	case classify.Mesial:
		s.Row = tray.RowMesial
	case classify.Lateral:
		s.Row = tray.RowLateral
	case classify.Mesiolateral: // a tray knows two rows only
		s.Remarks = strings.TrimSpace("Tooth row: mesiolateral. " + s.Remarks)
	}
	for _, v := range r.Values {
		if s.Typed == nil {
			s.Typed = map[morph.ID]morph.Typed{}
		}
		s.Typed[morph.ID(v.Measure)] = morph.Typed{Value: v.Number, U: v.U, State: states[v.Mark]}
	}
	return s
}

// Specimens makes specimens of the rows, but for lines that could not be read
// and, with skip set, rows whose name is among those known. The error is a
// sentence: more than room rows are left, or the table is over a limit.
func (t *Table) Specimens(known Names, skip bool, room int) ([]*tray.Specimen, error) {
	var list []*tray.Specimen
	for rows := t.rows(); ; {
		row, ok, err := rows.Next()
		if err != nil {
			return nil, fmt.Errorf("%s was not brought in: %w", t.Name, err)
		}
		if !ok {
			return list, nil
		}
		if row.Unread || skip && known.Has(row.ID) {
			continue
		}
		if len(list) == room {
			return nil, fmt.Errorf("%s was not brought in: with it the tray would hold more than %d teeth", t.Name, MaxTray)
		}
		list = append(list, t.specimen(row))
	}
}

// Names are the names and catalogue numbers of a tray, however they are spaced
// and in whatever letters.
type Names map[string]bool

// NamesOf gathers the names of specimens.
func NamesOf(ss []*tray.Specimen) Names {
	n := Names{}
	for _, s := range ss {
		for _, name := range []string{s.Name, s.CatalogNumber} {
			if f := fold(name); f != "" {
				n[f] = true
			}
		}
	}
	return n
}

// Has tells whether a name is among them; the empty one never is.
func (n Names) Has(name string) bool { return n[fold(name)] }

func fold(name string) string { return strings.ToLower(strings.Join(strings.Fields(name), " ")) }

// Survey is what a whole table holds, read by its columns.
type Survey struct {
	Rows    int // that can be read
	Unread  int // lines that cannot
	Known   int // rows whose name is in the tray already
	Nothing int // rows without any value
	Faults  Faults
}

// Survey reads the whole table. turn is called after every row with the part of
// the table that is read, 0 to 1. The error is that of ctx, or a sentence that
// names the limit which the table is over.
func (t *Table) Survey(ctx context.Context, known Names, turn func(part float64)) (*Survey, error) {
	s := &Survey{}
	for rows := t.rows(); ; turn(rows.Progress()) {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		row, ok, err := rows.Next()
		if err != nil {
			return nil, fmt.Errorf("%s cannot be used: %w", t.Name, err)
		}
		if !ok {
			return s, nil
		}
		s.Faults.add(row.Problems...)
		switch {
		case row.Unread:
			s.Unread++
			continue
		case len(row.Values) == 0:
			s.Nothing++
		}
		s.Rows++
		if known.Has(row.ID) {
			s.Known++
		}
	}
}
