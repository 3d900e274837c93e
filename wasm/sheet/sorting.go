package sheet

import (
	"fmt"
	"strings"

	"crownbench/classify"
	m "crownbench/wasm/markup"
	"crownbench/wasm/tray"
)

// sorting is the answer with what it can be trusted by: the sets and their
// coverage, the shares, how far the tooth lies from all others, what was
// compared with what.
func sorting(f tray.Finding) *m.Node {
	a := f.Answer
	n := section("sorting", "Sorting", m.El("p.said", verbatim(a.Said)))
	add := func(c *m.Node) { n.Children = append(n.Children, c) }
	small := func(text string) {
		if text != "" {
			add(m.El("p.small", verbatim(text)))
		}
	}
	if a.CannotSay != "" && !strings.Contains(a.Said, a.CannotSay) {
		add(m.El("p", verbatim("Cannot say: "+a.CannotSay)))
	}
	if text := SetsInWords(a); text != "" {
		add(m.El("p.sets", verbatim(text)))
	}
	if !a.Reach.Outside {
		if len(a.Shares) > 0 {
			body := m.El("tbody")
			for _, s := range a.Shares {
				body.Children = append(body.Children, shareRow(s.Form.Words(), s.Count, len(a.Neighbours), s.Share))
			}
			add(shareTable("Shape class", body))
		}
		if len(a.Clades) > 0 {
			body := m.El("tbody")
			for _, c := range a.Clades[:min(len(a.Clades), cladesShown)] {
				body.Children = append(body.Children, shareRow(c.Clade, c.Count, len(a.CladeNeighbours), c.Share))
			}
			add(shareTable("Clade, after the shape", body))
		}
	}
	small(ReachInWords(a))
	small(comparedWith(a))
	for _, r := range f.Doubted {
		small(fmt.Sprintf("The sorting rests on %s, which is in doubt: %s", r.ID, r.Problem))
	}
	for _, d := range a.Dropped {
		small(fmt.Sprintf("%s was not compared: %s.", d.Measure, strings.TrimSuffix(d.Why, ".")))
	}
	if len(a.Missing) > 0 {
		var would []string
		for _, x := range a.Missing {
			would = append(would, fmt.Sprintf("%s: %s", x.Measure, x.Why))
		}
		small("Missing, most helpful first — " + strings.Join(would, "; ") + ".")
	}
	return n
}

// SetsInWords says which forms and clades an answer leaves possible, and how
// often such sets hold the true one; "" where there are no sets.
func SetsInWords(a classify.Answer) string {
	if len(a.FormSet)+len(a.CladeSet) == 0 {
		return ""
	}
	var words []string
	if len(a.FormSet) > 0 {
		var forms []string
		for _, f := range a.FormSet {
			forms = append(forms, lower(f.Words()))
		}
		words = append(words, "Not ruled out as to shape: "+strings.Join(forms, "; ")+".")
	}
	if len(a.CladeSet) > 0 {
		words = append(words, fmt.Sprintf("Not ruled out, %d of %d clades: %s.", len(a.CladeSet), len(a.Clades), strings.Join(a.CladeSet, ", ")))
	}
	words = append(words, CoverageInWords(a.Coverage))
	return strings.Join(words, " ")
}

// CoverageInWords says what the coverage of a set promises.
func CoverageInWords(coverage float64) string {
	return fmt.Sprintf("Of 100 such teeth about %.0f have their true name among those not ruled out.", 100*coverage)
}

// edgeOfReach is the percentile from which a tooth is said to lie at the edge
// of what was published.
const edgeOfReach = 95

// ReachInWords says how far a tooth lies from everything it was compared with;
// "" where nothing was compared.
func ReachInWords(a classify.Answer) string {
	p := a.Reach.Percentile
	switch {
	case len(a.Used) == 0:
		return ""
	case a.Reach.Outside:
		return "No name is given: more than 99 % of the published teeth lie nearer to other animals' teeth than this one lies to any of them."
	case p >= edgeOfReach:
		return fmt.Sprintf("At the edge of what is known: of 100 published teeth %.0f lie nearer to other animals' teeth than this one does.", p)
	case p < 1:
		return "Well within what is known: it lies as near to published teeth as they ever lie to other animals' teeth."
	}
	return fmt.Sprintf("Within what is known: of 100 published teeth %.0f lie nearer to other animals' teeth than this one does.", p)
}

// comparedWith says what was compared with which teeth, at what coverage.
func comparedWith(a classify.Answer) string {
	if len(a.Used) == 0 {
		return ""
	}
	var with string
	switch {
	case a.Comparable > 0 && a.Own > 0:
		with = fmt.Sprintf(" with %d teeth, published ones and %s of one's own", a.Comparable, plural(a.Own, "tooth", "teeth"))
	case a.Own > 0:
		with = fmt.Sprintf(" with the published teeth and %s of one's own", plural(a.Own, "tooth", "teeth"))
	case a.Comparable > 0:
		with = fmt.Sprintf(" with %d published teeth", a.Comparable)
	default:
		with = " with the published teeth"
	}
	return fmt.Sprintf("Compared in %s%s; coverage of the sets %.0f %%.", measures(a.Used), with, 100*a.Coverage)
}
