package toothphoto

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tooth is an invented crown. Lengths are millimetres; the zero value of an
// optional field is a usable default.
type Tooth struct {
	Name string

	// The four crown lengths; the three of the lateral plane must form a
	// triangle. All are reproduced exactly.
	CBL, CBW, CH, AL float64

	// MCW is the labiolingual width at half crown height; 0 means 0.75 CBW.
	MCW float64

	// MesialBow and DistalBow are the height of a carina over its chord as a
	// fraction of the chord, positive outward. A recurved crown has a positive
	// mesial and a negative distal bow.
	MesialBow, DistalBow float64
	// MesialSkew and DistalSkew move the strongest curvature along the carina:
	// -1 toward the base to 1 toward the apex.
	MesialSkew, DistalSkew float64

	// TipRadius is the radius of the rounded apex; 0 means 0.012 CH.
	TipRadius float64
	// Cervix is how far the enamel base line bulges rootward between A and B,
	// as a fraction of CBL; it may be negative.
	Cervix float64

	Section Section

	Mesial, Distal Row

	// Root is the length of the root stub still attached, 0 for none.
	Root float64
	// BrokenApex is the share of the crown's perpendicular height that broke
	// off at the apex, 0 for none.
	BrokenApex float64

	// Palette chooses enamel and root colours and the pattern of their texture.
	Palette uint64
	// Flutes is the number of low longitudinal ridges on each face.
	Flutes int
}

// Row is the denticle row of one carina. Positions are fractions of the arc
// length of the carina, 0 at the base point (A or B) and 1 at the apex. The
// zero value is a carina without denticles.
type Row struct {
	// Denticles per 5 mm of carina at 5/6, 1/2 and 1/6 of the carina; linear
	// in between and constant beyond.
	Apical, Mid, Basal float64
	// From and To bound the row; 0 and 0 mean 0.03 to 0.97.
	From, To float64
	// WornFrom and WornTo bound the part where denticles are worn away.
	WornFrom, WornTo float64
	// Relief is the height of a denticle over the notches beside it as a
	// fraction of its pitch; 0 means 0.42.
	Relief float64
}

// present tells whether the row has any denticles.
func (r Row) present() bool { return r.Apical > 0 || r.Mid > 0 || r.Basal > 0 }

func (r Row) extent() (from, to float64) {
	if r.From == 0 && r.To == 0 {
		return 0.03, 0.97
	}
	return r.From, r.To
}

func (r Row) relief() float64 {
	if r.Relief == 0 {
		return 0.42
	}
	return r.Relief
}

func (r Row) check(carina string) error {
	if !r.present() {
		return nil
	}
	if !(r.Apical > 0 && r.Mid > 0 && r.Basal > 0) {
		return fmt.Errorf("toothphoto: %s row: apical, mid and basal densities must all be positive, or all zero for a carina without denticles", carina)
	}
	from, to := r.extent()
	if !(from >= 0 && from < to && to <= 1) {
		return fmt.Errorf("toothphoto: %s row from %g to %g: fractions of the carina must rise within 0 to 1", carina, from, to)
	}
	if !(r.relief() > 0 && r.relief() <= 1.5) {
		return fmt.Errorf("toothphoto: %s row: relief %g is outside 0 to 1.5", carina, r.Relief)
	}
	return nil
}

// tipRadius returns the radius of the apex in mm.
func (t Tooth) tipRadius() float64 {
	if t.TipRadius == 0 {
		return 0.012 * t.CH
	}
	return t.TipRadius
}

// midWidth returns MCW in mm.
func (t Tooth) midWidth() float64 {
	if t.MCW == 0 {
		return 0.75 * t.CBW
	}
	return t.MCW
}

// apex returns G in the tooth frame: the corner of the triangle whose sides
// are CBL, AL and CH.
func (t Tooth) apex() (r2.Vec, error) {
	for _, l := range []float64{t.CBL, t.CBW, t.CH, t.AL} {
		if !(l > 0) || math.IsInf(l, 0) {
			return r2.Vec{}, fmt.Errorf("toothphoto: %s: CBL %g, CBW %g, CH %g, AL %g mm must all be positive", t.Name, t.CBL, t.CBW, t.CH, t.AL)
		}
	}
	x := (t.AL*t.AL - t.CH*t.CH + t.CBL*t.CBL) / (2 * t.CBL)
	yy := t.AL*t.AL - x*x
	if yy <= 0 {
		return r2.Vec{}, fmt.Errorf("toothphoto: %s: CBL %g, CH %g, AL %g mm do not form a triangle", t.Name, t.CBL, t.CH, t.AL)
	}
	return r2.Vec{X: x, Y: math.Sqrt(yy)}, nil
}
