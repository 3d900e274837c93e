package classify

import (
	"cmp"
	"slices"

	"crownbench/classify/internal/model"
)

// helpers are the measures worth asking for, in the order of model.Helpers, and
// what to say of them.
var helpers = [len(model.Helpers)]struct {
	measure Measure
	why     string
}{
	{CBL, "with it the crown's proportions can be compared"},
	{CBW, "width, which a basal view shows, decides between blade-like and robust"},
	{CH, "size and slenderness separate crowns of like base"},
	{AL, "with it the crown's curvature can be compared"},
	{MCW, "mid-crown width and length show how the crown tapers"},
	{MC, "mesial denticles finer than distal ones mark some clades"},
	{DC, "denticle density tells clades of like-shaped crowns apart"},
}

// leastGain is the shrinkage of a mean set below which a measure is not asked
// for: smaller ones are noise of the validation.
const leastGain = 0.02

// missing lists the measures that q lacks and that shrank a set in validation,
// or make a form possible to say; most helpful for the form first, then for the
// clade.
func (r *Reference) missing(q Query, p model.Pattern) []Missing {
	form, clade := r.panel(question("form", q.Row)).task, r.panel(question("clade", q.Row)).task
	var list []Missing
	for i, h := range helpers {
		with := p.With(model.Helpers[i])
		if with == p || h.measure == MC && q.Mesial == DenticlesAbsent || h.measure == DC && q.Distal == DenticlesAbsent {
			continue
		}
		m := Missing{Measure: h.measure, Why: h.why}
		m.Decides = !p.Width() && (with.Width() || h.measure == CBW)
		if p != 0 {
			if c := clade.Calibration(p); c != nil {
				m.CladeGain = c.Gain[i]
			}
			if c := form.Calibration(p); c != nil && p.Width() {
				m.FormGain = c.Gain[i]
			}
		}
		if m.Decides || p == 0 || m.FormGain > leastGain || m.CladeGain > leastGain {
			list = append(list, m)
		}
	}
	slices.SortStableFunc(list, func(a, b Missing) int {
		return cmp.Or(
			rank(b.Decides)-rank(a.Decides),
			cmp.Compare(beyond(b.FormGain), beyond(a.FormGain)),
			cmp.Compare(b.CladeGain, a.CladeGain),
		)
	})
	return list
}

// beyond counts a gain only when it is one.
func beyond(gain float64) float64 {
	if gain <= leastGain {
		return 0
	}
	return gain
}

func rank(b bool) int {
	if b {
		return 1
	}
	return 0
}
