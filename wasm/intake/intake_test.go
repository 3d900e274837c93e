package intake_test

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/classify/typed"
	"crownbench/classify/typed/grid"
	"crownbench/morph"
	"crownbench/wasm/intake"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func Example() {
	// READ table compiled by Hendrickx et al. 2024: SGM Din-1 mx03 and
	// FMNH PR2081 mx05, as a spreadsheet of much of the world saves them.
	t, err := intake.Open("teeth.csv", []byte("Specimen;FABL;BW (cm);CH\nSGM Din-1 mx03;41,46;1,515;71,01\nFMNH PR2081 mx05;45,46;3,263;>94,06\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, c := range t.Columns() {
		fmt.Printf("%s → %s, %q\n", c.Heading, intake.ChoiceOf(c).Key, c.Unit)
	}
	teeth, err := t.Specimens(nil, false, intake.MaxTray)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, s := range teeth {
		fmt.Printf("%s, CBW %.2f mm, CH %q\n", s.Name, s.Typed["CBW"].Value, s.Typed["CH"].State)
	}
	// Output:
	// Specimen → name, ""
	// FABL → CBL, "mm"
	// BW (cm) → CBW, "cm"
	// CH → CH, "mm"
	// SGM Din-1 mx03, CBW 15.15 mm, CH ""
	// FMNH PR2081 mx05, CBW 32.63 mm, CH "minimum"
}

func open(t interface{ Fatalf(string, ...any) }, text string) *intake.Table {
	table, err := intake.Open("teeth.csv", []byte(text))
	if err != nil {
		t.Fatalf("%.200q: %v", text, err)
	}
	return table
}

func survey(t interface{ Fatalf(string, ...any) }, table *intake.Table, known intake.Names) *intake.Survey {
	s, err := table.Survey(context.Background(), known, func(float64) {})
	if err != nil {
		t.Fatalf("%v", err)
	}
	return s
}

func sortAll(t interface{ Fatalf(string, ...any) }, table *intake.Table) *intake.Sorted {
	s, err := table.Sort(context.Background(), tray.Sorting{}, func(*intake.Sorted) {})
	if err != nil {
		t.Fatalf("%v", err)
	}
	return s
}

// cells reads what was written, guards taken off.
func cells(t interface{ Fatalf(string, ...any) }, table []byte) [][]string {
	r, err := grid.NewReader(table)
	if err != nil {
		t.Fatalf("%v", err)
	}
	var rows [][]string
	for {
		row, ok, err := r.Next()
		if err != nil || row.Open {
			t.Fatalf("%q: %v", row.Cells, err)
		}
		if !ok {
			return rows
		}
		for i, c := range row.Cells {
			row.Cells[i] = grid.Unguard(c)
		}
		rows = append(rows, row.Cells)
	}
}

func TestColumnsAreProposedAndChanged(t *testing.T) {
	table := open(t, "catalogNumber,name,Site,Notes,Taxon,form,continent,CBL,CBL_u_mm,length\nXY 1,a,b,c,Theropoda,blade,Asia,20,0.1,9\n")
	var keys []string
	for _, c := range table.Columns() {
		keys = append(keys, intake.ChoiceOf(c).Key)
	}
	want := []string{"name", "", "text locality", "text remarks", "text scientificName", "", "text continent", "CBL", "± CBL", ""}
	if diff := cmp.Diff(want, keys); diff != "" {
		t.Error(diff)
	}
	if table.Caution() == nil {
		t.Error("nothing was said of the missing width")
	}
	table.Set(9, "CBW")
	table.SetUnit(9, typed.Centimetre)
	table.SetUnit(7, typed.Per1mm) // not a unit of a length
	table.Set(9, "CH")             // what it is given in stays
	table.Set(0, "text catalogNumber")
	table.Set(1, "name")
	table.Set(99, "name")
	table.Set(2, "nonsense")
	teeth, err := table.Specimens(nil, false, 1)
	if err != nil {
		t.Fatal(err)
	}
	s := teeth[0]
	if s.Name != "a" || s.CatalogNumber != "XY 1" || s.Locality != "b" || s.ScientificName != "Theropoda" ||
		s.Typed["CH"].Value != 90 || s.Typed["CBL"] != (morph.Typed{Value: 20, U: 0.1}) {
		t.Errorf("%+v", s)
	}
	table.Set(2, "name")
	if table.Check() == nil {
		t.Error("two columns of names were accepted")
	}
}

// Every choice can be set and is what the column then stands at.
func TestChoices(t *testing.T) {
	table := open(t, "x,CBL\n1,2\n")
	keys := map[string]bool{}
	for _, c := range intake.Choices() {
		if keys[c.Key] || c.Label == "" {
			t.Errorf("choice %+v is twice there or has no label", c)
		}
		keys[c.Key] = true
		table.Set(0, c.Key)
		if got := intake.ChoiceOf(table.Columns()[0]).Key; got != c.Key {
			t.Errorf("set to %q it stands at %q", c.Key, got)
		}
	}
}

// Trade marks become the states of morph (READ marks of the table compiled by
// Hendrickx et al. 2024), as a cell of the bench takes them.
func TestMarksBecomeStates(t *testing.T) {
	table := open(t, "id;CBL;CBW;CH;AL;MCL;DC;MC;tooth row;distal denticles\na;~38;28.05*;>24.6;?;/;absent;not preserved;mesiolateral;absent\n")
	teeth, err := table.Specimens(nil, false, 1)
	if err != nil {
		t.Fatal(err)
	}
	want := map[morph.ID]morph.Typed{
		"CBL": {Value: 38, State: morph.Estimated}, "CBW": {Value: 28.05, State: morph.Estimated}, "CH": {Value: 24.6, State: morph.Minimum},
		"AL": {State: morph.Unknown}, "MCL": {State: morph.NotApplicable}, "DC": {State: morph.Absent}, "MC": {State: morph.NotPreserved},
	}
	if diff := cmp.Diff(want, teeth[0].Typed); diff != "" {
		t.Error(diff)
	}
	if s := teeth[0]; s.Row != tray.RowUnknown || !strings.Contains(s.Remarks, "mesiolateral") || s.Distal != morph.DenticlesAbsent {
		t.Errorf("%+v", s)
	}
}

// A cell of a table means what it means when it is typed on the bench.
func TestCellsMeanWhatTypingMeans(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.StringMatching(`[1-9][0-9]?([.,][0-9]{1,3})?`)
		cell := rapid.SampledFrom([]string{"", "~", ">", "≥ ", " "}).Draw(t, "mark") + number.Draw(t, "number") +
			rapid.SampledFrom([]string{"", " mm", "cm", " in"}).Draw(t, "unit")
		if rapid.Bool().Draw(t, "spread") {
			cell += rapid.SampledFrom([]string{" ± ", "+/-"}).Draw(t, "sign") + number.Draw(t, "u") + rapid.SampledFrom([]string{"", " mm", " cm"}).Draw(t, "unit of u")
		}
		if rapid.IntRange(0, 5).Draw(t, "word") == 0 {
			cell = rapid.SampledFrom([]string{"?", "/", "<3", "3;4", ">~3", "mm", "-3"}).Draw(t, "cell")
		}
		q, _ := morph.QuantityOf(morph.CBL)
		want, err := tray.ParseTyped(q, cell)
		row := open(t, "id\tCBL\nx\t"+cell+"\n").Sample()[0]
		switch {
		case err != nil || want.State == morph.MeasuredState && classify.CheckValue("CBL", want.Value) != nil:
			if len(row.Problems) == 0 {
				t.Fatalf("%q is refused when typed (%v), and was taken from a table: %+v", cell, err, row.Values)
			}
		case classify.CheckValue("CBL", want.Value) == nil || want.Value == 0:
			teeth, err := open(t, "id\tCBL\nx\t"+cell+"\n").Specimens(nil, false, 1)
			if err != nil {
				t.Fatal(err)
			}
			if got := teeth[0].Typed["CBL"]; got != want {
				t.Fatalf("%q is %+v when typed and %+v from a table", cell, want, got)
			}
		}
	})
}

