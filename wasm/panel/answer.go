package panel

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// answerCard is the sorting: the sentence, the shares, the evidence.
func answerCard(d *desk.Desk, s *tray.Specimen) *m.Node {
	f := d.Find(s)
	a := f.Answer
	card := m.El("section.answer#answer", m.Attr("aria-labelledby", "answer-head"),
		m.El("h2#answer-head", m.Text("Sorting")),
		m.El("p.said", m.Attr("role", "status"), m.Class("unsaid", a.Form == ""), formGlyph(a.Form), m.El("span", m.Text(a.Said))))
	add := func(n *m.Node) {
		if n != nil {
			card.Children = append(card.Children, n)
		}
	}
	if a.Form == "" && a.CannotSay != "" && !strings.Contains(a.Said, a.CannotSay) {
		add(m.El("p", m.Text(a.CannotSay)))
	}
	if len(a.Shares) > 0 {
		dl := m.El("dl.shares")
		for _, sh := range a.Shares {
			dl.Children = append(dl.Children, m.El("dt", m.Key("t"+string(sh.Form)), m.Text(sh.Form.Words())),
				m.El("dd", m.Key("d"+string(sh.Form)), bar(sh.Share), m.El("span", m.Textf("%.0f %%", 100*sh.Share))))
		}
		add(dl)
	}
	if len(a.FormSet) > 0 {
		var words []string
		for _, f := range a.FormSet {
			words = append(words, strings.ToLower(f.Words()))
		}
		add(m.El("p.sets", m.Textf("Not ruled out at %.0f %% coverage: %s.", 100*a.Coverage, strings.Join(words, "; "))))
	}
	for _, c := range a.Cautions {
		add(m.El("p.caution", m.Text(c)))
	}
	if len(a.Missing) > 0 {
		first := a.Missing[0]
		add(m.El("p.missing", m.Text("Would help: "), m.El("strong", m.Text(string(first.Measure))), m.Text(" — "+first.Why)))
	}
	if len(a.Clades) > 0 {
		ul := m.El("ol.clades")
		for i, c := range a.Clades {
			if i == 5 {
				break
			}
			ul.Children = append(ul.Children, m.El("li", m.Key(c.Clade), m.El("span", m.Text(c.Clade)), bar(c.Share), m.El("span.quiet", m.Textf("%.0f %%", 100*c.Share))))
		}
		set := m.El("p.small", m.Textf("Not ruled out at %.0f %% coverage: %s.", 100*a.Coverage, strings.Join(a.CladeSet, ", ")))
		if len(a.CladeSet) == 0 {
			set = nil
		}
		add(m.El("details", m.Key("clades"), m.El("summary", m.Text("Clades, with their shares")), ul, set))
	}
	if len(a.Neighbours) > 0 {
		add(m.El("details.near", m.Key("near"), m.El("summary", m.Textf("The %d nearest published teeth", len(a.Neighbours))), nearestTable(f)))
	} else if len(a.CladeNeighbours) > 0 {
		g := f
		g.Answer.Neighbours = a.CladeNeighbours
		add(m.El("details.near", m.Key("near"), m.El("summary", m.Textf("The %d nearest published teeth", len(a.CladeNeighbours))), nearestTable(g)))
	}
	if a.Comparable > 0 {
		add(m.El("p.small", m.Textf("Compared in %s with %d published teeth. It lies as far from them as %.0f %% of them lie from the teeth of other animals. Age and place do not enter the shares.", measures(a.Used), a.Comparable, a.Reach.Percentile)))
	}
	for _, why := range droppedBy(a.Dropped) {
		add(m.El("p.small", m.Key(why), m.Text(why)))
	}
	add(m.El("p.small", m.Text("An aid, not a determination: shapes overlap between animals and within one jaw.")))
	return card
}

// droppedBy says what was given but not compared, a sentence a reason.
func droppedBy(all []classify.Dropped) []string {
	var reasons []string
	of := map[string][]classify.Measure{}
	for _, x := range all {
		if of[x.Why] == nil {
			reasons = append(reasons, x.Why)
		}
		of[x.Why] = append(of[x.Why], x.Measure)
	}
	for i, why := range reasons {
		reasons[i] = fmt.Sprintf("Not compared: %s (%s).", measures(of[why]), strings.TrimSuffix(why, "."))
	}
	return reasons
}

