//go:build browser

package browsertest

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// manyTeeth is a record of n invented teeth that were typed in; every fifth
// lacks its width.
func manyTeeth(t testing.TB, n int) File {
	t.Helper()
	random := rand.New(rand.NewPCG(7, uint64(n)))
	of := tray.Tray{}
	specimens := make([]*tray.Specimen, n)
	for i := range specimens {
		length := 8 + 30*random.Float64()
		s := &tray.Specimen{Name: fmt.Sprintf("Invented %d", i+1), Invented: true, Locality: fmt.Sprintf("invented bed %d", i%7)}
		s.CatalogNumber = fmt.Sprintf("I.%d", i+1)
		s.Typed = map[morph.ID]morph.Typed{
			morph.CBL: {Value: length},
			morph.CH:  {Value: length * (1.4 + 0.9*random.Float64())},
		}
		if i%5 != 0 {
			s.Typed[morph.CBW] = morph.Typed{Value: length * (0.4 + 0.4*random.Float64())}
		}
		specimens[i] = s
	}
	if _, err := of.Add("add", specimens...); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := sheet.Record(&b, of.Specimens(), func(*tray.Specimen) tray.Finding { return tray.Finding{} }, sheet.Versions{Program: "test"}); err != nil {
		t.Fatal(err)
	}
	return File{Name: "many.json", Bytes: b.Bytes()}
}

// rowNames are the names of the rows in the page.
const rowNames = `[...document.querySelectorAll("#tray li .who")].map(e => e.textContent)`

// Of five hundred teeth only the rows in sight are in the page; they are
// scrolled to, searched, filtered, put in order, picked and deleted, and one
// step brings them back.
func TestManyTeeth(t *testing.T) {
	p := Open(t, Laptop)
	p.Drop(640, 400, manyTeeth(t, 500))
	p.UntilText("#tray .count", "500")
	p.Shot("many")
	if n := Eval[int](p, `document.querySelectorAll("#tray li").length`); n > 60 {
		t.Errorf("%d rows of 500 are in the page", n)
	}
	p.Wheel(100, 400, 0, 40_000)
	p.Until(rowNames + `.includes("Invented 500")`)
	if got := Eval[string](p, `document.elementFromPoint(100, 330).closest("li").querySelector(".who").textContent`); !strings.HasPrefix(got, "Invented 4") {
		t.Errorf("at the end of the list stands %q", got)
	}

	p.Fill("#tray-search", "BED i.494")
	p.UntilText("#tray-listed", "1 of 500") // by locality and catalogue number
	p.Fill("#tray-search", "")
	p.Click(".narrow summary")
	p.Until(`document.querySelector("#look-lacks")`)
	lacks := Eval[string](p, `[...document.querySelector("#look-lacks").options].find(o => o.value === "CBW").label`)
	p.Pick("#look-lacks", lacks)
	p.UntilWithin(2*time.Minute, `/^100 of 500/.test(document.querySelector("#tray-listed").innerText)`) // every fifth
	p.Pick("#look-by", "by name")
	p.Click("#look-down")
	p.Until(rowNames + `[0] === "Invented 496"`) // 1, 6, … 496 lack the width; 496 before 491 as numbers
	p.Shot("many-filtered")

	p.Click("#picking")
	p.Click("#tray li:nth-child(2) .picker")
	p.Hold([]string{"Shift"}, func() { p.Click("#tray li:nth-child(5) .picker") })
	p.UntilText(".picked", "4 picked")
	p.Shot("many-picked")
	p.Click("#picked-delete")
	p.UntilText("#tray .count", "496")
	p.ClickRole("button", "Undo")
	p.UntilText("#tray .count", "500")
	p.Click("#pick-all")
	p.UntilText(".picked", "100 picked")
	p.Click("#picked-out")
	table := p.Download(func() { p.Click("#out-csv") })
	if rows := bytes.Count(table.Bytes, []byte("\r\n")); rows != 101 {
		t.Errorf("the table of the picked teeth has %d rows; a heading and 100 were expected", rows)
	}
	p.Shot("out-picked")
}

