//go:build browser

package browsertest

import (
	"fmt"
	"strings"
	"testing"
)

// The teeth below are READ in the table compiled by Hendrickx et al. 2024 (J.
// Vert. Paleontol. 43(4): e2311791), lengths in mm: Carcharodontosaurus SGM
// Din-1 mx03, Tyrannosaurus FMNH PR2081 mx05, Acrocanthosaurus NCSM 14345 pm01
// (a front tooth).

// quickTooth types calliper values into a fresh quick check; "" leaves a cell
// empty.
func quickTooth(p *Page, ch, cbl, cbw string) {
	p.t.Helper()
	if p.Visible("#quick") {
		p.Click("#quick")
	} else {
		if !p.Visible("#tray .actions") {
			p.ClickRole("button", "Tray")
			p.follow()
		}
		p.ClickRole("button", "Quick check")
	}
	p.Until(`document.activeElement?.id === "cell-CH"`)
	p.Fill("#cell-CH", ch)
	if cbl != "" {
		p.Fill("#cell-CBL", cbl)
	}
	if cbw != "" {
		p.Fill("#cell-CBW", cbw)
	}
	p.Press("Tab")
}

// said waits until the sorting says something, whether or not it is slid in.
func said(p *Page, want string) {
	p.t.Helper()
	p.Until(fmt.Sprintf(`document.querySelector(".said").textContent.includes(%q)`, want))
}

// showNumbers slides the sorting in where the window is small.
func showNumbers(p *Page) {
	p.t.Helper()
	if p.Visible(".top button.drawer") {
		p.ClickRole("button", "Numbers")
		p.Until(`document.querySelector("#side").getBoundingClientRect().right <= innerWidth + 1`)
	}
	p.follow()
}

// shots takes pictures of the side panel down to the readings, a screen at a
// time.
func shots(p *Page, name string) {
	p.t.Helper()
	down := Eval[float64](p, `document.querySelector("#readings-head").offsetTop`)
	for i := range int(down/600) + 1 {
		p.Exec(fmt.Sprintf(`document.querySelector("#side").scrollTop = %d`, i*600))
		p.follow()
		p.Shot(fmt.Sprintf("%s-%d", name, i))
	}
}

// clades counts those that the answer leaves possible.
func clades(p *Page) int {
	p.t.Helper()
	return Eval[int](p, `Number(/Clades: (\d+) of/.exec(document.querySelector("#answer").textContent)?.[1] ?? 0)`)
}

// Three calliper values give a form, the set it stands in, how far the tooth
// lies from all others, and its evidence unfolds under the mouse. At a higher
// coverage sets hold at least as much; the choice is kept with the browser.
func TestSortingOfThreeNumbers(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "94.06", "45.46", "32.63")
	said(p, "Robust-conical")
	p.UntilText(".sets", "robust-conical")
	p.UntilText(".reach", "of 100 published teeth")
	if got := p.Value("#coverage"); got != "0.90" {
		t.Errorf("the coverage begins as %q", got)
	}
	at90 := clades(p)
	p.Click("details.clades-of > summary")
	p.Pick("#coverage", "95 of 100 teeth")
	p.Until(`document.querySelector("#answer").textContent.includes("held the true clade for about 95")`)
	at95 := clades(p)
	p.Press("Home") // of the list, which still has the keyboard
	p.Until(`document.querySelector("#answer").textContent.includes("held the true clade for about 80")`)
	if at80 := clades(p); at80 > at90 || at90 > at95 || at80 == at95 || at80 == 0 {
		t.Errorf("%d, %d and %d clades stay possible at 80, 90 and 95 %%", at80, at90, at95)
	}
	p.Click("details.why > summary")
	p.UntilText("table.pulls", "CBW")
	p.UntilText("details.why", "No ± is stated")
	p.Fill("#cell-CBW", "32.63 ± 0.5")
	p.Press("Tab")
	p.Click("#try-steady")
	p.UntilText("#steady", "robust-conical")
	p.Click("details.near > summary")
	p.UntilText("table.nearest", "Tyrannosaurus")
	p.UntilText("#build", "Build: knife or spike")
	shots(p, "sorting-robust")
	p.Until(`document.querySelector("#saving").textContent === "Saved"`)
	p.Reload()
	p.Until(`document.documentElement.dataset.state === "ready"`)
	said(p, "Robust-conical")
	if got := p.Value("#coverage"); got != "0.80" {
		t.Errorf("after loading the page again the coverage is %q", got)
	}
	p.ClickRole("button", "Sheet")
	p.UntilText(".sheet-sorting", "coverage of the sets 80 %")
	p.UntilText(".sheet-sorting", "Of 100 such teeth about 80")
	p.Shot("sorting-sheet")
}

// Without a width nothing is said of the form, and the page takes the person to
// where it is typed.
func TestSortingWithoutAWidth(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "71.01", "41.46", "")
	said(p, "Cannot say")
	p.UntilText(".missing", "CBW")
	if p.Visible("dl.shares") {
		t.Error("shares of forms without a width")
	}
	shots(p, "sorting-lateral")
	p.Click("#way-CBW")
	p.Until(`document.activeElement.id === "cell-CBW"`)
	p.Type("15.15")
	said(p, "Blade-like")
	// The front of what was heard is short and stays while digits follow.
	if heard := Eval[string](p, `document.querySelector("#answer-spoken").textContent`); heard != "Sorting: blade-like." {
		t.Errorf("those who listen hear %q", heard)
	}
}

