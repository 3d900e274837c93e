package toothtrial

import (
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
)

// SectionScore is how a proposed base section compares with the truth of its
// photograph.
type SectionScore struct {
	Refused error // why there is no proposal; the rest is 0 then

	// CBL and CBW are errors in px, TrueCBL and TrueCBW the true lengths, in the
	// picture.
	CBL, CBW, TrueCBL, TrueCBW float64
	// AreaError is the relative error of the section's area.
	AreaError float64
	// ULength and UWidth are how far off the proposal says that CBL and CBW may
	// be, px.
	ULength, UWidth float64
	// Confidence is the least of the proposal's own; Axis and Sure are those it
	// is the least of.
	Confidence, Axis, Sure float64
}

// Good tells whether both lengths are within 0.5 % or 1 px.
func (s SectionScore) Good() bool {
	return s.Refused == nil && fine(s.CBL, s.TrueCBL) && fine(s.CBW, s.TrueCBW)
}

// Worst is the greater relative error of a length.
func (s SectionScore) Worst() float64 {
	return max(math.Abs(s.CBL)/s.TrueCBL, math.Abs(s.CBW)/s.TrueCBW)
}

// ProposeSection clicks into the section of a basal photograph and scores what
// is proposed.
func ProposeSection(p *vision.Picture, truth toothphoto.Truth) SectionScore {
	mesial, distal := *truth.MesialEnd, *truth.DistalEnd
	found, err := vision.SectionAt(p, r2.Scale(0.5, r2.Add(mesial, distal)))
	if err != nil {
		return SectionScore{Refused: err}
	}
	s := SectionScore{
		TrueCBL: far(mesial, distal), TrueCBW: width(truth.Section, mesial, distal),
		Confidence: min(found.Axis, found.Sure), Axis: found.Axis, Sure: found.Sure,
		ULength: found.ULength, UWidth: found.UWidth,
	}
	s.CBL = far(found.Ends[0], found.Ends[1]) - s.TrueCBL
	s.CBW = width(found.Outline, found.Ends[0], found.Ends[1]) - s.TrueCBW
	s.AreaError = area(found.Outline)/area(truth.Section) - 1
	return s
}

// width is how far an outline spreads across the line between two points.
func width(outline []r2.Vec, a, b r2.Vec) float64 {
	along := r2.Unit(r2.Sub(b, a))
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range outline {
		v := r2.Cross(along, q)
		low, high = math.Min(low, v), math.Max(high, v)
	}
	return high - low
}
