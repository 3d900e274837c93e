package classify

import "math"

// feature is one coordinate that teeth are compared in: the log10 of a size, a
// shape ratio or a denticle density. Logs make a ratio of two teeth count the
// same whichever is larger, which is the practice of the trade (Smith, Vann &
// Dodson 2005).
type feature uint8

// Features from most to least useful; when too few reference teeth have what
// the query has, the last one goes first.
const (
	width  feature = iota // CBW/CBL
	size                  // CH
	base                  // CBL, the size of a tooth whose height is not given
	height                // CH/CBL
	distal                // DC
	lean                  // AL/CH
	mesial                // MC
	middle                // MCW/MCL
	nFeatures
)

// madeOf names the measures that can enter a feature. A ratio stands in for
// two lengths, and with one of them for the other.
func (f feature) madeOf() []Measure {
	switch f {
	case width:
		return []Measure{CBR, CBW, CBL}
	case size:
		return []Measure{CH, CHR, CBL}
	case base:
		return []Measure{CBL, CBR, CBW}
	case height:
		return []Measure{CHR, CH, CBL}
	case distal:
		return []Measure{DC}
	case lean:
		return []Measure{AL, CH}
	case mesial:
		return []Measure{MC}
	case middle:
		return []Measure{MCW, MCL}
	}
	return nil
}

func (f feature) String() string {
	switch f {
	case width:
		return "base ratio CBR"
	case size:
		return "crown height CH"
	case base:
		return "base length CBL"
	case height:
		return "height ratio CHR"
	case distal:
		return "distal denticle density DC"
	case lean:
		return "apical length against height, AL/CH"
	case mesial:
		return "mesial denticle density MC"
	case middle:
		return "mid-crown ratio MCW/MCL"
	}
	return "unknown"
}

// of returns the feature's value for the given measures, and whether they
// suffice for it.
func (f feature) of(v *values) (float64, bool) {
	var x float64
	switch f {
	case width:
		x = v[iCBR]
	case size:
		x = v[iCH]
	case base:
		x = v[iCBL]
	case height:
		x = v[iCHR]
	case distal:
		x = v[iDC]
	case lean:
		x = quotient(v[iAL], v[iCH])
	case mesial:
		x = v[iMC]
	case middle:
		x = quotient(v[iMCW], v[iMCL])
	}
	if x <= 0 {
		return 0, false
	}
	return math.Log10(x), true
}

func quotient(a, b float64) float64 {
	if b == 0 {
		return 0
	}
	return a / b
}

// featureSet is a set of features, one bit each.
type featureSet uint16

func (s featureSet) has(f feature) bool             { return s&(1<<f) != 0 }
func (s featureSet) with(f feature) featureSet      { return s | 1<<f }
func (s featureSet) without(f feature) featureSet   { return s &^ (1 << f) }
func (s featureSet) contains(other featureSet) bool { return s&other == other }

// list returns the members, most useful first.
func (s featureSet) list() []feature {
	var fs []feature
	for f := range nFeatures {
		if s.has(f) {
			fs = append(fs, f)
		}
	}
	return fs
}

// featuresOf returns the features that v suffices for.
func featuresOf(v *values) featureSet {
	var s featureSet
	for f := range nFeatures {
		if _, ok := f.of(v); ok {
			s = s.with(f)
		}
	}
	return s
}
