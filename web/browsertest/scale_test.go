//go:build browser

package browsertest

import (
	"bytes"
	"image"
	"image/color"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"

	"golang.org/x/image/draw"
	"golang.org/x/image/math/f64"
	"gonum.org/v1/gonum/spatial/r2"
)

// The tilt of the table in the photograph, in degrees, and what it leaves of
// lengths that lie along it, seen from afar: cos 20° = 0.9397 (closed form).
const lean = 20.0

var leaning = math.Cos(lean * math.Pi / 180)

// leantPhoto is a tooth, a scale bar and a printed card of 40 × 30 mm on one
// table that leans away from the camera about a level line.
type leantPhoto struct {
	file    File
	truth   toothphoto.Truth // of the table seen straight from above
	corners [4]r2.Vec        // px of the photograph
}

// seen gives where a point of the table shows.
func (leantPhoto) seen(q r2.Vec) r2.Vec { return r2.Vec{X: q.X, Y: leaning * q.Y} }

func shootLeant(t *testing.T) leantPhoto {
	t.Helper()
	const pxPerMM = 14
	flat, truth, err := toothphoto.Render(blade, toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 1600, Height: 1300, PxPerMM: pxPerMM, X: 0.3, Y: 0.45, Background: toothphoto.Card,
		LightFrom: 315, Blur: 0.7, Noise: 1.5, Bar: toothphoto.ScaleBar{Length: 40, X: 0.7, Y: 0.85}, Seed: 21,
	})
	if err != nil {
		t.Fatal(err)
	}
	l := leantPhoto{truth: truth}
	card := image.Rect(860, 300, 860+40*pxPerMM, 300+30*pxPerMM)
	table := image.NewRGBA(flat.Bounds())
	draw.Draw(table, table.Bounds(), flat, image.Point{}, draw.Src)
	draw.Draw(table, card, image.NewUniform(color.Gray{0xf4}), image.Point{}, draw.Src)
	for i, p := range []image.Point{card.Min, {card.Max.X, card.Min.Y}, card.Max, {card.Min.X, card.Max.Y}} {
		l.corners[i] = l.seen(r2.Vec{X: float64(p.X), Y: float64(p.Y)})
	}
	photo := image.NewRGBA(image.Rect(0, 0, table.Rect.Dx(), int(leaning*float64(table.Rect.Dy()))))
	draw.CatmullRom.Transform(photo, f64.Aff3{1, 0, 0, 0, leaning, 0}, table, table.Bounds(), draw.Src, nil)
	var b bytes.Buffer
	if err := toothphoto.EncodeJPEG(&b, photo, toothphoto.JPEG{}); err != nil {
		t.Fatal(err)
	}
	l.file = File{Name: "leant_lateral.jpg", Bytes: b.Bytes()}
	return l
}

// traceTriangle walks A → G → B in straight lines: the lengths need no more.
func traceTriangle(p *Page, l leantPhoto) {
	p.t.Helper()
	tool(p, "Crown")
	byHand(p)
	point(p, l.seen(*l.truth.A))
	pointTwice(p, l.seen(*l.truth.G))
	pointTwice(p, l.seen(*l.truth.B))
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
}

func dropLeant(p *Page, l leantPhoto) {
	p.t.Helper()
	p.Drop(640, 400, l.file)
	untilPhotographs(p, 1)
}

// looks draws the page on every screen as it stands, for somebody to look at.
func looks(p *Page, name string) {
	p.t.Helper()
	for screen, v := range map[string]View{"dark": Laptop.InDark(), "tablet": Tablet} {
		p.SetView(v)
		p.follow()
		p.Shot(name + "-" + screen)
	}
	p.SetView(Laptop)
	p.follow()
	p.Shot(name)
}

// On a table that leans by 20° the card's corners give every length within 1 %
// of the truth; by the bar, which lies level, a length along the lean comes out
// cos 20° − 1 = −6.0 % wrong, and the page's number is that of the closed form.
func TestCardOnALeaningTable(t *testing.T) {
	l := shootLeant(t)
	p := Open(t, Laptop)
	dropLeant(p, l)
	tool(p, "Scale")
	p.Pick("#scale-by", "a printed card (corrects tilt)")
	p.UntilText("#prompt", "corner of the printed card (P)")
	point(p, l.corners[0])
	point(p, l.corners[1])
	point(p, r2.Vec{X: 700, Y: 900}) // a slip, taken back
	p.UntilText("#prompt", "(S)")
	p.Press("Control+z")
	p.UntilText("#prompt", "(R)")
	point(p, l.corners[2])
	point(p, l.corners[3])
	p.Fill("#cell-card-width", "40")
	p.Press("Tab")
	p.Fill("#cell-card-height", "30")
	p.Press("Enter")
	p.Until(`/px\/mm, tilt/.test(document.querySelector("#scale-value")?.textContent)`)
	said := p.Text("#scale-value")
	_, tilt, _ := strings.Cut(said, "tilt ")
	number, _, _ := strings.Cut(tilt, " ")
	if degrees, err := strconv.ParseFloat(number, 64); err != nil || math.Abs(degrees-lean) > 2 || !strings.Contains(tilt, "±") {
		t.Errorf("the page says %q of a lean of %g°", said, lean)
	}
	p.Press("Tab")
	tool(p, "Scale")
	p.Press("0")
	looks(p, "scale-card")

	traceTriangle(p, l)
	m := l.truth.Measurements
	for id, want := range map[string]float64{"CH": m.CH, "CBL": m.CBL, "AL": m.AL} {
		expect(t, p, id, want, 0.01*want)
	}
	p.ClickRole("button", "Sheet")
	p.UntilText("figcaption", "corners of a card of 40 × 30 mm, which also undo its tilt of")
	p.Until(`document.querySelector("svg.marked image")`)
	p.Shot("scale-card-sheet")
	p.Click("#sheet-close")

	// The same crown by the bar.
	tool(p, "Scale")
	p.Pick("#scale-by", "a scale bar")
	p.UntilText("#prompt", "one end of the scale bar")
	tool(p, "Scale") // the photograph's keys are not the list's
	for _, end := range l.truth.Bar.Ends {
		point(p, l.seen(end))
	}
	p.Fill("#cell-bar", "40")
	p.Press("Enter")
	p.Until(`/px\/mm$/.test(document.querySelector("#scale-value")?.textContent)`)
	apart := func(a, b r2.Vec) float64 { return r2.Norm(r2.Sub(l.seen(a), l.seen(b))) / l.truth.PxPerMM }
	ch := apart(*l.truth.G, *l.truth.B)
	expect(t, p, "CH", ch, 0.005*ch)
	if off := ch/m.CH - 1; off > -0.04 || off < leaning-1 {
		t.Errorf("by the bar CH is %.1f %% off; along the lean it is %.1f %%", 100*off, 100*(leaning-1))
	} else {
		t.Logf("by the bar CH is %.1f %% off, straight along the lean %.1f %%", 100*off, 100*(leaning-1))
	}

	// Depth and pointing: what they do is said, and counts.
	p.Click("details.depth > summary")
	p.UntilText("#depth-said", "level")
	p.Fill("#cell-depth", "5")
	p.Press("Tab")
	p.UntilText("#depth-said", "no length is changed")
	p.Fill("#cell-depth-distance", "500")
	p.Press("Tab")
	p.UntilText("#depth-said", "multiplied by 0.9900")
	expect(t, p, "CH", 0.99*ch, 0.005*ch)
	looks(p, "scale-depth")
}

