package panel

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// pullShown is the least change of a share that is worth a row.
const pullShown = 0.005

// pulls shows what each measurement does to the share of the likeliest form.
func pulls(d *desk.Desk, s *tray.Specimen, f tray.Finding) *m.Node {
	if len(f.Answer.Shares) == 0 {
		return nil
	}
	return folded(d, "details.why", "why", "Why: what pulls it there", func() []m.Item {
		return append(pullTable(f.Why()), steadiness(d, s, f))
	})
}

func pullTable(pulls []classify.Pull) []m.Item {
	body := m.El("tbody")
	var idle []classify.Measure
	for _, p := range pulls {
		if math.Abs(p.With-p.Without) < pullShown {
			idle = append(idle, p.Measure)
			continue
		}
		word := "for"
		if p.With < p.Without {
			word = "against"
		}
		body.Children = append(body.Children, m.El("tr", m.Key(string(p.Measure)),
			m.El("th", m.Attr("scope", "row"), m.Attr("title", p.Measure.Name()), m.Text(string(p.Measure))),
			m.El("td", bar(p.Without)), m.El("td.num", m.Text(percent(p.Without))),
			m.El("td", m.Textf("%s, %+.0f", word, 100*(p.With-p.Without)))))
	}
	var items []m.Item
	if len(body.Children) > 0 {
		form := lowerFirst(pulls[0].Form.Words())
		items = append(items,
			m.El("p.small", m.Textf("With all measurements %s has %s. Without one of them it would have:", form, percent(pulls[0].With))),
			m.El("table.pulls", m.El("thead", m.El("tr", columnHead("Without"), m.El("th", m.Attr("scope", "col"), m.Attr("colspan", "2"), m.Text("share of "+form)), columnHead("so it speaks"))), body))
	}
	if len(idle) > 0 {
		items = append(items, m.El("p.small", m.Textf("Of little weight here: %s.", measures(idle))))
	}
	return items
}

// steadiness says how often the answer stays when the tooth is measured again
// in thought, or offers to try it.
func steadiness(d *desk.Desk, s *tray.Specimen, f tray.Finding) *m.Node {
	if len(f.Query.U) == 0 {
		return m.El("p.small", m.Key("steady"), m.Text("No ± is stated of what was compared, so it cannot be tried whether measuring again would change the answer."))
	}
	t, tried, trying := d.Steady(s)
	if trying {
		return m.El("p.small", m.Key("steady"), m.Attr("role", "status"), m.Textf("Sorting it %s times within the ± of the readings…", thousands(tray.Draws)))
	}
	if !tried {
		return button("Would measuring again change it?", d.TrySteady, m.Key("try"), m.Attr("id", "try-steady"))
	}
	var parts []string
	for _, x := range t.Forms {
		name := "no form"
		if x.Form != "" {
			name = lowerFirst(x.Form.Words())
		}
		parts = append(parts, fmt.Sprintf("%s in %s", name, thousands(x.Count)))
	}
	return m.El("p.small#steady", m.Key("steady"), m.Attr("role", "status"),
		m.Textf("Over %s draws within the ± of the readings it is %s.", thousands(t.Draws), strings.Join(parts, ", ")))
}

func columnHead(text string) *m.Node { return m.El("th", m.Attr("scope", "col"), m.Text(text)) }

// stepsShown is how many missing measurements are asked for at once.
const stepsShown = 2

// nextSteps says which missing measurement would help most, by how much, and
// takes the person to it.
func nextSteps(d *desk.Desk, a classify.Answer) *m.Node {
	if len(a.Missing) == 0 {
		return nil
	}
	list := m.El("ul.next")
	for _, x := range a.Missing {
		if len(list.Children) == stepsShown || len(list.Children) > 0 && a.Missing[0].Decides && !x.Decides {
			break
		}
		way := d.WayTo(x.Measure)
		list.Children = append(list.Children, m.El("li", m.Key(string(x.Measure)),
			m.El("p", m.El("strong", m.Text(string(x.Measure))), m.Text(" "+x.Measure.Name())),
			button(way.Words, way.Go, m.Attr("id", "way-"+string(x.Measure))),
			m.El("p.small", m.Text(upperFirst(x.Why)+"."+gain(x)))))
	}
	return m.El("div.missing", m.Key("missing"), m.El("h3", m.Text("What would help most")), list)
}

// gain says by how much sets shrank in validation once a measurement was known.
func gain(x classify.Missing) string {
	if x.Decides {
		return " No form can be said without it."
	}
	var parts []string
	for _, g := range []struct {
		by   float64
		what string
	}{{x.FormGain, "%.1f forms"}, {x.CladeGain, "%.1f clades"}} {
		if g.by >= 0.05 {
			parts = append(parts, fmt.Sprintf(g.what, g.by))
		}
	}
	if len(parts) == 0 {
		return ""
	}
	return fmt.Sprintf(" Known, it ruled out %s more on average.", strings.Join(parts, " and "))
}

