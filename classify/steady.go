package classify

import (
	"cmp"
	"iter"
	"slices"
)

// Steadiness says how far the answer for one tooth holds when its measurements
// move within their error.
type Steadiness struct {
	Draws int
	// Form is the form that most draws got, or "" when most could not be given
	// one; of equally frequent ones the first of [Forms]. Same is the part of
	// draws that got it, 0 to 1.
	Form Form
	Same float64
	// Forms counts the draws by the form they got, Leads by the clade with the
	// largest share; most frequent first. Draws without a form are under "";
	// draws that lie outside everything published have no leading clade.
	Forms []FormTally
	Leads []Tally
}

// FormTally counts answers that name a form, or none ("").
type FormTally struct {
	Form  Form
	Count int
}

// Steady sorts draws of one tooth and sums up how steady the answer is. The
// draws are the tooth's query with each value moved at random within its error,
// for instance by resampling; their U should be empty, since an error must not
// count twice. They are asked for one by one, so that what gives them can let
// other work go on between. No draws give the zero value.
func (r *Reference) Steady(draws iter.Seq[Query], o Options) Steadiness {
	o.Brief, o.K = true, 1 // of the teeth near, nothing is asked
	var s Steadiness
	forms := make(map[Form]int)
	leads := make(map[string]int)
	for q := range draws {
		s.Draws++
		a := r.Sort(q, o)
		forms[a.Form]++
		if len(a.Clades) > 0 && !a.Reach.Outside {
			leads[a.Clades[0].Clade]++
		}
	}
	if s.Draws == 0 {
		return s
	}
	for _, f := range append(Forms(), "") {
		if n := forms[f]; n > 0 {
			s.Forms = append(s.Forms, FormTally{f, n})
		}
	}
	slices.SortStableFunc(s.Forms, func(a, b FormTally) int { return cmp.Compare(b.Count, a.Count) })
	for clade, n := range leads {
		s.Leads = append(s.Leads, Tally{clade, n})
	}
	slices.SortFunc(s.Leads, func(a, b Tally) int {
		return cmp.Or(cmp.Compare(b.Count, a.Count), cmp.Compare(a.Name, b.Name))
	})
	s.Form = s.Forms[0].Form
	s.Same = float64(s.Forms[0].Count) / float64(s.Draws)
	return s
}
