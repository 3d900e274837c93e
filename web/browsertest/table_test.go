//go:build browser

package browsertest

import (
	"context"
	"encoding/csv"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/chromedp"
)

// publishedTable is a table of published teeth as a spreadsheet of much of the
// world saves it. READ: table compiled by Hendrickx et al. 2024 (J. Vert.
// Paleontol. 43(4): e2311791); lengths in mm, denticles per 5 mm. BW is given in
// cm here, and one crown is marked as broken, to have such columns too.
const publishedTable = "Specimen;Tooth class;FABL;BW (cm);CH;AL;MC;DC;Taxon;Drawer\r\n" +
	"FMNH PR2081 mx05;lateral;45,46;3,263;94,06;108,36;6,5;7,5;Tyrannosaurus;3\r\n" +
	"SGM Din-1 mx03;lateral;41,46;1,515;71,01;82,32;8;9;Carcharodontosaurus;3\r\n" +
	"NCSM 14345 pm01;mesial;21,12;1,616;49,12;50,35;18;11,5;Acrocanthosaurus;4\r\n" +
	"PVSJ 512 pmx2;mesial;2,5;0,162;>6,74;7,0;?;25;Eoraptor;5\r\n"

// A dropped table is looked at, confirmed, and its teeth are in the tray with
// the readings of the table; one undo takes them all out.
func TestTableIntoTray(t *testing.T) {
	p := Open(t, Laptop)
	p.Drop(640, 400, File{Name: "published.csv", Bytes: []byte(publishedTable)})
	p.UntilText("#table-survey", "4 rows · no faults")
	if got := p.Value("#column-3") + p.Value("#unit-3"); got != "CBWcm" {
		t.Errorf("BW (cm) is proposed as %q", got)
	}
	if p.Visible("#tray") {
		t.Error("something was brought in before it was confirmed")
	}
	p.Shot("table-columns")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "4")
	p.Shot("table-in-tray")
	p.UntilText(".said", "Robust-conical") // FMNH PR2081 mx05 is the first
	expect(t, p, "CBW", 32.63, 0.006)
	expect(t, p, "CBR", 0.717774, 0.0006)
	p.Click("#tray li:nth-child(4) .pick")
	p.UntilText(`tr[data-reading="CH"] .value`, ">6.74")
	p.ClickRole("button", "Undo")
	p.Until(`!document.querySelector("#tray")`)
	p.ClickRole("button", "Redo")
	p.UntilText("#tray .count", "4")

	// The same table again: its teeth are noticed.
	p.Drop(640, 400, File{Name: "published.csv", Bytes: []byte(publishedTable + "New one;lateral;20;1;40;;;;;\r\n")})
	p.UntilText("#table-known", "4 of these teeth")
	p.Shot("table-known")
	p.UntilText("#table-bring", "Put 1 tooth into the tray")
	p.Click("#table-again")
	p.UntilText("#table-bring", "Put 5 teeth into the tray")
	p.Click("#table-skip")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "5")
}

// The table that a tray leaves as is understood when it comes back: what it
// says beside each value too, and that its teeth are here already.
func TestTrayTableComesBack(t *testing.T) {
	p := Open(t, Laptop)
	openDemo(p)
	p.ClickRole("button", "Out")
	table := p.Download(func() { p.Click("#out-csv") })
	p.Click("#out-close")
	p.Drop(640, 400, table)
	p.UntilText("#table-survey", "7 rows · no faults")
	p.UntilText("#table-known", "7 of these teeth")
	p.Shot("table-from-tray")
	p.Click("#table-again")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "14")
	p.UntilText(`tr[data-reading="CH"] .how`, "typed")
	if !p.Visible(".top .invented") {
		t.Error("a tooth of the demo came back as if it were real")
	}
}

