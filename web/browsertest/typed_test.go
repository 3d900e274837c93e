//go:build browser

package browsertest

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// The card's minimum: crown height, base length by width, a denticle count,
// all typed, give an answer on one screen.
func TestQuickCheckMinimum(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Type("94.06")
	p.Fill("#cell-ratio", "1.393") // 45.46 / 32.63 of the row below
	p.Fill("#cell-count-DC", "7.5")
	p.Press("Tab")
	// READ Hendrickx et al. 2024, table: Tyrannosaurus FMNH PR2081 mx05, whose
	// crown is robust by the description of its clade's dentition.
	p.UntilText(".said", "Robust-conical")
	if !p.Visible("#next") || !p.Visible(".said") {
		t.Error("the form and the answer are not on one screen")
	}
	p.Shot("quick-minimum")
}

// Published teeth, typed, get the form of their description, and their own
// kind stands among the nearest teeth. The front tooth is as thick as those of
// robust dentitions, and the answer leaves it between the two; it must not rule
// the front tooth out. READ: table compiled by Hendrickx et
// al. 2024 (J. Vert. Paleontol. 43(4): e2311791); lengths in mm, densities per
// 5 mm; ratios and angles as printed there.
func TestPublishedTeethTyped(t *testing.T) {
	for _, tooth := range []struct {
		genus, specimen         string
		cbl, cbw, ch, al        float64
		mc, dc                  float64
		form                    string
		cbr, chr, cma, caa, cda float64
	}{
		{"Tyrannosaurus", "FMNH PR2081 mx05", 45.46, 32.63, 94.06, 108.36, 6.5, 7.5, "Robust-conical", 0.717774, 2.069072, 59.763528, 24.680418, 95.556054},
		{"Carcharodontosaurus", "SGM Din-1 mx03", 41.46, 15.15, 71.01, 82.32, 8, 9, "Blade-like", 0.365412, 1.712735, 59.610506, 30.241289, 90.148205},
		{"Acrocanthosaurus", "NCSM 14345 pm01", 21.12, 16.16, 49.12, 50.35, 18, 11.5, "ront tooth of a blade-toothed animal", 0.7652, 2.3258, 74.4988, 24.4770, 81.0243},
		{"Saurornitholestes", "TMP 94.12.844 mx3", 6.65, 2.25, 11.85, 12.44, 30, 21.66, "Blade-like", 0.3383, 1.7820, 69.2739, 31.6590, 79.0670},
	} {
		t.Run(tooth.specimen, func(t *testing.T) {
			p := Open(t, Desk)
			p.Click("#quick")
			p.Fill("#cell-CH", number(tooth.ch))
			p.Fill("#cell-CBL", number(tooth.cbl))
			p.Fill("#cell-CBW", strings.Replace(number(tooth.cbw), ".", ",", 1)) // as much of the world writes it
			p.Fill("#cell-count-DC", number(tooth.dc))
			p.Fill("#cell-count-MC", number(tooth.mc))
			// The table's tooth class: its one mesial tooth here is the pm01.
			if strings.HasSuffix(tooth.specimen, "pm01") {
				p.Pick("#quick-row", "mesial (premaxilla, front of dentary)")
			} else {
				p.Pick("#quick-row", "lateral (maxilla, dentary)")
			}
			typeInReadings(p, "AL", number(tooth.al))
			p.UntilText(".said", tooth.form)
			for id, want := range map[string]float64{"CBR": tooth.cbr, "CHR": tooth.chr, "CMA": tooth.cma, "CAA": tooth.caa, "CDA": tooth.cda} {
				// The page rounds: ratios to three decimals, angles to one.
				room := 0.0006
				if want > 10 {
					room = 0.051
				}
				expect(t, p, id, want, room)
			}
			p.Click("details.near > summary")
			p.UntilText("table.nearest", "This tooth")
			if near := p.Text("table.nearest"); !strings.Contains(near, tooth.genus) {
				t.Errorf("no %s among the nearest teeth", tooth.genus)
			}
		})
	}
}

