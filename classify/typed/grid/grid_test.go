package grid_test

import (
	"encoding/csv"
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/classify/typed/grid"
)

func Example() {
	r, err := grid.NewReader([]byte("tooth;CBL\r\n\"A; 1\";20,5\r\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for {
		row, ok, err := r.Next()
		if err != nil || !ok {
			break
		}
		fmt.Printf("line %d: %q\n", row.Line, row.Cells)
	}
	fmt.Printf("%s\n", grid.AppendCells(nil, ';', "=1+1", "a;b", "-3.5"))
	// Output:
	// line 1: ["tooth" "CBL"]
	// line 2: ["A; 1" "20,5"]
	// '=1+1;"a;b";-3.5
}

func read(t interface{ Fatalf(string, ...any) }, text string) [][]string {
	r, err := grid.NewReader([]byte(text))
	if err != nil {
		t.Fatalf("%q: %v", text, err)
	}
	var rows [][]string
	for {
		row, ok, err := r.Next()
		if err != nil {
			t.Fatalf("%q: %v", text, err)
		}
		if !ok {
			return rows
		}
		if row.Open {
			t.Fatalf("%q: the quotes of line %d do not close", text, row.Line)
		}
		rows = append(rows, row.Cells)
	}
}

// texts are what cells of hostile and ordinary tables hold. Line breaks are LF,
// as every reader of CSV gives them back, and no text is so long that its
// quotes count as never closed.
func texts() *rapid.Generator[string] {
	return rapid.OneOf(
		rapid.StringMatching(`[ -~]{0,12}`),
		rapid.StringOfN(rapid.SampledFrom([]rune("=+-@'\",; \t\n1.٣\u202e\ufeff＝é")), 0, 6, -1),
		rapid.SampledFrom([]string{"<script>alert(1)</script>", "=HYPERLINK(\"x\")", "@SUM(1)", "'=1", "''", "20,5", "-3", "NaN"}),
	)
}

// A table that was written reads as it was, whatever stands in it; and what was
// written reads the same to the standard library, but for the guards.
func TestWrittenTableReadsTheSame(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		delimiter := rapid.SampledFrom([]byte{',', ';', '\t'}).Draw(t, "delimiter")
		width := rapid.IntRange(2, 5).Draw(t, "width")
		heading := []string{"x"} // so that the delimiter can be told
		for len(heading) < width {
			heading = append(heading, texts().Draw(t, "heading"))
		}
		rows := [][]string{heading}
		for range rapid.IntRange(0, 4).Draw(t, "rows") {
			row := []string{"row"} // blank rows are passed over
			for len(row) < width {
				row = append(row, texts().Draw(t, "cell"))
			}
			rows = append(rows, row)
		}
		var file []byte
		for _, row := range rows {
			file = append(grid.AppendCells(file, delimiter, row...), '\r', '\n')
		}
		got := read(t, string(file))
		for _, row := range got {
			for i := range row {
				row[i] = grid.Unguard(row[i])
			}
		}
		if diff := cmp.Diff(rows, got); diff != "" {
			t.Fatalf("%q (-want +got):\n%s", file, diff)
		}
		standard := csv.NewReader(strings.NewReader(string(file)))
		standard.Comma = rune(delimiter)
		again, err := standard.ReadAll()
		if err != nil {
			t.Fatalf("%q: %v", file, err)
		}
		for i, row := range again {
			for j, cell := range row {
				if cell != grid.Guard(rows[i][j]) {
					t.Fatalf("the standard library reads %q, want %q", cell, grid.Guard(rows[i][j]))
				}
			}
		}
	})
}

