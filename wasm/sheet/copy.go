package sheet

import (
	"strings"

	"crownbench/morph"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// ReadingCells gives the known readings of a specimen as a table for the
// clipboard: one row a reading under a row of headings, a tab between cells,
// LF between rows. Numbers have a decimal point and no unit; a spreadsheet puts
// each into a cell of its own. A reading that only has a mark is a row without
// a number.
func ReadingCells(f tray.Finding) string {
	rows := [][]string{{"Reading", "Name", "Value", "Standard uncertainty", "Unit", "State", "How"}}
	for _, r := range f.Readings {
		if !r.Known && r.State == morph.MeasuredState {
			continue
		}
		value, u := "", ""
		if r.Known {
			value = cell.Number(r.Value)
			if r.U > 0 {
				u = cell.Uncertainty(r.U)
			}
		}
		rows = append(rows, []string{string(r.ID), r.Name, value, u, r.Unit, stateWord(r), flat(r.How)})
	}
	var b strings.Builder
	for _, row := range rows {
		b.WriteString(strings.Join(row, "\t"))
		b.WriteByte('\n')
	}
	return b.String()
}

// flat makes a text one cell of one line.
func flat(text string) string { return cell.Text(strings.Join(strings.Fields(text), " ")) }
