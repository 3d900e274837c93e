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
	// U holds standard uncertainties in the units of Values. A value without
	// one counts as exact. The larger it is, the less the value says against
	// what the other measurements lead one to expect.
	U map[Measure]float64

	Mesial, Distal DenticleState // of the two carinae
	Row            ToothRow

	Epoch, Country string // of the find, as in the reference; blank when not given

	// Individual is the animal that the tooth is known to be of, as the sample
	// names it, else blank. Teeth of that animal take no part, so that a tooth
	// which is in the sample itself is not its own evidence.
	Individual string
}

// ratioTolerance is how far a stated ratio may stand from its lengths before
// the answer remarks on it: rounding to two decimals stays within.
const ratioTolerance = 0.02

// usable returns the query's values and their standard uncertainties in the
// order of measures, with ratios recomputed, and a sentence for each value that
// had to be set aside.
func (q Query) usable() (v, u values, remarks []string) {
	known := 0
	for i := range measures {
		m := measures[i].id
		given, ok := q.Values[m]
		if !ok {
			continue
		}
		known++
		if err := CheckValue(m, given); err != nil {
			remarks = append(remarks, fmt.Sprintf("%v; it was left out.", err))
			continue
		}
		v[i] = given
		if spread := q.U[m]; spread > 0 && !math.IsInf(spread, 0) {
			u[i] = spread
		}
	}
	if known < len(q.Values) {
		for _, m := range slices.Sorted(maps.Keys(q.Values)) {
			if !m.Known() {
				remarks = append(remarks, fmt.Sprintf("%v; it was left out.", CheckValue(m, 1)))
			}
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
	complete(&v, &u, iCBW, iCBL, iCBR)
	complete(&v, &u, iCH, iCBL, iCHR)
	complete(&v, &u, iCBW, iCBL, iCBR)
	v.ratios()
	if q.Mesial == DenticlesAbsent {
		remarks = v.dropDensities(remarks, "mesial", iMA, iMC, iMB)
	}
	if q.Distal == DenticlesAbsent {
		remarks = v.dropDensities(remarks, "distal", iDA, iDC, iDB)
	}
	return v, u, remarks
}

// dropDensities takes back the densities of a carina without denticles and adds
// a remark for each.
func (v *values) dropDensities(remarks []string, carina string, densities ...int) []string {
	for _, i := range densities {
		if v[i] > 0 {
			v[i] = 0
			remarks = append(remarks, fmt.Sprintf("%s was left out: the %s carina is recorded as having no denticles.", measures[i].id, carina))
		}
	}
	return remarks
}

// complete finds over or under from over/under = ratio when one of the two is
// missing. Relative uncertainties add as squares.
func complete(v, u *values, over, under, ratio int) {
	if v[ratio] == 0 || (v[over] == 0) == (v[under] == 0) {
		return
	}
	known, missing := over, under
	if v[over] == 0 {
		known, missing = under, over
		v[over] = v[ratio] * v[under]
	} else {
		v[under] = v[over] / v[ratio]
	}
	u[missing] = v[missing] * math.Hypot(u[known]/v[known], u[ratio]/v[ratio])
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
