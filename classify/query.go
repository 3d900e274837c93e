package classify

import (
	"fmt"
	"maps"
	"math"
	"slices"
)

// Query is a tooth to be sorted. Any subset of values will do; without a
// width (CBW with CBL, or CBR) no form can be said.
type Query struct {
	// Values in mm, denticles per 5 mm, or plain ratios. CBR and CHR are
	// computed where the lengths are given and need be stated only without.
	Values map[Measure]float64
	// U holds standard uncertainties in the units of Values.
	U map[Measure]float64

	Mesial, Distal DenticleState // of the two carinae
	Row            ToothRow

	Epoch, Country string // of the find, as in the reference; blank when not given
}

// ratioTolerance is how far a stated ratio may stand from its lengths before
// the answer remarks on it: rounding to two decimals stays within.
const ratioTolerance = 0.02

// usable returns the query's values in the order of measures, with ratios
// recomputed, and a sentence for each value that had to be set aside.
func (q Query) usable() (v values, remarks []string) {
	for i := range measures {
		m := measures[i].id
		given, ok := q.Values[m]
		if !ok {
			continue
		}
		if err := CheckValue(m, given); err != nil {
			remarks = append(remarks, fmt.Sprintf("%v; it was left out.", err))
			continue
		}
		v[i] = given
	}
	for _, m := range slices.Sorted(maps.Keys(q.Values)) {
		if !m.Known() {
			remarks = append(remarks, fmt.Sprintf("%v; it was left out.", CheckValue(m, 1)))
		}
	}
	stated := v
	v.ratios()
	for _, i := range []int{iCBR, iCHR} {
		if stated[i] > 0 && math.Abs(v[i]/stated[i]-1) > ratioTolerance {
			remarks = append(remarks, fmt.Sprintf("%s was given as %.3g but the lengths give %.3g; the lengths were used.",
				measures[i].id, stated[i], v[i]))
		}
	}
	// A ratio and one of its lengths give the other.
	if v[iCBR] > 0 {
		fillRatio(&v[iCBW], &v[iCBL], v[iCBR])
	}
	if v[iCHR] > 0 {
		fillRatio(&v[iCH], &v[iCBL], v[iCHR])
	}
	if v[iCBR] > 0 {
		fillRatio(&v[iCBW], &v[iCBL], v[iCBR])
	}
	v.ratios()
	for _, side := range []struct {
		state   DenticleState
		name    string
		density []int
	}{
		{q.Mesial, "mesial", []int{iMA, iMC, iMB}},
		{q.Distal, "distal", []int{iDA, iDC, iDB}},
	} {
		if side.state != DenticlesAbsent {
			continue
		}
		for _, i := range side.density {
			if v[i] > 0 {
				v[i] = 0
				remarks = append(remarks, fmt.Sprintf("%s was left out: the %s carina is recorded as having no denticles.", measures[i].id, side.name))
			}
		}
	}
	return v, remarks
}

// fillRatio completes over/under = ratio when one of the two is missing.
func fillRatio(over, under *float64, ratio float64) {
	switch {
	case *over == 0 && *under > 0:
		*over = ratio * *under
	case *under == 0 && *over > 0:
		*under = *over / ratio
	}
}

// stateOf returns what the query knows of a carina's denticles: a counted
// density says they are present.
func stateOf(said DenticleState, densities ...float64) DenticleState {
	if said == DenticlesUnknown {
		for _, d := range densities {
			if d > 0 {
				return DenticlesPresent
			}
		}
	}
	return said
}
