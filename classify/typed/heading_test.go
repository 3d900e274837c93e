package typed_test

import (
	"testing"

	"github.com/google/go-cmp/cmp"

	"crownbench/classify"
	"crownbench/classify/typed"
)

func TestPropose(t *testing.T) {
	reading := func(m classify.Measure, u typed.Unit) typed.Column {
		return typed.Column{Holds: typed.Reading, Measure: m, Unit: u}
	}
	for heading, want := range map[string]typed.Column{
		// Trade names; FABL, BW and TCH from memory.
		"CBL": reading("CBL", "mm"), "fabl": reading("CBL", "mm"), "BW (cm)": reading("CBW", "cm"), "TCH_mm": reading("CH", "mm"),
		"Crown base length [mm]": reading("CBL", "mm"), "crown height in cm": reading("CH", "cm"), "AL, inches": reading("AL", "in"),
		"CBW/CBL": reading("CBR", ""), "CHR": reading("CHR", ""), "Mid-crown width": reading("MCW", "mm"),
		"DC": reading("DC", "per 5 mm"), "DC per 5 mm": reading("DC", "per 5 mm"), "MC/mm": reading("MC", "per mm"), "DA (per 2 mm)": reading("DA", "per 2 mm"),
		"distal denticles per 5 mm": reading("DC", "per 5 mm"), "Mesial denticle density, mid-crown": reading("MC", "per 5 mm"),
		"u(CBL)":               {Holds: typed.Uncertainty, Measure: "CBL", Unit: "mm"},
		"CBL ± (cm)":           {Holds: typed.Uncertainty, Measure: "CBL", Unit: "cm"},
		"CBL_u_mm":             {Holds: typed.Uncertainty, Measure: "CBL", Unit: "mm"},
		"DC_u_per5mm":          {Holds: typed.Uncertainty, Measure: "DC", Unit: "per 5 mm"},
		"CH_state":             {Holds: typed.Standing, Measure: "CH", Unit: "mm"},
		"Cat. no.":             {Holds: typed.Name},
		"catalogNumber":        {Holds: typed.Name}, // READ Darwin Core
		"\u200fSpecimen\u202c": {Holds: typed.Name},
		"Tooth class":          {Holds: typed.ToothRow}, "mesial denticles": {Holds: typed.MesialDenticles},
		"Age": {Holds: typed.Epoch}, "country": {Holds: typed.Country}, "Individual": {Holds: typed.Individual},
		// Nothing that this program reads, or nothing that could be told.
		"Locality": {}, "CA": {}, "MBL": {}, "in": {}, "mm": {}, "": {}, "length": {}, "CBR (mm)": {}, "CBL per mm": {}, "=CBL": {},
	} {
		got := typed.Propose([]string{heading})[0]
		got.Heading = ""
		if diff := cmp.Diff(want, got); diff != "" {
			t.Errorf("%q (-want +got):\n%s", heading, diff)
		}
	}
}

func TestOfTwoAlikeTheFirstCounts(t *testing.T) {
	columns := typed.Propose([]string{"CBL", "FABL", "u(CBL)", "id", "name"})
	var got []typed.Holds
	for _, c := range columns {
		got = append(got, c.Holds)
	}
	if diff := cmp.Diff([]typed.Holds{typed.Reading, typed.Nothing, typed.Uncertainty, typed.Name, typed.Nothing}, got); diff != "" {
		t.Error(diff)
	}
}

func TestColumnsCanBeChanged(t *testing.T) {
	f, err := typed.Open([]byte("a,length,b\n1,2.5,3\n"))
	if err != nil {
		t.Fatal(err)
	}
	if f.Check() == nil {
		t.Error("a table without a measurement was accepted")
	}
	f.Columns[1] = typed.Column{Heading: "length", Holds: typed.Reading, Measure: classify.CBL, Unit: typed.Centimetre}
	if err := f.Check(); err != nil {
		t.Error(err)
	}
	tooth, ok, err := f.Rows().Next()
	if err != nil || !ok || tooth.Query.Values[classify.CBL] != 25 {
		t.Errorf("%+v %v %v", tooth, ok, err)
	}
	f.Columns[2] = f.Columns[1]
	if f.Check() == nil {
		t.Error("two columns of the same measure were accepted")
	}
}
