package cell_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"pgregory.net/rapid"

	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray/traytest"
)

func Example() {
	for _, text := range []string{"KB-014", "=1+1", "-12.5", "'=1"} {
		c := cell.Text(text)
		fmt.Println(c, cell.Read(c) == text)
	}
	// Output:
	// KB-014 true
	// '=1+1 true
	// -12.5 true
	// ''=1 true
}

// runs tells whether a spreadsheet that passes over spaces and what is not
// shown, or cuts a cell at a tab or line break, could take a cell for a formula.
func runs(s string) bool {
	if _, err := strconv.ParseFloat(s, 64); err == nil {
		return false
	}
	for _, r := range s {
		switch {
		case strings.ContainsRune("=+-@＝＋－＠\t\r\n", r):
			return true
		case !unicode.In(r, unicode.Z, unicode.Cc, unicode.Cf):
			return false
		}
	}
	return false
}

func check(t interface{ Fatalf(string, ...any) }, text string) {
	c := cell.Text(text)
	if runs(c) {
		t.Fatalf("%q is written as %q, which may run", text, c)
	}
	var b strings.Builder
	w := csv.NewWriter(&b)
	w.UseCRLF = true
	if err := w.Write([]string{c, "next"}); err != nil {
		t.Fatalf("%v", err)
	}
	w.Flush()
	row, err := csv.NewReader(strings.NewReader(b.String())).Read()
	if err != nil || len(row) != 2 || row[1] != "next" {
		t.Fatalf("%q breaks the row: %q, %v", text, row, err)
	}
	want := strings.ReplaceAll(strings.ReplaceAll(text, "\r\n", "\n"), "\r", "\n")
	if got := cell.Read(row[0]); got != want {
		t.Fatalf("%q comes back as %q", text, got)
	}
}

func TestTextComesBackAndRunsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		check(t, rapid.OneOf(traytest.Text(), rapid.String(),
			rapid.StringOf(rapid.SampledFrom([]rune("'=+-@ \t\r\n\u00a0\ufeff\x00\x1f\u200b\u202e＝1,\"")))).Draw(t, "text"))
	})
	for _, text := range traytest.Hostile {
		check(t, text)
	}
	check(t, strings.Repeat("=", 10_000))
}

func FuzzText(f *testing.F) {
	for _, text := range traytest.Hostile {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) { check(t, text) })
}

func TestNumbers(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		v := rapid.Float64().Draw(t, "v")
		if got, err := strconv.ParseFloat(cell.Number(v), 64); err != nil || got != v {
			t.Fatalf("%v is written as %s", v, cell.Number(v))
		}
		if strings.ContainsAny(cell.Number(v), "eE") {
			t.Fatalf("%v has an exponent: %s", v, cell.Number(v))
		}
		u := math.Abs(v)
		if got, err := strconv.ParseFloat(cell.Uncertainty(u), 64); err != nil || math.Abs(got-u) > 5e-6*u {
			t.Fatalf("%v is written as %s", u, cell.Uncertainty(u))
		}
	})
}
