//go:build browser

package browsertest

import (
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"strings"
	"testing"
)

// typeTooth types a tooth from the published table (READ Hendrickx et al. 2015,
// data set): Acrocanthosaurus NCSM 14345, an upper front tooth.
func typeTooth(p *Page) {
	p.Click("#quick")
	p.Fill("#cell-CH", "49.12")
	p.Fill("#cell-CBL", "21.12")
	p.Fill("#cell-CBW", "16.16")
	p.Press("Tab")
	p.Until(`/published|between/.test(document.querySelector(".said")?.textContent)`) // on a tablet it is slid out
}

// openMap unfolds the small map and lays the large one over the bench.
func openMap(p *Page) {
	if p.Visible(".top button.drawer") {
		p.ClickRole("button", "Numbers")
	}
	p.Click("#map-fold")
	p.Until(`document.querySelector(".map .chart .spot")`)
	p.Click("#map-open")
	p.Until(`document.querySelector("#map-plot .spot")`)
}

// untilMapSays waits for a text of the drawing.
func untilMapSays(p *Page, text string) {
	p.t.Helper()
	p.Until(fmt.Sprintf(`document.querySelector("#map-plot")?.textContent.includes(%q)`, text))
}

// ownPlace is where the specimen's sign lies in the window.
func ownPlace(p *Page) (x, y float64) { return p.Box("#map-plot .spot").Centre() }

func TestMapByMouseAndKeyboard(t *testing.T) {
	p := Open(t, Laptop)
	typeTooth(p)
	openMap(p)
	// The map has the focus and names the tooth nearest to the one on the desk.
	p.UntilText("#map-tooth", "Source:")

	// Walk: every arrow leads to another tooth, and back home.
	name := func() string { return p.Text("#map-tooth") }
	home := name()
	seen := map[string]bool{home: true}
	for range 5 {
		was := name()
		p.Press("ArrowRight")
		p.Until(fmt.Sprintf(`document.querySelector("#map-tooth").innerText !== %q`, was))
		seen[name()] = true
	}
	if len(seen) < 6 {
		t.Errorf("five steps to the right led to %d teeth", len(seen)-1)
	}
	p.Press("Home")
	p.Until(fmt.Sprintf(`document.querySelector("#map-tooth").innerText === %q`, home))
	ring := p.Box("#map-plot .ring:last-of-type")
	p.Press("ArrowUp")
	p.Until(fmt.Sprintf(`document.querySelector("#map-plot .ring:last-of-type").getBoundingClientRect().y < %g`, ring.Y))

	// Two measures: the tooth lies at its values, and a pointer over it names it.
	p.Pick("#map-view", "Two measures")
	p.Pick("#map-x", "CBW, crown base width")
	p.Pick("#map-y", "CH, crown height")
	untilMapSays(p, "CH, crown height (mm, log scale)")
	untilMapSays(p, "CBW, crown base width (mm, log scale)")
	p.MoveTo(ownPlace(p))
	// It is itself published with these very values.
	p.UntilText("#map-tooth", "Acrocanthosaurus")
	p.UntilText("#map-tooth", "NCSM 14345")
	p.UntilText("#map-tooth", "16.2") // CBW of the tooth at that place
	p.UntilText("#map-tooth", "49.1") // and its CH
	// Away from every tooth the name stays.
	box := p.Box("#map-plot")
	p.MoveTo(box.At(0.99, 0.02))
	p.UntilText("#map-tooth", "NCSM 14345")

	// One clade against the rest.
	p.Pick("#map-clade", "Troodontidae")
	p.UntilText(".map-groups", "Troodontidae (")
	untilMapSays(p, "Other clades (")
	p.Click("#map-group-1")
	p.Until(`!document.querySelector("#map-plot").textContent.includes("Other clades")`)

	drawing := p.Download(func() { p.Click("#map-save") })
	if drawing.Name != "map.svg" {
		t.Errorf("the drawing is called %q", drawing.Name)
	}
	texts, paths := readSVG(t, drawing.Bytes)
	if !strings.Contains(texts, "Troodontidae") || !strings.Contains(texts, "CBW, crown base width") || paths < 4 {
		t.Errorf("the drawing has %d paths and says %q", paths, texts)
	}
	p.Press("Escape")
	p.Until(`!document.querySelector("#map-plot")`)
}

// readSVG reads a drawing as XML and gives its texts and how many paths it has.
func readSVG(t *testing.T, b []byte) (texts string, paths int) {
	t.Helper()
	d := xml.NewDecoder(strings.NewReader(string(b)))
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			return texts, paths
		}
		if err != nil {
			t.Fatalf("the drawing is no XML: %v", err)
		}
		switch token := token.(type) {
		case xml.StartElement:
			if token.Name.Space != "http://www.w3.org/2000/svg" {
				t.Fatalf("the drawing holds %v", token.Name)
			}
			if token.Name.Local == "path" {
				paths++
			}
		case xml.CharData:
			texts += string(token) + " "
		}
	}
}

