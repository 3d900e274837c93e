package morph

import (
	"math"
	"math/rand/v2"

	"gonum.org/v1/gonum/spatial/r2"
)

// Tilt is the angle in degrees between the plane and that of the photograph's
// picture, 0 where the camera looks straight down on it. middle is where the
// lens's axis meets the photograph, in px: its middle, unless it was cropped.
//
// A plane that leans by θ shows shortened by cos θ along its lean, and not
// across, where the axis meets it; elsewhere perspective changes the ratio,
// which is why the middle is asked for.
func (p Plane) Tilt(middle r2.Vec) float64 {
	xx, xy, yx, yy := p.stretch(middle)
	// The singular values of two rows are the sum and the difference of these.
	turn, mirror := math.Hypot(xx+yy, yx-xy), math.Hypot(xx-yy, yx+xy)
	return math.Acos(math.Abs(turn-mirror)/(turn+mirror)) * 180 / math.Pi
}

// tiltDraws make the ± of a tilt good to about 4 %.
const tiltDraws = 300

// Tilt gives how much the card was tilted, in degrees, and its standard
// uncertainty: the root mean square difference over seeded draws of the corners
// within their pointing error (0 or less means DefaultPointing) and of the
// sides within theirs. A small tilt hardly shortens anything, so that near 0
// the uncertainty is of some degrees even with careful corners. middle is as in
// Plane.Tilt. It refuses what PlaneOf does.
func (f *Flat) Tilt(middle r2.Vec, pointing float64) (degrees, u float64, err error) {
	plane, err := f.Plane()
	if err != nil {
		return 0, 0, err
	}
	degrees = plane.Tilt(middle)
	c := newCard(f, pointingOr(pointing))
	random := rand.New(rand.NewPCG(1, 0))
	var sum, n float64
	inputs := c.inputs()
	for range tiltDraws {
		for _, set := range inputs {
			set(random.NormFloat64())
		}
		c.solve()
		if d := c.plane.Tilt(middle) - degrees; finite(d) {
			sum, n = sum+d*d, n+1
		}
	}
	return degrees, math.Sqrt(sum / n), nil
}
