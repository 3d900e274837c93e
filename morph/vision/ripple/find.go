package ripple

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	"crownbench/morph/vision"
)

// Options say what is known of a line along a carina. The zero Options are a
// whole carina, traced from its base to the apex, in a photograph without scale.
type Options struct {
	// PxPerMM is the photograph's scale there; 0 when it is not known.
	PxPerMM float64
	// FromApex tells that the line runs from the apex to the base, as the
	// distal half of a crown's walk does.
	FromApex bool
	// Third is the third of the carina that the line shows, as in a close-up;
	// "" is all of the carina.
	Third morph.Third
	// Tooth is a point of the picture on the tooth's side of the line, nil when
	// none is known: then the side is told from the ripple, whose notches are
	// narrower than its tips.
	Tooth *r2.Vec
}

// Row is a proposal of a carina's denticles. Positions along it are px of the
// guide, in the direction of the line that was given.
type Row struct {
	Ticks []Tick
	Parts []Part
	// Bare are the stretches where no denticle shows: worn, chipped or never
	// there.
	Bare []Bare
	// Period is the median spacing in px, Share how much of the edge's ripple
	// it explains where denticles show, 0 to 1.
	Period, Share float64
	// Guide is the line that places along it refer to, thinned out.
	Guide []r2.Vec
}

// Tick is one denticle.
type Tick struct {
	At    r2.Vec  // on its tip
	Along float64 // px
}

// Bare is a stretch without denticles.
type Bare struct {
	From, To float64 // px along the guide
	A, B     r2.Vec  // its ends
	// Between tells that denticles show on both sides of it: they were worn or
	// chipped here.
	Between bool
	Say     string // where it lies, in a sentence
}

// Errors of Find besides those that speak of the line.
var (
	ErrTooFew  = errShort
	ErrNoRow   = errors.New("No even ripple stands out along this edge: its denticles are worn, too fine for the photo, or were never there. Mark them by hand, or take a closer photo.")
	errLine    = errors.New("The line along the carina needs two points that lie apart in the photo.")
	errOutside = errors.New("The line along the carina leaves the photo: end it at the photo's edge.")
	errFaint   = errors.New("The tooth hardly stands out from the ground along this edge. Photograph it on a ground of another colour, or mark the denticles by hand.")
)

// Limits of what is looked for, in px.
const (
	shortest    = 3.5 // period: denticles of 4 px, and a little less
	longestLine = 40000
	leastLine   = 14
	leastContra = 6.0 // grey levels between tooth and ground
)

// looks are the ways to look at an edge: how far to either side, and at periods
// from and to, in px. A denticle is about 0.4 of its length high; looking
// farther than it reaches only brings in the grain of enamel and ground.
var looks = []struct{ reach, from, to float64 }{
	{3, shortest, 8}, {6, 5, 14}, {14, 9, 36}, {36, 24, 95}, {80, 65, 260},
}

// Find proposes the denticles along a line that follows a carina in a picture.
// The line may follow the ripple or cut through it; a few px beside the edge do
// no harm.
//
// It refuses, with a sentence: a line without length or that leaves the photo,
// an edge without contrast, fewer than four denticles (ErrTooFew), and an edge
// whose ripple is no more even than chance makes it (ErrNoRow). A watched search
// may be stopped (vision.ErrStopped).
func Find(p *vision.Picture, line []r2.Vec, o Options) (row Row, err error) {
	defer vision.Stopped(&err)
	for _, q := range line {
		if math.IsNaN(q.X) || math.IsNaN(q.Y) || !p.Holds(q) {
			return Row{}, errOutside
		}
	}
	if len(line) < 2 {
		return Row{}, errLine
	}
	length := arc(line)
	if length < leastLine || length > longestLine {
		return Row{}, errLine
	}
	l := p.Level(0)
	var found look
	err = ErrNoRow
	for _, k := range looks {
		if k.from*fewest > length {
			break
		}
		seen, e := lookAt(l, line, k.reach, k.from, min(k.to, length/fewest))
		if e != nil {
			err = e
			continue
		}
		if seen.weight > found.weight {
			found = seen
		}
	}
	if found.weight < leastWeight && found.weight > 0 && found.share > plain {
		return Row{}, ErrTooFew
	}
	if found.weight < leastWeight {
		return Row{}, err
	}
	r := found.row(o)
	if len(r.Ticks) < fewest {
		return Row{}, ErrNoRow
	}
	return r, nil
}

