package morph

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Flat is a printed rectangle of known size in a photograph, such as a card or
// a square of graph paper: its corners undo the photograph's tilt and set its
// scale in the place of a bar.
type Flat struct {
	// Corners are in order round the rectangle; Width is the side from the
	// first to the second, Height the one from the second to the third.
	Corners [4]Vertex `json:"corners"`
	Width   float64   `json:"width"`
	Height  float64   `json:"height"`
	// USide is the standard uncertainty of each side, in Unit; 0 when not
	// stated.
	USide float64 `json:"uSide,omitempty"`
	Unit  Unit    `json:"unit"`
}

// sidesMM gives the rectangle's sides in mm.
func (f *Flat) sidesMM() (width, height float64, err error) {
	unit, ok := f.Unit.In()
	if !ok {
		return 0, 0, fmt.Errorf("The card's unit %q is not known: choose mm, cm or in.", string(f.Unit))
	}
	return f.Width * unit, f.Height * unit, nil
}

// vecs gives the corners' positions.
func (f *Flat) vecs() (c [4]r2.Vec) {
	for i, v := range f.Corners {
		c[i] = v.Vec()
	}
	return c
}

// Plane gives the plane of the card; see PlaneOf for what it refuses.
func (f *Flat) Plane() (Plane, error) {
	width, height, err := f.sidesMM()
	if err != nil {
		return Plane{}, err
	}
	return PlaneOf(f.vecs(), width, height)
}

// Scale gives the scale of the photograph at the middle of the card, given the
// standard uncertainty of one corner along x and along y, in px: 0 or less
// means DefaultPointing. The uncertainties of the corners and of the sides are
// carried to first order. It refuses what PlaneOf does, and a scale outside
// MinPxPerMM to MaxPxPerMM.
func (f *Flat) Scale(pointing float64) (Scale, error) {
	if _, err := f.Plane(); err != nil {
		return Scale{}, err
	}
	c := newCard(f, pointingOr(pointing))
	middle := r2.Scale(0.25, r2.Add(r2.Add(c.home[0], c.home[1]), r2.Add(c.home[2], c.home[3])))
	at := c.plane.PxPerMM(middle)
	if !(at >= MinPxPerMM && at <= MaxPxPerMM) {
		return Scale{}, fmt.Errorf("The card gives %s px per mm, outside %s to %s: check its sides and their unit.",
			figure(at), figure(MinPxPerMM), figure(MaxPxPerMM))
	}
	var u2 float64
	for _, set := range c.inputs() {
		set(step)
		c.solve()
		plus := c.plane.PxPerMM(middle)
		set(-step)
		c.solve()
		minus := c.plane.PxPerMM(middle)
		set(0)
		c.solve()
		d := (plus - minus) / (2 * step) / at
		u2 += d * d
	}
	s := Scale{PxPerMM: at, RelU: math.Sqrt(u2)}
	if !(s.RelU <= 1) {
		return Scale{}, errors.New("The card is too small in the photo to set a scale by: use a larger one.")
	}
	return s, nil
}

// card is a Flat whose corners and sides can be shifted, with the plane that
// follows from them.
type card struct {
	flat          *Flat
	home          [4]r2.Vec
	pointing      float64
	width, height float64 // mm
	uSide         float64 // mm
	shift         [4]r2.Vec
	shiftW        float64 // mm
	shiftH        float64
	plane         Plane
	moved         bool // since the plane was found
	pieces        []*piece
}

// newCard takes a Flat whose Plane is known to be there.
func newCard(f *Flat, pointing float64) *card {
	c := &card{flat: f, home: f.vecs(), pointing: pointing, moved: true}
	c.width, c.height, _ = f.sidesMM()
	if unit, _ := f.Unit.In(); f.USide > 0 && finite(f.USide) {
		c.uSide = f.USide * unit
	}
	c.solve()
	return c
}

// inputs gives for each coordinate and each side what sets it z standard
// uncertainties from where it was given.
func (c *card) inputs() []func(z float64) {
	var out []func(z float64)
	for i := range c.shift {
		d := &c.shift[i]
		out = append(out,
			func(z float64) { d.X, c.moved = z*c.pointing, true },
			func(z float64) { d.Y, c.moved = z*c.pointing, true })
	}
	if c.uSide > 0 {
		out = append(out,
			func(z float64) { c.shiftW, c.moved = max(z*c.uSide, (shrink-1)*c.width), true },
			func(z float64) { c.shiftH, c.moved = max(z*c.uSide, (shrink-1)*c.height), true })
	}
	return out
}

// solve finds the plane anew where a corner or a side was set.
func (c *card) solve() {
	if !c.moved {
		return
	}
	at := c.home
	for i, d := range c.shift {
		at[i] = r2.Add(at[i], d)
	}
	c.plane = planeOf(at, c.width+c.shiftW, c.height+c.shiftH)
	c.moved = false
}

// remeasure measures everything on the card's plane at its present setting.
func (c *card) remeasure() {
	c.solve()
	for _, p := range c.pieces {
		p.remeasure()
	}
}
