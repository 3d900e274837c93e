package sheet

import (
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// unitEndings are the units of quantities as they end a column's name.
var unitEndings = map[string]string{
	"": "", "mm": "_mm", "mm²": "_mm2", "mm³": "_mm3", "mm⁴": "_mm4", "°": "_deg", "per 5 mm": "_per5mm",
}

// cladesTabled is the number of clades that get columns.
const cladesTabled = 3

// Columns gives the headings of the table, in order. The columns of a quantity
// stand together: its value and standard uncertainty, named with their unit,
// its state ("measured" or the trade's mark in words) and how it was got.
func Columns() []string {
	columns := []string{
		"name", "invented", "tooth_row", "age", "country", "locality",
		"mesial_denticles", "distal_denticles", "dsdi_rule", "chr_rule",
	}
	for _, q := range morph.Quantities {
		id, unit := string(q.ID), unitEndings[q.Unit]
		columns = append(columns, id+unit, id+"_u"+unit, id+"_state", id+"_how")
	}
	columns = append(columns, "doubts", "form", "cannot_say", "answer", "coverage", "form_set", "clade_set", "reach_percentile", "own_teeth")
	for _, f := range classify.Forms() {
		columns = append(columns, "share_"+string(f))
	}
	for i := range cladesTabled {
		columns = append(columns, fmt.Sprintf("clade_%d", i+1), fmt.Sprintf("clade_%d_share", i+1))
	}
	columns = append(columns,
		"compared_in", "compared_with_teeth",
		"nearest_specimen", "nearest_taxon", "nearest_source", "nearest_distance_sd",
		"sorting_version", "program_version", "changed_utc", "remarks", "id")
	for _, f := range furtherFields() {
		columns = append(columns, f.ID)
	}
	return columns
}

// furtherFields are those without a place further to the front.
func furtherFields() []tray.Field {
	return slices.DeleteFunc(slices.Clone(tray.Fields), func(f tray.Field) bool {
		return slices.Contains([]string{"age", "country", "locality", "remarks"}, f.ID)
	})
}

// CSV writes a table with one row a specimen under a row of headings (Columns):
// UTF-8 without a byte order mark, comma between cells, CR LF at the end of a
// row, quotes as RFC 4180 has them. Numbers have a decimal point and every
// digit that the program holds (uncertainties six), and nothing else stands in
// their cells; what is not known is an empty cell. Line breaks within a text become LF, as any CSV
// reader gives them back.
//
// A text that a spreadsheet would take for a formula gets an apostrophe in
// front; see cell.Text.
//
// The error is the writer's.
func CSV(w io.Writer, specimens []*tray.Specimen, find func(*tray.Specimen) tray.Finding, v Versions) error {
	table := csv.NewWriter(w)
	table.UseCRLF = true
	if err := table.Write(Columns()); err != nil {
		return err
	}
	for _, s := range specimens {
		if err := table.Write(row(s, find(s), v)); err != nil {
			return err
		}
	}
	table.Flush()
	return table.Error()
}

func row(s *tray.Specimen, f tray.Finding, v Versions) []string {
	s = s.Public()
	cells := []string{
		cell.Text(s.Name), yes(s.Invented), string(s.Row), cell.Text(s.Age), cell.Text(s.Country), cell.Text(s.Locality),
		string(s.Mesial), string(s.Distal), string(s.DSDIRule()), string(s.CHRRule()),
	}
	var doubts []string
	for _, q := range morph.Quantities {
		r := f.Readings.Get(q.ID)
		value, u := "", ""
		if r.Known {
			value = cell.Number(r.Value)
			if r.U > 0 {
				u = cell.Uncertainty(r.U)
			}
		}
		how := r.How
		if !r.Known && r.State == morph.MeasuredState {
			how = "" // it was got, but does not hold
		}
		cells = append(cells, value, u, stateWord(r), cell.Text(how))
		if r.Problem != "" {
			doubts = append(doubts, fmt.Sprintf("%s: %s", q.ID, r.Problem))
		}
	}
	a := f.Answer
	cells = append(cells, cell.Text(strings.Join(doubts, " ")), string(a.Form), cell.Text(a.CannotSay), cell.Text(a.Said))
	cells = append(cells, trust(a)...)
	for _, form := range classify.Forms() {
		share := ""
		for _, s := range a.Shares {
			if s.Form == form {
				share = cell.Number(s.Share)
			}
		}
		cells = append(cells, share)
	}
	for i := range cladesTabled {
		if i < len(a.Clades) {
			cells = append(cells, cell.Text(a.Clades[i].Clade), cell.Number(a.Clades[i].Share))
		} else {
			cells = append(cells, "", "")
		}
	}
	var used []string
	for _, m := range a.Used {
		used = append(used, string(m))
	}
	compared := ""
	if a.Comparable > 0 {
		compared = strconv.Itoa(a.Comparable)
	}
	cells = append(cells, strings.Join(used, " "), compared)
	if near := tray.Nearest(a); len(near) > 0 {
		t := near[0].Tooth
		cells = append(cells, cell.Text(tray.ToothName(t)), cell.Text(t.Taxon), cell.Text(t.Source), cell.Number(near[0].Distance))
	} else {
		cells = append(cells, "", "", "", "")
	}
	changed := ""
	if !s.Changed.IsZero() {
		changed = s.Changed.UTC().Format(time.RFC3339)
	}
	cells = append(cells, cell.Text(v.sorting(f)), cell.Text(v.Program), changed, cell.Text(s.Remarks), cell.Text(s.ID))
	for _, f := range furtherFields() {
		cells = append(cells, cell.Text(f.Text(s)))
	}
	return cells
}

// trust are the cells that tell how far the answer goes: the coverage of the
// sets, the sets, the reach, and how many teeth of one's own took part.
func trust(a classify.Answer) []string {
	if len(a.Used) == 0 {
		return []string{"", "", "", "", strconv.Itoa(a.Own)}
	}
	var forms []string
	for _, f := range a.FormSet {
		forms = append(forms, string(f))
	}
	return []string{cell.Number(a.Coverage), strings.Join(forms, " "), cell.Text(strings.Join(a.CladeSet, "; ")), cell.Number(a.Reach.Percentile), strconv.Itoa(a.Own)}
}

func yes(is bool) string {
	if is {
		return "yes"
	}
	return "no"
}
