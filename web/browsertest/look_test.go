//go:build browser

package browsertest

import (
	"fmt"
	"strings"
	"testing"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// views are the screens that every state of the page is looked at on.
var views = map[string]View{
	"laptop": Laptop, "desk": Desk, "tablet": Tablet,
	"laptop-dark": Laptop.InDark(), "desk-dark": Desk.InDark(), "tablet-dark": Tablet.InDark(),
}

// openDemo puts the invented tray on the desk.
func openDemo(p *Page) {
	p.Click("#demo")
	p.Until(`document.querySelector("#tray .count")?.textContent === "7"`) // on a tablet the tray is slid out
	p.Until(`document.querySelector("canvas").dataset.place && !document.querySelector("#stage .card")`)
}

// eachState leads the page, opened anew, through every state that it has and
// calls look in each with the name of the state.
func eachState(p *Page, look func(state string)) {
	look("doors")
	openDemo(p)
	look("demo")
	drawers := p.Visible(".top button.drawer")
	if drawers {
		p.ClickRole("button", "Numbers")
		look("numbers")
		p.ClickRole("button", "Numbers")
		p.ClickRole("button", "Tray")
		look("tray")
	} else {
		p.Click("#tray li:nth-child(2) .pick")
		p.Until(`!document.querySelector("#stage .card")`)
		look("blade")
		unfoldAll(p)
		look("unfolded")
		p.Click("#map-open")
		p.Until(`document.querySelector("#map-plot .spot")`)
		look("map")
		p.Press("Escape")
		p.Click("#comparison")
		p.Until(`document.querySelector("[role=dialog]")`)
		look("comparison")
		p.Press("Escape")
		p.Until(`!document.querySelector("[role=dialog]")`)
	}
	if p.Visible(".notice button") {
		p.Click(".notice button") // on a small window it lies over the tray
	}
	p.Click("#picking")
	p.Click("#pick-all")
	look("picked")
	p.Click("#picked-sizes")
	p.Until(`document.querySelectorAll(".plate-view svg path").length > 7`)
	look("sizes")
	p.Click("#sizes-close")
	p.Click("#picked-shapes")
	p.Until(`document.querySelector("#shapes-plot")`)
	p.Click("#shapes-plot")
	p.Press("Home")
	look("shapes")
	p.Click("#shapes-true")
	look("shapes-true")
	p.Click("#shapes-close")
	p.Click("#picking")
	p.ClickRole("button", "Duplicate")
	p.Until(`document.querySelector(".narrow summary")`)
	p.follow()
	p.Click(".narrow summary")
	p.Until(`document.querySelector("#look-form")`)
	look("tray-look")
	p.Click(".narrow summary")
	p.ClickRole("button", "Undo")
	p.ClickRole("button", "Quick check")
	look("quick")
	p.Fill("#cell-CH", "about ten")
	p.Press("Tab")
	p.Until(`document.querySelector("#cell-CH-why")`)
	look("quick-refused")
	p.ClickRole("button", "Undo")
	for _, name := range []string{"Scale", "Crown", "Section", "Denticles"} {
		tool(p, name)
		look("tool-" + strings.ToLower(name))
	}
	photoStates(p, look)
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper image, .paper img").length > 0`)
	look("sheet")
	p.Click("#sheet-close")
	p.ClickRole("button", "Out")
	look("out")
	p.Click("#out-close")
	p.ClickRole("button", "Help")
	look("help")
	p.Click("#help-close")
	lessonStates(p, look)
	p.Drop(300, 300, File{Name: "teeth.csv", Bytes: []byte("tooth,CBL (mm),CBW (mm),CH (mm)\nA,22.6,10.2,46.1\nB,22.6,wide,46.1\n")})
	p.Until(`document.querySelector("#table-close")`)
	p.follow()
	look("table")
	p.Press("Escape")
	restoreStates(p, look)
}

// restoreStates are the states of a backup that comes back: one that is none, one
// that is cut off, and a whole one of a tray that has changed since.
func restoreStates(p *Page, look func(state string)) {
	p.ClickRole("button", "Out")
	b := p.Download(func() { p.Click("#out-backup") }).Bytes
	p.UntilText("#kept", "Nothing changed since")
	look("backed-up")
	p.Click("#out-close")
	drop := func(name string, b []byte, said string) {
		p.Drop(300, 300, File{Name: name, Bytes: b})
		p.UntilText(".notices", said)
		p.follow()
	}
	drop("none.zip", []byte("PK\x03\x04 nothing"), "was not read")
	look("restore-refused")
	drop("cut.zip", b[:len(b)*2/3], "cut off")
	look("restore-cut")
	p.Fill("#name", "Changed since the backup")
	p.Press("Tab")
	p.Drop(300, 300, File{Name: "backup.zip", Bytes: b})
	p.Until(`document.querySelector("#restore-ours")`)
	p.follow()
	look("restore")
	p.Click("#restore-theirs")
	p.Until(`!document.querySelector("#restore-ours")`)
	p.follow()
	look("restored")
}

// What a note says does not stand over the dialog that it was said beside: not
// over that of a backup which was made, nor over that of one which comes back
// after others were refused.
func TestNotesCoverNoDialog(t *testing.T) {
	for name, view := range map[string]View{"laptop": Laptop, "tablet": Tablet, "laptop-dark": Laptop.InDark(), "tablet-dark": Tablet.InDark()} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			openDemo(p)
			restoreStates(p, func(state string) {
				p.Shot(state + "-" + name)
				if !p.Visible("[role=dialog]") {
					return
				}
				over := p.Box("[role=dialog]")
				for i := range Eval[int](p, `document.querySelectorAll(".notice").length`) {
					if note := p.Box(fmt.Sprintf(".notice:nth-child(%d)", i+1)); note.Y+note.Height > over.Y {
						t.Errorf("%s: a note ends at %.0f, the dialog begins at %.0f", state, note.Y+note.Height, over.Y)
					}
				}
				if over.Height < 150 || over.Y+over.Height > Eval[float64](p, `innerHeight`) {
					t.Errorf("%s: the dialog lies at %v", state, over)
				}
			})
		})
	}
}