// teeth draws a table as people keep them: readings with and without marks,
// some missing.
func teethOf(t *rapid.T) (text string) {
	columns := []string{"CBL", "CBW", "CH", "AL", "MC", "DC"}
	text = "id,tooth row," + strings.Join(columns, ",") + "\n"
	for i := range rapid.IntRange(1, 4).Draw(t, "rows") {
		text += fmt.Sprintf("t%d,%s", i, rapid.SampledFrom([]string{"", "mesial", "lateral"}).Draw(t, "row"))
		cbl := rapid.Float64Range(2, 60).Draw(t, "CBL")
		for _, v := range []float64{cbl, cbl * rapid.Float64Range(0.3, 1.2).Draw(t, "CBR"), cbl * 2, cbl * 2.2, 5 + cbl/4, 6 + cbl/5} {
			cell := fmt.Sprintf("%.2f", v)
			text += "," + rapid.SampledFrom([]string{"", cell, cell, cell, "~" + cell, ">" + cell, "?"}).Draw(t, "cell")
		}
		text += "\n"
	}
	return text
}

// A row is sorted as the same tooth in the tray is.
func TestRowsAreSortedAsTeethOfATrayAre(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		table := open(t, teethOf(t))
		rows := cells(t, sortAll(t, table).Table())
		teeth, err := table.Specimens(nil, false, intake.MaxTray)
		if err != nil {
			t.Fatal(err)
		}
		form, cannot := column(rows, "form"), column(rows, "cannot_say")
		for i, s := range teeth {
			a := tray.Find(s).Answer
			if got := rows[i+1]; got[form] != string(a.Form) || got[cannot] != a.CannotSay {
				t.Fatalf("%+v is %q (%s) in the table and %q (%s) in the tray", s.Typed, got[form], got[cannot], a.Form, a.CannotSay)
			}
		}
	})
}

