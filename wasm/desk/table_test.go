package desk_test

import (
	"fmt"
	"strings"
	"testing"

	"crownbench/wasm/desk"
	"crownbench/wasm/intake"
	"crownbench/wasm/tray"
)

// READ table compiled by Hendrickx et al. 2024: three of its teeth.
const threeTeeth = "Specimen,CBL,CBW,CH\nFMNH PR2081 mx05,45.46,32.63,94.06\nSGM Din-1 mx03,41.46,15.15,71.01\nPVSJ 512 pmx2,2.5,1.62,>6.74\n"

func TestTableIsBroughtInAsOneStep(t *testing.T) {
	d, _ := newDesk()
	d.TakeTable("three.csv", []byte(threeTeeth))
	w := d.TableWork()
	if d.Dialog() != desk.TableDialog || w.Stage != desk.TableOpen || w.Survey == nil || w.Survey.Rows != 3 || d.Tray.Len() != 0 {
		t.Fatalf("stage %v, survey %+v, %d teeth in the tray", w.Stage, w.Survey, d.Tray.Len())
	}
	d.BringIn()
	if d.Tray.Len() != 3 || d.Dialog() != desk.NoDialog || d.Specimen().Name != "FMNH PR2081 mx05" {
		t.Fatalf("%d teeth, dialog %q", d.Tray.Len(), d.Dialog())
	}
	// CALC from the READ lengths: CBR printed 0.717774.
	if got := tray.FormatReading(d.Find(d.Specimen()).Readings.Get("CBR")); got != "0.718" {
		t.Errorf("CBR of the first tooth is %s", got)
	}
	d.Undo()
	if d.Tray.Len() != 0 {
		t.Errorf("one undo leaves %d teeth", d.Tray.Len())
	}
	d.Redo()
	d.TakeTable("three.csv", []byte(threeTeeth+"New,20,10,40\n"))
	if known := d.TableWork().Survey.Known; known != 3 {
		t.Errorf("%d teeth are known", known)
	}
	d.BringIn()
	if d.Tray.Len() != 4 {
		t.Errorf("with known teeth left out the tray holds %d", d.Tray.Len())
	}
	d.TakeTable("three.csv", []byte(threeTeeth))
	d.BringIn()
	if d.Tray.Len() != 4 || len(d.Notices()) == 0 {
		t.Errorf("a table of known teeth only: %d teeth, notices %v", d.Tray.Len(), d.Notices())
	}
	d.AddAgain(true)
	d.BringIn()
	if d.Tray.Len() != 7 {
		t.Errorf("added once more the tray holds %d", d.Tray.Len())
	}
}

// The tray may change while a table waits.
func TestOpenTableIsReadAnew(t *testing.T) {
	d, _ := newDesk()
	d.TakeTable("three.csv", []byte(threeTeeth))
	d.OpenDialog(desk.NoDialog)
	d.QuickCheck()
	d.SetField(desk.NameField, "SGM Din-1  mx03")
	d.OpenTable()
	if known := d.TableWork().Survey.Known; known != 1 {
		t.Errorf("%d teeth are known", known)
	}
}

func TestColumnsOfATableAreChanged(t *testing.T) {
	d, _ := newDesk()
	d.TakeTable("a.csv", []byte("length,w\n2,1\n"))
	if w := d.TableWork(); w.Wrong == "" || w.Survey != nil {
		t.Fatalf("a table without a measurement: %+v", w)
	}
	d.BringIn()
	d.SetTableColumn(0, "CBL")
	d.SetTableUnit(0, "cm")
	d.SetTableColumn(1, "CBL")
	if !strings.Contains(d.TableWork().Wrong, "both set to the same") {
		t.Errorf("two columns alike: %q", d.TableWork().Wrong)
	}
	d.SetTableColumn(1, "")
	d.BringIn()
	if d.Tray.Len() != 1 || d.Specimen().Typed["CBL"].Value != 20 || d.Specimen().Name != "a.csv line 2" {
		t.Errorf("%+v", d.Specimen())
	}
}

