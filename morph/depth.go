package morph

import (
	"errors"
	"math"
)

// Depth says how much nearer to the lens than the scale, or the card, the
// tooth's measured plane lies, in mm. The two planes are taken as parallel.
type Depth struct {
	Offset  float64 `json:"offset"` // positive toward the lens
	UOffset float64 `json:"uOffset,omitempty"`
	// Distance is from the lens's entrance pupil straight to the plane of the
	// scale; 0 when it is not known.
	Distance  float64 `json:"distance,omitempty"`
	UDistance float64 `json:"uDistance,omitempty"`
}

// AssumedDistance is the least distance, in mm, from which a tooth is taken to
// have been photographed when no distance is given: common practice with a
// macro lens on a copy stand, no source.
const AssumedDistance = 300.0

// correction gives the factor by which lengths measured in the scale's plane
// must be multiplied, and its relative standard uncertainty.
//
// Central projection from the pupil between parallel planes is a similarity,
// however the camera is tilted, so the factor 1 − offset/distance is exact.
// Without a distance nothing is corrected, and 1/distance is taken to lie
// anywhere from 0 to 1/AssumedDistance: the error's root mean square widens the
// uncertainty.
func (d *Depth) correction() (factor, relU float64, err error) {
	if d == nil {
		return 1, 0, nil
	}
	for _, v := range [4]float64{d.Offset, d.UOffset, d.Distance, d.UDistance} {
		if !finite(v) {
			return 1, 0, errors.New("The depth of the tooth over the scale is not a number.")
		}
	}
	if d.UOffset < 0 || d.Distance < 0 || d.UDistance < 0 {
		return 1, 0, errors.New("The distance from the lens and the uncertainties of the depth must not be negative.")
	}
	if d.Distance == 0 {
		return 1, math.Hypot(d.Offset, d.UOffset) / (AssumedDistance * math.Sqrt(3)), nil
	}
	e, err := OffsetError(d.Distance, d.Offset)
	if err != nil {
		return 1, 0, err
	}
	factor = 1 / (1 + e)
	u := math.Hypot(d.UOffset/d.Distance, d.Offset*d.UDistance/(d.Distance*d.Distance))
	return factor, u / factor, nil
}

// correct applies the depth to a scale.
func (d *Depth) correct(s Scale) (Scale, error) {
	factor, relU, err := d.correction()
	if err != nil {
		return Scale{}, err
	}
	s.PxPerMM /= factor
	s.RelU = math.Hypot(s.RelU, relU)
	s.Depth = factor
	return s, nil
}
