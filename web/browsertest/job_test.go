//go:build browser

package browsertest

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// place reads where the photograph lies in the window: a point (x, y) in px of
// the photograph is at (scale·x + dx, scale·y + dy) in CSS px.
func place(p *Page) (scale float64, shift r2.Vec) {
	p.t.Helper()
	text := Eval[string](p, `document.querySelector("canvas").dataset.place ?? ""`)
	if _, err := fmt.Sscan(text, &scale, &shift.X, &shift.Y); err != nil {
		p.t.Fatalf("the canvas does not say where the photograph lies: %q", text)
	}
	return scale, shift
}

// untilPhotographs waits until the tooth on the desk has so many photographs and
// the one chosen is drawn: their buttons stand beside the one that adds another.
func untilPhotographs(p *Page, n int) {
	p.t.Helper()
	p.Until(fmt.Sprintf(`document.querySelectorAll(".photos button").length === %d && !document.querySelector("#stage .card")`, n+1))
}

func onScreen(p *Page, q r2.Vec) r2.Vec {
	scale, shift := place(p)
	return r2.Add(r2.Scale(scale, q), shift)
}

// zoomOn fits the photograph, then turns the wheel over a point, as a person
// does, until its pixels are large enough to point at, and tells where on the
// screen it is.
func zoomOn(p *Page, q r2.Vec, closeness float64) r2.Vec {
	p.t.Helper()
	p.follow() // the steps under the photograph may have grown
	p.Press("0")
	for range 40 {
		at := onScreen(p, q)
		if scale, _ := place(p); scale >= closeness {
			return at
		}
		p.Wheel(at.X, at.Y, 0, -240)
	}
	p.t.Fatalf("the wheel does not zoom in on %v", q)
	return r2.Vec{}
}

// The closeness, in CSS px a photo px, at which a careful person places ends
// and landmarks.
const careful = 2

func point(p *Page, q r2.Vec) {
	p.t.Helper()
	at := zoomOn(p, q, careful)
	p.ClickAt(at.X, at.Y)
}

func pointTwice(p *Page, q r2.Vec) {
	p.t.Helper()
	at := zoomOn(p, q, careful)
	p.DoubleClickAt(at.X, at.Y)
}

// tool takes up one of the bench's tools by its place among them.
func tool(p *Page, name string) {
	p.t.Helper()
	n := map[string]int{"Look": 1, "Scale": 2, "Crown": 3, "Section": 4, "Denticles": 5}[name]
	p.Click(fmt.Sprintf(".tools button:nth-child(%d)", n))
}

// showPhoto puts the specimen's n-th photograph on the bench.
func showPhoto(p *Page, n int) {
	p.t.Helper()
	p.Click(fmt.Sprintf(".photos button:nth-child(%d)", n))
	p.Until(fmt.Sprintf(`document.querySelector(".photos button:nth-child(%d)").getAttribute("aria-pressed") === "true" && !document.querySelector("#stage .card")`, n))
}

// reading is the number that the page shows for a quantity, once it shows one.
func reading(p *Page, id string) float64 {
	p.t.Helper()
	cell := fmt.Sprintf(`document.querySelector('tr[data-reading="%s"] .value').textContent`, id)
	p.UntilWithin(5*time.Second, `/\d/.test(`+cell+`)`)
	number, _, _ := strings.Cut(strings.TrimLeft(Eval[string](p, cell), "~>"), " ")
	v, err := strconv.ParseFloat(strings.TrimSuffix(number, "°"), 64)
	if err != nil {
		p.t.Fatalf("%s: the page shows %q", id, number)
	}
	return v
}

// byHand has lines go straight from click to click.
func byHand(p *Page) {
	p.t.Helper()
	p.Click("#follow")
	p.Until(`!document.querySelector("#follow").checked`)
}

