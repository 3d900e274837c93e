package morph

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"
)

// Scale is the scale of one photograph.
type Scale struct {
	PxPerMM float64
	RelU    float64 // relative standard uncertainty of PxPerMM
	Bars    int     // number of readings it is the mean of; 0 from a card
	// Spread is the greatest difference between two readings, relative to the
	// mean; 0 for a single one.
	Spread float64
	// Depth is the factor by which lengths were multiplied because the tooth
	// lies nearer to the lens than the scale, or farther; 0 where nothing is
	// said of that.
	Depth float64
}

// MM turns a length in px of the photograph into mm.
func (s Scale) MM(px float64) float64 { return px / s.PxPerMM }

// Limits of a scale that a photograph of a tooth can have, in px per mm: from
// a thumbnail of a whole animal to a microscope.
const (
	MinPxPerMM = 0.2
	MaxPxPerMM = 20000
)

// In gives the length of one unit in mm.
func (u Unit) In() (mm float64, ok bool) {
	switch u {
	case Millimetre, "":
		return 1, true
	case Centimetre:
		return 10, true
	case Inch:
		return 25.4, true
	}
	return 0, false
}

// ErrNoBar tells that a photograph has no reading of a scale bar.
var ErrNoBar = errors.New("This photo has no scale yet.")

// ScaleOf gives the scale that readings of one photograph's scale bar agree
// on: their mean in px per mm. pointing is the standard uncertainty of one
// clicked point along x and along y in px; 0 or less means DefaultPointing.
//
// The uncertainty of one reading's length in px is √2·pointing, after the two
// ends. Over several readings it is the greater of what this predicts for
// their mean and the standard error seen between them. The uncertainty of the
// bar's own length is added without being lowered by repeats, since a bar that
// is printed wrong is wrong at each reading.
//
// It refuses, with a sentence: no readings (ErrNoBar), a length that is not
// above 0, an unknown unit, ends that coincide or have no position, and a
// scale outside MinPxPerMM to MaxPxPerMM.
func ScaleOf(bars []Bar, pointing float64) (Scale, error) {
	if len(bars) == 0 {
		return Scale{}, ErrNoBar
	}
	pointing = pointingOr(pointing)
	each := make([]float64, len(bars))
	var varPointing, uLength float64
	for i, b := range bars {
		unit, ok := b.Unit.In()
		if !ok {
			return Scale{}, fmt.Errorf("The scale bar's unit %q is not known: choose mm, cm or in.", string(b.Unit))
		}
		if !(b.Length > 0) || math.IsInf(b.Length, 0) {
			return Scale{}, fmt.Errorf("The scale bar's length must be above 0, not %s.", figure(b.Length))
		}
		px := distance(b.From.Vec(), b.To.Vec())
		if math.IsNaN(px) || math.IsInf(px, 0) {
			return Scale{}, errors.New("An end of the scale bar has no position in the photo: place it again.")
		}
		if px == 0 {
			return Scale{}, errors.New("The two ends of the scale bar lie on the same point: drag one to the bar's other end.")
		}
		each[i] = px / (b.Length * unit)
		if !(each[i] >= MinPxPerMM && each[i] <= MaxPxPerMM) {
			return Scale{}, fmt.Errorf("The scale bar gives %s px per mm, outside %s to %s: check its length and unit.",
				figure(each[i]), figure(MinPxPerMM), figure(MaxPxPerMM))
		}
		u := math.Sqrt2 * pointing / px * each[i]
		varPointing += u * u
		if b.ULength > 0 && !math.IsInf(b.ULength, 0) {
			uLength += b.ULength / b.Length
		}
	}
	n := float64(len(bars))
	mean := stat.Mean(each, nil)
	uMean := math.Sqrt(varPointing) / n
	if len(each) > 1 {
		uMean = max(uMean, stat.StdDev(each, nil)/math.Sqrt(n))
	}
	lo, hi := each[0], each[0]
	for _, e := range each {
		lo, hi = min(lo, e), max(hi, e)
	}
	s := Scale{
		PxPerMM: mean,
		RelU:    math.Hypot(uMean/mean, uLength/n),
		Bars:    len(bars),
		Spread:  (hi - lo) / mean,
	}
	if s.RelU > 1 || math.IsNaN(s.RelU) {
		return Scale{}, errors.New("The scale bar is too short, or its length too uncertain, to set a scale by: mark a longer one.")
	}
	return s, nil
}

// Scale gives the scale of the photograph in the plane of the tooth: from its
// flat card where it has one, at the middle of it, else from its bars, and
// corrected for the tooth's depth; see Flat.Scale, ScaleOf and Depth.
func (v View) Scale() (s Scale, err error) {
	pointing := v.PointingError().U
	if v.Flat != nil {
		s, err = v.Flat.Scale(pointing)
	} else {
		s, err = ScaleOf(v.Bars, pointing)
	}
	if err != nil || v.Depth == nil {
		return s, err
	}
	return v.Depth.correct(s)
}

// pointingOr replaces a pointing error that says nothing by the default.
func pointingOr(pointing float64) float64 {
	if !(pointing > 0) || math.IsInf(pointing, 0) {
		return DefaultPointing
	}
	return pointing
}
