package tray_test

import (
	"fmt"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// A quick check: two calliper values are typed, one of them is corrected, and
// the correction is taken back.
func Example() {
	var t tray.Tray
	ids, err := t.Add("quick check", &tray.Specimen{Name: "invented tooth", Invented: true})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, cell := range []struct {
		id   morph.ID
		text string
	}{{morph.CBL, "22,6 ± 0,1 mm"}, {morph.CBW, "1.15 cm"}, {morph.CBW, "~12"}} {
		v, u, state, err := tray.ParseNumber(cell.text)
		if err != nil {
			fmt.Println(err)
			return
		}
		t.Edit(ids[0], "type "+string(cell.id), "", func(s *tray.Specimen) {
			if s.Typed == nil {
				s.Typed = map[morph.ID]morph.Typed{}
			}
			s.Typed[cell.id] = morph.Typed{Value: v, U: u, State: state}
		})
	}
	show := func() {
		f := tray.Find(t.Get(ids[0]))
		for _, id := range []morph.ID{morph.CBL, morph.CBW, morph.CBR} {
			fmt.Println(id, tray.FormatReading(f.Readings.Get(id)))
		}
	}
	show()
	label, _, _ := t.Undo()
	fmt.Println("undone:", label)
	show()
	// Output:
	// CBL 22.60 ± 0.10 mm
	// CBW ~12 mm
	// CBR ~0.5310 ± 0.0023
	// undone: type CBW
	// CBL 22.60 ± 0.10 mm
	// CBW 11.5 mm
	// CBR 0.5088 ± 0.0023
}
