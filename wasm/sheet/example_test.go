package sheet_test

import (
	"bytes"
	"fmt"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// A tray with one invented tooth leaves as a table and comes back from its
// record.
func Example() {
	specimens := []*tray.Specimen{{
		ID: "1", Name: "=invented tooth", Invented: true,
		Typed: map[morph.ID]morph.Typed{morph.CBL: {Value: 20, U: 0.1}, morph.CBW: {Value: 12}},
	}}
	v := sheet.Versions{Program: "example"}

	var table bytes.Buffer
	if err := sheet.CSV(&table, specimens, tray.Find, v); err != nil {
		fmt.Println(err)
		return
	}
	lines := strings.Split(table.String(), "\r\n")
	heads, cells := strings.Split(lines[0], ","), strings.Split(lines[1], ",")
	for i, head := range heads[:30] {
		switch head {
		case "name", "invented", "CBL_mm", "CBL_u_mm", "CBW_mm", "CBR":
			fmt.Println(head, cells[i])
		}
	}

	var record bytes.Buffer
	if err := sheet.Record(&record, specimens, tray.Find, v); err != nil {
		fmt.Println(err)
		return
	}
	again, err := sheet.ReadRecord(&record)
	fmt.Println(again[0].Name, again[0].Typed[morph.CBL].Value, err)

	_, err = sheet.ReadRecord(strings.NewReader(`{"format":"crownbench-record","version":1,"specimens":[{"inputs":{"id":`))
	fmt.Println(err)
	// Output:
	// name '=invented tooth
	// invented yes
	// CBL_mm 20
	// CBL_u_mm 0.1
	// CBW_mm 12
	// CBR 0.6
	// =invented tooth 20 <nil>
	// the file ends in the middle of the record in specimen 1; it was cut off
}
