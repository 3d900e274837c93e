package classify

import (
	"fmt"
	"slices"
	"strings"
)

const (
	cladeWorthNaming = 0.20 // share below which a clade is not named in the sentence
	cladesNamed      = 3
)

// said puts the answer in one sentence.
func said(a *Answer) string {
	if a.Form == "" {
		return "Cannot say: " + a.CannotSay + "."
	}
	parts := []string{fmt.Sprintf("%s: %d of the %d nearest published crowns", a.Form.Words(), a.Shares[0].Count, len(a.Neighbours))}
	if names := cladesInWords(a.Clades); names != "" {
		parts = append(parts, "most like "+names)
	} else if len(a.Clades) > 0 {
		parts = append(parts, "no clade stands out")
	}
	if not := formsWithoutNeighbours(a); not != "" {
		parts = append(parts, not)
	}
	return strings.Join(parts, "; ") + "."
}

func cladesInWords(shares []CladeShare) string {
	var names []string
	for _, s := range shares {
		if s.Share >= cladeWorthNaming && len(names) < cladesNamed {
			names = append(names, s.Clade)
		}
	}
	return orList(names)
}

// formsWithoutNeighbours rules out in words what none of the neighbours is.
func formsWithoutNeighbours(a *Answer) string {
	none := func(f Form) bool {
		return slices.ContainsFunc(a.Shares, func(s FormShare) bool { return s.Form == f && s.Count == 0 })
	}
	switch {
	case a.Form != Robust && none(Robust):
		return "not robust"
	case a.Form == Robust && none(Blade):
		return "not blade-like"
	}
	return ""
}

func countForms(shares []FormShare) string {
	var words []string
	for _, s := range shares {
		if s.Count > 0 {
			words = append(words, fmt.Sprintf("%d %s", s.Count, shortForm(s.Form)))
		}
	}
	return strings.Join(words, ", ")
}

func shortForm(f Form) string {
	switch f {
	case Blade:
		return "blade-like"
	case Robust:
		return "robust-conical"
	}
	return "front teeth"
}

// orList joins names as in "A, B or C".
func orList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