// chance is −ln(1 − share) of the spacing that seems best in an edge without
// any: half of what varies is explained by following chance. leastWeight is what
// a row must show beyond that: four denticles as plain as they are on a sharp
// photograph, or more that are fainter.
const (
	chance      = 0.75
	leastWeight = 8
	plain       = 0.9 // the share of a row that is plain to see, however short
)

// look is what is seen of an edge in one way.
type look struct {
	guide  guide
	lies   []float64 // where the edge lies, px to the left of the guide
	edge   []float64 // the same without its slow course
	trail  trail
	rows   []span
	share  float64 // mean over the rows
	weight float64 // how much of the line it explains
}

func lookAt(l *vision.Level, line []r2.Vec, reach, from, to float64) (look, error) {
	g := guideAlong(line, from/7)
	// Where the line lies beside the edge, the guide is moved onto it.
	for range 2 {
		s := stripOf(l, g, reach+4)
		g = g.moved(smooth(s.edge(), guideDegree))
	}
	g = g.moved(gauss(stripOf(l, g, reach+1).edge(), to/g.step))
	s := stripOf(l, g, reach)
	if math.Abs(s.contrast) < leastContra {
		return look{}, errFaint
	}
	k := look{guide: g, lies: s.edge()}
	k.edge = without(k.lies, smooth(k.lies, guideDegree+2))
	k.trail = follow(l.Rest, k.edge, g.step, from, to)
	k.rows = k.trail.rows()
	n := 0
	for _, r := range k.rows {
		for i := r.from; i < r.to; i++ {
			k.share += k.trail.share[i]
			n++
		}
	}
	if n == 0 {
		return look{}, ErrNoRow
	}
	k.share /= float64(n)
	for _, r := range k.rows {
		k.weight += k.trail.periods(r) * max(0, -math.Log(1-k.share)-chance)
	}
	return k, nil
}

// row makes the proposal from what was seen.
func (k look) row(o Options) Row {
	r := Row{Share: k.share, Guide: k.guide.part(0, k.guide.length())}
	outward := 1.0
	if !k.toothRight(o.Tooth) {
		outward = -1
	}
	var gaps []float64
	for _, s := range k.rows {
		tips := k.trail.tips(s, outward)
		for i, at := range tips {
			r.Ticks = append(r.Ticks, Tick{At: k.guide.over(at, k.lies[k.sample(at)]), Along: at})
			if i > 0 {
				gaps = append(gaps, at-tips[i-1])
			}
		}
	}
	r.Period = median(gaps)
	r.Parts = k.parts(&r, o)
	r.Bare = k.bare(&r, o)
	return r
}

// toothRight tells whether the tooth lies to the right of the line: where its
// known point does, else on the side toward which the ripple's narrow notches
// point.
func (k look) toothRight(tooth *r2.Vec) bool {
	if tooth != nil {
		near, far := 0, math.Inf(1)
		for i, p := range k.guide.points {
			if d := r2.Norm2(r2.Sub(*tooth, p)); d < far {
				near, far = i, d
			}
		}
		return r2.Dot(r2.Sub(*tooth, k.guide.points[near]), k.guide.normals[near]) < 0
	}
	// Notches are narrow, so the edge lies far on their side at few places.
	cube := 0.0
	for _, s := range k.rows {
		for i := s.from; i <= s.to; i++ {
			cube += k.edge[i] * k.edge[i] * k.edge[i]
		}
	}
	return cube <= 0
}
