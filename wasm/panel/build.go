package panel

import (
	"fmt"

	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// buildCard sets what the crown could bear on a scale between a knife and a
// spike. It stands apart from the sorting: it names no animal.
func buildCard(d *desk.Desk, s *tray.Specimen) *m.Node {
	b, ok := d.Find(s).Build()
	if !ok {
		return nil
	}
	base := "an ellipse of CBL and CBW"
	if b.Traced {
		base = "the base section as it was outlined"
	}
	more := fold(d, "details", "build", "What this means",
		m.El("p.small", m.Textf("Strength index (section modulus by crown height): %s mm² against bending along the jaw, %s mm² sideways. Sideways that is %.1f times what published crowns of its base length have on average.",
			tray.FormatNumber(b.Along, 0, "mm²"), tray.FormatNumber(b.Across, 0, "mm²"), b.Ellipse.Sideways*b.Across/b.Ellipse.Labiolingual)),
		m.El("p.small", m.Textf("Slenderness, CH / √(CBL·CBW): %.2f; more slender than %.0f of 100 published crowns.", b.Ellipse.Slenderness, b.Ellipse.SlendernessPercentile)))
	if b.Traced {
		more.Children = append(more.Children, m.El("p.small", m.Text("Published crowns have no traced sections; on the scale they are ellipses of their CBL and CBW. The hollow mark is this tooth as such an ellipse.")))
	}
	more.Children = append(more.Children, m.El("p.small", m.Textf("The model is a solid, straight beam without root, pulp cavity or enamel, loaded at its tip (after Van Valkenburgh & Ruff 1987); its base is %s. It says what the crown could bear, not what the animal ate, and nothing of its kin.", base)))
	return m.El("section.build#build", m.Key("build"), m.Attr("aria-labelledby", "build-head"),
		m.El("h2#build-head", m.Text("Build: knife or spike")),
		m.El("p", m.Text(bendingWords(b)+" "+evennessWords(b))),
		scale(b), more)
}

// bendingWords compare the two directions of bending.
func bendingWords(b tray.Build) string {
	switch ratio := b.Along / b.Across; {
	case ratio >= 1.05:
		return fmt.Sprintf("It bears %.1f times as much along the jaw as sideways.", ratio)
	case ratio <= 1/1.05:
		return fmt.Sprintf("It bears %.1f times as much sideways as along the jaw.", 1/ratio)
	}
	return "It bears as much sideways as along the jaw."
}

// evennessWords place the crown among the published ones; a traced section, which
// none of those has, also as the ellipse that they are taken as.
func evennessWords(b tray.Build) string {
	text := fmt.Sprintf("It is more even than %.0f of 100 published crowns", 100*b.Spike)
	if b.Traced {
		text += fmt.Sprintf(", or than %.0f if its base is taken as an ellipse as theirs are", 100*b.Ellipse.Spike)
	}
	return text + "."
}

// scale draws the place between knife and spike; the sentence above says the
// same.
func scale(b tray.Build) *m.Node {
	const left, width, middle = 50.0, 240.0, 14.0
	at := func(share float64) float64 { return left + width*min(max(share, 0), 1) }
	drawing := m.El("svg.scale", m.Attr("viewBox", "0 0 340 30"), m.Attr("aria-hidden", "true"),
		m.El("text", m.Attr("x", "44"), m.Attr("y", "18"), m.Attr("text-anchor", "end"), m.Text("knife")),
		m.El("text", m.Attr("x", "296"), m.Attr("y", "18"), m.Text("spike")),
		m.El("line", m.Attrf("x1", "%g", left), m.Attrf("x2", "%g", left+width), m.Attrf("y1", "%g", middle), m.Attrf("y2", "%g", middle)))
	for _, quarter := range []float64{0, 0.25, 0.5, 0.75, 1} {
		x := at(quarter)
		drawing.Children = append(drawing.Children, m.El("line", m.Attrf("x1", "%g", x), m.Attrf("x2", "%g", x), m.Attrf("y1", "%g", middle-4), m.Attrf("y2", "%g", middle+4)))
	}
	if b.Traced {
		drawing.Children = append(drawing.Children, m.El("circle.as-ellipse", m.Attrf("cx", "%.1f", at(b.Ellipse.Spike)), m.Attrf("cy", "%g", middle), m.Attr("r", "5")))
	}
	x := at(b.Spike)
	drawing.Children = append(drawing.Children, m.El("path.here", m.Attrf("d", "M%.1f %g l6 -8 h-12 Z M%.1f %g l6 8 h-12 Z", x, middle-1, x, middle+1)))
	return drawing
}
