package morph

import (
	"errors"
	"math"
)

// OffsetError gives the relative error of a length whose plane lies offset
// nearer to the lens than the plane of the scale bar, which is at the given
// distance from the lens's entrance pupil, both in one unit: measured/true − 1
// = offset / (distance − offset). It is positive when the tooth is nearer than
// the bar. It refuses a distance that is not above 0 and an offset that reaches
// the lens.
func OffsetError(distance, offset float64) (float64, error) {
	if !(distance > 0) || math.IsInf(distance, 0) {
		return 0, errors.New("The distance from the lens to the scale bar must be above 0.")
	}
	if !(offset < distance) || math.IsInf(offset, 0) {
		return 0, errors.New("The offset reaches the lens: it must be smaller than the distance from the lens to the scale bar.")
	}
	return offset / (distance - offset), nil
}

// TiltError gives the relative error of a length that is tilted out of the
// plane of the photograph by the given angle, seen from afar: cos θ − 1, never
// positive.
func TiltError(degrees float64) float64 {
	return math.Cos(degrees*math.Pi/180) - 1
}
