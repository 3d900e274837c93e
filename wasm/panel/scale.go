package panel

import (
	"fmt"
	"math"

	"crownbench/morph"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// scaleForm says what gives the photograph its scale, how large that is, and
// what came of it.
func scaleForm(d *desk.Desk, p *tray.Photo) *m.Node {
	by, cells, confirm := "bar", barCells, d.ConfirmBar
	if d.Bench.ByCard() {
		by, cells, confirm = "card", cardCells, d.ConfirmCard
	}
	form := m.El("form.tool-form", m.Attr("novalidate", ""), m.On("submit", func(e m.Event) {
		e.PreventDefault()
		confirm()
	}),
		choice("scale-by", "Scale by", by, []string{"bar", "card"}, []string{"a scale bar", "a printed card (corrects tilt)"},
			func(v string) { d.MeasureByCard(v == "card") }))
	entered := cells(d, form)
	if d.Bench.Asked() {
		return m.El("div.scaling", m.Key("scale"), form) // nothing rests on the bar yet
	}
	sc, err := p.Scale()
	switch {
	case err == nil:
		form.Children = append(form.Children, m.El("p#scale-value", m.Text(scaleSaid(p, sc))))
	case entered && d.Bench.Prompt().Text != err.Error():
		form.Children = append(form.Children, m.El("p.problem#scale-value", m.Attr("role", "alert"), m.Text(err.Error())))
	}
	box := m.El("div.scaling", m.Key("scale"), form)
	if d.Taking() == nil && (err == nil || p.Depth != nil) {
		box.Children = append(box.Children, depthForm(d, p))
	}
	return box
}

// barCells are the cells for a scale bar, where there is one; they tell whether
// its length was entered.
func barCells(d *desk.Desk, form *m.Node) bool {
	b, entered, ok := d.Bench.BarLength()
	if !ok {
		return false
	}
	if b.Unit == "" {
		b.Unit = morph.Millimetre
	}
	length, u := ifAny(b.Length), ifAny(b.ULength)
	form.Children = append(form.Children,
		cell{name: "bar", label: "The bar is", value: length, settled: true,
			typed: func(text string, _ desk.Typing) { d.SetBarLength(text, u, b.Unit) }}.draw(d),
		lengthUnit("bar-unit", b.Unit, func(v morph.Unit) { d.SetBarUnit(length, u, v) }),
		cell{name: "bar-u", label: "its ±", value: u, hint: "0", settled: true,
			typed: func(text string, _ desk.Typing) { d.SetBarLength(length, text, b.Unit) }}.draw(d))
	if !entered && length != "" {
		form.Children = append(form.Children, m.El("button.primary#bar-ok", m.Attr("type", "submit"), m.Text("It is "+length+" "+string(b.Unit))))
	}
	return entered
}

// cardCells are the cells for a printed card, where its corners are marked.
func cardCells(d *desk.Desk, form *m.Node) bool {
	card, entered, ok := d.Bench.Card()
	if !ok {
		return false
	}
	if card.Unit == "" {
		card.Unit = morph.Millimetre
	}
	sides := func(c desk.CardCell, label, hint string, v float64) *m.Node {
		return cell{name: string(c), label: label, value: ifAny(v), hint: hint, settled: true,
			typed: func(text string, _ desk.Typing) { d.SetCard(c, text) }}.draw(d)
	}
	form.Children = append(form.Children,
		sides(desk.CardWidth, "Width (P–Q)", "", card.Width),
		sides(desk.CardHeight, "Height (Q–R)", "", card.Height),
		lengthUnit("card-unit", card.Unit, d.SetCardUnit),
		sides(desk.CardU, "± of a side", "0", card.USide))
	if !entered && card.Width > 0 && card.Height > 0 {
		form.Children = append(form.Children, m.El("button.primary#card-ok", m.Attr("type", "submit"),
			m.Textf("It is %s × %s %s", number(card.Width), number(card.Height), card.Unit)))
	}
	return entered
}

func lengthUnit(id string, u morph.Unit, f func(morph.Unit)) *m.Node {
	units := []string{string(morph.Millimetre), string(morph.Centimetre), string(morph.Inch)}
	return choice(id, "unit", string(u), units, units, func(v string) { f(morph.Unit(v)) })
}

// ifAny writes a number, and nothing for 0.
func ifAny(v float64) string {
	if v == 0 {
		return ""
	}
	return number(v)
}

// scaleSaid is the scale with how it was got.
func scaleSaid(p *tray.Photo, s morph.Scale) string {
	text := scaleWords(s)
	if s.Bars > 1 {
		text += fmt.Sprintf(", read %d times", s.Bars)
	}
	if degrees, u, ok := p.Tilt(); ok {
		text += fmt.Sprintf(", tilt %s°", tray.FormatNumber(degrees, u, "°"))
	}
	return text
}

// depthForm takes how much nearer to the lens than the scale the tooth lies, and
// says what that does.
func depthForm(d *desk.Desk, p *tray.Photo) *m.Node {
	depth := morph.Depth{}
	if p.Depth != nil {
		depth = *p.Depth
	}
	distance := ifAny(depth.Distance)
	if depth.UDistance > 0 {
		distance += " ± " + number(depth.UDistance)
	}
	part := func(c desk.DepthCell, label, hint, value string) *m.Node {
		return cell{name: string(c), label: label, unit: "mm", value: value, hint: hint, settled: true,
			typed: func(text string, _ desk.Typing) { d.SetDepth(c, text) }}.draw(d)
	}
	way := "nearer"
	if d.Farther() {
		way = "farther"
	}
	return fold(d, "details.depth", "depth", "The tooth lies nearer or farther than the scale",
		m.El("form.tool-form", m.Attr("novalidate", ""), m.On("submit", func(e m.Event) { e.PreventDefault() }),
			part(desk.DepthOffset, "It lies", "0", ifAny(math.Abs(depth.Offset))),
			choice("depth-way", "toward", way, []string{"nearer", "farther"}, []string{"nearer to the lens", "farther from the lens"},
				func(v string) { d.SetFarther(v == "farther") }),
			part(desk.DepthU, "its ±", "0", ifAny(depth.UOffset)),
			part(desk.DepthDistance, "Lens to scale", "if known", distance)),
		depthSaid(p))
}

// depthSaid says in one sentence what the depth does to lengths and their ±.
func depthSaid(p *tray.Photo) *m.Node {
	if p.Depth == nil {
		return m.El("p.small#depth-said", m.Text("The tooth and the scale are taken to be level; no length is changed and nothing is added to its ±."))
	}
	without, with, err := p.DepthEffect()
	if err != nil {
		return m.El("p.problem#depth-said", m.Attr("role", "alert"), m.Text(err.Error()))
	}
	grows := fmt.Sprintf("the ± that lengths have from the scale goes from %s %% to %s %%", number3(100*without.RelU), number3(100*with.RelU))
	if with.RelU == without.RelU {
		grows = fmt.Sprintf("the ± that lengths have from the scale stays %s %%", number3(100*with.RelU))
	}
	if p.Depth.Distance > 0 {
		return m.El("p.small#depth-said", m.Textf("Lengths are multiplied by %.4f; %s.", with.Depth, grows))
	}
	return m.El("p.small#depth-said", m.Textf("Without the distance no length is changed, but %s, for a lens %g mm away or farther.", grows, morph.AssumedDistance))
}