// The card is marked by keys alone; corners in crossed order are refused in a
// sentence, and one key puts them right.
func TestCardByKeys(t *testing.T) {
	l := shootLeant(t)
	p := Open(t, Laptop)
	dropLeant(p, l)
	tool(p, "Scale")
	p.Pick("#scale-by", "a printed card (corrects tilt)")
	p.UntilText("#prompt", "(P)")
	p.Exec(`document.querySelector("canvas").focus()`)
	for _, ways := range [][]string{
		{"Shift+ArrowLeft", "Shift+ArrowUp"},
		{"Shift+ArrowRight", "Shift+ArrowRight", "Shift+ArrowDown", "Shift+ArrowDown"},
		{"Shift+ArrowUp", "Shift+ArrowUp"},
		{"Shift+ArrowLeft", "Shift+ArrowLeft", "Shift+ArrowDown", "Shift+ArrowDown"},
	} {
		p.Press(ways...)
		p.Press("Enter")
	}
	p.UntilText("#prompt", "crossed order")
	looks(p, "scale-crossed")
	p.Press("o")
	p.UntilText("#prompt", "how wide (P–Q)")
	p.Fill("#cell-card-width", "60")
	p.Press("Tab")
	p.Fill("#cell-card-height", "60")
	p.Press("Enter")
	p.Until(`/px\/mm, tilt/.test(document.querySelector("#scale-value")?.textContent)`)
	before := p.Text("#scale-value")
	p.Exec(`document.querySelector("canvas").focus()`)
	p.Press("Escape", "n", "Shift+ArrowLeft", "Shift+ArrowLeft")
	p.Until(`document.querySelector("#scale-value").textContent !== ` + strconv.Quote(before))
	p.Press("Control+z")
	p.UntilText("#scale-value", before)
}

// Marking again tells how well the person points, and an open reading has its
// 95 % interval a moment later.
func TestMarkAgainAndIntervals(t *testing.T) {
	l := shootLeant(t)
	p := Open(t, Laptop)
	dropLeant(p, l)
	bar := l.truth.Bar
	bar.Ends = [2]r2.Vec{l.seen(bar.Ends[0]), l.seen(bar.Ends[1])}
	setScale(p, bar)
	traceTriangle(p, l)
	p.Click("details.pointing > summary")
	p.UntilText("details.pointing", "1 px, as assumed")
	p.Click("#mark-again")
	marks := []r2.Vec{bar.Ends[0], bar.Ends[1], l.seen(*l.truth.A), l.seen(*l.truth.G), l.seen(*l.truth.B)}
	for round := range 3 {
		for i, at := range marks {
			p.Until(`/again, as if/.test(document.querySelector("#prompt").textContent)`)
			s := onScreen(p, r2.Add(at, r2.Vec{X: float64(round-1) * 6, Y: 4*float64(i%2) - 2}))
			p.ClickAt(s.X, s.Y)
		}
		if round == 0 {
			looks(p, "mark-again")
		}
	}
	p.UntilText("details.pointing", "from 15 marks of 5 points (your own repeats)")
	p.Click(`tr[data-reading="CH"] button`)
	p.UntilWithin(10*time.Second, `/95 % interval: [\d.]+ to [\d.]+ mm \(2,000 draws\)/.test(document.querySelector("#more-CH .interval")?.textContent)`)
	var low, high float64
	text := p.Text("#more-CH .interval")
	fields := strings.Fields(strings.TrimPrefix(text, "95 % interval: "))
	low, _ = strconv.ParseFloat(fields[0], 64)
	high, _ = strconv.ParseFloat(fields[2], 64)
	if ch := reading(p, "CH"); !(low < ch && ch < high) {
		t.Errorf("%q does not hold CH %v", text, ch)
	}
	p.Exec(`document.querySelector("details.pointing").scrollIntoView()`)
	looks(p, "pointing")
}
