package tray

import (
	"maps"

	"crownbench/classify"
	"crownbench/morph"
)

// steadyDraws is how often a tooth is measured again in thought. The part of
// draws that give one answer is then good to about ± 3 in 100.
const steadyDraws = 200

// steadySeed makes a tooth's draws the same at every try.
const steadySeed = 1

// Steady sorts a specimen again and again with its measurements moved within
// their errors, and says how often the answer stays; false where no error is
// stated of anything that was compared.
func (how Sorting) Steady(s *Specimen, f Finding) (classify.Steadiness, bool) {
	if len(f.Query.U) == 0 {
		return classify.Steadiness{}, false
	}
	drawn := morph.Resample(s.Tooth(), steadyDraws, steadySeed)
	var queries []classify.Query
	for i := range drawn.Draws {
		q := f.Query
		q.U, q.Values = nil, maps.Clone(f.Query.Values)
		for m := range q.Values {
			if v := drawn.Values(morph.ID(m)); i < len(v) {
				q.Values[m] = v[i]
			}
		}
		queries = append(queries, q)
	}
	teeth := how.Teeth
	if teeth == nil {
		teeth = classify.Published()
	}
	return teeth.Steady(queries, classify.Options{Coverage: how.Coverage}), true
}
