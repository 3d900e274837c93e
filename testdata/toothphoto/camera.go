package toothphoto

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// camera maps millimetres of a subject plane (y up) to pixels (y down) and
// back. It is an orthographic view.
type camera struct {
	xx, xy, yx, yy float64 // pixel = linear · mm + offset
	dx, dy         float64
	scale          float64 // px per mm in the picture plane
}

func (c *camera) px(p r2.Vec) r2.Vec {
	return r2.Vec{X: c.xx*p.X + c.xy*p.Y + c.dx, Y: c.yx*p.X + c.yy*p.Y + c.dy}
}

func (c *camera) all(pts []r2.Vec) []r2.Vec {
	out := make([]r2.Vec, len(pts))
	for i, p := range pts {
		out[i] = c.px(p)
	}
	return out
}

// mm is the inverse of px.
func (c *camera) mm(x, y float64) r2.Vec {
	x -= c.dx
	y -= c.dy
	det := c.xx*c.yy - c.xy*c.yx
	return r2.Vec{X: (c.yy*x - c.xy*y) / det, Y: (c.xx*y - c.yx*x) / det}
}

// turn carries a direction of the subject plane into the picture without its
// scale.
func (c *camera) turn(x, y float64) (px, py float64) {
	return (c.xx*x + c.xy*y) / c.scale, (c.yx*x + c.yy*y) / c.scale
}

// look builds the camera that shows the middle of the box around pts at the
// place the shot asks for. Zero magnification fits the box into the given
// share of the picture.
func look(s Shot, pts []r2.Vec, share float64) (*camera, error) {
	mirror := s.Mirrored != (s.View == LateralLingual)
	sin, cos := math.Sincos(s.Rotation * math.Pi / 180)
	squash := math.Cos(s.Tilt * math.Pi / 180)
	if s.View.Section() {
		squash = 1
	}
	flip := 1.0
	if mirror {
		flip = -1
	}
	// Mirror, squash and point y down, then turn clockwise.
	unit := camera{xx: cos * flip, xy: sin * squash, yx: sin * flip, yy: -cos * squash, scale: 1}
	lo, hi := box(unit.all(pts))
	scale := s.PxPerMM
	if scale == 0 {
		size := r2.Sub(hi, lo)
		scale = share * math.Min(float64(s.Width)/size.X, float64(s.Height)/size.Y)
	}
	if math.IsNaN(scale) || math.IsInf(scale, 0) || scale <= 0 {
		return nil, fmt.Errorf("toothphoto: no magnification fits the subject into the picture")
	}
	c := &camera{xx: unit.xx * scale, xy: unit.xy * scale, yx: unit.yx * scale, yy: unit.yy * scale, scale: scale}
	cx, cy := s.place(s.X, s.Y, 0.5, 0.5)
	mid := r2.Scale(scale/2, r2.Add(lo, hi))
	c.dx, c.dy = cx-mid.X, cy-mid.Y
	return c, nil
}

// box returns the corners of the box around pts.
func box(pts []r2.Vec) (lo, hi r2.Vec) {
	lo = r2.Vec{X: math.Inf(1), Y: math.Inf(1)}
	hi = r2.Vec{X: math.Inf(-1), Y: math.Inf(-1)}
	for _, p := range pts {
		lo.X, lo.Y = math.Min(lo.X, p.X), math.Min(lo.Y, p.Y)
		hi.X, hi.Y = math.Max(hi.X, p.X), math.Max(hi.Y, p.Y)
	}
	return lo, hi
}

// inside tells whether every point lies in the picture.
func (s Shot) inside(pts []r2.Vec) bool {
	lo, hi := box(pts)
	return lo.X >= 0 && lo.Y >= 0 && hi.X <= float64(s.Width) && hi.Y <= float64(s.Height)
}
