package morph

import "fmt"

// term is a quantity that a formula rests on, with the sense in which the
// result follows it.
type term struct {
	id    ID
	sense int
}

// up, down and either say that a result grows with a quantity, falls as it
// grows, or may do both. It matters where a part is broken: with a quantity
// known to be a minimum, a result that grows with it is a minimum too, and any
// other is not known, since the trade has no mark for a maximum.
func up(id ID) term     { return term{id, +1} }
func down(id ID) term   { return term{id, -1} }
func either(id ID) term { return term{id, 0} }

// formula derives a quantity from readings above it in the table; f gets their
// values in the order of the terms.
func formula(how string, f func(x []float64) float64, terms ...term) source {
	return func(s *survey, id ID) []way {
		w := way{key: DerivedKey, how: how, derived: true}
		places := make([]int, len(terms))
		for i, t := range terms {
			places[i] = index[t.id]
		}
		w.value = func(s *survey) float64 {
			s.args = s.args[:0]
			for _, p := range places {
				s.args = append(s.args, s.value[p])
			}
			return f(s.args)
		}
		w.state, w.void, w.lacks = s.follow(terms)
		return []way{w}
	}
}

// follow tells in what state a result stands that follows the terms, whether
// it has no value because none of them has one, or what it lacks.
func (s *survey) follow(terms []term) (state State, void bool, lacks string) {
	var missing []string
	alike := true // every term lacks a value for the same stated reason
	first := s.reading(terms[0].id)
	for _, t := range terms {
		r := s.reading(t.id)
		alike = alike && !r.Known && r.stated() && r.State == first.State
		switch {
		case r.Known && r.State == Minimum && t.sense < 0:
			lacks = fmt.Sprintf("not known: %s is a minimum, so this would be a maximum", t.id)
		case r.Known && r.State == Minimum && t.sense == 0:
			lacks = fmt.Sprintf("not known: %s is only a minimum", t.id)
		case r.Known && r.State == Minimum:
			state = Minimum
		case r.Known && r.State == Estimated && state == MeasuredState:
			state = Estimated
		case !r.Known && r.stated():
			lacks = fmt.Sprintf("not known: %s is %s", t.id, r.State)
		case !r.Known:
			missing = append(missing, string(t.id))
		}
	}
	switch {
	case alike:
		return first.State, true, ""
	case lacks != "":
		return "", false, lacks
	case missing != nil:
		return "", false, "needs " + list(missing)
	}
	return state, false, ""
}

// stated tells whether the reading's state says that there is no value.
func (r Reading) stated() bool {
	switch r.State {
	case NotApplicable, Unknown, Absent, NotPreserved:
		return true
	}
	return false
}

// heightRatio is CHR after the rule chosen for the tooth.
func heightRatio(s *survey, id ID) []way {
	if s.tooth.CHR != CHRByLongAxis {
		return formula("CH / CBL", quotient, up(CH), down(CBL))(s, id)
	}
	axis := CBL
	if s.reading(CBW).Value > s.reading(CBL).Value {
		axis = CBW
	}
	return formula(fmt.Sprintf("CH / %s, the longer axis of the base", axis), func(x []float64) float64 {
		return x[0] / max(x[1], x[2])
	}, up(CH), down(CBL), down(CBW))(s, id)
}

// densityIndex is DSDI after the rule chosen for the tooth.
func densityIndex(s *survey, id ID) []way {
	if s.tooth.DSDI == DSDIMean {
		return formula("MAVG / DAVG", quotient, up(MAVG), down(DAVG))(s, id)
	}
	return formula("MC / DC", quotient, up(MC), down(DC))(s, id)
}

// ellipse gives a number of the ellipse of CBL and CBW, which stands in for a
// base section that is not outlined.
func ellipse(of func(Bending) float64) source {
	from := formula("ellipse of CBL × CBW, no section outlined", func(x []float64) float64 {
		return of(Ellipse(x[0], x[1]))
	}, up(CBL), up(CBW))
	return func(s *survey, id ID) []way {
		ways := from(s, id)
		ways[0].key, ways[0].derived, ways[0].model = EllipseKey, false, true
		return ways
	}
}
