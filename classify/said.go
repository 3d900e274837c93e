package classify

import (
	"slices"
	"strconv"
	"strings"
)

const (
	cladeWorthNaming = 0.15 // share below which a clade is not named in the sentence
	cladesNamed      = 3
)

// said puts the answer in one sentence.
func said(a *Answer) string {
	var b strings.Builder
	b.Grow(160)
	if a.Form == "" {
		b.WriteString("Cannot say: ")
		b.WriteString(a.CannotSay)
	} else {
		near := 0
		for _, s := range a.Shares {
			if s.Form == a.Form {
				near = s.Count
			}
		}
		b.WriteString(a.Form.Words())
		b.WriteString(": ")
		b.WriteString(strconv.Itoa(near))
		b.WriteString(" of the ")
		b.WriteString(strconv.Itoa(len(a.Neighbours)))
		if a.Own > 0 {
			b.WriteString(" nearest crowns; ")
		} else {
			b.WriteString(" nearest published crowns; ")
		}
		cladesInWords(&b, a.Clades)
	}
	if not := ruledOut(a); not != "" {
		b.WriteString("; ")
		b.WriteString(not)
	}
	b.WriteByte('.')
	return b.String()
}

// cladesInWords names the likeliest clades, the largest share first.
func cladesInWords(b *strings.Builder, shares []CladeShare) {
	n := 0
	for n < min(len(shares), cladesNamed) && shares[n].Share >= cladeWorthNaming {
		n++
	}
	if n == 0 {
		b.WriteString("no clade stands out")
		return
	}
	b.WriteString("most like ")
	for i, s := range shares[:n] {
		switch {
		case i == 0:
		case i == n-1:
			b.WriteString(" or ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(s.Clade)
	}
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
