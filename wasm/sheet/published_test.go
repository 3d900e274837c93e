package sheet_test

import (
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

var versions = sheet.Versions{Program: "test 1", Sorting: "teeth x"}

// typed makes a specimen of cells as a person types them.
func typed(t testing.TB, id, name string, row tray.Row, cells map[morph.ID]string) *tray.Specimen {
	t.Helper()
	s := &tray.Specimen{ID: id, Name: name, Row: row, Typed: map[morph.ID]morph.Typed{}, Changed: time.Date(2026, 5, 4, 3, 2, 1, 0, time.UTC)}
	for q, cell := range cells {
		v, u, state, err := tray.ParseNumber(cell)
		if err != nil {
			t.Fatal(err)
		}
		s.Typed[q] = morph.Typed{Value: v, U: u, State: state}
	}
	return s
}

// Rows of the table compiled by Hendrickx et al. 2024 (J. Vert. Paleontol.
// 43(4): e2311791), read there, with the ratios and the mesial angle printed.
func tyrannosaurus(t testing.TB) *tray.Specimen {
	return typed(t, "t1", "FMNH PR2081 mx05", tray.RowLateral, map[morph.ID]string{
		"CBL": "45.46 ± 0.1", "CBW": "32.63", "CH": "94.06", "AL": "108.36", "MC": "6.5", "DC": "7.5",
	})
}

func carcharodontosaurus(t testing.TB) *tray.Specimen {
	return typed(t, "t2", "SGM Din-1 mx03", tray.RowLateral, map[morph.ID]string{
		"CBL": "41.46", "CBW": "15.15", "CH": "71.01", "AL": "82.32", "MC": "8.0", "DC": "9.0",
	})
}

// photographed is an invented tooth with everything marked on one photograph:
// a bar of 10 mm over 800 px, as in the closed-form example (80 px per mm), and
// a crown of the sides 3, 4 and 5 hundred px.
func photographed() *tray.Specimen {
	at := func(x, y float64) morph.Vertex { return morph.Vertex{X: x, Y: y} }
	return &tray.Specimen{
		ID: "p", Name: "invented tooth", Invented: true,
		Photos: []tray.Photo{{
			Hash: hash, File: "tooth.jpg", MIME: "image/jpeg", Width: 3000, Height: 2000,
			View: morph.View{
				ID: "v", Role: morph.LateralLabial,
				Bars: []morph.Bar{{From: at(1000, 1800), To: at(1800, 1800), Length: 10, Unit: morph.Millimetre}},
				Crown: &morph.Crown{
					Path: morph.Path{at(1000, 1400), {X: 1000, Y: 1000, Via: [][2]float64{{990, 1200}}}, at(1300, 1400)}, Apex: 1, Done: true,
				},
				Section: &morph.Section{
					Outline: morph.Path{at(2000, 1000), at(2100, 900), at(2200, 1000), at(2100, 1100)}, Done: true, Mesial: 0, Distal: 2,
				},
				Stretches: []morph.Stretch{{
					Carina: morph.DistalCarina, Third: morph.Mid, Done: true,
					Line:  morph.Path{at(1100, 1100), at(1200, 1300)},
					Ticks: []morph.Vertex{at(1110, 1120), at(1130, 1160), at(1150, 1200), at(1170, 1240), at(1190, 1280)},
				}},
			},
		}},
	}
}

const hash = "00112233445566778899aabbccddeeff00112233445566778899aabbccddeeff"