// manyRows makes a table of invented teeth.
func manyRows(n int) []byte {
	r := rand.New(rand.NewPCG(7, uint64(n)))
	var b strings.Builder
	b.WriteString("note,id,CBL,CBW,CH,AL,MC,DC\n")
	for i := range n {
		cbl := 5 + 40*r.Float64()
		fmt.Fprintf(&b, "invented,Invented %d,%.2f,%.2f,%.2f,%.2f,%.1f,%.1f\n", i+1, cbl,
			cbl*(0.35+0.5*r.Float64()), cbl*(1.5+r.Float64()), cbl*(1.8+r.Float64()), 8+10*r.Float64(), 8+10*r.Float64())
	}
	return []byte(b.String())
}

// A table of 2,000 rows is sorted and saved; every row keeps its own cells.
func TestTableSortedAndSaved(t *testing.T) {
	p := Open(t, Laptop)
	table := manyRows(2000)
	p.Drop(640, 400, File{Name: "drawer.csv", Bytes: table})
	p.UntilText("#table-survey", "2,000 rows · no faults")
	if p.Visible("#table-bring:enabled") {
		t.Error("2,000 teeth may be put into a tray of 500")
	}
	p.Click("#table-sort")
	p.UntilText("#table-tally", "Blade-like")
	p.Shot("table-sorted")
	saved := p.Download(func() { p.Click("#table-save") })
	if saved.Name != "drawer-sorted.csv" {
		t.Errorf("saved as %q", saved.Name)
	}
	rows := readCSV(t, saved.Bytes)
	own := readCSV(t, table)
	if len(rows) != len(own) {
		t.Fatalf("%d rows went in, %d came out", len(own), len(rows))
	}
	forms := map[string]int{}
	for i, row := range rows {
		for c, cell := range own[i] {
			if row[c] != cell {
				t.Fatalf("row %d: %q became %q", i, cell, row[c])
			}
		}
		forms[row[len(own[0])]]++
	}
	if len(forms) < 3 { // the heading and two forms at least
		t.Errorf("forms: %v", forms)
	}
}

func readCSV(t *testing.T, b []byte) [][]string {
	t.Helper()
	rows, err := csv.NewReader(strings.NewReader(strings.TrimPrefix(string(b), "\ufeff"))).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	return rows
}

// While 100,000 rows are being sorted the page answers to clicks; the sorting
// is stopped, and everything goes on.
func TestLongTableIsStopped(t *testing.T) {
	p := Open(t, Laptop)
	p.Drop(640, 400, File{Name: "museum.csv", Bytes: manyRows(100_000)})
	p.UntilWithin(2*p.patience, `document.querySelector("#table-survey")?.innerText.includes("100,000 rows")`)
	p.Click("#table-sort")
	p.Until(`Number(document.querySelector("progress")?.getAttribute("value")) > 0`)
	p.Shot("table-sorting")
	p.Click("#table-close") // the sorting goes on behind
	p.Click("#quick")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Type("94.06")
	p.Until(`document.querySelector("#cell-CH").value === "94.06"`)
	p.ClickRole("button", "Table of teeth")
	p.Until(`document.querySelector("#table-rows")`)
	before := p.Text("#table-rows")
	p.Until(fmt.Sprintf(`document.querySelector("#table-rows").innerText !== %q`, before))
	p.Click("#table-stop")
	p.UntilText(".notices", "was stopped after")
	p.UntilWithin(2*p.patience, `document.querySelector("#table-sort:enabled")`)
	p.Click("#table-other")
	p.Fill("#table-typed", "CBL,CBW\n20,9\n")
	p.Click("#table-take")
	p.UntilText("#table-survey", "1 row · no faults")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "2")
}

