package panel

import (
	"fmt"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/desk"
	m "crownbench/wasm/markup"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// answerCard is the sorting: the sentence a colleague would say, what it can be
// trusted by, what to do next; the evidence is folded away below.
func answerCard(d *desk.Desk, s *tray.Specimen) *m.Node {
	f := d.Find(s)
	a := f.Answer
	card := m.El("section.answer#answer", m.Key("answer"), m.Attr("aria-labelledby", "answer-head"),
		m.El("h2#answer-head", m.Text("Sorting")),
		m.El("p.said", m.Key("said"), m.Class("unsaid", a.Form == ""), formGlyph(a.Form), m.El("span", m.Text(a.Said))),
		m.El("p.unseen#answer-spoken", m.Key("spoken"), m.Attr("role", "status"), m.Text(spokenAnswer(a))))
	add := func(ns ...*m.Node) {
		for _, n := range ns {
			if n != nil {
				card.Children = append(card.Children, n)
			}
		}
	}
	if len(a.Used) == 0 {
		add(cautions(d, a), nextSteps(d, a), aid())
		return card
	}
	if a.Reach.Outside {
		add(outside(f))
	} else {
		add(unsaid(a), shares(a), sets(d, a))
	}
	add(doubts(f), cautions(d, a))
	if !a.Reach.Outside {
		add(reach(a), whence(f), nextSteps(d, a), pulls(d, s, f), clades(d, a))
	}
	add(nearest(d, f), compared(d, a), aid())
	return card
}

// spokenAnswer is what those who listen hear of an answer. It is short and
// stays the same while values change that do not change the form, so that
// typing does not set off a flood.
func spokenAnswer(a classify.Answer) string {
	switch {
	case a.Form != "":
		return "Sorting: " + lowerFirst(a.Form.Words()) + "."
	case a.Reach.Outside:
		return "Sorting: outside of everything known; no name is given."
	case len(a.Used) == 0:
		return ""
	}
	return "Sorting: cannot say yet."
}

func upperFirst(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

func lowerFirst(s string) string { return strings.ToLower(s[:1]) + s[1:] }

func aid() *m.Node {
	return m.El("p.small", m.Key("aid"), m.Text("An aid, not a determination: shapes overlap between animals and within one jaw."))
}

// unsaid explains an answer without a form.
func unsaid(a classify.Answer) *m.Node {
	switch {
	case a.Form != "":
		return nil
	case len(a.Shares) == 0:
		return m.El("p", m.Key("unsaid"), m.Text("Without a width the same outline fits a thin blade and a thick cone. Clades below are only a hint."))
	case len(a.FormSet) == 0:
		return m.El("p", m.Key("unsaid"), m.Text("At this coverage no form is likely enough to be named, not even the first below. A higher coverage shows which stay possible; another measurement may decide."))
	case len(a.FormSet) == len(a.Shares):
		return m.El("p", m.Key("unsaid"), m.Text("No form can be ruled out with these measurements. That is an answer too."))
	}
	return nil
}

func shares(a classify.Answer) *m.Node {
	if len(a.Shares) == 0 {
		return nil
	}
	dl := m.El("dl.shares")
	for _, sh := range a.Shares {
		dl.Children = append(dl.Children, m.El("dt", m.Key("t"+string(sh.Form)), m.Attr("title", sh.Form.Words()), m.Text(formLabel(sh.Form))),
			m.El("dd", m.Key("d"+string(sh.Form)), bar(sh.Share), m.El("span", m.Text(percent(sh.Share)))))
	}
	return dl
}

// formLabel names a form where there is little room.
func formLabel(f classify.Form) string {
	if f == classify.Front {
		return "Front tooth"
	}
	return f.Words()
}

// percent writes a share; what is not nothing is not written as 0.
func percent(share float64) string {
	if share > 0 && share < 0.005 {
		return "< 1 %"
	}
	return fmt.Sprintf("%.0f %%", 100*share)
}

// sets say what is not ruled out, and let the person choose how sure that shall
// be.
func sets(d *desk.Desk, a classify.Answer) *m.Node {
	box := m.El("div.sets", m.Key("sets"))
	label := "The names not ruled out hold the true one for"
	if len(a.FormSet) > 0 {
		label = "The true form is among these for"
		var words []string
		for _, f := range a.FormSet {
			words = append(words, lowerFirst(f.Words()))
		}
		box.Children = append(box.Children, m.El("p", m.Key("set"), m.Text("Not ruled out: "), m.El("strong", m.Text(strings.Join(words, "; "))), m.Text(".")))
	}
	var values, texts []string
	for _, c := range desk.Coverages() {
		values, texts = append(values, fmt.Sprintf("%.2f", c)), append(texts, fmt.Sprintf("%.0f of 100 teeth", 100*c))
	}
	chosen := fmt.Sprintf("%.2f", d.Coverage())
	box.Children = append(box.Children, choice("coverage", label, chosen, values, texts, func(v string) {
		for i := range values {
			if values[i] == v {
				d.SetCoverage(desk.Coverages()[i])
			}
		}
	}))
	return box
}

func reach(a classify.Answer) *m.Node {
	return m.El("p.reach", m.Key("reach"), m.Text(sheet.ReachInWords(a)))
}

// outside says why no name is given, and what could be wrong.
func outside(f tray.Finding) *m.Node {
	guesses := m.El("ul")
	guess := func(text string) { guesses.Children = append(guesses.Children, m.El("li", m.Text(text))) }
	for _, s := range f.Slips {
		guess("A slip? It would fit if " + s.Words + ".")
	}
	if len(f.Slips) == 0 {
		guess("A slip of the unit or the decimal mark, or length and width exchanged.")
	}
	guess("A worn or broken crown that was measured as if it were whole: mark the values as minima with >.")
	guess("An animal that is not among the published teeth; perhaps not a theropod.")
	return m.El("div.outside", m.Key("outside"), m.El("p", m.Text(sheet.ReachInWords(f.Answer))), m.El("p", m.Text("What could be behind it:")), guesses)
}

// doubts name the readings that take part although something speaks against
// them.
func doubts(f tray.Finding) *m.Node {
	if len(f.Doubted) == 0 {
		return nil
	}
	var ids []string
	for _, r := range f.Doubted {
		ids = append(ids, string(r.ID))
	}
	return m.El("p.caution", m.Key("doubts"), m.Textf("This rests on %s, which the readings below put in doubt.", strings.Join(ids, ", ")))
}

// cautionsShown are the sentences that stand open; the rest is folded.
const cautionsShown = 2

func cautions(d *desk.Desk, a classify.Answer) *m.Node {
	if len(a.Cautions) == 0 {
		return nil
	}
	box := m.El("div.cautions", m.Key("cautions"))
	for _, c := range a.Cautions[:min(len(a.Cautions), cautionsShown)] {
		box.Children = append(box.Children, m.El("p.caution", m.Key(c), m.Text(c)))
	}
	if rest := a.Cautions[min(len(a.Cautions), cautionsShown):]; len(rest) > 0 {
		more := fold(d, "details", "cautions", fmt.Sprintf("%d more to keep in mind", len(rest)))
		for _, c := range rest {
			more.Children = append(more.Children, m.El("p.caution", m.Key(c), m.Text(c)))
		}
		box.Children = append(box.Children, more)
	}
	return box
}

// compared says what was compared with which teeth, and leads to them.
func compared(d *desk.Desk, a classify.Answer) *m.Node {
	text := "Compared in " + measures(a.Used)
	if a.Comparable > 0 {
		text += fmt.Sprintf(" with %d teeth", a.Comparable)
	}
	text += ". Age and place do not enter the shares."
	box := m.El("div.compared", m.Key("compared"), m.El("p.small", m.Text(text)))
	for _, reason := range droppedBy(a.Dropped) {
		box.Children = append(box.Children, m.El("p.small", m.Key(reason), m.Text(reason)))
	}
	label := "Comparison teeth"
	if a.Own > 0 {
		label = fmt.Sprintf("Comparison teeth, %d your own", a.Own)
	}
	box.Children = append(box.Children, button(label, func() { d.OpenDialog(desk.ComparisonDialog) }, m.Class("link", true), m.Attr("id", "comparison")))
	return box
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
