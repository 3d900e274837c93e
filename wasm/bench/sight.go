package bench

import (
	"slices"

	"crownbench/morph"
	"crownbench/morph/vision"
	"gonum.org/v1/gonum/spatial/r2"
)

// Sight is a photograph as far as the program can see into it: its pixels, at
// full size or smaller where full size would take too much memory.
type Sight struct {
	Picture *vision.Picture
	Factor  float64 // photo px to one px of Picture
}

// in gives where a photo point lies in the picture.
func (s Sight) in(q r2.Vec) r2.Vec { return r2.Scale(1/s.Factor, q) }

// out gives where points of the picture lie in the photo.
func (s Sight) out(line []r2.Vec) []r2.Vec {
	out := slices.Clone(line)
	for i := range out {
		out[i] = r2.Scale(s.Factor, out[i])
	}
	return out
}

// grow turns a path in px of the picture into one in photo px.
func (s Sight) grow(p morph.Path) morph.Path {
	for i := range p {
		p[i].X, p[i].Y = s.Factor*p[i].X, s.Factor*p[i].Y
		for k := range p[i].Via {
			p[i].Via[k][0], p[i].Via[k][1] = s.Factor*p[i].Via[k][0], s.Factor*p[i].Via[k][1]
		}
	}
	return p
}

// Trust in a proposal, 0 to 1, below which a person is told to look twice, and
// how far a line may stray from what was found, in px of the picture.
const (
	trusted   = 0.5
	tolerance = 0.3
)