// What cannot be right is named by line, column, value and what was expected;
// nothing in a table is taken for markup or runs in a spreadsheet.
func TestTableFaults(t *testing.T) {
	p := Open(t, Laptop)
	var b strings.Builder
	b.WriteString("id;CBL;CBW;remark\n")
	b.WriteString("<script>alert(1)</script>;20,5;<img src=x onerror=alert(1)>;=1+1\n")
	b.WriteString("a\u202e;-3;NaN;@SUM(A1)\n")
	b.WriteString("a\u202e;1e9;10;-\n")
	b.WriteString(strings.Repeat("n", 9_000) + ";20;10;long\n")
	b.WriteString("\"open;20;10;x\n")
	for i := range 120 {
		fmt.Fprintf(&b, "t%d;20;none;\n", i)
	}
	p.Drop(640, 400, File{Name: "faults.csv", Bytes: []byte(b.String())})
	p.UntilText("#table-survey", "126 faults") // six above and the 120 below
	list := p.Text(".faults")
	for _, want := range []string{
		`Line 2, column 3 (CBW): a number was expected, found "<img src=x onerror=alert(1)>".`,
		`Line 3, column 2 (CBL): a number above zero that a tooth can have was expected, found "-3".`,
		`Line 3, column 3 (CBW): a number was expected, found "NaN".`,
		`Line 4, column 1 (id): a name other than that of line 3 was expected`,
		`Line 6: a closing quotation mark was expected`,
	} {
		if !strings.Contains(list, want) {
			t.Errorf("the list lacks: %s", want)
		}
	}
	p.UntilText("#table-more", "26 more")
	p.Shot("table-faults")
	report := readCSV(t, p.Download(func() { p.Click("#table-faults") }).Bytes)
	if len(report) != 127 {
		t.Errorf("the report has %d rows; a heading and 126 faults were expected", len(report))
	}
	p.Click("#table-sort")
	p.UntilText("#table-tally", "Cannot say")
	p.Shot("table-sorted-faults")
	saved := p.Download(func() { p.Click("#table-save") })
	text := string(saved.Bytes)
	if !strings.Contains(text, ";'=1+1;") || !strings.Contains(text, ";'@SUM(A1);") {
		t.Errorf("a formula went out unguarded: %.300q", text)
	}
	p.Click("#table-back")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "124")
	if h := p.Box("#tray li:nth-child(4)").Height; h > 200 {
		t.Errorf("a name of 9,000 characters takes %.0f px in the tray", h)
	}
	p.Shot("table-hostile-tray")
}

// Files that are no tables are refused with a sentence, and nothing is lost.
func TestTablesRefused(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	for _, c := range []struct {
		name, bytes, want string
	}{
		{"empty.csv", "", "is empty"},
		{"binary.csv", "\x89PNG\r\n\x1a\n\x00\x00\x00\rIHDR", "not a text table"},
		{"latin.csv", "Gr\xf6sse,CBL\n1,2\n", "UTF-8"},
		{"book.xlsx", "PK\x03\x04\x14\x00\x06\x00", "spreadsheet's own"},
		{"bare.csv", "1,2,3\n4,5,6\n", "heading row"},
		{"headings.csv", "CBL,CBW\n", "no row of values"},
	} {
		p.Drop(640, 400, File{Name: c.name, Bytes: []byte(c.bytes)})
		p.UntilText(".notices", c.name+" was not opened")
		p.UntilText(".notices", c.want)
		if c.name == "book.xlsx" {
			p.Shot("table-refused")
		}
		for p.Visible(".notice button") {
			p.Click(".notice button")
			p.follow()
		}
	}
	p.Drop(640, 400, File{Name: "one.csv", Bytes: []byte("CBL\n1\n")}, File{Name: "two.csv", Bytes: []byte("CBL\n2\n")})
	p.UntilText(".notices", "two.csv was not opened")
	p.UntilText(".of", "one.csv")
	p.Click(".notice button")
	// UTF-16 with a byte order mark, and a table without a measurement.
	p.Drop(640, 400, File{Name: "colours.csv", Bytes: []byte("\xff\xfec\x00\n\x00r\x00\n\x00")})
	p.UntilText("#table-wrong", "No measurement is among the columns")
	p.Pick("#column-0", "CBL: crown base length")
	p.UntilText("#table-survey", "1 fault")
	p.Click("#table-close")
	p.UntilText("#tray .count", "1")
}