// A front tooth has the largest share once it is known to be mesial; before
// that it may as well be a robust one.
func TestSortingOfAFrontTooth(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "49.12", "21.12", "16.16")
	said(p, "Cannot say")
	p.UntilText(".sets", "front tooth of a blade-toothed animal")
	p.UntilText(".sets", "robust-conical")
	p.UntilText(".cautions", "Front teeth")
	shots(p, "sorting-thick")
	p.Pick("#quick-row", "mesial (premaxilla, front of dentary)")
	p.Until(`document.querySelector("dl.shares dt").textContent === "Front tooth"`)
	p.Pick("#coverage", "95 of 100 teeth")
	p.UntilText(".sets", "front tooth of a blade-toothed animal")
	if strings.Contains(p.Text(".shares"), "Blade-like") {
		t.Error("a tooth known to be mesial has a share of the lateral form")
	}
	shots(p, "sorting-front")
}

// A width with its decimal mark in the wrong place lies outside of everything:
// no name, why, and the slip that would explain it.
func TestSortingOutside(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "94.06", "45.46", "326.3")
	said(p, "Cannot say")
	p.UntilText(".outside", "No name is given")
	p.UntilText(".outside", "CBW is 32.63 mm rather than 326.3 mm")
	if p.Visible("dl.shares") || p.Visible(".clades") {
		t.Error("shares are shown of a tooth that lies outside")
	}
	shots(p, "sorting-outside")
	p.Fill("#cell-CBW", "32.63")
	p.Press("Tab")
	said(p, "Robust-conical")
}

// Identified teeth of one's own join the comparison, are told apart in the
// answer and on the sheet, can be left aside as a whole, come back after the
// page was loaded again, and can be removed and put back.
func TestOwnComparisonTeeth(t *testing.T) {
	p := Open(t, Laptop)
	quickTooth(p, "71.01", "41.46", "15.15")
	said(p, "15 of the 15 nearest published crowns")
	p.Click("#comparison")
	p.Until(`document.activeElement.id === "comparison-close"`)
	p.Click("#own-add")
	p.UntilText("#own-tooth-why", "clade or the form")
	p.Shot("comparison-refused")
	p.Fill("#own-taxon", "Example tooth")
	p.Pick("#own-form", "Blade-like")
	p.Click("#own-add")
	p.UntilText("#own-tooth-why", "certain")
	p.Click("#own-certain")
	p.Click("#own-add")
	p.UntilText(".own-list", "Example tooth")
	// A table: the second row lacks its width and is said so.
	p.Click("#own-table")
	p.ChooseFiles("#file-input", File{Name: "mine.csv", Bytes: []byte("id;clade;form;CBL mm;CBW mm;CH mm\nA 1;Abelisauridae;blade;14,1;7,2;25,9\nA 2;Abelisauridae;blade;14,1;;25,9\n")})
	p.UntilText(".own-list", "A 1")
	p.UntilText(".notices", "CBW is missing")
	p.ClickRole("button", "Put away")
	p.Click("#test-sample")
	p.UntilText(".sample-test", "Your own, form")
	p.Shot("comparison-tested")
	p.Press("Escape")
	p.Until(`!document.querySelector("[role=dialog]")`)

	// The tooth itself is not its own evidence; a twin of it finds it nearest.
	said(p, "15 of the 15 nearest crowns")
	p.Click("details.near > summary")
	p.UntilText("table.nearest", "This tooth")
	if strings.Contains(Eval[string](p, `document.querySelector("table.nearest").textContent`), "Example tooth") {
		t.Error("a tooth is compared with itself")
	}
	quickTooth(p, "71.01", "41.46", "15.15")
	p.UntilText("table.nearest tbody tr:nth-child(2)", "own")
	p.UntilText("#comparison", "2 your own")
	shots(p, "sorting-own")

	p.Until(`document.querySelector("#saving").textContent === "Saved"`)
	p.Reload()
	p.Until(`document.documentElement.dataset.state === "ready"`)
	p.UntilText("#comparison", "2 your own")
	p.ClickRole("button", "Sheet")
	p.UntilText(".sheet-sorting", "2 teeth of one's own")
	p.Click("#sheet-close")

	p.Click("#comparison")
	p.Click("#own-use")
	p.Press("Escape")
	p.Until(`!document.querySelector("#comparison").textContent.includes("your own")`)
	said(p, "nearest published crowns")
	p.Click("#comparison")
	p.ClickRole("button", "Remove A 1")
	p.Until(`!document.querySelector(".own-list").textContent.includes("A 1")`)
	p.Click("#own-back")
	p.UntilText(".own-list", "A 1")
	p.Click("#own-clear")
	p.Until(`!document.querySelector(".own-list")`)
}

// The sorting is looked at on every screen.
func TestSortingOnEveryScreen(t *testing.T) {
	for name, v := range views {
		t.Run(name, func(t *testing.T) {
			p := Open(t, v)
			quickTooth(p, "71.01", "41.46", "15.15")
			said(p, "Blade-like")
			showNumbers(p)
			p.Shot("sorting-" + name)
			for _, part := range []string{"details.why", "details.clades-of", "details.near", "#build details"} {
				p.Click(part + " > summary")
			}
			shots(p, "sorting-open-"+name)
			p.Click("#comparison")
			p.Until(`document.querySelector("[role=dialog]")`)
			p.Shot("comparison-" + name)
		})
	}
}