// photoStates are the states of what is done with a photograph besides the tools
// as they are taken up.
func photoStates(p *Page, look func(state string)) {
	drawers := p.Visible(".top button.drawer")
	tool(p, "Look")
	p.Click(".shade summary")
	p.Click("#local")
	p.Press("End")
	p.follow()
	look("local-contrast")
	p.ClickRole("button", "As it is")
	p.Click(".shade summary")

	tool(p, "Scale")
	p.Click(".depth summary")
	p.Until(`document.querySelector("#depth-said")`)
	look("depth")
	p.Click(".depth summary")
	p.Pick("#scale-by", "a printed card (corrects tilt)")
	p.UntilText("#prompt", "corner of the printed card")
	look("card-corners")
	for _, corner := range []r2.Vec{{X: 200, Y: 200}, {X: 1300, Y: 220}, {X: 1280, Y: 900}, {X: 210, Y: 880}} {
		point(p, corner)
	}
	p.Until(`document.querySelector("#cell-card-width")`)
	p.follow()
	look("card-sides")
	p.ClickRole("button", "Undo")

	if drawers {
		slideIn(p, "Numbers", ".side")
	}
	p.Exec(`document.querySelector("details.pointing").open || document.querySelector("details.pointing > summary").click()`)
	p.follow()
	p.Click("#mark-again")
	p.UntilText("#prompt", "as if for the first time")
	look("mark-again")
	p.ClickRole("button", "Stop")

	if drawers {
		slideIn(p, "Tray", ".tray")
	}
	estimateTip(p, func() { look("tip") })
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelectorAll(".paper svg image").length === 3`)
	p.Exec(`document.querySelector(".paper path.estimated").scrollIntoView({block: "center"})`)
	p.follow()
	look("sheet-tip")
	p.Click("#sheet-close")
}

// slideIn has a drawer of a small window slid in, and waits until it rests.
func slideIn(p *Page, name, drawer string) {
	p.t.Helper()
	p.ClickRole("button", name)
	p.Until(fmt.Sprintf(`getComputedStyle(document.querySelector(%q)).transform === "none"`, drawer))
}

// lessonStates are the states of what lies behind the button Lesson.
func lessonStates(p *Page, look func(state string)) {
	p.ClickRole("button", "Lesson")
	look("lesson")
	for _, door := range []string{"take", "make", "review", "repeat"} {
		p.Click("#way-" + door)
		p.Until(`document.querySelector("#lesson-back")`)
		look("lesson-" + door)
		if door == "make" {
			p.Click("#ready-1")
			p.Until(`document.querySelector("#lesson-save")`)
			look("lesson-made")
		}
		p.Click("#lesson-back")
		p.Until(`document.querySelector("#way-take")`)
	}
	p.Click("#way-make")
	p.Click("#lesson-another")
	p.Fill("#plan-choices", "Blade\nSpike")
	p.Click("#plan-make")
	p.Until(`document.querySelector("#lesson-save")`)
	sittingStates(p, func(state string) { look("lesson-" + state) })
}

// unfoldAll opens every part of the side panel that is folded away.
func unfoldAll(p *Page) {
	p.t.Helper()
	const folded = `document.querySelectorAll("#side details:not([open]) > summary")`
	for Eval[int](p, folded+".length") > 0 {
		p.Exec(folded + "[0].click()")
		p.follow()
	}
}

// A note that nobody has put away leaves free what a person looks for first, the
// photographs' tabs, the head of the tray and that of the sorting, and whatever
// can be pressed.
func TestNotesCoverNothingToPress(t *testing.T) {
	for name, view := range map[string]View{"laptop": Laptop, "desk": Desk, "tablet": Tablet, "tablet-dark": Tablet.InDark()} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			openDemo(p)
			free := func(head string) {
				t.Helper()
				note, b := p.Box(".notice"), p.Box(head)
				if b.X < note.X+note.Width && note.X < b.X+b.Width && b.Y < note.Y+note.Height && note.Y < b.Y+b.Height {
					t.Errorf("the note at %v lies over %s at %v", note, head, b)
				}
				for _, covered := range Eval[[]string](p, coveredByNotes) {
					t.Errorf("before %s a note lies over %q", head, covered)
				}
			}
			p.Until(`document.querySelector(".notice")`)
			free(".photos")
			drawers := p.Visible(".top button.drawer")
			if drawers {
				slideIn(p, "Numbers", ".side")
			}
			free("#answer .said")
			p.Shot("note-numbers-" + name)
			if drawers {
				slideIn(p, "Tray", ".tray")
			}
			free("#picking")
			p.Shot("note-" + name)
		})
	}
}

// coveredByNotes names what can be pressed and is, or is in part, under a note.
const coveredByNotes = `(() => {
	const notes = [...document.querySelectorAll(".notice")].map(n => n.getBoundingClientRect());
	const pressed = [...document.querySelectorAll(".top button, .top input, .steps button, .steps select, .steps input, .steps summary, .tray button, .side button")];
	return pressed.filter(e => e.checkVisibility({visibilityProperty: true})).filter(e => {
		const b = e.getBoundingClientRect();
		return notes.some(n => b.left < n.right && n.left < b.right && b.top < n.bottom && n.top < b.bottom);
	}).map(e => e.textContent.trim() || e.id);
})()`

// What the page says of its saving comes and goes while a person types; the
// cells must not move under their finger for it.
func TestSavingMovesNothing(t *testing.T) {
	for name, view := range map[string]View{"laptop": Laptop, "tablet": Tablet} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			p.Click("#quick")
			p.UntilText("#saving", "Saved")
			p.follow()
			was := p.Box("#cell-CBL")
			for _, state := range []string{"Saving…", "Not saved", "Not kept"} {
				p.Exec(fmt.Sprintf(`document.querySelector("#saving").textContent = %q`, state))
				if is := p.Box("#cell-CBL"); is != was {
					t.Errorf("with %q the cell lies at %v, before at %v", state, is, was)
				}
			}
		})
	}
}

// A person on a small window, whose numbers are slid out, reads what came of the
// numbers where they typed them.
func TestQuickCheckAnswersOnASmallWindow(t *testing.T) {
	p := Open(t, Tablet)
	x, y := p.Box("#quick").Centre()
	p.Tap(x, y)
	p.Fill("#cell-CH", "71.01") // READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03.
	p.Fill("#cell-CBL", "41.46")
	p.Fill("#cell-CBW", "15.15")
	p.UntilText(".quick .said", "Blade-like")
	x, y = p.Box("#sorted").Centre()
	p.Tap(x, y)
	p.Until(`getComputedStyle(document.querySelector(".side")).transform === "none"`)
	p.UntilText("#side .said", "Blade-like")
}

// Whoever looks at a marked tooth on a small window is shown the way to what came
// of it.
func TestMarkedToothLeadsToItsSortingOnASmallWindow(t *testing.T) {
	p := Open(t, Tablet)
	openDemo(p)
	x, y := p.Box("#sorted").Centre()
	p.Tap(x, y)
	p.Until(`getComputedStyle(document.querySelector(".side")).transform === "none"`)
	p.UntilText("#side .said", "Robust-conical")
	p.Shot("demo-sorted-tablet")
}

// Every state of the page is drawn on every screen, for somebody to look at:
// the pictures are in dist/shots.
func TestEveryState(t *testing.T) {
	for name, view := range views {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			eachState(p, func(state string) { p.Shot(state + "-" + name) })
		})
	}
}

// A second side view of a tooth whose crown is traced is said to be optional, and
// the way leads on past it.
func TestASecondSideViewIsOptional(t *testing.T) {
	for name, view := range map[string]View{"laptop": Laptop, "tablet": Tablet, "laptop-dark": Laptop.InDark(), "tablet-dark": Tablet.InDark()} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			openDemo(p)
			file, _ := shootJPEG(t, "D1_lingual.jpg", blade, lateralShot, toothphoto.JPEG{})
			p.Drop(380, 500, file)
			p.UntilText("#prompt", "this one too is optional")
			p.Until(`!document.querySelector("#stage .card")`)
			p.follow()
			p.Shot("second-side-" + name)
			if p.Visible(".top button.drawer") {
				p.Click("#sorted")
				p.Until(`getComputedStyle(document.querySelector(".side")).transform === "none"`)
			} else if p.Visible("#onward") {
				t.Errorf("the way leads to %q", p.Text("#onward"))
			}
		})
	}
}

// A long name beside the word that a tooth is invented keeps its beginning and
// its end in sight, tells the whole when pointed at, and is typed as ever.
func TestLongNameIsShortenedInItsMiddle(t *testing.T) {
	const long = "Quarry 7, lower bed, trench 12, number 0142"
	for name, view := range map[string]View{"laptop": Laptop, "tablet": Tablet, "laptop-dark": Laptop.InDark(), "tablet-dark": Tablet.InDark()} {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			openDemo(p)
			was := p.Box(".invented")
			p.Fill("#name", long)
			if p.Visible(".at-rest") {
				t.Error("the name is shortened while it is typed")
			}
			p.Press("Tab")
			p.Until(fmt.Sprintf(`document.querySelector("#name").title === %q`, long))
			box := p.Box("#name")
			for _, part := range []string{"first", "last"} {
				b := p.Box(".at-rest > :" + part + "-child")
				if b.Width < 10 || b.X < box.X || b.X+b.Width > box.X+box.Width {
					t.Errorf("the %s part of the name lies at %v, its field at %v", part, b, box)
				}
			}
			if got := Eval[string](p, `document.querySelector(".at-rest").textContent`); got != long {
				t.Errorf("the field shows %q", got)
			}
			if is := p.Box(".invented"); is != was || is.X < box.X+box.Width {
				t.Errorf("the word invented lies at %v, before at %v", is, was)
			}
			p.Shot("long-name-" + name)
		})
	}
}
