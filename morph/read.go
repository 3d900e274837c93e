package morph

import (
	"math"
	"slices"
)

// Readings are the readings of one tooth, one for each of Quantities and in
// that order.
type Readings []Reading

// Get gives the reading of a quantity; the zero Reading, which is not known,
// when there is no such quantity.
func (rs Readings) Get(id ID) Reading {
	if i, ok := index[id]; ok && i < len(rs) {
		return rs[i]
	}
	return Reading{}
}

// Read gives every quantity of a tooth: known or not, with what counts, its
// standard uncertainty, and what is missing or cannot be true.
//
// Where a quantity has several candidates, the first of this order counts
// unless the tooth prefers another:
//   - CH and AL of a crown whose apex is broken: with the apex that was
//     estimated for it, where one was, before the minimum
//   - lengths: typed; then the base section for CBL and CBW (the mid-crown
//     section for MCL and MCW); then traced crowns, labial before lingual
//   - denticle densities: typed, counted, ticked
//   - CBR and CHR: from the lengths that count; then from one photograph
//     without a scale; then typed
//   - angles: one crown's own triangle, which needs no scale; but the lengths
//     that count where one of them was typed or preferred from elsewhere
//   - section properties: the outlined base section, then the ellipse of CBL
//     and CBW
//
// A value that cannot be is a candidate still, but its reading is not known,
// so that nothing rests on it. A broken crown makes CH, AL, MSL and the area
// minima, and CHR with them; its angles and curvature are not known; nor is
// the strength index, which would be a maximum.
//
// Uncertainties are of first order: each placed coordinate, each photograph's
// scale or each corner of its card, each typed value with an uncertainty and
// each count is one independent input, so that what one photograph's ratio shares cancels.
func Read(t Tooth) Readings {
	s := surveyOf(&t)
	values := s.read()
	us := s.propagate(values)
	s.addUncertainty(values, us)
	s.crossCheck()
	return s.readings
}

// Values is Read without uncertainties, which take nearly all of its time, and
// without the doubts that rest on them: for many teeth at once, where only the
// values are of use.
func Values(t Tooth) Readings {
	s := surveyOf(&t)
	s.read()
	return s.readings
}

func (s *survey) reading(id ID) Reading {
	if i := index[id]; i < len(s.readings) {
		return s.readings[i]
	}
	return Reading{}
}

// read makes the plan and the readings, without uncertainty, and gives the
// values of the plan's candidates in order.
func (s *survey) read() (values []float64) {
	s.readings = make(Readings, 0, len(table))
	for i := range table {
		e := &table[i]
		standing, lacking := s.waysTo(e)
		chosen := s.choose(e.ID, standing)
		r := s.readingBy(e, standing, lacking, chosen)
		var usable []way
		counts := -1
		for j, w := range standing {
			if w.void {
				continue
			}
			if j == chosen && r.Known {
				counts = len(usable)
				s.value[i] = r.Value
			}
			usable = append(usable, w)
			values = append(values, w.value(s))
		}
		s.readings = append(s.readings, r)
		s.plan = append(s.plan, usable)
		s.counts = append(s.counts, counts)
	}
	return values
}

// waysTo gives the ways to a quantity that give a value or state that there is
// none, the default first, and those that lack something.
func (s *survey) waysTo(e *entry) (standing, lacking []way) {
	for _, source := range e.ways {
		for _, w := range source(s, e.ID) {
			if w.lacks == "" && !w.void && !finite(w.value(s)) {
				w.lacks = "needs points that lie apart and in the photo"
			}
			if w.lacks != "" {
				lacking = append(lacking, w)
			} else {
				standing = append(standing, w)
			}
		}
	}
	// "Unknown" is said for want of a value and gives way to any.
	slices.SortStableFunc(standing, func(a, b way) int { return a.yields() - b.yields() })
	return standing, lacking
}

func (w way) yields() int {
	if w.void && w.state == Unknown {
		return 1
	}
	return 0
}

// choose gives the place of the way that counts: the preferred one if it is
// there, else the first.
func (s *survey) choose(id ID, standing []way) int {
	prefer, ok := s.tooth.Prefer[id]
	if !ok {
		return 0
	}
	return max(0, slices.IndexFunc(standing, func(w way) bool { return w.key != "" && w.key == prefer }))
}

