//go:build browser

package browsertest

import (
	"fmt"
	"strconv"
	"testing"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// focusOn moves the focus on with the Tab key until an element that the
// expression accepts as e has it.
func focusOn(p *Page, accept string) {
	p.t.Helper()
	p.follow()
	for range 150 {
		if Eval[bool](p, `(e => !!(`+accept+`))(document.activeElement)`) {
			return
		}
		p.Press("Tab")
	}
	p.t.Fatalf("the Tab key never comes to %s", accept)
}

// pressByKeys presses the button that begins with a text.
func pressByKeys(p *Page, text string) {
	p.t.Helper()
	focusOn(p, fmt.Sprintf(`e.localName === "button" && e.textContent.startsWith(%q)`, text))
	p.Press("Enter")
	p.follow()
}

// crosshair is the bench's crosshair, moved by keys alone. The test knows where
// it is from where it appears, the middle of the stage, and from its steps of 50,
// 10 and 1 CSS px.
type crosshair struct {
	p     *Page
	at    r2.Vec // px of the photograph
	scale float64
}

// takeCrosshair goes to the photograph, enlarges it so that a step is less than
// one of its px, and has the crosshair appear.
func takeCrosshair(p *Page) *crosshair {
	p.t.Helper()
	focusOn(p, `e.localName === "canvas"`)
	p.Press("0")
	for range 20 {
		if scale, _ := place(p); scale >= 1.5 {
			break
		}
		p.Press("+")
	}
	p.follow()
	scale, shift := place(p)
	x, y := p.Box("#stage").Centre()
	p.Press("Alt+ArrowLeft")
	return &crosshair{p, r2.Scale(1/scale, r2.Sub(r2.Vec{X: x - 1, Y: y}, shift)), scale}
}

// put moves the crosshair to a point of the photograph and presses Enter there,
// as often as is said.
func (c *crosshair) put(q r2.Vec, times int) {
	c.p.t.Helper()
	way := r2.Scale(c.scale, r2.Sub(q, c.at))
	c.at = r2.Add(c.at, r2.Scale(1/c.scale, r2.Vec{
		X: c.walk(way.X, "ArrowLeft", "ArrowRight"), Y: c.walk(way.Y, "ArrowUp", "ArrowDown"),
	}))
	for range times {
		c.p.Press("Enter")
	}
}

// walk strikes an arrow key until less than half a fine step is left, and gives
// how far it went, in CSS px.
func (c *crosshair) walk(by float64, back, forth string) float64 {
	key, sign := forth, 1.0
	if by < 0 {
		key, sign, by = back, -1, -by
	}
	gone := 0.0
	for _, step := range []struct {
		size float64
		with string
	}{{50, "Shift+"}, {10, ""}, {1, "Alt+"}} {
		for by-gone >= step.size/2 && (step.size == 1 || by-gone >= step.size) {
			c.p.Press(step.with + key)
			gone += step.size
		}
	}
	return sign * gone
}

// readBar reads the scale bar and types its length.
func (c *crosshair) readBar(bar toothphoto.BarTruth) {
	c.p.t.Helper()
	c.put(bar.Ends[0], 1)
	c.put(bar.Ends[1], 1)
	focusOn(c.p, `e.id === "cell-bar"`)
	c.p.Press("Control+a")
	c.p.Type(strconv.FormatFloat(bar.Length, 'g', -1, 64))
	c.p.Press("Enter")
	c.p.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)
}

// take takes up a tool and goes back to the photograph.
func (c *crosshair) take(tool string) {
	c.p.t.Helper()
	pressByKeys(c.p, tool)
	focusOn(c.p, `e.localName === "canvas"`)
}

// readAloud waits until a reading has been said to those who listen.
func readAloud(p *Page, id string) {
	p.t.Helper()
	p.Until(fmt.Sprintf(`[...document.querySelectorAll("#readings-spoken p")].some(e => e.textContent.startsWith(%q))`, id+","))
}

// From the choice of photographs to the sheet no mouse is touched. Truth is the
// generator's exact geometry.
func TestWholeJobByKeyboard(t *testing.T) {
	j := shootJob(t)
	p := Open(t, Laptop)
	pressByKeys(p, "Choose photographs")
	p.ChooseFiles("#file-input", j.lateral, j.basal, j.closeup)
	untilPhotographs(p, 3)
	m := j.side.Measurements

	pressByKeys(p, "lateral")
	pressByKeys(p, "Scale")
	c := takeCrosshair(p)
	c.readBar(j.side.Bar)
	c.take("Crown")
	walk, g := j.side.PlainOutline, j.side.PlainApex
	c.put(*j.side.A, 1)
	c.put(walk[g/2], 1)
	c.put(*j.side.G, 2)
	c.put(walk[(g+len(walk)-1)/2], 1)
	c.put(*j.side.B, 2)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	for id, want := range map[string]float64{"CH": m.CH, "AL": m.AL, "CBL": m.CBL} {
		expect(t, p, id, want, tolerance(want, j.side))
		readAloud(p, id)
	}
	expect(t, p, "CMA", m.CMA, 1)
	p.Shot("keyboard-crown")

	pressByKeys(p, "basal")
	pressByKeys(p, "Scale")
	c = takeCrosshair(p)
	c.readBar(j.base.Bar)
	c.take("Section")
	const corners = 24
	for i := range corners {
		c.put(j.base.Section[len(j.base.Section)*i/corners], 1)
	}
	p.Press("c")
	c.put(*j.base.MesialEnd, 1)
	c.put(*j.base.DistalEnd, 1)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(4)").textContent)`)
	expect(t, p, "CBW", m.CBW, tolerance(m.CBW, j.base))
	expect(t, p, "CBL", m.CBL, tolerance(m.CBL, j.base))
	readAloud(p, "CBW")
	readAloud(p, "CBR")

	pressByKeys(p, "distal carina")
	pressByKeys(p, "Scale")
	c = takeCrosshair(p)
	c.readBar(j.carina.Bar)
	c.take("Denticles")
	var row toothphoto.TracedStretch
	for _, s := range toothphoto.Trace(j.carina).Stretches {
		if len(s.Ticks) > len(row.Ticks) {
			row = s
		}
	}
	on := func(q [2]float64) r2.Vec { return r2.Vec{X: q[0], Y: q[1]} }
	c.put(on(row.Line[0]), 1)
	c.put(on(row.Line[len(row.Line)/2]), 1)
	c.put(on(row.Line[len(row.Line)-1]), 2)
	for _, q := range row.Ticks {
		c.put(on(q), 1)
	}
	expect(t, p, "DC", m.Distal.Mid.Per5mm, 0.05*m.Distal.Mid.Per5mm)
	readAloud(p, "DC")
	p.Shot("keyboard-denticles")

	p.UntilText(".said", "Blade-like")
	p.UntilText("#answer-spoken", "blade-like")
	pressByKeys(p, "Sheet")
	p.Until(`document.querySelectorAll(".paper svg image").length > 0`)
	if focus := Eval[string](p, `document.activeElement.id`); focus != "sheet-close" {
		t.Errorf("on the sheet the focus is on %q", focus)
	}
	p.Press("Escape")
	p.Until(`!document.querySelector(".paper")`)
}
