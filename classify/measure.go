package classify

import (
	"fmt"
	"math"

	"crownbench/classify/internal/model"
)

// Measure names one measurement or ratio of a crown by its trade abbreviation
// (Smith 2005; Hendrickx, Mateus & Araújo 2015 for the mid-crown ones).
type Measure string

// Lengths are in mm, denticle densities in denticles per 5 mm of carina.
const (
	CBL Measure = "CBL" // crown base length, mesiodistal
	CBW Measure = "CBW" // crown base width, labiolingual
	CH  Measure = "CH"  // crown height, apex to distal end of the base
	AL  Measure = "AL"  // apical length, apex to mesial end of the base
	MCL Measure = "MCL" // mid-crown length
	MCW Measure = "MCW" // mid-crown width
	MSL Measure = "MSL" // length of the serrated part of the mesial carina
	MA  Measure = "MA"  // mesial denticles, apical
	MC  Measure = "MC"  // mesial denticles, mid-crown
	MB  Measure = "MB"  // mesial denticles, basal
	DA  Measure = "DA"  // distal denticles, apical
	DC  Measure = "DC"  // distal denticles, mid-crown
	DB  Measure = "DB"  // distal denticles, basal
	CBR Measure = "CBR" // crown base ratio, CBW/CBL
	CHR Measure = "CHR" // crown height ratio, CH/CBL
)

// measures lists every measure in the order of the reference table, the two
// ratios last. A measure's place here is its index in Tooth.values.
var measures = [...]struct {
	id   Measure
	name string
	unit string
}{
	{CBL, "crown base length", "mm"},
	{CBW, "crown base width", "mm"},
	{CH, "crown height", "mm"},
	{AL, "apical length", "mm"},
	{MCL, "mid-crown length", "mm"},
	{MCW, "mid-crown width", "mm"},
	{MSL, "length of the serrated mesial carina", "mm"},
	{MA, "mesial denticle density, apical", "per 5 mm"},
	{MC, "mesial denticle density, mid-crown", "per 5 mm"},
	{MB, "mesial denticle density, basal", "per 5 mm"},
	{DA, "distal denticle density, apical", "per 5 mm"},
	{DC, "distal denticle density, mid-crown", "per 5 mm"},
	{DB, "distal denticle density, basal", "per 5 mm"},
	{CBR, "crown base ratio", ""},
	{CHR, "crown height ratio", ""},
}

const (
	nTabled   = 13 // measures with a column in the reference table
	nMeasures = len(measures)
)

// Measures returns every measure this package knows, lengths first, then
// denticle densities, then ratios.
func Measures() []Measure {
	list := make([]Measure, nMeasures)
	for i := range measures {
		list[i] = measures[i].id
	}
	return list
}

// index returns the place of m in measures, or -1 when m is not one of them.
func (m Measure) index() int {
	for i := range measures {
		if measures[i].id == m {
			return i
		}
	}
	return -1
}

// Known reports whether m is one of [Measures].
func (m Measure) Known() bool { return m.index() >= 0 }

// Name returns the measure's name in words, or the measure itself when it is
// not known.
func (m Measure) Name() string {
	if i := m.index(); i >= 0 {
		return measures[i].name
	}
	return string(m)
}

// Unit returns "mm", "per 5 mm", or "" for ratios and unknown measures.
func (m Measure) Unit() string {
	if i := m.index(); i >= 0 {
		return measures[i].unit
	}
	return ""
}

// Bounds outside which a value cannot belong to a theropod crown. They are
// wide on purpose: the largest published crown is 146 mm high, the finest
// denticles stand 80 to 5 mm.
const (
	maxLength  = 500.0 // mm
	maxDensity = 500.0 // denticles per 5 mm
	maxRatio   = 50.0
)

// CheckValue returns an error, a sentence for the user, when v cannot be a
// value of m: not a finite number, not above zero, or beyond any tooth. The
// error of an unknown measure names it.
func CheckValue(m Measure, v float64) error {
	if !m.Known() {
		return fmt.Errorf("%q is not a measurement this comparison knows", string(m))
	}
	limit, unit := maxRatio, ""
	switch m.Unit() {
	case "mm":
		limit, unit = maxLength, " mm"
	case "per 5 mm":
		limit, unit = maxDensity, " per 5 mm"
	}
	switch {
	case math.IsNaN(v) || math.IsInf(v, 0):
		return fmt.Errorf("%s is not a finite number", m)
	case v <= 0:
		return fmt.Errorf("%s %g%s is not above zero", m, v, unit)
	case v > limit:
		return fmt.Errorf("%s %g%s is beyond any tooth (limit %g)", m, v, unit, limit)
	}
	return nil
}

// values holds one number for each measure, in the order of measures; zero
// means not given, since no measure can be zero.
type values [nMeasures]float64

// ratios fills CBR and CHR from the lengths where both lengths are given.
func (v *values) ratios() {
	if cbl := v[iCBL]; cbl > 0 {
		if v[iCBW] > 0 {
			v[iCBR] = v[iCBW] / cbl
		}
		if v[iCH] > 0 {
			v[iCHR] = v[iCH] / cbl
		}
	}
}

// compared lists the measures that enter a comparison and the model channels
// they are, in the model's order; ratios enter only where their lengths are
// unknown.
var compared = [model.MesialAbsent]int{iCBL, iCBW, iCH, iAL, iMCL, iMCW, iMC, iDC}

// Indices into values of the measures that formulas name.
const (
	iCBL = iota
	iCBW
	iCH
	iAL
	iMCL
	iMCW
	iMSL
	iMA
	iMC
	iMB
	iDA
	iDC
	iDB
	iCBR
	iCHR
)