// readingBy makes a quantity's reading from its ways, without uncertainty.
func (s *survey) readingBy(e *entry, standing, lacking []way, chosen int) Reading {
	r := Reading{Quantity: e.Quantity}
	for _, w := range lacking {
		if len(standing) == 0 || w.key == TypedKey || w.key == CountedKey {
			r.Problem = join(r.Problem, w.problem)
		}
	}
	if len(standing) == 0 {
		r.Needs = e.needs
		if len(lacking) > 0 {
			r.Needs = lacking[0].lacks
		}
		return r
	}
	w := standing[chosen]
	r.How, r.State, r.Key = w.how, w.state, w.key
	r.Problem = join(w.problem, r.Problem)
	if !w.void {
		v := w.value(s)
		problem, impossible := e.judge(v)
		contradiction, ruledOut := contradicts(standing)
		r.Problem = join(join(r.Problem, problem), contradiction)
		r.Interval = w.over
		if !impossible && !ruledOut && !w.impossible {
			r.Known, r.Value = true, v
		}
	}
	if !slices.ContainsFunc(standing, func(w way) bool { return !w.derived && w.key != "" }) {
		r.Key = ""
		return r
	}
	for _, w := range standing {
		if w.key == "" {
			continue
		}
		c := Candidate{Key: w.key, State: w.state, How: w.how, Interval: w.over}
		if !w.void {
			c.Value = w.value(s)
		}
		r.Candidates = append(r.Candidates, c)
	}
	return r
}

// contradicts says that a value stands beside a record that there is none, and
// whether that rules the value out.
func contradicts(standing []way) (problem string, ruledOut bool) {
	for _, w := range standing {
		switch {
		case !w.void || w.key != "":
		case w.state == Absent:
			return "A value stands here although the record says: " + w.how + ". One of the two is wrong.", true
		case w.state == NotPreserved:
			return "A value stands here although the record says: " + w.how + ".", false
		}
	}
	return "", false
}

// step is the share of a standard uncertainty by which an input is shifted
// either way to see how the readings follow.
const step = 0.25

// propagate gives the standard uncertainties of the plan's candidates, in
// order.
func (s *survey) propagate(values []float64) []float64 {
	us := make([]float64, len(values))
	if len(values) == 0 {
		return us
	}
	plus, minus := make([]float64, len(values)), make([]float64, len(values))
	var moved *piece
	for _, in := range s.inputs {
		if moved != nil && moved != in.piece {
			moved.remeasure()
		}
		moved = in.piece
		s.shift(in, step)
		s.evaluate(plus)
		s.shift(in, -step)
		s.evaluate(minus)
		in.set(0)
		if in.card != nil {
			in.card.remeasure()
		}
		for k := range us {
			if d := (plus[k] - minus[k]) / (2 * step); finite(d * d) {
				us[k] += d * d
			}
		}
	}
	if moved != nil {
		moved.remeasure()
	}
	for k, u2 := range us {
		us[k] = math.Sqrt(u2)
		if !finite(us[k]) {
			us[k] = 0
		}
	}
	return us
}

func (s *survey) shift(in input, z float64) {
	in.set(z)
	if in.piece != nil {
		in.piece.remeasure()
	}
	if in.card != nil {
		in.card.remeasure()
	}
}

// addUncertainty writes uncertainties to the readings and says where
// candidates disagree.
func (s *survey) addUncertainty(values, us []float64) {
	k := 0
	for i, ways := range s.plan {
		r := &s.readings[i]
		v, u := values[k:k+len(ways)], us[k:k+len(ways)]
		k += len(ways)
		counts := s.counts[i]
		if counts >= 0 {
			r.U = u[counts]
		}
		for j := range r.Candidates {
			c := &r.Candidates[j]
			if at := slices.IndexFunc(ways, func(w way) bool { return w.key == c.Key }); at >= 0 {
				c.U = u[at]
			}
		}
		r.Problem = join(r.Problem, table[i].apart(ways, v, u, counts))
	}
}