// setScale reads the scale bar of the photograph on the bench.
func setScale(p *Page, bar toothphoto.BarTruth) {
	p.t.Helper()
	tool(p, "Scale")
	point(p, bar.Ends[0])
	point(p, bar.Ends[1])
	p.Fill("#cell-bar", strconv.FormatFloat(bar.Length, 'g', -1, 64))
	p.Press("Enter")
	p.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
}

// shootJPEG renders a photograph as the file that a camera would give.
func shootJPEG(t testing.TB, name string, tooth toothphoto.Tooth, s toothphoto.Shot, o toothphoto.JPEG) (File, toothphoto.Truth) {
	t.Helper()
	img, truth, err := toothphoto.Render(tooth, s)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := toothphoto.EncodeJPEG(&b, img, o); err != nil {
		t.Fatal(err)
	}
	return File{Name: name, Bytes: b.Bytes()}, truth
}

// blade is an invented crown for tests.
var blade = toothphoto.Tooth{
	Name: "HX-1", CBL: 24.2, CBW: 10.6, CH: 47.5, AL: 53.4, MCW: 8.2,
	MesialBow: 0.09, DistalBow: -0.02, MesialSkew: 0.1, Cervix: 0.03, Root: 14, Palette: 2,
	Mesial: toothphoto.Row{Apical: 12, Mid: 12.5, Basal: 14, From: 0.3, To: 0.97},
	Distal: toothphoto.Row{Apical: 11.5, Mid: 12, Basal: 13},
}

// jobPhotos are three photographs of one tooth with what is true of each.
type jobPhotos struct {
	lateral, basal, closeup File
	side, base, carina      toothphoto.Truth
}

func shootJob(t *testing.T) jobPhotos {
	t.Helper()
	var j jobPhotos
	j.lateral, j.side = shootJPEG(t, "HX-1_lateral.jpg", blade, toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 2000, Height: 1500, PxPerMM: 16, Rotation: 24, X: 0.42, Y: 0.45, Background: toothphoto.Sand,
		LightFrom: 315, Blur: 0.7, Noise: 1.5, Bar: toothphoto.ScaleBar{Length: 50, X: 0.75, Y: 0.9}, Seed: 11,
	}, toothphoto.JPEG{})
	j.basal, j.base = shootJPEG(t, "HX-1_basal.jpg", blade, toothphoto.Shot{
		View: toothphoto.Basal, Width: 1200, Height: 900, Rotation: -15, X: 0.5, Y: 0.42, LightFrom: 315, Blur: 0.6, Noise: 1.5,
		PxPerMM: 20, Bar: toothphoto.ScaleBar{Length: 20, Y: 0.9, X: 0.5}, Seed: 12,
	}, toothphoto.JPEG{})
	j.closeup, j.carina = shootJPEG(t, "HX-1_distal.jpg", blade, toothphoto.Shot{
		View: toothphoto.DistalCarina, Width: 1200, Height: 900, PxPerMM: 70, LightFrom: 330, Blur: 0.7, Noise: 1.2,
		Bar: toothphoto.ScaleBar{Style: toothphoto.Line, Length: 5, X: 0.75, Y: 0.1}, Seed: 13,
	}, toothphoto.JPEG{})
	return j
}

// A person takes a tooth from three dropped photographs to every reading and
// its sorting with the mouse alone. Truth is the generator's exact geometry.
func TestWholeJobByMouse(t *testing.T) {
	wholeJob(t, Open(t, Laptop), shootJob(t))
}