// clades are the clades' shares and set.
func clades(d *desk.Desk, a classify.Answer) *m.Node {
	if len(a.Clades) == 0 {
		return nil
	}
	return folded(d, "details.clades-of", "clades", fmt.Sprintf("Clades: %d of %d not ruled out", len(a.CladeSet), len(a.Clades)), func() []m.Item {
		ul := m.El("ol.clades")
		for _, c := range a.Clades[:min(len(a.Clades), cladesShown)] {
			ul.Children = append(ul.Children, m.El("li", m.Key(c.Clade), m.El("span", m.Text(c.Clade)), bar(c.Share), m.El("span.quiet", m.Text(percent(c.Share)))))
		}
		items := []m.Item{ul}
		if len(a.CladeSet) > 0 {
			items = append(items, m.El("p.small", m.Textf("Not ruled out: %s. Sets of this kind held the true clade for about %.0f of 100 published teeth.", strings.Join(a.CladeSet, ", "), 100*a.Coverage)))
		}
		return items
	})
}

// whence says when and where the animals of the nearest teeth lived, beside
// the find's own age and continent.
func whence(f tray.Finding) *m.Node {
	a := f.Answer
	if len(a.CladeNeighbours) == 0 {
		return nil
	}
	text := fmt.Sprintf("The %d nearest by age and place: %s; %s.", len(a.CladeNeighbours), tallies(a.Epochs), tallies(a.Continents))
	box := m.El("p.small.whence", m.Key("whence"), m.Text(text))
	for _, says := range placeNotCompared(f.Query) {
		box.Children = append(box.Children, m.Text(" "+says))
	}
	return box
}

// placeNotCompared says that an age or a country cannot be set beside those of
// the nearest teeth, so that nobody takes silence for agreement.
func placeNotCompared(q classify.Query) []string {
	var says []string
	known := func(e string) bool { return strings.EqualFold(e, strings.TrimSpace(q.Epoch)) }
	if q.Epoch != "" && !slices.ContainsFunc(classify.KnownEpochs(), known) {
		says = append(says, fmt.Sprintf("The age “%s” cannot be set beside theirs; an epoch such as %s can.", q.Epoch, "Late Cretaceous"))
	}
	if q.Country != "" && classify.Continent(q.Country) == "" {
		says = append(says, fmt.Sprintf("The program does not know on which continent “%s” lies.", q.Country))
	}
	return says
}

// cladesShown is the number of clades that get a bar.
const cladesShown = 5

// tallies writes counts of ages or places, three at most and the rest together.
func tallies(all []classify.Tally) string {
	const shown = 3
	var parts []string
	rest := 0
	for i, t := range all {
		name := t.Name
		if name == "" {
			name = "not known"
		}
		if i < shown {
			parts = append(parts, fmt.Sprintf("%s %d", name, t.Count))
		} else {
			rest += t.Count
		}
	}
	if rest > 0 {
		parts = append(parts, fmt.Sprintf("other %d", rest))
	}
	return strings.Join(parts, ", ")
}

// nearest sets this tooth's values over those of the nearest teeth.
func nearest(d *desk.Desk, f tray.Finding) *m.Node {
	n := len(tray.Nearest(f.Answer))
	if n == 0 {
		return nil
	}
	word := "published"
	if f.Answer.Own > 0 {
		word = "comparison"
	}
	return folded(d, "details.near", "near", fmt.Sprintf("The %d nearest %s teeth, side by side", n, word), func() []m.Item {
		return []m.Item{m.El("div.scroll", m.Attr("tabindex", "0"), m.Attr("role", "group"), m.Attr("aria-label", "Nearest teeth")).
			With(nearestTable(f.Beside())...)}
	})
}

func nearestTable(side tray.SideBySide) []m.Item {
	head := m.El("tr", columnHead("Tooth"))
	own := m.El("tr.own", m.El("th", m.Attr("scope", "row"), m.Text("This tooth")))
	for i, x := range side.Measures {
		head.Children = append(head.Children, m.El("th", m.Attr("scope", "col"), m.Attr("title", x.Name()+unitIn(x.Unit())), m.Text(string(x))))
		own.Children = append(own.Children, m.El("td", m.Text(side.This[i])))
	}
	head.Children = append(head.Children, columnHead("Distance"), columnHead("Source"))
	own.Children = append(own.Children, m.El("td"), m.El("td"))
	body := m.El("tbody", own)
	for _, n := range side.Rows {
		t := n.Tooth
		row := m.El("tr", m.Key(t.ID),
			m.El("th", m.Attr("scope", "row"), formGlyph(t.Form), m.Text(" "+firstOf(t.Taxon, t.Clade, "Own tooth")), m.El("span.spec", m.Name(n.Name))))
		for _, cell := range n.Cells {
			row.Children = append(row.Children, m.El("td", m.Text(cell)))
		}
		paper := fmt.Sprintf("[%d]", n.Paper)
		if n.Paper == 0 {
			paper = "own"
		}
		row.Children = append(row.Children, m.El("td", m.Textf("%.2f", n.Distance)), m.El("td.source", m.Text(paper)))
		body.Children = append(body.Children, row)
	}
	papers := m.El("ol.citations")
	for _, p := range side.Papers {
		papers.Children = append(papers.Children, m.El("li", m.Key(p), m.Text(p)))
	}
	return []m.Item{m.El("table.nearest", m.El("thead", head), body), papers}
}

func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}

func unitIn(u string) string {
	if u == "" {
		return ""
	}
	return ", " + u
}
