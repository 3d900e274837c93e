package desk

import (
	"context"
	"fmt"
	"strings"

	"crownbench/classify/typed"
	"crownbench/wasm/intake"
	"crownbench/wasm/tray"
)

// TableDialog takes in a table of teeth that were measured with callipers.
const TableDialog Dialog = "table"

// TableStage tells how far the work on a table of teeth is.
type TableStage int

const (
	TableWanted  TableStage = iota // none was handed over yet
	TableOpen                      // what its columns hold is being settled
	TableSorting                   // its rows are being sorted
	TableSorted                    // they are
)

// TableWork is the work on a table of teeth, from the file to the tray or to a
// sorted table. The zero value waits for a table.
type TableWork struct {
	Stage  TableStage
	Table  *intake.Table
	Survey *intake.Survey // of the whole table by its columns as they are; nil until it is there
	Part   float64        // of the table, that the work under way has read
	Wrong  string         // why the table cannot be used by its columns as they are
	Sorted *intake.Sorted // while Sorting what there is so far
	Typed  string         // cells that are being pasted or typed
	Again  bool           // add teeth whose names are in the tray already
	Unused bool           // show the columns that are not used

	stop context.CancelFunc // the work under way
}

// TableWork is the work on a table of teeth.
func (d *Desk) TableWork() *TableWork { return &d.table }

// OpenTable opens the door for a table of teeth, or goes on with the table that
// is open; the tray may have changed since.
func (d *Desk) OpenTable() {
	d.OpenDialog(TableDialog)
	if d.table.Stage == TableOpen {
		d.survey()
	}
}

// PickTable lets the person choose a table.
func (d *Desk) PickTable() { d.outside.PickTable() }

// TypeTable takes what stands in the field for pasted cells.
func (d *Desk) TypeTable(text string) { d.table.Typed = text }

// TakeTyped opens what stands in the field for pasted cells.
func (d *Desk) TakeTyped() { d.TakeTable("pasted cells", []byte(d.table.Typed)) }

// TakeTable opens a table of teeth. While another one is being sorted it is
// refused.
func (d *Desk) TakeTable(name string, raw []byte) {
	if d.refusedInLesson() {
		return
	}
	w := &d.table
	if w.Stage == TableSorting {
		d.Warn(fmt.Sprintf("%s is being sorted; another table can be opened when that is done or stopped.", w.Table.Name))
		return
	}
	t, err := intake.Open(name, raw)
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	w.end()
	unused := 0
	for _, c := range t.Columns() {
		if c.Holds == typed.Nothing {
			unused++
		}
	}
	d.table = TableWork{Stage: TableOpen, Table: t, Unused: unused <= fewColumns}
	d.OpenDialog(TableDialog)
	d.survey()
}

// fewColumns is how many columns that are not used are shown unasked.
const fewColumns = 10

// PutTableAway forgets the table; what is under way ends.
func (d *Desk) PutTableAway() {
	d.table.end()
	d.table = TableWork{}
	d.focus = "table-pick"
	d.outside.Refresh()
}

// end ends the work under way.
func (w *TableWork) end() {
	if w.stop != nil {
		w.stop()
		w.stop = nil
	}
}

// SetTableColumn says what a column holds, by the key of an intake.Choice.
func (d *Desk) SetTableColumn(column int, key string) {
	if d.table.Stage == TableOpen {
		d.table.Table.Set(column, key)
		d.survey()
	}
}

// SetTableUnit says what the numbers of a column are given in.
func (d *Desk) SetTableUnit(column int, u typed.Unit) {
	if d.table.Stage == TableOpen {
		d.table.Table.SetUnit(column, u)
		d.survey()
	}
}

// ShowUnusedColumns shows the columns that are not used, or hides them.
func (d *Desk) ShowUnusedColumns(show bool) {
	d.table.Unused = show
	d.outside.Refresh()
}

// AddAgain says whether teeth whose names are in the tray are added once more.
func (d *Desk) AddAgain(again bool) {
	d.table.Again = again
	d.outside.Refresh()
}

// begin makes a context for new work on the table; work that was under way
// ends.
func (w *TableWork) begin() context.Context {
	w.end()
	ctx, stop := context.WithCancel(context.Background())
	w.stop, w.Part = stop, 0
	return ctx
}

// survey reads the whole table by its columns as they are now.
func (d *Desk) survey() {
	w := &d.table
	w.Survey, w.Wrong = nil, ""
	defer d.outside.Refresh()
	if err := w.Table.Check(); err != nil {
		w.end()
		w.Wrong = Sentence(err)
		return
	}
	ctx, table := w.begin(), w.Table
	known := intake.NamesOf(d.Tray.Specimens())
	d.outside.Beside(func(turn func() bool) {
		s, err := table.Survey(ctx, known, func(part float64) {
			if turn() && ctx.Err() == nil {
				w.Part = part
				d.outside.Refresh()
			}
		})
		if ctx.Err() != nil {
			return // the person has gone on
		}
		if err != nil {
			w.Wrong = Sentence(err)
		}
		w.Survey = s
		d.outside.Refresh()
	})
}