func wholeJob(t *testing.T, p *Page, j jobPhotos) {
	t.Helper()
	side, base, carina := j.side, j.base, j.carina
	p.Drop(640, 400, j.lateral, j.basal, j.closeup)
	p.UntilText("#tray .count", "1")
	untilPhotographs(p, 3)

	// The side view: scale, then the crown in one walk A → G → B.
	showPhoto(p, 1)
	setScale(p, side.Bar)
	tool(p, "Crown")
	byHand(p)
	walk := side.PlainOutline
	g := side.PlainApex
	for i := 0; i <= 5; i++ {
		point(p, walk[g*i/6])
	}
	pointTwice(p, *side.G)
	for i := 1; i <= 5; i++ {
		point(p, walk[g+(len(walk)-1-g)*i/6])
	}
	pointTwice(p, *side.B)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	p.Press("0")
	p.Shot("job-crown")
	m := side.Measurements
	for _, c := range []struct {
		id         string
		want, room float64
	}{
		{"CH", m.CH, tolerance(m.CH, side)}, {"AL", m.AL, tolerance(m.AL, side)}, {"CBL", m.CBL, tolerance(m.CBL, side)},
		{"CMA", m.CMA, 1}, {"CAA", m.CAA, 1}, {"CDA", m.CDA, 1}, {"CROWN_AREA", m.AreaPlain, 0.03 * m.AreaPlain},
	} {
		expect(t, p, c.id, c.want, c.room)
	}
	if said := p.Text(".said"); !strings.Contains(said, "annot say") && !strings.Contains(said, "CBW") {
		t.Errorf("a side view alone has no width, but the answer is %q", said)
	}

	// The base: scale, then the section's outline with its ends.
	showPhoto(p, 2)
	setScale(p, base.Bar)
	tool(p, "Section")
	n := len(base.Section)
	for i := range 28 {
		point(p, base.Section[n*i/28])
	}
	p.Press("Enter")
	point(p, *base.MesialEnd)
	point(p, *base.DistalEnd)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(4)").textContent)`)
	p.Press("0")
	p.Shot("job-section")
	expect(t, p, "CBL", m.CBL, tolerance(m.CBL, base))
	expect(t, p, "CBW", m.CBW, tolerance(m.CBW, base))
	expect(t, p, "CBR", m.CBR, 0.01)
	expect(t, p, "BASE_AREA", m.BaseSection.Area, 0.03*m.BaseSection.Area)

	// The close-up: scale, a stretch of carina, a tick on each denticle.
	showPhoto(p, 3)
	setScale(p, carina.Bar)
	tool(p, "Denticles")
	var row toothphoto.TracedStretch
	for _, s := range toothphoto.Trace(carina).Stretches {
		if len(s.Ticks) > len(row.Ticks) {
			row = s
		}
	}
	for i, q := range row.Line {
		v := r2.Vec{X: q[0], Y: q[1]}
		if i == len(row.Line)-1 {
			pointTwice(p, v)
		} else if i%4 == 0 {
			point(p, v)
		}
	}
	for _, q := range row.Ticks {
		point(p, r2.Vec{X: q[0], Y: q[1]})
	}
	p.Press("0")
	p.Shot("job-denticles")
	expect(t, p, "DC", m.Distal.Mid.Per5mm, 0.05*m.Distal.Mid.Per5mm)

	// The answer: an invented blade has the proportions of one (CBR 0.44).
	p.UntilWithin(5*time.Second, `/Blade-like/.test(document.querySelector(".said").textContent)`)
	p.Shot("job-answer")
}

// tolerance is 1 % of a length or 1.5 px of its photograph, in mm.
func tolerance(mm float64, t toothphoto.Truth) float64 { return max(0.01*mm, 1.5/t.PxPerMM) }

func expect(t *testing.T, p *Page, id string, want, room float64) {
	t.Helper()
	got := reading(p, id)
	// The page follows a click by a frame or two.
	for range 20 {
		if math.Abs(got-want) <= room {
			break
		}
		time.Sleep(100 * time.Millisecond)
		got = reading(p, id)
	}
	if !(math.Abs(got-want) <= room) {
		t.Errorf("%s is %v in the page; the truth is %.4g ± %.2g", id, got, want, room)
	} else {
		t.Logf("%s: %v, truth %.4g", id, got, want)
	}
}
