package tray

import (
	"maps"

	"crownbench/classify"
	"crownbench/morph"
)

// Draws is how often a tooth is measured again in thought: enough for the ends
// of a 95 % interval to be good to about a twentieth of its width, and for the
// part of draws that give one answer to about 1 in 100.
const Draws = 2000

// drawSeed makes a tooth's draws the same at every try.
const drawSeed = 1

// Share is the part of the draws that an interval holds.
const Share = 0.95

// Spread is what the readings of a specimen could be, given the errors of its
// inputs.
type Spread struct {
	Drawn morph.Distribution
	ends  map[morph.ID][2]float64
}

// SpreadOf draws the readings of a specimen again and again within the errors
// of its inputs. It calls turn now and then, which may let other work go on, and
// leaves off when that gives false.
func SpreadOf(s *Specimen, turn func() bool) Spread {
	x := Spread{morph.ResampleInTurns(s.Tooth(), Draws, drawSeed, turn), map[morph.ID][2]float64{}}
	for _, q := range morph.Quantities {
		if !turn() {
			break
		}
		if low, high, ok := x.Drawn.Interval(q.ID, Share); ok && low < high {
			x.ends[q.ID] = [2]float64{low, high}
		}
	}
	return x
}

// Interval gives the ends of a reading's interval; false where the reading is
// not known or nothing is uncertain in it.
func (x Spread) Interval(id morph.ID) (low, high float64, ok bool) {
	ends, ok := x.ends[id]
	return ends[0], ends[1], ok
}

// Steady sorts a specimen by each of its draws and says how often the answer
// stays; false where no error is stated of anything that was compared. It calls
// turn before each, and leaves off, with false, when that gives false.
func (how Sorting) Steady(f Finding, x Spread, turn func() bool) (classify.Steadiness, bool) {
	if len(f.Query.U) == 0 {
		return classify.Steadiness{}, false
	}
	whole := true
	draws := func(yield func(classify.Query) bool) {
		for i := range x.Drawn.Draws {
			q := f.Query
			q.U, q.Values = nil, maps.Clone(f.Query.Values)
			for m := range q.Values {
				if v := x.Drawn.Values(morph.ID(m)); i < len(v) {
					q.Values[m] = v[i]
				}
			}
			if whole = turn(); !whole || !yield(q) {
				return
			}
		}
	}
	teeth := how.Teeth
	if teeth == nil {
		teeth = classify.Published()
	}
	found := teeth.Steady(draws, classify.Options{Coverage: how.Coverage})
	return found, whole
}