func column(rows [][]string, heading string) int {
	for i, h := range rows[0] {
		if h == heading {
			return i
		}
	}
	return -1
}

func hostile() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.StringOfN(rapid.SampledFrom([]rune("=+-@'\",; \t\n1.<>\u202e\u200f＝é")), 0, 8, -1),
		rapid.SampledFrom([]string{"<script>alert(1)</script>", "=HYPERLINK(\"x\")", "'=1", "20,5", "-3", "NaN", "1e9", "absent", strings.Repeat("x", 10_001)}),
	)
}

// Whatever stands in a table, every one of its own cells comes out of the
// sorting as it was; and a table that was sorted can be sorted again.
func TestSortedTableKeepsItsCells(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		delimiter := rapid.SampledFrom([]byte{',', ';', '\t'}).Draw(t, "delimiter")
		width := rapid.IntRange(1, 4).Draw(t, "other columns")
		heading := []string{"CBL", "CBW"}
		for range width {
			heading = append(heading, hostile().Filter(func(s string) bool { return len(s) < 100 }).Draw(t, "heading"))
		}
		want := [][]string{heading}
		for range rapid.IntRange(1, 4).Draw(t, "rows") {
			row := []string{fmt.Sprint(rapid.IntRange(1, 50).Draw(t, "CBL"))}
			for range rapid.IntRange(0, width+2).Draw(t, "cells") { // short rows, and one cell too many
				row = append(row, hostile().Draw(t, "cell"))
			}
			want = append(want, row)
		}
		var file []byte
		for _, row := range want {
			file = append(grid.AppendCells(file, delimiter, row...), '\n')
		}
		for range 2 {
			table := open(t, string(file))
			if table.Columns()[1].Holds != typed.Reading {
				t.Fatalf("%+v", table.Columns())
			}
			file = sortAll(t, table).Table()
			got := cells(t, file)
			if len(got) != len(want) {
				t.Fatalf("%d rows, want %d", len(got), len(want))
			}
			for i, row := range want {
				if diff := cmp.Diff(row, got[i][:len(row)]); diff != "" {
					t.Fatalf("row %d (-want +got):\n%s", i, diff)
				}
				if len(got[i]) != len(got[0]) {
					t.Fatalf("row %d has %d cells under %d headings", i, len(got[i]), len(got[0]))
				}
			}
		}
	})
}

// The table that a tray writes (state and ± beside each value) comes back with
// the values that were typed.
func TestTableOfATrayComesBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := &tray.Specimen{Name: hostile().Filter(func(s string) bool {
			return strings.TrimSpace(s) == s && strings.Trim(s, " \ufeff\u200f") != "" && len(s) < 100
		}).Draw(t, "name"),
			Row: tray.RowLateral, Age: "Late Cretaceous", Country: "Canada", Remarks: "=1+1", Typed: map[morph.ID]morph.Typed{}}
		s.Formation, s.Invented = "Example Formation", rapid.Bool().Draw(t, "invented")
		for _, id := range []morph.ID{"CBL", "CBW", "CH", "MCL", "DC"} {
			v := morph.Typed{Value: float64(rapid.IntRange(500, 3000).Draw(t, string(id))) / 100}
			v.State = rapid.SampledFrom([]morph.State{morph.MeasuredState, morph.Estimated, morph.Minimum, morph.Unknown}).Draw(t, "state")
			switch {
			case v.State == morph.Unknown:
				v.Value = 0
			case rapid.Bool().Draw(t, "spread"):
				v.U = 0.125
			}
			s.Typed[id] = v
		}
		var b strings.Builder
		if err := sheet.CSV(&b, []*tray.Specimen{s}, tray.Find, sheet.Versions{}); err != nil {
			t.Fatal(err)
		}
		table := open(t, b.String())
		if faults := survey(t, table, nil).Faults; faults.N > 0 {
			t.Fatalf("%v", faults.First)
		}
		back, err := table.Specimens(nil, false, 1)
		if err != nil {
			t.Fatal(err)
		}
		got := back[0]
		for id := range got.Typed {
			if _, given := s.Typed[id]; !given {
				delete(got.Typed, id) // a ratio that follows from the lengths
			}
		}
		s.ID, got.ID = "", ""
		if diff := cmp.Diff(s, got); diff != "" {
			t.Fatalf("%s\n(-want +got):\n%s", b.String(), diff)
		}
	})
}

