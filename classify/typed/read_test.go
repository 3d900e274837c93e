package typed_test

import (
	"encoding/binary"
	"fmt"
	"math"
	"strings"
	"testing"
	"unicode/utf16"

	"github.com/google/go-cmp/cmp"

	"crownbench/classify"
	"crownbench/classify/typed"
)

func Example() {
	table, err := typed.Read(strings.NewReader("specimen;CBL mm;CBW mm;CH mm;DC\nA 1;20,5;11;41,2;12\nA 2;-3;8;<b>;11\n"))
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, row := range table.Rows {
		fmt.Println(row.ID, row.Query.Values[classify.CBL], row.Query.Values[classify.CBW])
	}
	for _, p := range table.Problems {
		fmt.Println(p.Error())
	}
	// Output:
	// A 1 20.5 11
	// A 2 0 8
	// line 3, column 2 (CBL mm): a number above zero that a tooth can have was expected, found "-3"
	// line 3, column 4 (CH mm): a number was expected, found "<b>"
}

func utf16le(s string) string {
	raw := []byte{0xff, 0xfe}
	for _, u := range utf16.Encode([]rune(s)) {
		raw = binary.LittleEndian.AppendUint16(raw, u)
	}
	return string(raw)
}

func utf16be(s string) string {
	raw := []byte{0xfe, 0xff}
	for _, u := range utf16.Encode([]rune(s)) {
		raw = binary.BigEndian.AppendUint16(raw, u)
	}
	return string(raw)
}

// One table in the ways spreadsheets save it; each must read the same.
func TestSameTableInManyForms(t *testing.T) {
	plain := "id,CBL,CBW,CH\nK–1,20.5,11,41.25\nK2,8,3.5,\n"
	want := []map[classify.Measure]float64{
		{classify.CBL: 20.5, classify.CBW: 11, classify.CH: 41.25},
		{classify.CBL: 8, classify.CBW: 3.5},
	}
	for name, text := range map[string]string{
		"plain":             plain,
		"byte order mark":   "\ufeff" + plain,
		"CR LF":             strings.ReplaceAll(plain, "\n", "\r\n"),
		"CR":                strings.ReplaceAll(plain, "\n", "\r"),
		"no last line end":  strings.TrimSuffix(plain, "\n"),
		"UTF-16 LE":         utf16le(plain),
		"UTF-16 BE":         utf16be(plain),
		"tabs":              strings.ReplaceAll(plain, ",", "\t"),
		"semicolons":        strings.ReplaceAll(plain, ",", ";"),
		"decimal commas":    "id;CBL;CBW;CH\nK–1;20,5;11;41,25\nK2;8;3,5;\n",
		"quoted":            "\"id\",\"CBL\",\"CBW\",\"CH\"\n\"K–1\",\"20,5\",\"11\",\"41,25\"\nK2,8,\"3,5\",\n",
		"units in headings": "Specimen,CBL_mm,CBW (mm),CH [mm]\nK–1,20.5,11,41.25\nK2,8,3.5,\n",
		"centimetres":       "id,CBL_cm,CBW_cm,CH_cm\nK–1,2.05,1.1,4.125\nK2,.8,.35,\n",
		"older names":       "id,FABL,BW,TCH\nK–1,20.5,11,41.25\nK2,8,3.5,\n",
		"blank lines":       "\n\nid,CBL,CBW,CH\n\nK–1,20.5,11,41.25\n,,,\nK2,8,3.5,\n\n",
		"short row":         "id,CBL,CBW,CH\nK–1,20.5,11,41.25\nK2,8,3.5\n",
		"other columns":     "colour,CH,id,CBW,CBL\nred,41.25,K–1,11,20.5\nblue,,K2,3.5,8\n",
	} {
		t.Run(name, func(t *testing.T) {
			table, err := typed.Read(strings.NewReader(text))
			if err != nil {
				t.Fatal(err)
			}
			if len(table.Problems) > 0 || len(table.Rows) != 2 {
				t.Fatalf("%d rows, problems %v", len(table.Rows), table.Problems)
			}
			for i, row := range table.Rows {
				for m, v := range want[i] {
					if math.Abs(row.Query.Values[m]-v) > 1e-12 {
						t.Errorf("row %d: %s = %g, want %g", i, m, row.Query.Values[m], v)
					}
				}
				if len(row.Query.Values) != len(want[i]) {
					t.Errorf("row %d: values %v", i, row.Query.Values)
				}
			}
			if table.Rows[0].ID != "K–1" {
				t.Errorf("id %q", table.Rows[0].ID)
			}
		})
	}
}

