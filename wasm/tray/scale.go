package tray

import (
	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// Scaled tells whether lengths on the photograph can be told in mm.
func (p *Photo) Scaled() bool {
	_, err := p.Scale()
	return err == nil
}

// Tilt gives how much the photograph's card was tilted against the camera, in
// degrees, and its standard uncertainty; false without a card that tells. The
// lens's axis is taken to meet the photograph in its middle.
func (p *Photo) Tilt() (degrees, u float64, ok bool) {
	if p.Flat == nil {
		return 0, 0, false
	}
	degrees, u, err := p.Flat.Tilt(r2.Vec{X: float64(p.Width) / 2, Y: float64(p.Height) / 2}, p.PointingError().U)
	return degrees, u, err == nil
}

// DepthEffect tells what the depth of the tooth over the scale does: the
// photograph's scale without it and with it, or a sentence why there is none.
func (p *Photo) DepthEffect() (without, with morph.Scale, err error) {
	level := p.View
	level.Depth = nil
	if without, err = level.Scale(); err == nil {
		with, err = p.Scale()
	}
	return without, with, err
}