// typeInReadings opens a reading and types its value there.
func typeInReadings(p *Page, id, text string) {
	p.t.Helper()
	p.Click(fmt.Sprintf("tr[data-reading=%q] button", id))
	p.Until(fmt.Sprintf(`document.querySelector("#more-cell-%s")`, id))
	p.Fill("#more-cell-"+id, text)
	p.Press("Tab")
	p.Until(fmt.Sprintf(`document.querySelector('tr[data-reading="%s"] .value').textContent.includes(%q)`, id, text))
}

func number(v float64) string { return fmt.Sprint(v) }

// What cannot be true is said beside its cell, and nothing else is lost.
func TestImpossibleValues(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Fill("#cell-CH", "46.1")
	p.Fill("#cell-CBL", "22.6")
	p.Fill("#cell-CBW", "0")
	p.Press("Tab")
	p.Until(`document.querySelector("form.quick .problem")`)
	p.Fill("#cell-CBW", "10.2 mm, about")
	p.Press("Tab")
	p.Until(`document.querySelector("#cell-CBW-why")?.textContent.length > 20`)
	if got := p.Value("#cell-CBW"); got != "10.2 mm, about" {
		t.Errorf("what was typed is gone: the cell holds %q", got)
	}
	p.Shot("impossible-cell")
	p.Fill("#cell-CBW", "10.2")
	p.Fill("#cell-count-DC", "900") // over 5 mm
	p.Press("Tab")
	p.Until(`/DC|denticles/.test([...document.querySelectorAll("form.quick .problem")].map(e => e.textContent).join())`)
	if strings.Contains(p.Text(`tr[data-reading="DC"] .value`), "900") {
		t.Error("a density of 900 per 5 mm counts as a reading")
	}
	// A broken triangle: READ Buitreraptor MPCA 245, 0.7 / 1.1 / 2.2.
	p.Fill("#cell-count-DC", "")
	p.Fill("#cell-CBL", "0.7")
	p.Fill("#cell-CH", "1.1")
	p.Fill("#cell-CBW", "0.4")
	typeInReadings(p, "AL", "2.2")
	p.Until(`/triangle/i.test(document.querySelector(".readings").textContent)`)
	p.Shot("impossible-triangle")
}

// The tray leaves as a table and a record; the record comes back.
func TestOut(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Out")
	table := p.Download(func() { p.Click("#out-csv") })
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(table.Bytes), "\ufeff"))).ReadAll()
	if err != nil || len(rows) != 8 {
		t.Fatalf("the table has %d rows (%v); a heading and 7 teeth were expected", len(rows), err)
	}
	record := p.Download(func() { p.Click("#out-json") })
	if !json.Valid(record.Bytes) {
		t.Fatal("the record is no JSON")
	}
	other := Open(t, Laptop)
	other.Drop(640, 400, File{Name: "tray.json", Bytes: record.Bytes})
	other.UntilText("#tray .count", "7")
	other.ClickRole("button", "Out")
	again := other.Download(func() { other.Click("#out-csv") })
	back, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(again.Bytes), "\ufeff"))).ReadAll()
	if err != nil || len(back) != len(rows) {
		t.Fatalf("the table of the record read back has %d rows (%v)", len(back), err)
	}
	for r := range rows {
		for c := range rows[r] {
			if rows[0][c] != "changed_utc" && rows[0][c] != "id" && rows[r][c] != back[r][c] {
				t.Errorf("row %d, %s: %q became %q", r, rows[0][c], rows[r][c], back[r][c])
			}
		}
	}
}

// The sheet prints without the page around it.
func TestSheetOnPaper(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper svg image").length > 1`)
	p.Shot("sheet")
	v := Laptop
	v.Print = true
	p.SetView(v)
	if p.Visible(".paper-bar") || !p.Visible(".sheet h1") {
		t.Error("on paper stands something else than the sheet")
	}
	p.Shot("sheet-printed")
}