func TestProblemsAreLocated(t *testing.T) {
	const heading = "id,CBL,CBW,tooth row,distal denticles\n"
	for _, c := range []struct {
		name, rows   string
		line, column int
		want         string
		kept         int
	}{
		{"negative", "a,-1,2,,\nb,3,2,,\n", 2, 2, "a number above zero that a tooth can have", 2},
		{"absurd", "a,1e9,2,,\n", 2, 2, "a number above zero that a tooth can have", 1},
		{"NaN", "a,NaN,2,,\n", 2, 2, "a number", 1},
		{"Inf", "a,Inf,2,,\n", 2, 2, "a number", 1},
		{"hexadecimal", "a,0x10,2,,\n", 2, 2, "a number", 1},
		{"thousands", "a,\"1,234.5\",2,,\n", 2, 2, "a number", 1},
		{"script", "a,<script>alert(1)</script>,2,,\n", 2, 2, "a number", 1},
		{"row word", "a,3,2,upper,\n", 2, 4, "mesial, lateral, mesiolateral or unknown", 1},
		{"state word", "a,3,2,,some\n", 2, 5, "present, absent, not preserved or unknown", 1},
		{"same id", "a,3,2,,\nb,3,2,,\na,4,3,,\n", 4, 1, "a name other than that of line 2", 3},
		{"open quote", "a,\"3,2,,\nb,3,2,,\n", 2, 0, "a closing quotation mark", 1},
		{"text after a quote", "\"a\"x,3,2,,\nb,3,2,,\n", 2, 0, "a closing quotation mark", 1},
		{"too many cells", "a,3,2,,,9\n", 2, 6, "nothing beyond the last heading", 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			table, err := typed.Read(strings.NewReader(heading + c.rows))
			if err != nil {
				t.Fatal(err)
			}
			if len(table.Problems) != 1 {
				t.Fatalf("problems: %v", table.Problems)
			}
			p := table.Problems[0]
			if p.Line != c.line || p.Column != c.column || p.Want != c.want {
				t.Errorf("%v; want line %d, column %d, %s", p, c.line, c.column, c.want)
			}
			if len(table.Rows) != c.kept {
				t.Errorf("%d rows kept, want %d", len(table.Rows), c.kept)
			}
		})
	}
}

// Marks seen in published tables (READ): ? unknown, / not applicable, > minimum
// because broken, ~ about, * estimated, absent.
func TestTradeMarks(t *testing.T) {
	table, err := typed.Read(strings.NewReader("CBL,CBW,CH,AL,MC,DC,u(CBL)\n~38,28.05*,>24.6,?,/,absent,0.2\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Problems) > 0 {
		t.Fatalf("problems: %v", table.Problems)
	}
	row := table.Rows[0]
	want := map[classify.Measure]float64{classify.CBL: 38, classify.CBW: 28.05}
	if diff := cmp.Diff(want, row.Query.Values); diff != "" {
		t.Errorf("values:\n%s", diff)
	}
	if row.Query.Distal != classify.DenticlesAbsent {
		t.Errorf("distal denticles %v, want absent", row.Query.Distal)
	}
	if row.Query.U[classify.CBL] != 0.2 {
		t.Errorf("uncertainty of CBL %g", row.Query.U[classify.CBL])
	}
	if len(row.Notes) != 1 {
		t.Errorf("notes %q; the minimum should be one", row.Notes)
	}
}

func TestQuotedCellOverLines(t *testing.T) {
	table, err := typed.Read(strings.NewReader("id,CBL\n\"two\nlines, \"\"quoted\"\"\",5\nb,6\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Rows) != 2 || table.Rows[0].ID != "two\nlines, \"quoted\"" || table.Rows[1].Line != 4 {
		t.Errorf("rows %+v", table.Rows)
	}
}

func TestUnreadableTables(t *testing.T) {
	for name, text := range map[string]string{
		"empty":        "",
		"blank":        "\n \n",
		"no measure":   "id,colour\na,red\n",
		"not text":     "CBL\x00\x01",
		"latin letter": "Gr\xf6sse,CBL\n1,2\n",
		"open heading": "\"id,CBL\n",
	} {
		if _, err := typed.Read(strings.NewReader(text)); err == nil || err.Error() == "" {
			t.Errorf("%s: no error", name)
		}
	}
}

func FuzzRead(f *testing.F) {
	f.Add("id,CBL,CBW\na,1,2\n")
	f.Add("\ufeffid;CBL;CBW\r\na;1,5;2\r\n\"b;1\r\nc;3;4")
	f.Add(utf16le("CBL\tCBW\n1\t2\n"))
	f.Add("CBL\n>3\n~4\nabsent\n<script>\n=1+1\n")
	f.Fuzz(func(t *testing.T, text string) {
		table, err := typed.Read(strings.NewReader(text))
		if err != nil {
			return
		}
		for _, p := range table.Problems {
			if p.Line < 1 || p.Want == "" || len([]rune(p.Value)) > 41 {
				t.Errorf("problem %+v", p)
			}
		}
		last := 0
		for _, row := range table.Rows {
			if row.Line <= last {
				t.Errorf("line %d after line %d", row.Line, last)
			}
			last = row.Line
			for m, v := range row.Query.Values {
				if classify.CheckValue(m, v) != nil {
					t.Errorf("%s = %g came through", m, v)
				}
			}
		}
	})
}
