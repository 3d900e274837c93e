package typed_test

import (
	"strings"
	"testing"

	"crownbench/classify"
	"crownbench/classify/typed"
)

// A table of identified teeth keeps its names; a form that is none is reported
// and the tooth still read. The measurements are READ from the table compiled
// by Hendrickx et al. 2024 (Carcharodontosaurus SGM Din-1 mx03).
func TestReadIdentifiedTeeth(t *testing.T) {
	table, err := typed.Read(strings.NewReader("id,taxon,clade,form,individual,CBL_mm,CBW_mm,CH_mm\n" +
		"a,Carcharodontosaurus,Carcharodontosauridae,blade,SGM Din-1,41.46,15.15,71.01\n" +
		"b,,,Blade-like,,41.46,15.15,71.01\n" +
		"c,,Carcharodontosauridae,round,,41.46,15.15,71.01\n"))
	if err != nil {
		t.Fatal(err)
	}
	if len(table.Ignored) > 0 || len(table.Rows) != 3 {
		t.Fatalf("ignored %q, %d rows", table.Ignored, len(table.Rows))
	}
	a, b, c := table.Rows[0], table.Rows[1], table.Rows[2]
	if a.Taxon != "Carcharodontosaurus" || a.Clade != "Carcharodontosauridae" || a.Form != classify.Blade || a.Individual != "SGM Din-1" {
		t.Errorf("row a is %+v", a)
	}
	if b.Form != classify.Blade || b.Clade != "" || b.Query.Individual != "" {
		t.Errorf("row b is %+v", b)
	}
	if c.Form != "" || len(table.Problems) != 1 || table.Problems[0].Heading != "form" || table.Problems[0].Line != 4 {
		t.Errorf("form %q, problems %v", c.Form, table.Problems)
	}
	if c.Query.Values[classify.CBW] != 15.15 {
		t.Error("a bad form took the measurements with it")
	}
}
