package intake

import (
	"bytes"
	"context"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"crownbench/classify"
	"crownbench/classify/typed"
	"crownbench/classify/typed/grid"
	"crownbench/wasm/tray"
)

// Sorted is a table whose rows are sorted, as far as it has come.
type Sorted struct {
	Rows      int
	Forms     map[classify.Form]int // rows by form; "" counts those of which none can be said
	Faults    Faults
	Part      float64 // of the table, 0 to 1
	delimiter byte
	marked    bool
	comma     bool
	width     int // columns of the widest row, headings included
	// text holds for each row its own cells and then what was found; ends are
	// the two places where these end, cells how many the row has.
	text []byte
	ends [][2]int
	cell []int
}

// added are the columns that sorting adds, in order.
var added = []string{
	"form", "cannot_say", "share_blade", "share_robust", "share_front", "form_set", "clade_set", "coverage",
	"reach_percentile", "nearest_specimen", "nearest_taxon", "nearest_source", "nearest_distance", "left_out", "sorting_version",
}

// turnRows is after how many rows others get their turn; in a browser, asking for
// the time after each would cost more than it tells.
const turnRows = 16

// Sort sorts every row of the table as teeth of a tray are sorted. turn is called
// again and again, with what was done so far; it must not keep or change it. The
// error is that of ctx, or a sentence that names the limit which the table is
// over.
//
// A row with a fault is sorted by what else stands in it, and the cell is named
// under left_out; a line that cannot be read at all goes out as it is.
func (t *Table) Sort(ctx context.Context, how tray.Sorting, turn func(*Sorted)) (*Sorted, error) {
	s := &Sorted{
		Forms: map[classify.Form]int{}, delimiter: t.file.Delimiter, marked: t.file.Marked, comma: t.decimalComma,
	}
	headings := make([]string, len(t.file.Columns))
	for i, c := range t.file.Columns {
		headings[i] = c.Heading
	}
	s.put(headings, addedTo(headings))

	rows := t.rows()
	var row typed.Row
	var fault error
	queries := func(yield func(classify.Query) bool) {
		for {
			var ok bool
			row, ok, fault = rows.Next()
			if fault != nil || !ok {
				return
			}
			s.Faults.add(row.Problems...)
			if row.Unread {
				s.put(row.Cells, s.unread(row))
				continue
			}
			if !yield(row.Query) {
				return
			}
		}
	}
	teeth := how.Teeth
	if teeth == nil {
		teeth = classify.Published()
	}
	err := teeth.SortSeries(ctx, queries, classify.Options{Brief: true, K: 1, Coverage: how.Coverage}, func(_ int, a classify.Answer) bool {
		s.Rows++
		s.Forms[a.Form]++
		s.put(row.Cells, s.found(row, a))
		if s.Rows%turnRows == 0 {
			s.Part = rows.Progress()
			turn(s)
		}
		return true
	})
	if fault != nil {
		return nil, fmt.Errorf("%s cannot be sorted: %w", t.Name, fault)
	}
	if err != nil {
		return nil, err
	}
	s.Part = 1
	return s, nil
}

// addedTo names the added columns so that none is called like one of the
// table's own, which may have been sorted before.
func addedTo(headings []string) []string {
	names := slices.Clone(added)
	for i, name := range names {
		for n := 2; slices.ContainsFunc(headings, func(h string) bool { return strings.EqualFold(h, names[i]) }); n++ {
			names[i] = fmt.Sprintf("%s_%d", name, n)
		}
	}
	return names
}

// put keeps a row.
func (s *Sorted) put(own, found []string) {
	var e [2]int
	s.reserve()
	s.text = grid.AppendCells(s.text, s.delimiter, own...)
	e[0] = len(s.text)
	s.text = grid.AppendCells(s.text, s.delimiter, found...)
	e[1] = len(s.text)
	s.ends, s.cell = append(s.ends, e), append(s.cell, len(own))
	s.width = max(s.width, len(own))
}

// reserve makes room for more text at once: for all that is to come, as soon as
// it can be told how much that is.
func (s *Sorted) reserve() {
	const row, enough = 1 << 12, 0.01
	if len(s.text)+row <= cap(s.text) {
		return
	}
	whole := float64(2*len(s.text) + 16*row)
	if s.Part > enough {
		whole = float64(len(s.text))/s.Part*1.05 + 16*row
	}
	s.text = slices.Grow(s.text, int(whole)-len(s.text))
}

func (s *Sorted) number(v float64, decimals int) string {
	var room [24]byte
	text := strconv.AppendFloat(room[:0], v, 'f', decimals, 64)
	if at := bytes.IndexByte(text, '.'); s.comma && at >= 0 {
		text[at] = ','
	}
	return string(text)
}

func (s *Sorted) unread(r typed.Row) []string {
	found := make([]string, len(added))
	found[slices.Index(added, "left_out")] = leftOut(r)
	return found
}

func (s *Sorted) found(r typed.Row, a classify.Answer) []string {
	found := make([]string, 0, len(added))
	found = append(found, string(a.Form), a.CannotSay)
	for _, f := range []classify.Form{classify.Blade, classify.Robust, classify.Front} {
		share := ""
		for _, x := range a.Shares {
			if x.Form == f {
				share = s.number(x.Share, 4)
			}
		}
		found = append(found, share)
	}
	forms := make([]string, len(a.FormSet))
	for i, f := range a.FormSet {
		forms[i] = string(f)
	}
	found = append(found, strings.Join(forms, " "), strings.Join(a.CladeSet, "; "), s.number(a.Coverage, 2))
	if near := tray.Nearest(a); len(near) > 0 {
		t := near[0].Tooth
		found = append(found, s.number(a.Reach.Percentile, 1), tray.ToothName(t), t.Taxon, t.Source, s.number(near[0].Distance, 3))
	} else {
		found = append(found, "", "", "", "", "")
	}
	return append(found, leftOut(r), a.Version)
}

// leftOut says in one cell what of a row took no part.
func leftOut(r typed.Row) string {
	var all []string
	for _, p := range r.Problems {
		if p.Column == 0 {
			all = append(all, p.Want+" was expected")
			continue
		}
		all = append(all, fmt.Sprintf("%s: %s was expected", typed.Shorten(p.Heading), p.Want))
	}
	return strings.Join(append(all, r.Notes...), "; ")
}

// Table writes the sorted table: every row with its own cells as they were, and
// then what was found of it. It is UTF-8, with the delimiter, the decimal mark
// and the byte order mark of the table that came in; each row is filled up to
// the widest. Texts that a spreadsheet would run are guarded (grid.Guard).
func (s *Sorted) Table() []byte {
	b := make([]byte, 0, len(s.text)+len(s.ends)*(s.width+3))
	if s.marked {
		b = append(b, "\ufeff"...)
	}
	begin := 0
	for i, e := range s.ends {
		b = append(b, s.text[begin:e[0]]...)
		for range s.width - s.cell[i] + 1 {
			b = append(b, s.delimiter)
		}
		b = append(b, s.text[e[0]:e[1]]...)
		b = append(b, "\r\n"...)
		begin = e[1]
	}
	return b
}
