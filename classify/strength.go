package classify

import (
	"errors"
	"math"
	"slices"
	"sync"

	"gonum.org/v1/gonum/stat"
)

// Strength places a crown's build on measured scales: what it could bear as a
// beam, not what the animal ate. The crown is modelled as a solid cantilever
// with an elliptic base, loaded at the tip (after Van Valkenburgh & Ruff 1987).
// Root, pulp cavity and curvature are left out.
type Strength struct {
	Mesiodistal  float64 // section modulus over height against bending along the jaw, mm²: π·CBL²·CBW/(32·CH)
	Labiolingual float64 // the same against bending sideways, mm²: π·CBL·CBW²/(32·CH)
	Evenness     float64 // Labiolingual / Mesiodistal = CBW/CBL: 1 is equally strong both ways
	Slenderness  float64 // CH / √(CBL·CBW)

	// Sideways is Labiolingual against what the published crowns of the same
	// base length have on average: 1 is as strong, 2 twice as strong.
	Sideways float64

	// Percentiles among the published crowns with the three lengths, 0 to 100.
	EvennessPercentile    float64
	SlendernessPercentile float64
	SidewaysPercentile    float64

	// Spike is the place between a knife (0: the most lopsided published base)
	// and a spike (1: an even one). It is EvennessPercentile / 100.
	Spike float64
}

// StrengthOf returns the strength of a crown with the given lengths in mm,
// placed against the published ones. The error says which length is missing or
// impossible.
func StrengthOf(cbl, cbw, ch float64) (Strength, error) {
	for _, l := range []struct {
		m Measure
		v float64
	}{{CBL, cbl}, {CBW, cbw}, {CH, ch}} {
		if l.v == 0 {
			return Strength{}, errors.New("strength needs " + string(l.m) + ", the " + l.m.Name())
		}
		if err := CheckValue(l.m, l.v); err != nil {
			return Strength{}, err
		}
	}
	s := beam(cbl, cbw, ch)
	scale := strengths()
	s.Sideways = s.Labiolingual / math.Pow(10, scale.intercept+scale.slope*math.Log10(cbl))
	s.EvennessPercentile = percentile(scale.evenness, s.Evenness)
	s.SlendernessPercentile = percentile(scale.slenderness, s.Slenderness)
	s.SidewaysPercentile = percentile(scale.sideways, s.Sideways)
	s.Spike = s.EvennessPercentile / 100
	return s, nil
}

func beam(cbl, cbw, ch float64) Strength {
	return Strength{
		Mesiodistal:  math.Pi * cbl * cbl * cbw / (32 * ch),
		Labiolingual: math.Pi * cbl * cbw * cbw / (32 * ch),
		Evenness:     cbw / cbl,
		Slenderness:  ch / math.Sqrt(cbl*cbw),
	}
}

// strengthScale holds the published crowns' values, sorted, and the regression
// of log Labiolingual on log CBL.
type strengthScale struct {
	evenness, slenderness, sideways []float64
	intercept, slope                float64
}

var strengths = sync.OnceValue(func() strengthScale {
	var s strengthScale
	var x, y []float64
	for i := range Published().teeth {
		t := &Published().teeth[i]
		if !t.hasBasics() {
			continue
		}
		b := beam(t.values[iCBL], t.values[iCBW], t.values[iCH])
		s.evenness = append(s.evenness, b.Evenness)
		s.slenderness = append(s.slenderness, b.Slenderness)
		x = append(x, math.Log10(t.values[iCBL]))
		y = append(y, math.Log10(b.Labiolingual))
	}
	s.intercept, s.slope = stat.LinearRegression(x, y, nil, false)
	for i := range x {
		s.sideways = append(s.sideways, math.Pow(10, y[i]-s.intercept-s.slope*x[i]))
	}
	slices.Sort(s.evenness)
	slices.Sort(s.slenderness)
	slices.Sort(s.sideways)
	return s
})

// percentile returns the percent of sorted values below v, equal ones counted
// half.
func percentile(sorted []float64, v float64) float64 {
	below, _ := slices.BinarySearch(sorted, v)
	upTo, _ := slices.BinarySearch(sorted, math.Nextafter(v, math.Inf(1)))
	return 50 * float64(below+upTo) / float64(len(sorted))
}

// EvennessPercentile places an evenness of one's own, such as that of a traced
// section (Z across / Z along), among those of the published crowns, whose
// bases are taken as ellipses: 0 to 100.
func EvennessPercentile(evenness float64) float64 { return percentile(strengths().evenness, evenness) }