// bar shows a share; the number beside it says the same.
func bar(share float64) *m.Node {
	return m.El("span.bar", m.Attr("aria-hidden", "true"), m.El("span", m.Style("width", fmt.Sprintf("%.1f%%", 100*share))))
}

func measures(ms []classify.Measure) string {
	var t []string
	for _, x := range ms {
		t = append(t, string(x))
	}
	return strings.Join(t, ", ")
}

// compared are the columns of the side-by-side table.
var compared = []classify.Measure{classify.CBL, classify.CBW, classify.CH, classify.AL, classify.CBR, classify.CHR, classify.MC, classify.DC}

// nearestTable sets this tooth's values over those of the nearest teeth.
func nearestTable(f tray.Finding) *m.Node {
	head := m.El("tr", m.El("th", m.Attr("scope", "col"), m.Text("Tooth")))
	own := m.El("tr.own", m.El("th", m.Attr("scope", "row"), m.Text("This tooth")))
	cols := slices.DeleteFunc(slices.Clone(compared), func(x classify.Measure) bool {
		if _, ok := f.Query.Values[x]; ok {
			return false
		}
		return !slices.ContainsFunc(f.Answer.Neighbours, func(n classify.Neighbour) bool { _, ok := n.Tooth.Value(x); return ok })
	})
	for _, x := range cols {
		head.Children = append(head.Children, m.El("th", m.Attr("scope", "col"), m.Attr("title", x.Name()+unitIn(x.Unit())), m.Text(string(x))))
		v, ok := f.Query.Values[x]
		own.Children = append(own.Children, valueCell(v, ok))
	}
	head.Children = append(head.Children, m.El("th", m.Attr("scope", "col"), m.Text("Distance")), m.El("th", m.Attr("scope", "col"), m.Text("Source")))
	own.Children = append(own.Children, m.El("td"), m.El("td"))
	body := m.El("tbody", own)
	for _, n := range f.Answer.Neighbours {
		t := n.Tooth
		row := m.El("tr", m.Key(t.ID),
			m.El("th", m.Attr("scope", "row"), formGlyph(t.Form), m.Text(" "+t.Taxon), m.El("span.spec", m.Text(strings.TrimSpace(t.Specimen+" "+t.Position)))))
		for _, x := range cols {
			v, ok := t.Value(x)
			row.Children = append(row.Children, valueCell(v, ok))
		}
		row.Children = append(row.Children, m.El("td", m.Textf("%.2f", n.Distance)), m.El("td.source", m.Text(t.Source)))
		body.Children = append(body.Children, row)
	}
	return m.El("div.scroll", m.Attr("tabindex", "0"), m.Attr("role", "group"), m.Attr("aria-label", "Nearest published teeth"),
		m.El("table.nearest", m.El("thead", head), body),
		citations(f))
}

func unitIn(u string) string {
	if u == "" {
		return ""
	}
	return ", " + u
}

func valueCell(v float64, ok bool) *m.Node {
	if !ok {
		return m.El("td", m.Text("–"))
	}
	return m.El("td", m.Text(number3(v)))
}

// number3 writes a value with three digits that mean something, never in
// powers of ten.
func number3(v float64) string {
	switch {
	case v >= 100:
		return fmt.Sprintf("%.0f", v)
	case v >= 10:
		return fmt.Sprintf("%.1f", v)
	default:
		return fmt.Sprintf("%.2f", v)
	}
}

// citations spell out the source keys of the nearest teeth.
func citations(f tray.Finding) *m.Node {
	seen := map[string]bool{}
	ul := m.El("ul.citations")
	for _, n := range f.Answer.Neighbours {
		if seen[n.Tooth.Source] {
			continue
		}
		seen[n.Tooth.Source] = true
		if src, ok := classify.Published().Source(n.Tooth.Source); ok {
			ul.Children = append(ul.Children, m.El("li", m.Key(src.Key), m.Text(src.Key+": "+src.Reference)))
		}
	}
	return ul
}