func TestTableIsSortedAndSaved(t *testing.T) {
	d, out := newDesk()
	d.TakeTable("three.csv", []byte(threeTeeth+"=bad,-3,,\n"))
	d.SaveFaults()
	if report := string(out.downloaded["three-faults.csv"]); !strings.Contains(report, "5,2,CBL,-3,") {
		t.Errorf("the report is %q", report)
	}
	d.SortTable()
	w := d.TableWork()
	if w.Stage != desk.TableSorted || w.Sorted.Rows != 4 || w.Sorted.Faults.N != 1 {
		t.Fatalf("%+v", w)
	}
	d.SaveSorted()
	saved := string(out.downloaded["three-sorted.csv"])
	if lines := strings.Split(saved, "\r\n"); len(lines) != 6 || !strings.HasPrefix(lines[1], "FMNH PR2081 mx05,45.46,32.63,94.06,robust,") || !strings.HasPrefix(lines[4], "'=bad,-3,,,") {
		t.Errorf("saved:\n%s", saved)
	}
	d.BackToColumns()
	if w.Stage != desk.TableOpen || w.Survey == nil {
		t.Errorf("%+v", w)
	}
	d.PutTableAway()
	if d.TableWork().Stage != desk.TableWanted {
		t.Errorf("%+v", d.TableWork())
	}
	d.SaveSorted()
	d.SaveFaults()
	d.BackToColumns()
	d.SortTable()
}

// While a table is being sorted the person stops it, opens another one in vain,
// and goes on.
func TestSortingIsStopped(t *testing.T) {
	d, out := newDesk()
	d.TakeTable("long.csv", []byte("CBL,CBW\n"+strings.Repeat("20,10\n", 200)))
	turns := 0
	out.turn = func() {
		if turns++; d.TableWork().Stage != desk.TableSorting {
			return
		}
		switch turns {
		case 5:
			d.TakeTable("other.csv", []byte(threeTeeth))
		case 10:
			out.turn = nil
			d.StopSorting()
		}
	}
	turns = 0
	d.SortTable()
	w := d.TableWork()
	if w.Stage != desk.TableOpen || w.Table.Name != "long.csv" || w.Survey == nil {
		t.Fatalf("%+v", w)
	}
	said := fmt.Sprint(d.Notices())
	if !strings.Contains(said, "is being sorted") || !strings.Contains(said, "stopped after 160 rows") {
		t.Errorf("said: %s", said)
	}
	d.SortTable()
	if d.TableWork().Stage != desk.TableSorted {
		t.Error("the table cannot be sorted after it was stopped once")
	}
}

func TestTrayTakesNoMoreThanItCan(t *testing.T) {
	d, _ := newDesk()
	d.TakeTable("long.csv", []byte("CBL,CBW\n"+strings.Repeat("20,10\n", intake.MaxTray+1)))
	d.BringIn()
	if d.Tray.Len() != 0 || len(d.Notices()) != 1 || !strings.Contains(d.Notices()[0].Text, fmt.Sprint(intake.MaxTray)) {
		t.Errorf("%d teeth, %v", d.Tray.Len(), d.Notices())
	}
}

func TestRefusedTableLeavesTheOpenOne(t *testing.T) {
	d, _ := newDesk()
	d.TakeTable("three.csv", []byte(threeTeeth))
	d.TakeTable("bad.csv", []byte("\x00\x01"))
	if w := d.TableWork(); w.Table == nil || w.Table.Name != "three.csv" || len(d.Notices()) != 1 {
		t.Errorf("%+v %v", w, d.Notices())
	}
}

func TestWhatIsATable(t *testing.T) {
	for name, want := range map[string]bool{
		"a.csv": true, "A.TSV": true, "b.txt": true, "book.xlsx": true, "tooth.jpg": false, "tray.json": false, "": false, "csv": false,
	} {
		if desk.IsTable(name, "") != want {
			t.Errorf("%q: %v", name, !want)
		}
	}
	if !desk.IsTable("unnamed", "text/csv") || desk.IsTable("x", "image/png") {
		t.Error("by media type")
	}
	d, _ := newDesk()
	for text, want := range map[string]bool{
		"id\tCBL\nA\t2\n": true, "CBL,CBW\r\n1,2": true, "just words": false, "two\nlines": false, "one, with a comma": false, "": false,
	} {
		if d.PasteTable(text) != want {
			t.Errorf("%q pasted: %v", text, !want)
		}
	}
}
