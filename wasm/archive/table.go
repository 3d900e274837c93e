package archive

import (
	"encoding/csv"
	"fmt"

	"crownbench/wasm/sheet/cell"
)

// column declares a column of a table, for the table's own description.
type column struct {
	name  string
	kind  kind
	about string
	unit  string   // of a number, "" when it has none or names it beside it
	term  string   // address of the standard's term, "" when there is none
	words []string // when nothing but one of these stands in it
	must  bool     // never empty
}

// kind is a type of Table Schema.
type kind string

const (
	text    kind = "string"
	number  kind = "number"
	integer kind = "integer"
	boolean kind = "boolean"
	instant kind = "datetime"
)

// table is a table of an archive, filled row by row.
type table struct {
	*part
	title   string
	columns []column
	key     []string // columns that name a row
	refers  []reference
	rows    int
	csv     *csv.Writer
}

// reference says that columns of a table name a row of another.
type reference struct {
	columns []string
	table   string // the other's name without its ending
	to      []string
}

// begin opens the table's file under a row of headings. The content is UTF-8
// without a byte order mark, comma between cells, CR LF after each row, quotes
// as RFC 4180 has them; see package cell.
func (t *table) begin(file string) error {
	t.part = newPart(file)
	t.csv = csv.NewWriter(t.part)
	t.csv.UseCRLF = true
	heads := make([]string, len(t.columns))
	for i, c := range t.columns {
		heads[i] = c.name
	}
	return t.csv.Write(heads)
}

// add writes a row of cells that are safe already; see texts.
func (t *table) add(cells ...string) error {
	if len(cells) != len(t.columns) {
		panic(fmt.Sprintf("archive: %d cells for the %d columns of %s", len(cells), len(t.columns), t.name))
	}
	t.rows++
	return t.csv.Write(cells)
}

func (t *table) end() error {
	t.csv.Flush()
	return t.csv.Error()
}

// texts makes cells of texts.
func texts(all ...string) []string {
	out := make([]string, len(all))
	for i, s := range all {
		out[i] = cell.Text(s)
	}
	return out
}