// A tooth without its width has no place on computed axes; the map says so and
// shows what it has.
func TestMapOfAnIncompleteTooth(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("#quick")
	p.Fill("#cell-CH", "49.12")
	p.Fill("#cell-CBL", "21.12")
	p.Press("Tab")
	p.Click("#map-fold")
	p.UntilText(".map .caution", "not known of this tooth: CBW")
	p.Click("#map-open")
	p.Until(`document.querySelector("#map-plot .spot")`) // CH against CBL
	untilMapSays(p, "CBL, crown base length")
	p.Shot("map-incomplete")
	p.Pick("#map-view", "Two measures")
	p.Pick("#map-x", "CBW, crown base width")
	p.Pick("#map-y", "CH, crown height")
	p.UntilText(".map-plot .caution", "CBW is not known of this tooth; the line marks its CH.")
	p.Until(`!document.querySelector("#map-plot .spot")`)
	p.Shot("map-line")
}

// On a tablet a finger names a tooth.
func TestMapByFinger(t *testing.T) {
	p := Open(t, Tablet)
	typeTooth(p)
	openMap(p)
	p.Pick("#map-view", "Two measures")
	untilMapSays(p, "crown base width")
	p.Exec(`document.querySelector("#map-head").scrollIntoView()`)
	p.follow()
	p.Tap(ownPlace(p))
	p.UntilText("#map-tooth", "Acrocanthosaurus")
}

// The map on every screen, for somebody to look at.
func TestMapLooks(t *testing.T) {
	for name, view := range views {
		t.Run(name, func(t *testing.T) {
			p := Open(t, view)
			openDemo(p)
			openMap(p)
			p.Click("#map-others")
			p.Shot("map-" + name)
			p.Pick("#map-view", "Principal components")
			untilMapSays(p, "Principal component 1")
			p.Pick("#map-clade", "Spinosauridae")
			untilMapSays(p, "Spinosauridae")
			p.Shot("map-clade-" + name)
			p.Pick("#map-view", "Two measures")
			untilMapSays(p, "crown base width")
			p.Pick("#map-clade", "By form")
			p.Click(".map-side")
			p.Shot("map-measures-" + name)
			p.Click("#map-close")
			p.Until(`!document.querySelector("#map-plot")`)
			p.Shot("map-side-" + name)
		})
	}
}

// BenchmarkMap opens the large map and moves over it. ms-to-show is from the
// press of the button until the frame that has the map; ms-per-move is what
// the program computes for one move of the pointer to another tooth, its frame
// included.
func BenchmarkMap(b *testing.B) {
	v := Laptop
	v.Prelude = `{
		const ask = requestAnimationFrame;
		globalThis.atWork = 0;
		globalThis.requestAnimationFrame = f => ask(t => { const s = performance.now(); f(t); atWork += performance.now() - s; });
	}`
	var show, move float64
	for b.Loop() {
		p := Open(b, v)
		typeTooth(p)
		p.Click("#map-fold")
		p.Until(`document.querySelector(".map .chart .spot")`)
		show += Eval[float64](p, `new Promise(done => {
			const start = performance.now();
			document.querySelector("#map-open").click();
			const look = () => document.querySelector("#map-plot") ? requestAnimationFrame(() => done(performance.now() - start)) : requestAnimationFrame(look);
			look();
		})`)
		p.UntilText("#map-tooth", "Source:")
		move += Eval[float64](p, `(async () => {
			const plot = document.querySelector("#map-plot"), box = plot.getBoundingClientRect(), moves = 15;
			atWork = 0;
			let sent = 0;
			for (let i = 0; i < moves; i++) {
				const at = {clientX: box.x + box.width * (0.2 + 0.4 * i / moves), clientY: box.y + box.height * 0.45, bubbles: true};
				const s = performance.now();
				plot.dispatchEvent(new PointerEvent("pointermove", at));
				sent += performance.now() - s;
				await new Promise(done => requestAnimationFrame(done));
			}
			return (atWork + sent) / moves;
		})()`)
		p.Close()
	}
	b.ReportMetric(show/float64(b.N), "ms-to-show")
	b.ReportMetric(move/float64(b.N), "ms-per-move")
}

// The sheet is white paper in every scheme, so the letters of its map are dark
// enough for it: WCAG 2.2, 1.4.3, asks for 4.5 to 1.
func TestMapOnSheetInTheDark(t *testing.T) {
	p := Open(t, Laptop.InDark())
	openDemo(p)
	p.ClickRole("button", "Sheet")
	p.Until(`document.querySelector(".paper .chart text")`)
	const least = `Math.min(...[...document.querySelectorAll(".paper .chart text")].map(e => {
		const [r, g, b] = getComputedStyle(e).fill.match(/[\d.]+/g).map(v => v / 255).map(v => v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4);
		return 1.05 / (0.2126 * r + 0.7152 * g + 0.0722 * b + 0.05);
	}))`
	if c := Eval[float64](p, least); c < 4.5 {
		t.Errorf("letters of the map stand out from the paper by %.1f to 1", c)
	}
}