// The same tooth entered twice is noticed, and each leads to the other.
func TestEnteredTwice(t *testing.T) {
	p := Open(t, Laptop)
	p.Drop(640, 400, manyTeeth(t, 3))
	p.UntilText("#tray .count", "3")
	if p.Visible(".twin") {
		t.Error("three different teeth are taken for the same")
	}
	p.Fill("#name", "Renamed")
	p.Press("Tab")
	p.follow()
	p.Drop(640, 400, manyTeeth(t, 3))
	p.UntilText("#restore-head", "Read")
	p.Click("#restore-both")
	p.UntilText("#tray .count", "4") // two stand there just so
	p.UntilText(".twin", "same catalogue number")
	p.Shot("twice")
	if at := Eval[int](p, `[...document.querySelectorAll("#tray li")].findIndex(e => e.classList.contains("chosen"))`); at != 3 {
		t.Errorf("row %d is on the desk, not the first of those read", at)
	}
	p.Click("#twin-show")
	p.Until(`document.querySelector("#tray li").classList.contains("chosen")`)
	p.ClickRole("button", "Undo")
	p.UntilText("#tray .count", "3")
	p.Until(`!document.querySelector(".twin")`)
}

// BenchmarkManyTeeth opens, scrolls, filters and exports a tray of 500 teeth.
// ms-to-open is from a reload until the rows are there; ms-per-scroll what one
// turn of the wheel costs, to the frame after it; ms-to-filter from the choice
// of a filter that looks at every tooth until it is done, and longest-ms the
// longest time between two frames meanwhile; ms-to-archive until the archive is
// there.
func BenchmarkManyTeeth(b *testing.B) {
	var open, scroll, filter, longest, archive float64
	for b.Loop() {
		p := Open(b, Laptop)
		p.Drop(640, 400, manyTeeth(b, 500))
		p.UntilText("#tray .count", "500")
		p.UntilText("#saving", "Saved")
		start := time.Now()
		p.Reload()
		p.UntilText("#tray .count", "500")
		open += float64(time.Since(start).Milliseconds())
		scroll += Eval[float64](p, `(async () => {
			const list = document.querySelector("#tray ul"), turns = 40, start = performance.now();
			for (let i = 0; i < turns; i++) {
				list.scrollTop += 300;
				await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
			}
			return (performance.now() - start) / turns;
		})()`)
		p.Click(".narrow summary")
		p.Until(`document.querySelector("#look-form")`)
		p.patience = 3 * time.Minute
		took := Eval[[]float64](p, `new Promise(done => {
			const choice = document.querySelector("#look-form"), start = performance.now();
			choice.value = "blade";
			choice.dispatchEvent(new Event("change", {bubbles: true}));
			let last = start, longest = 0;
			const look = now => {
				longest = Math.max(longest, now - last);
				last = now;
				/ of 500/.test(document.querySelector("#tray-listed")?.innerText) && !/Looking/.test(document.querySelector("#tray-listed").innerText)
					? done([performance.now() - start, longest]) : requestAnimationFrame(look);
			};
			requestAnimationFrame(look);
		})`)
		filter, longest = filter+took[0], longest+took[1]
		p.ClickRole("button", "Out")
		start = time.Now()
		p.Download(func() { p.Click("#out-archive") })
		archive += float64(time.Since(start).Milliseconds())
		p.Close()
	}
	n := float64(b.N)
	b.ReportMetric(open/n, "ms-to-open")
	b.ReportMetric(scroll/n, "ms-per-scroll")
	b.ReportMetric(filter/n, "ms-to-filter")
	b.ReportMetric(longest/n, "longest-ms")
	b.ReportMetric(archive/n, "ms-to-archive")
}