// TableRoom is how many teeth the tray can still take.
func (d *Desk) TableRoom() int { return max(intake.MaxTray-d.Tray.Len(), 0) }

// BringIn puts the teeth of the table into the tray, as one step.
func (d *Desk) BringIn() {
	w := &d.table
	if w.Stage != TableOpen || w.Survey == nil {
		return
	}
	teeth, err := w.Table.Specimens(intake.NamesOf(d.Tray.Specimens()), !w.Again, d.TableRoom())
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	if len(teeth) == 0 {
		d.Remark(w.Table.Name + " holds no tooth that is not in the tray already.")
		return
	}
	name := w.Table.Name
	if !d.add("bring in "+name, teeth...) {
		return
	}
	w.end()
	d.table = TableWork{}
	d.Remark(fmt.Sprintf("%s brought in from %s. Undo takes them all out again.", countOf(len(teeth), "tooth", "teeth"), name))
}

// SortTable sorts every row of the table by the comparison teeth.
func (d *Desk) SortTable() {
	w := &d.table
	if w.Stage != TableOpen || w.Wrong != "" {
		return
	}
	ctx, table := w.begin(), w.Table
	w.Stage, w.Sorted = TableSorting, nil
	d.focus = "table-stop"
	d.outside.Refresh()
	how := tray.Sorting{Coverage: d.settings.Coverage, Teeth: d.sample}
	d.outside.Beside(func(turn func() bool) {
		done, err := table.Sort(ctx, how, func(s *intake.Sorted) {
			if turn() && ctx.Err() == nil {
				w.Sorted, w.Part = s, s.Part
				d.outside.Refresh()
			}
		})
		switch {
		case ctx.Err() != nil:
			return // StopSorting has said so
		case err != nil:
			w.Stage, w.Sorted, w.Wrong = TableOpen, nil, Sentence(err)
		default:
			w.Stage, w.Sorted = TableSorted, done
			d.spoken = fmt.Sprintf("%s: %s sorted.", table.Name, countOf(done.Rows, "row", "rows"))
			if d.dialog == TableDialog {
				d.focus = "table-save"
			} else {
				d.Remark(fmt.Sprintf("%s is sorted: %s. It waits under Table of teeth.", table.Name, countOf(done.Rows, "row", "rows")))
			}
		}
		d.outside.Refresh()
	})
}

// StopSorting ends the sorting of the table; what was done of it is let go.
func (d *Desk) StopSorting() {
	w := &d.table
	if w.Stage != TableSorting {
		return
	}
	rows := 0
	if w.Sorted != nil {
		rows = w.Sorted.Rows
	}
	d.Remark(fmt.Sprintf("Sorting %s was stopped after %s. Nothing was saved.", w.Table.Name, countOf(rows, "row", "rows")))
	d.BackToColumns()
}

// BackToColumns leaves the sorted table and goes back to what the columns hold.
func (d *Desk) BackToColumns() {
	w := &d.table
	if w.Stage == TableWanted {
		return
	}
	w.Stage, w.Sorted = TableOpen, nil
	d.focus = "table-sort"
	d.survey()
}

// SaveSorted hands out the sorted table.
func (d *Desk) SaveSorted() {
	if w := &d.table; w.Stage == TableSorted {
		d.outside.Download(w.Table.FileName("-sorted.csv"), "text/csv;charset=utf-8", w.Sorted.Table())
	}
}

// SaveFaults hands out the list of cells and lines that could not be used.
func (d *Desk) SaveFaults() {
	w := &d.table
	var faults *intake.Faults
	switch {
	case w.Stage == TableSorted:
		faults = &w.Sorted.Faults
	case w.Survey != nil:
		faults = &w.Survey.Faults
	default:
		return
	}
	d.outside.Download(w.Table.FileName("-faults.csv"), "text/csv;charset=utf-8", faults.Report())
}

// PasteTable takes a text that was pasted on the page, not into a field; it
// tells whether the text is a table.
func (d *Desk) PasteTable(text string) bool {
	if !looksLikeTable(text) {
		return false
	}
	d.TakeTable("pasted cells", []byte(text))
	return true
}

// looksLikeTable tells a table that was copied out of a spreadsheet from other
// texts: its first line, and another one after it, have cells.
func looksLikeTable(text string) bool {
	first, rest, more := strings.Cut(strings.TrimSpace(text), "\n")
	return more && strings.ContainsAny(first, "\t;,") && strings.ContainsAny(rest, "\t;,")
}

// tableEndings are the ends of names of tables. Files of spreadsheets count, so
// that a sentence can say how to save them as text.
var tableEndings = []string{".csv", ".tsv", ".tab", ".txt", ".xlsx", ".xls", ".ods"}

// IsTable tells by a file's name and media type whether it is to be opened as a
// table of teeth.
func IsTable(name, mime string) bool {
	name = strings.ToLower(name)
	for _, ending := range tableEndings {
		if strings.HasSuffix(name, ending) {
			return true
		}
	}
	return mime == "text/csv" || mime == "text/tab-separated-values" || mime == "text/plain"
}
