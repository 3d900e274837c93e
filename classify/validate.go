package classify

import (
	"context"
	"slices"

	"crownbench/classify/internal/model"
)

// Validation is a quick test of a sample on teeth whose form and clade are
// known: each is sorted with all teeth of its own animal left out. It serves to
// compare, above all the published teeth with and without the user's own; the
// distances were learned from the published teeth themselves, so the figures
// for those are a little flattering. VALIDATION.md has honest ones.
type Validation struct {
	Published      Rates // of published teeth, compared with the whole sample
	PublishedAlone Rates // of published teeth, compared with published ones only
	Own            Rates // of the user's own teeth, compared with the whole sample
	OwnAlone       Rates // of the user's own teeth, compared with published ones only
}

// Rates say how often the likeliest form or clade is the true one. A tooth is
// asked about with the measurements it has and its tooth row unknown.
type Rates struct {
	// FormTeeth are those with a form and a width, published ones with CBL, CBW
	// and CH.
	FormTeeth    int
	Form         float64 // part of FormTeeth, 0 to 1
	FormBalanced float64 // mean of that part over the forms that occur

	// CladeTeeth are those of one of the compared clades, published ones with
	// CBL, CBW and CH.
	CladeTeeth    int
	Clade         float64 // part of CladeTeeth, 0 to 1
	CladeBalanced float64 // mean of that part over the clades that occur
	CladeTop3     float64 // part whose clade is among the three likeliest
}

// progressStep is how many teeth are judged between two calls of progress.
const progressStep = 50

// Validate tests the sample; see [Validation]. progress, which may be nil, is
// told how many teeth of how many have been judged; in a browser it is the place
// to let the page breathe. When ctx is done Validate returns its error.
func (r *Reference) Validate(ctx context.Context, progress func(done, all int)) (Validation, error) {
	published, own := r.teeth[:len(r.teeth)-r.own], r.teeth[len(r.teeth)-r.own:]
	var v Validation
	type round struct {
		teeth []Tooth
		all   bool // of them, not those with the basic measurements only
		with  *Reference
		rates *Rates
	}
	rounds := []round{{published, false, r, &v.Published}}
	if r.own > 0 {
		alone := &Reference{teeth: published}
		rounds = append(rounds, round{published, false, alone, &v.PublishedAlone}, round{own, true, r, &v.Own}, round{own, true, alone, &v.OwnAlone})
	}
	total, done := 0, 0
	for _, x := range rounds {
		total += len(x.teeth)
	}
	for _, x := range rounds {
		form, clade := newJury(x.with.panel("form")), newJury(x.with.panel("clade"))
		for i := range x.teeth {
			if err := ctx.Err(); err != nil {
				return Validation{}, err
			}
			if t := &x.teeth[i]; x.all || t.hasBasics() {
				seen := t.observation()
				if seen.Pattern().Width() {
					form.judge(&seen, t, string(t.Form))
				}
				clade.judge(&seen, t, t.Clade)
			}
			if done++; progress != nil && (done%progressStep == 0 || done == total) {
				progress(done, total)
			}
		}
		x.rates.FormTeeth, x.rates.Form, x.rates.FormBalanced, _ = form.rates()
		x.rates.CladeTeeth, x.rates.Clade, x.rates.CladeBalanced, x.rates.CladeTop3 = clade.rates()
	}
	if r.own == 0 {
		v.PublishedAlone = v.Published
	}
	return v, nil
}

// jury counts how often a panel is right.
type jury struct {
	panel *panel
	work  *workspace
	heads []int // teeth judged, by true class
	first []int // those whose likeliest class is the true one
	top3  int
}

func newJury(p *panel) *jury {
	n := len(p.task.Classes)
	return &jury{panel: p, work: p.work.New().(*workspace), heads: make([]int, n), first: make([]int, n)}
}

// judge asks the panel, less t's animal, about a tooth as seen. Without a class
// to be right about, or anything seen, nothing is counted.
func (j *jury) judge(seen *model.Observation, t *Tooth, class string) {
	truth := slices.Index(j.panel.task.Classes, class)
	if truth < 0 || seen.Pattern() == 0 {
		return
	}
	j.panel.share(seen, j.panel.without(t.Individual), j.work, j.work.shares)
	ahead := 0
	for c, s := range j.work.shares {
		if own := j.work.shares[truth]; s > own || s == own && c < truth {
			ahead++
		}
	}
	j.heads[truth]++
	if ahead == 0 {
		j.first[truth]++
	}
	if ahead < 3 {
		j.top3++
	}
}

func (j *jury) rates() (teeth int, right, balanced, top3 float64) {
	hits, occur := 0, 0
	for c, n := range j.heads {
		if n == 0 {
			continue
		}
		teeth += n
		hits += j.first[c]
		occur++
		balanced += float64(j.first[c]) / float64(n)
	}
	if teeth == 0 {
		return 0, 0, 0, 0
	}
	return teeth, float64(hits) / float64(teeth), balanced / float64(occur), float64(j.top3) / float64(teeth)
}
