package vision

import (
	"errors"
	"image"

	"gonum.org/v1/gonum/spatial/r2"
)

// Outline is a closed line around one thing in a photograph, in px, its last
// point joined with its first, clockwise as one sees it.
type Outline struct {
	Points []r2.Vec
	// Confidence is the share, 0 to 1, of the line along which the picture
	// changes clearly from one side to the other, less for a ragged line and for
	// one that runs along the slope of a shadow instead of an edge. Below
	// a half the outline is one to look at, not to measure.
	Confidence float64
	// edgy tells of each point how far to take what is there for the tooth's
	// edge, 0 to 1; nil when not known.
	edgy []float64
	// grainy tells that the ground is, so that every grain has an edge.
	grainy bool
}

// Why no outline is proposed.
var (
	ErrNoTooth  = errors.New("nothing here stands out from the ground around it: press inside the tooth, or trace it by hand")
	ErrTouching = errors.New("what lies here is not one tooth: two things touch, so part them in the photograph or trace it by hand")
	ErrCutOff   = errors.New("the tooth runs out of the picture, so its outline is not closed: use a photograph that shows all of it")
	ErrTooBusy  = errors.New("the ground is too busy, or too much like the tooth, to find the outline: trace it by hand")
)

// overview is how many pixels the copy has at most on which the tooth is told
// from the ground: sand is even there, and a tooth still hundreds of pixels
// long.
const overview = 120_000

// Silhouette proposes the outline of the tooth that a point lies in, on a
// plain ground: a sheet, card or velvet, with a soft shadow if any; or on sand,
// where the line lies within a few px and what is measured on it is seldom sure
// on photographs of less than two megapixels.
//
// What the frame of the picture shows is taken for ground, and so is what joins
// it without an edge and could be the same ground in shade. Of the rest, what
// surrounds the point is described by its colours, ground likewise, and the two
// are parted where that costs least (a minimum cut; Rother, Kolmogorov & Blake
// 2004, ACM Trans. Graph. 23: 309–314). Larger copies of the picture then
// sharpen the line step by step: by the steepest change of colour, or, where
// every grain of the ground has an edge of its own, by what is likelier on either
// side (a region's likelihood, as in Zhu & Yuille 1996, IEEE Trans. Pattern Anal.
// Mach. Intell. 18: 884–900; reference from memory).
//
// The error is one of ErrNoTooth, ErrTouching, ErrCutOff, ErrTooBusy and, in a
// watched picture, ErrStopped.
func Silhouette(p *Picture, at r2.Vec) (outline Outline, err error) {
	defer Stopped(&err)
	n, f, body, err := lookAt(p, at)
	if err != nil {
		return Outline{}, err
	}
	return sharpen(p, n, f, body)
}

// lookAt marks the tooth that a point lies in on a small copy of the picture,
// level n.
func lookAt(p *Picture, at r2.Vec) (n int, f *field, body *mask, err error) {
	if !p.Holds(at) {
		return 0, nil, nil, ErrNoTooth
	}
	for n < p.Levels()-1 && (p.Width()>>n)*(p.Height()>>n) > overview {
		n++
	}
	f = newField(p.Level(n))
	here := image.Pt(int(at.X/f.level.Factor), int(at.Y/f.level.Factor))
	if body, err = f.tooth(here); err != nil {
		return 0, nil, nil, err
	}
	if err := whole(body); err != nil {
		return 0, nil, nil, err
	}
	if f.cutOff(p, body) {
		return 0, nil, nil, ErrCutOff
	}
	return n, f, body, nil
}
