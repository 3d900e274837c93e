package classify

import (
	"fmt"
	"slices"
	"strings"
)

const (
	cladeWorthNaming = 0.15 // share below which a clade is not named in the sentence
	cladesNamed      = 3
)

// said puts the answer in one sentence.
func said(a *Answer) string {
	if a.Form == "" {
		parts := []string{"Cannot say: " + a.CannotSay}
		if not := ruledOut(a); not != "" {
			parts = append(parts, not)
		}
		return strings.Join(parts, "; ") + "."
	}
	near := 0
	for _, s := range a.Shares {
		if s.Form == a.Form {
			near = s.Count
		}
	}
	parts := []string{fmt.Sprintf("%s: %d of the %d nearest published crowns", a.Form.Words(), near, len(a.Neighbours))}
	if names := cladesInWords(a.Clades); names != "" {
		parts = append(parts, "most like "+names)
	} else {
		parts = append(parts, "no clade stands out")
	}
	if not := ruledOut(a); not != "" {
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

// ruledOut says which of the two forms that matter most is outside the set.
func ruledOut(a *Answer) string {
	out := func(f Form) bool {
		return len(a.FormSet) > 0 && !slices.Contains(a.FormSet, f) &&
			slices.ContainsFunc(a.Shares, func(s FormShare) bool { return s.Form == f })
	}
	switch {
	case out(Robust):
		return "not robust"
	case out(Blade):
		return "not blade-like"
	}
	return ""
}

func formsInWords(forms []Form) string {
	words := make([]string, len(forms))
	for i, f := range forms {
		words[i] = shortForm(f)
	}
	return strings.Join(words, " and ")
}

func shortForm(f Form) string {
	switch f {
	case Blade:
		return "blade-like"
	case Robust:
		return "robust-conical"
	}
	return "front tooth of a blade-toothed animal"
}

// orList joins names as in "A, B or C".
func orList(names []string) string {
	if len(names) < 2 {
		return strings.Join(names, "")
	}
	return strings.Join(names[:len(names)-1], ", ") + " or " + names[len(names)-1]
}
