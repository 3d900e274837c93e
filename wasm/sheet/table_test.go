package sheet_test

import (
	"bytes"
	"encoding/csv"
	"errors"
	"math"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"unicode"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// table writes specimens and reads them with the standard library's reader:
// one map from heading to cell for each row.
func table(t interface{ Fatalf(string, ...any) }, specimens ...*tray.Specimen) []map[string]string {
	var b bytes.Buffer
	if err := sheet.CSV(&b, specimens, tray.Find, versions); err != nil {
		t.Fatalf("%v", err)
	}
	rows, err := csv.NewReader(bytes.NewReader(b.Bytes())).ReadAll()
	if err != nil {
		t.Fatalf("%v", err)
	}
	if len(rows) != len(specimens)+1 {
		t.Fatalf("%d rows for %d specimens", len(rows), len(specimens))
	}
	var out []map[string]string
	for _, row := range rows[1:] {
		cells := map[string]string{}
		for i, cell := range row {
			cells[rows[0][i]] = cell
		}
		out = append(out, cells)
	}
	return out
}

func TestColumns(t *testing.T) {
	columns := sheet.Columns()
	seen := map[string]bool{}
	plain := regexp.MustCompile(`^[A-Za-z][A-Za-z0-9_]*$`)
	for _, c := range columns {
		if seen[c] || !plain.MatchString(c) {
			t.Errorf("heading %q is twice there or no plain word", c)
		}
		seen[c] = true
	}
	for heading, unit := range map[string]string{
		"CBL_mm": "mm", "CBL_u_mm": "mm", "CBL_state": "", "CBL_how": "", "CBR": "", "CBR_u": "",
		"CMA_deg": "°", "DC_per5mm": "per 5 mm", "DC_u_per5mm": "per 5 mm", "CROWN_AREA_mm2": "mm²", "Z_MD_mm3": "mm³", "I_MD_mm4": "mm⁴",
	} {
		if !seen[heading] {
			t.Errorf("no column %s (%s)", heading, unit)
		}
	}
	// Each quantity that has a unit has it in its headings.
	for _, q := range morph.Quantities {
		i := slices.IndexFunc(columns, func(c string) bool {
			return strings.TrimSuffix(c, "_how") == string(q.ID) && strings.HasSuffix(c, "_how")
		})
		if i < 3 {
			t.Fatalf("no columns for %s", q.ID)
		}
		if value, u := columns[i-3], columns[i-2]; (value == string(q.ID)) != (q.Unit == "") || (u == string(q.ID)+"_u") != (q.Unit == "") {
			t.Errorf("%s, in %q, has the headings %s and %s", q.ID, q.Unit, value, u)
		}
	}
}

func TestCSVOfPublishedTeeth(t *testing.T) {
	rows := table(t, tyrannosaurus(t), carcharodontosaurus(t))
	for i, want := range []map[string]float64{
		{
			"CBL_mm": 45.46, "CBL_u_mm": 0.1, "CBW_mm": 32.63, "CH_mm": 94.06, "AL_mm": 108.36, "MC_per5mm": 6.5, "DC_per5mm": 7.5,
			"CBR": 0.717774, "CHR": 2.069072, "CMA_deg": 59.763528, "CAA_deg": 24.680418, "CDA_deg": 95.556054,
			// Ellipse of the two axes, closed form.
			"Z_MD_mm3": 6620.271966, "Z_LL_mm3": 4751.858210,
		},
		{
			"CBL_mm": 41.46, "CBW_mm": 15.15, "CH_mm": 71.01, "AL_mm": 82.32, "MC_per5mm": 8, "DC_per5mm": 9,
			"CBR": 0.365412, "CHR": 1.712735, "CMA_deg": 59.610506, "CAA_deg": 30.241289, "CDA_deg": 90.148205,
			"Z_MD_mm3": 2556.649085, "Z_LL_mm3": 934.231395,
		},
	} {
		for heading, value := range want {
			got, err := strconv.ParseFloat(rows[i][heading], 64)
			if err != nil || math.Abs(got-value) > 1e-6*max(1, value) {
				t.Errorf("row %d: %s is %q, want %v", i, heading, rows[i][heading], value)
			}
		}
	}
	for i, want := range []map[string]string{
		{
			"name": "FMNH PR2081 mx05", "invented": "no", "tooth_row": "lateral", "form": "robust", "cannot_say": "",
			"CBL_state": "measured", "CBL_how": "typed", "MCL_mm": "", "MCL_state": "", "MCL_how": "", "CBW_u_mm": "",
			"dsdi_rule": "MC/DC", "chr_rule": "CH/CBL", "program_version": "test 1", "changed_utc": "2026-05-04T03:02:01Z", "id": "t1",
		},
		{"name": "SGM Din-1 mx03", "form": "blade"},
	} {
		for heading, cell := range want {
			if rows[i][heading] != cell {
				t.Errorf("row %d: %s is %q, want %q", i, heading, rows[i][heading], cell)
			}
		}
	}
	if !strings.HasPrefix(rows[0]["nearest_specimen"], "FMNH PR2081") || rows[0]["nearest_source"] == "" {
		t.Errorf("nearest is %q from %q", rows[0]["nearest_specimen"], rows[0]["nearest_source"])
	}
	var shares float64
	for _, f := range classify.Forms() {
		cell := rows[0]["share_"+string(f)]
		if cell == "" { // not possible in this tooth row
			continue
		}
		s, err := strconv.ParseFloat(cell, 64)
		if err != nil {
			t.Errorf("share of %s: %v", f, err)
		}
		shares += s
	}
	if math.Abs(shares-1) > 1e-9 {
		t.Errorf("the shares sum to %v", shares)
	}
}

func TestCSVStates(t *testing.T) {
	s := typed(t, "s", "marks", "", map[morph.ID]string{"CBL": "~38", "CH": ">24.6", "AL": "?", "MCL": "/", "DC": "absent", "CBW": "0"})
	s.Mesial = morph.DenticlesNotPreserved
	row := table(t, s)[0]
	for heading, want := range map[string]string{
		"CBL_mm": "38", "CBL_state": "estimated", "CH_mm": "24.6", "CH_state": "minimum", "AL_mm": "", "AL_state": "unknown",
		"MCL_mm": "", "MCL_state": "not applicable", "DC_per5mm": "", "DC_state": "absent", "MC_state": "not preserved",
		"mesial_denticles": "not preserved", "CBW_mm": "", "CBW_state": "", "CBW_how": "",
	} {
		if row[heading] != want {
			t.Errorf("%s is %q, want %q", heading, row[heading], want)
		}
	}
	if !strings.Contains(row["doubts"], "CBW") {
		t.Errorf("a width of 0 is not doubted: %q", row["doubts"])
	}
	if row["form"] != "" || row["cannot_say"] == "" {
		t.Errorf("form %q, cannot say %q", row["form"], row["cannot_say"])
	}
}

// unguard undoes what the documentation of CSV says of texts, by its own words.
func unguard(cell string) string {
	rest, ok := strings.CutPrefix(cell, "'")
	if ok && looksRun(rest) {
		return rest
	}
	return cell
}

// looksRun tells whether a spreadsheet that passes over spaces, apostrophes and
// what is not shown, or cuts a cell at a tab or line break, could take a text
// for a formula.
func looksRun(s string) bool {
	for _, r := range s {
		switch {
		case strings.ContainsRune("=+-@＝＋－＠\t\r\n", r):
			return true
		case r != '\'' && !unicode.In(r, unicode.Z, unicode.Cc, unicode.Cf):
			return false
		}
	}
	return false
}

var plain = regexp.MustCompile(`^[+-]?\d+(\.\d+)?$`)

func TestCSVKeepsTextsAndRunsNothing(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := traytest.Specimen().Draw(t, "specimen")
		f := tray.Find(s)
		row := table(t, s)[0]
		lines := strings.NewReplacer("\r\n", "\n", "\r", "\n")
		for heading, text := range map[string]string{
			"name": s.Name, "age": s.Age, "country": s.Country, "locality": s.Locality, "remarks": s.Remarks, "answer": f.Answer.Said,
		} {
			want := lines.Replace(text)
			if got := unguard(row[heading]); got != want {
				t.Fatalf("%s is %q, was %q", heading, got, want)
			}
		}
		for heading, cell := range row {
			if plain.MatchString(cell) {
				continue
			}
			if strings.IndexAny(cell, "=+-@\t\r") == 0 || looksRun(cell) && !strings.HasPrefix(cell, "'") {
				t.Fatalf("%s begins like a formula: %q", heading, cell)
			}
		}
		for _, r := range f.Readings {
			id := string(r.ID)
			var value string
			for heading, cell := range row {
				if heading == id || strings.HasPrefix(heading, id+"_mm") || heading == id+"_deg" || heading == id+"_per5mm" {
					value = cell
				}
			}
			if !r.Known {
				if value != "" {
					t.Fatalf("%s is not known and reads %q", id, value)
				}
				continue
			}
			if got, err := strconv.ParseFloat(value, 64); err != nil || got != r.Value {
				t.Fatalf("%s is %q, want %v", id, value, r.Value)
			}
			for heading, cell := range row {
				if !strings.HasPrefix(heading, id+"_u") {
					continue
				}
				if got, err := strconv.ParseFloat(cell, 64); r.U > 0 && (err != nil || math.Abs(got-r.U) > 1e-5*r.U) || r.U == 0 && cell != "" {
					t.Fatalf("%s is %q, want %v", heading, cell, r.U)
				}
			}
		}
	})
}