// Cells copied in a spreadsheet are pasted on the page.
func TestTablePasted(t *testing.T) {
	p := Open(t, Laptop)
	p.PasteText("id\tCBL\tCBW\nKB 1\t20.5\t9\n")
	p.UntilText("#table-survey", "1 row · no faults")
	p.Click("#table-other")
	p.Click("#table-typed")
	p.PasteText("id\tCBL\tCBW\nKB 1\t20.5\t9\nKB 2\t21\t10\n")
	p.UntilText("#table-survey", "2 rows")
	p.Click("#table-bring")
	p.UntilText("#tray .count", "2")
	// A text that is pasted into a field stays there.
	p.Click("#name")
	p.PasteText("a\tb\nc\td")
	if p.Visible("#table-survey") {
		t.Error("a paste into the name was taken for a table")
	}
}

// The steps of a table on every screen, for somebody to look at.
func TestTableLooks(t *testing.T) {
	for name, view := range views {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			p.Click("#table-door")
			p.Until(`document.activeElement?.id === "table-pick"`)
			p.Shot("table-door-" + name)
			p.Drop(400, 400, File{Name: "published.csv", Bytes: []byte(publishedTable + "KB 9;upper;-3;1;20;;;;;\r\n")})
			p.UntilText("#table-survey", "5 rows · 2 faults")
			if w := p.Box(".columns").Width; w > float64(view.Width) {
				t.Errorf("the columns are %.0f px wide", w)
			}
			p.Shot("table-columns-" + name)
			p.Click("#table-sort")
			p.UntilText("#table-tally", "Robust-conical")
			p.Shot("table-sorted-" + name)
		})
	}
}

// BenchmarkSortTable sorts a table of 100,000 rows with four lengths and two
// densities each. What counts is s-to-sorted, from the click to the result,
// s-processor, the processor time that the page's thread took for it (the same
// on an idle machine and a busy one), and ms-longest: how long the page was deaf
// to its person at most meanwhile.
func BenchmarkSortTable(b *testing.B) {
	const rows = 100_000
	v := Laptop
	v.Prelude = `globalThis.longest = 0;
	let last = performance.now();
	(function look() {
		const now = performance.now();
		globalThis.longest = Math.max(globalThis.longest, now - last);
		last = now;
		setTimeout(look, 4);
	})();`
	var total, processor, longest float64
	for b.Loop() {
		p := Open(b, v)
		p.patience *= 10
		do(p, "asking for processor time", func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
			return err
		})
		p.Drop(640, 400, File{Name: "museum.csv", Bytes: manyRows(rows)})
		p.UntilText("#table-survey", "100,000 rows")
		p.follow()
		p.Exec(`longest = 0; document.addEventListener("click", () => { globalThis.clicked = performance.now(); }, {capture: true, once: true});
			new MutationObserver(() => {
				if (document.querySelector("#table-save")) globalThis.sortedAt ??= performance.now();
			}).observe(document.body, {childList: true, subtree: true});`)
		before := threadTime(p)
		p.Click("#table-sort")
		p.Until(`globalThis.sortedAt`)
		processor += threadTime(p) - before
		total += Eval[float64](p, `(sortedAt - clicked) / 1000`)
		longest = max(longest, Eval[float64](p, `longest`))
		p.Close()
	}
	b.ReportMetric(total/float64(b.N), "s-to-sorted")
	b.ReportMetric(processor/float64(b.N), "s-processor")
	b.ReportMetric(longest, "ms-longest")
}

// threadTime is the processor time, in s, that the tasks of the page's thread
// have taken.
func threadTime(p *Page) float64 {
	p.t.Helper()
	var s float64
	do(p, "asking for processor time", func(ctx context.Context, t *chromedp.Target) error {
		res, err := cdp.Call(ctx, t, performance.GetMetrics, cdp.Empty{})
		for _, m := range res.Metrics {
			if m.Name == "TaskDuration" {
				s = m.Value
			}
		}
		return err
	})
	return s
}