func TestFaultsAreListedAndCounted(t *testing.T) {
	var b strings.Builder
	b.WriteString("id,CBL,CBW\n")
	for i := range intake.FaultsShown + 20 {
		fmt.Fprintf(&b, "t%d,-%d,5\n", i, i+1)
	}
	b.WriteString("open,\"1\nopen again,2,3\n")
	table := open(t, b.String())
	s := survey(t, table, nil)
	if s.Faults.N != intake.FaultsShown+21 || len(s.Faults.First) != intake.FaultsShown || s.Unread != 1 || s.Rows != intake.FaultsShown+21 {
		t.Errorf("%d faults, %d shown, %d rows, %d unread", s.Faults.N, len(s.Faults.First), s.Rows, s.Unread)
	}
	report := cells(t, s.Faults.Report())
	if len(report) != s.Faults.N+1 || !cmp.Equal(report[1], []string{"2", "2", "CBL", "-1", "a number above zero that a tooth can have"}) {
		t.Errorf("%d rows in the report, first %q", len(report), report[1])
	}
	sorted := sortAll(t, table)
	if sorted.Faults.N != s.Faults.N || sorted.Rows != s.Rows {
		t.Errorf("sorting counts %d faults in %d rows", sorted.Faults.N, sorted.Rows)
	}
	rows := cells(t, sorted.Table())
	if got := rows[1][column(rows, "left_out")]; !strings.Contains(got, "CBL") {
		t.Errorf("left_out is %q", got)
	}
}

func TestKnownNames(t *testing.T) {
	known := intake.NamesOf([]*tray.Specimen{{Name: "KB  14"}, {Name: "Tooth 2", Catalogue: tray.Catalogue{CatalogNumber: "XY 7"}}})
	table := open(t, "id,CBL\nkb 14,20\nXY 7,21\nother,22\n,23\n")
	if s := survey(t, table, known); s.Known != 2 || s.Rows != 4 {
		t.Errorf("%+v", s)
	}
	teeth, err := table.Specimens(known, true, 10)
	if err != nil || len(teeth) != 2 || teeth[0].Name != "other" || teeth[1].Name != "teeth.csv line 5" {
		t.Errorf("%v %v", teeth, err)
	}
	if all, _ := table.Specimens(known, false, 10); len(all) != 4 {
		t.Errorf("%d teeth when none is skipped", len(all))
	}
	if _, err := table.Specimens(known, false, 3); err == nil || !strings.Contains(err.Error(), fmt.Sprint(intake.MaxTray)) {
		t.Errorf("over the limit: %v", err)
	}
}

func TestRefusedTables(t *testing.T) {
	for want, text := range map[string]string{
		"is empty":          "",
		"zero bytes":        "CBL\x00\x01\x02",
		"UTF-8":             "\x89PNG\r\n\x1a\n",
		"spreadsheet's own": "PK\x03\x04",
		"no row of values":  "CBL,CBW\n",
		"not a letter":      "1,2\n3,4\n",
		"more than":         "CBL" + strings.Repeat(",", grid.MaxCells) + "x\n1\n",
		"not closed":        "\"CBL,CBW\n1,2\n",
	} {
		_, err := intake.Open("a.csv", []byte(text))
		if err == nil || !strings.Contains(err.Error(), want) || !strings.HasPrefix(err.Error(), "a.csv") {
			t.Errorf("%.20q: %v; want something with %q", text, err, want)
		}
	}
	if err := intake.CheckSize("big.csv", grid.MaxBytes+1); err == nil || !strings.Contains(err.Error(), "64 MB") {
		t.Errorf("a file that is too large: %v", err)
	}
	if err := intake.CheckSize("a.csv", grid.MaxBytes); err != nil {
		t.Error(err)
	}
	table := open(t, "colour\nred\n")
	if table.Check() == nil {
		t.Error("a table without a measurement can be read")
	}
}