func TestCSVHostileNames(t *testing.T) {
	for _, name := range traytest.Hostile {
		rows := table(t, &tray.Specimen{ID: "x", Name: name, Remarks: name}, &tray.Specimen{ID: "y", Name: "next"})
		if got, want := unguard(rows[0]["name"]), strings.NewReplacer("\r\n", "\n", "\r", "\n").Replace(name); got != want {
			t.Errorf("%q comes back as %q", name, got)
		}
		if rows[1]["name"] != "next" {
			t.Errorf("%q breaks the next row: %q", name, rows[1]["name"])
		}
	}
	for cell, want := range map[string]string{
		"=cmd|' /C calc'!A0": "'=cmd|' /C calc'!A0", "-2+3": "'-2+3", "-12.5": "-12.5", "+7": "+7", "@SUM(A1)": "'@SUM(A1)",
		"KB-014": "KB-014", "'quoted": "'quoted", "'=1": "''=1", "\t=1": "'\t=1", " tail ": " tail ", "\tx": "'\tx",
	} {
		if got := table(t, &tray.Specimen{ID: "x", Name: cell})[0]["name"]; got != want {
			t.Errorf("%q is written as %q, want %q", cell, got, want)
		}
	}
}

// RFC 4180: CR LF ends each row, and the heading is the first.
func TestCSVBytes(t *testing.T) {
	var b bytes.Buffer
	if err := sheet.CSV(&b, nil, tray.Find, versions); err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff(strings.Join(sheet.Columns(), ",")+"\r\n", b.String()); diff != "" {
		t.Errorf("an empty tray (-want +got):\n%s", diff)
	}
	if err := sheet.CSV(full{}, []*tray.Specimen{tyrannosaurus(t)}, tray.Find, versions); !errors.Is(err, errFull) {
		t.Errorf("a full disk gives %v", err)
	}
}

var errFull = errors.New("full")

// full is a writer without room.
type full struct{}

func (full) Write([]byte) (int, error) { return 0, errFull }