// What begins a formula in a spreadsheet (common practice, no source: = + - @,
// tab, carriage return) does not begin a guarded cell, and the guard comes off.
func TestGuard(t *testing.T) {
	for _, text := range []string{"=1+1", "+1+1", "-1+1", "@SUM(A1)", "\t=1", "\n=1", " =1", "'=1", "＝1", "\ufeff=1", "\x00=1", "\u200b\x1f=1", "-", "+"} {
		guarded := grid.Guard(text)
		if guarded != "'"+text {
			t.Errorf("%q becomes %q", text, guarded)
		}
		if back := grid.Unguard(guarded); back != text {
			t.Errorf("%q came back as %q", text, back)
		}
	}
	if got := grid.Guard("\r=1"); got != "'\n=1" {
		t.Errorf("a carriage return first: %q", got)
	}
	for _, text := range []string{"", "45.46", "-3", "+3.5", "'78", "d'12", "~38", ">24.6", "?", "/", "28.05*"} {
		if got := grid.Guard(text); got != text || grid.Unguard(text) != text {
			t.Errorf("%q becomes %q", text, got)
		}
	}
}

func TestRefusedFiles(t *testing.T) {
	for want, file := range map[string]string{
		"empty":         " \n\t\n",
		"zero bytes":    "CBL\x00\x01",
		"UTF-8":         "Gr\xf6sse,CBL\n",
		"spreadsheet's": "PK\x03\x04\x14\x00",
		"larger than":   strings.Repeat("1", grid.MaxBytes+1),
	} {
		if _, err := grid.NewReader([]byte(file)); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%.10q: %v; want something with %q", file, err, want)
		}
	}
	r, err := grid.NewReader([]byte("a\n" + strings.Repeat(",", grid.MaxCells)))
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := r.Next(); err != nil {
		t.Errorf("the first row: %v", err)
	}
	if r, err = grid.NewReader([]byte(strings.Repeat(",", grid.MaxCells) + "a")); err != nil {
		t.Fatal(err)
	}
	if _, _, err := r.Next(); err == nil || !strings.Contains(err.Error(), fmt.Sprint(grid.MaxCells)) {
		t.Errorf("too many cells: %v", err)
	}
}

// One slip does not swallow what follows it.
func TestOpenQuote(t *testing.T) {
	r, err := grid.NewReader([]byte("a,b\n\"1,2\n3,4\n\"5\",6\n"))
	if err != nil {
		t.Fatal(err)
	}
	var open, lines []int
	for {
		row, ok, _ := r.Next()
		if !ok {
			break
		}
		lines = append(lines, row.Line)
		if row.Open {
			open = append(open, row.Line)
		}
	}
	if !cmp.Equal(lines, []int{1, 2, 3, 4}) || !cmp.Equal(open, []int{2}) {
		t.Errorf("rows on lines %v, open on %v", lines, open)
	}
}

func TestForkReadsOnItsOwn(t *testing.T) {
	r, _ := grid.NewReader([]byte("a\nb\nc\n"))
	r.Next()
	f := r.Fork()
	one, _, _ := r.Next()
	two, _, _ := f.Next()
	if one.Cells[0] != "b" || two.Cells[0] != "b" || f.Progress() != r.Progress() {
		t.Errorf("%q and %q", one.Cells, two.Cells)
	}
}

func FuzzNext(f *testing.F) {
	f.Add("a,b\r\n\"1\n2\",3\r")
	f.Add("\ufeff'=1;\"\"\"x\"\n\"open\n")
	f.Add("\xff\xfea\x00,\x00b\x00\n\x00")
	f.Fuzz(func(t *testing.T, file string) {
		r, err := grid.NewReader([]byte(file))
		if err != nil {
			return
		}
		line := 0
		for {
			row, ok, err := r.Next()
			if err != nil || !ok {
				break
			}
			if row.Line <= line || len(row.Cells) == 0 {
				t.Fatalf("line %d after %d with %d cells", row.Line, line, len(row.Cells))
			}
			line = row.Line
			for _, c := range row.Cells {
				if back := grid.Unguard(grid.Guard(c)); back != c && !strings.Contains(c, "\r") {
					t.Fatalf("%q came back as %q", c, back)
				}
			}
		}
		if p := r.Progress(); p < 0 || p > 1 {
			t.Fatalf("progress %v", p)
		}
	})
}