func TestNamesOfFiles(t *testing.T) {
	for name, want := range map[string]string{
		"teeth.csv": "teeth-x.csv", "../../etc/passwd": "table-x.csv", "": "the table-x.csv", "..": "the table-x.csv",
		"a\u202egnp.csv": "agnp-x.csv", "=cmd|'/c'!A1.tsv": "cmdcA1-x.csv", "Zähne 3.csv": "Zähne 3-x.csv",
	} {
		table, err := intake.Open(name, []byte("CBL\n1\n"))
		if err != nil {
			t.Fatal(err)
		}
		if got := table.FileName("-x.csv"); got != want {
			t.Errorf("%q gives %q, want %q", name, got, want)
		}
	}
	long, _ := intake.Open(strings.Repeat("x", 10_000), []byte("CBL\n1\n"))
	if len(long.FileName("-x.csv")) > 100 {
		t.Errorf("a long name stays long: %d", len(long.FileName("")))
	}
}

func TestSortingStops(t *testing.T) {
	table := open(t, "CBL,CBW\n"+strings.Repeat("20,10\n", 50))
	ctx, stop := context.WithCancel(context.Background())
	n := 0
	_, err := table.Sort(ctx, tray.Sorting{}, func(s *intake.Sorted) {
		if n = s.Rows; n >= 7 {
			stop()
		}
	})
	if !errors.Is(err, context.Canceled) || n > 20 {
		t.Errorf("stopped after %d rows: %v", n, err)
	}
	if _, err := table.Survey(ctx, nil, func(float64) {}); !errors.Is(err, context.Canceled) {
		t.Errorf("the survey: %v", err)
	}
}

func TestDecimalCommasStay(t *testing.T) {
	rows := cells(t, sortAll(t, open(t, "\ufeffid;CBL;CBW;CH\na;41,46;15,15;71,01\n")).Table())
	if got := rows[1][column(rows, "coverage")]; got != "0,90" {
		t.Errorf("coverage is %q", got)
	}
	if got := sortAll(t, open(t, "\ufeffid;CBL\na;1,5\n")).Table(); !strings.HasPrefix(string(got), "\ufeffid;CBL;form;") {
		t.Errorf("%.40q", got)
	}
}

func FuzzOpen(f *testing.F) {
	f.Add([]byte("id,CBL,CBW\na,1,2\n"))
	f.Add([]byte("\ufeffName;CBL;u(CBL);Site\r\n=1;1,5;2;x\r\n\"b;1\r\n"))
	f.Add([]byte("\xff\xfeC\x00B\x00L\x00\n\x001\x00"))
	f.Fuzz(func(t *testing.T, file []byte) {
		table, err := intake.Open("f.csv", file)
		if err != nil {
			return
		}
		table.Sample()
		s, err := table.Survey(context.Background(), nil, func(float64) {})
		if err != nil {
			return
		}
		teeth, err := table.Specimens(nil, false, 1000)
		if err == nil && len(teeth) != s.Rows {
			t.Fatalf("%d rows and %d teeth", s.Rows, len(teeth))
		}
		for _, x := range teeth {
			x.ID = "x"
			if err := x.Check(); err != nil {
				t.Fatalf("a row became a specimen that cannot be kept: %v", err)
			}
		}
		sortAll(t, table).Table()
	})
}

// BenchmarkSort sorts typed rows with four lengths and two densities each.
func BenchmarkSort(b *testing.B) {
	for _, n := range []int{1000, 10_000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			table := open(b, invented(n))
			b.ReportAllocs()
			for b.Loop() {
				sortAll(b, table)
			}
			b.ReportMetric(float64(b.Elapsed().Microseconds())/float64(b.N*n), "µs/row")
		})
	}
}

// invented makes a table of invented teeth.
func invented(n int) string {
	r := rand.New(rand.NewPCG(1, 2))
	var b strings.Builder
	b.WriteString("id,CBL,CBW,CH,AL,MC,DC\n")
	for i := range n {
		cbl := 5 + 40*r.Float64()
		fmt.Fprintf(&b, "Invented %d,%.2f,%.2f,%.2f,%.2f,%.1f,%.1f\n", i+1, cbl, cbl*(0.35+0.5*r.Float64()), cbl*(1.5+r.Float64()), cbl*(1.8+r.Float64()), 8+10*r.Float64(), 8+10*r.Float64())
	}
	return b.String()
}
