package vision

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
)

// ErrNoCrown says why no landmarks are proposed.
var ErrNoCrown = errors.New("no crown with a tip and two base corners can be made out in this outline: set A, G and B by hand")

// Lateral is a proposal of the landmarks of a crown in lateral view (A, G and B
// of Smith 2005), in px.
type Lateral struct {
	A, G, B r2.Vec
	// Mesial is the edge from A to G, Distal that from G to B, ends included.
	Mesial, Distal []r2.Vec
	// Root tells that the outline goes on below the base line A–B, which was
	// found by the step in colour from enamel to root.
	Root bool
	// Broken tells that the crown ends blunter than its edges run together:
	// its apex may be lost.
	Broken bool
	// Base is how far to trust A and B, Apex how far G, and Sides how far
	// which of A and B is mesial, each 0 to 1; 0.5 for Sides is not knowing.
	Base, Apex, Sides float64
	// UA, UB and UG are how far A, B and G may lie off, px: nineteen of twenty
	// lie nearer to the truth, as long as it is the right thing that was found.
	UA, UB, UG float64
	// SureA and SureB are how far to trust each end of the base by itself, 0 to
	// 1, as Apex does for G: by the uncertainty of the two lengths that end there
	// against what a measurement may be off, and by how much of an edge the
	// outline follows about it. A point below a half is to be confirmed by
	// a person. Base is the less of both.
	SureA, SureB float64
}

// Crown gives the proposal as a traced crown: vertices at A, G and B, with the
// edges between them to within tolerance px.
func (l Lateral) Crown(tolerance float64) *morph.Crown {
	return &morph.Crown{
		Path: morph.Path{morph.At(l.A), vertexAfter(l.Mesial, tolerance), vertexAfter(l.Distal, tolerance)},
		Apex: 1, Done: true, ApexBroken: l.Broken,
	}
}

// Landmarks proposes the landmarks of the crown whose outline a lateral
// photograph shows.
//
// The apex is at the end that narrows. The base line is where the colour steps
// from enamel to root across the whole width; without a root it joins the two
// corners of the outline's other end. The mesial edge is the more convex one.
//
// The error is ErrNoCrown or, in a watched picture, ErrStopped.
func Landmarks(p *Picture, o Outline) (found Lateral, err error) {
	defer Stopped(&err)
	t, err := standUp(o.Points)
	if err != nil {
		return Lateral{}, err
	}
	t.grainy = o.grainy
	var carried spot
	seen := false
	if t.grainy {
		carried, seen = t.carry(p)
	} else {
		t.strays = t.mend(p)
		t.reach(p)
	}
	var l Lateral
	left, right, sure := t.corners()
	if sure == 0 {
		return Lateral{}, ErrNoCrown
	}
	var atLeft, atRight spot
	okLeft, okRight := false, false
	if s := t.cervix(p, left, right); s.sure > 0 {
		left, right = s.left, s.right
		a, b := t.left.at(left), t.right.at(right)
		sure = s.stands(r2.Norm(r2.Sub(a, b)))
		l.Root = true
		tl, tr := s.tangents(a, b, t.up)
		if atLeft, okLeft = t.baseEnd(p, t.left, left, tl, s.uLeft/2); !okLeft {
			atLeft = spot{a, s.uLeft / 2, unseen(t.long)}
		}
		if atRight, okRight = t.baseEnd(p, t.right, right, tr, s.uRight/2); !okRight {
			atRight = spot{b, s.uRight / 2, unseen(t.long)}
		}
	} else {
		if t.jagged(left, right) > torn {
			sure *= 0.3 // the crown ends somewhere above, unseen
		}
		if atLeft, okLeft = t.baseCorner(p, t.left, left, right); !okLeft {
			atLeft = spot{t.corner(t.left, left, right), unseen(t.long), unseen(t.long)}
		}
		if atRight, okRight = t.baseCorner(p, t.right, right, left); !okRight {
			atRight = spot{t.corner(t.right, right, left), unseen(t.long), unseen(t.long)}
		}
	}
	sides := func() (up, down []r2.Vec) {
		up, down = t.left.part(0, left), t.right.part(0, right)
		up[len(up)-1], down[len(down)-1] = atLeft.at, atRight.at
		return reversed(up), down
	}
	up, down := sides()
	if blunt(up, down) {
		l.Broken = true
		moved := t.top(atLeft.at, atRight.at)
		left, right = left+moved, right-moved
	}
	apex := t.tip(p, l.Broken)
	switch {
	case t.grainy && l.Broken: // a break is no edge like the others, and grains lie upon it
		apex.along, apex.across = 0.02*t.long, 0.02*t.long
	case seen:
		apex = carried
	}
	up, down = sides()
	up[len(up)-1], down[0] = apex.at, apex.at
	l.G = apex.at
	l.Mesial, l.Distal = up, down
	mesial, distal := atLeft, atRight
	bowA, bowB := bow(up), bow(down)
	if bowB > bowA {
		mesial, distal = distal, mesial
		l.Mesial, l.Distal = reversed(down), reversed(up)
		bowA, bowB = bowB, bowA
	}
	l.A, l.B = mesial.at, distal.at
	l.UA, l.UB, l.UG = mesial.within(), distal.within(), apex.within()
	base, height, side := t.between(mesial, distal), t.between(distal, apex), t.between(mesial, apex)
	firm := o.firm()
	l.SureA = min(sure, firm, base, side, o.edgelikeAt(l.A))
	l.SureB = min(sure, firm, base, height, o.edgelikeAt(l.B))
	l.Base, l.Apex = min(l.SureA, l.SureB), min(firm, height, side, o.edgelikeAt(l.G))
	l.Sides = 0.5 + 0.5*math.Tanh((bowA-bowB)/0.06)
	return l, nil
}

// blunt tells whether two edges, up the one and down the other, end much before
// they would meet. Rounding and wear take away less than a twentieth of
// a crown.
func blunt(up, down []r2.Vec) bool {
	tip, err := Tip(up, down)
	if err != nil {
		return false
	}
	last := up[len(up)-1]
	return r2.Norm(r2.Sub(tip.At, last)) > 0.05*r2.Norm(r2.Sub(last, down[len(down)-1]))
}

// top moves the apex to the highest point over the line a–b, and gives how far
// that is down the right side, px; negative for the left side.
func (t *standing) top(a, b r2.Vec) float64 {
	n := r2.Unit(r2.Vec{X: a.Y - b.Y, Y: b.X - a.X})
	if r2.Dot(n, t.up) < 0 {
		n = r2.Scale(-1, n)
	}
	at, high := 0, math.Inf(-1)
	for i, p := range t.right.points {
		if v := r2.Dot(p, n); v > high {
			at, high = i, v
		}
	}
	moved := t.right.arc[at]
	if moved > t.right.length()/2 {
		moved -= t.right.length()
	}
	p := t.right.points[at]
	for i, q := range t.outline {
		if p == q {
			t.turnTo(i)
			break
		}
	}
	return moved
}

// standing is an outline with its apex found: its two sides from the apex down,
// the left one and the right one as one stands below and looks to the apex.
type standing struct {
	outline     []r2.Vec
	apex        r2.Vec
	left, right walk    // each all the way round to the apex again
	up          r2.Vec  // unit, from the base to the apex
	long, wide  float64 // px
	grainy      bool    // whether the ground is, so that the outline is nowhere even
	strays      float64 // px that the outline is off its edges' courses near the tip
}

// standUp finds the end of the outline that narrows.
func standUp(outline []r2.Vec) (standing, error) {
	if len(outline) < 12 || !(math.Abs(area(outline)) > 20) {
		return standing{}, ErrNoCrown
	}
	if area(outline) < 0 {
		outline = reversed(outline)
	}
	t := standing{outline: resample(outline, true, 1.5)}
	middle, along := axis(t.outline)
	f := frameOf(middle, along)
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range t.outline {
		a, _ := f.in(p)
		low, high = math.Min(low, a), math.Max(high, a)
	}
	t.long = high - low
	t.wide = math.Abs(area(t.outline)) / t.long
	// How wide the outer eighths are, on average.
	span := func(from, to float64) float64 {
		left, right := math.Inf(1), math.Inf(-1)
		for _, p := range t.outline {
			if a, r := f.in(p); a >= from && a <= to {
				left, right = math.Min(left, r), math.Max(right, r)
			}
		}
		return right - left
	}
	eighth := t.long / 8
	t.up = f.along
	if span(low, low+eighth) < span(high-eighth, high) {
		t.up = r2.Scale(-1, t.up)
	}
	t.turnTo(t.farthest())
	t.square()
	return t, nil
}

// axis gives the centroid of a polygon's points, weighed by length, and the
// direction in which they spread most.
func axis(outline []r2.Vec) (middle, along r2.Vec) {
	for _, p := range outline {
		middle = r2.Add(middle, r2.Scale(1/float64(len(outline)), p))
	}
	var xx, xy, yy float64
	for _, p := range outline {
		d := r2.Sub(p, middle)
		xx, xy, yy = xx+d.X*d.X, xy+d.X*d.Y, yy+d.Y*d.Y
	}
	turn := 0.5 * math.Atan2(2*xy, xx-yy)
	return middle, r2.Vec{X: math.Cos(turn), Y: math.Sin(turn)}
}

// farthest is the index of the point farthest from the middle of the base.
func (t *standing) farthest() int {
	var base r2.Vec
	n := 0.0
	least := math.Inf(1)
	for _, p := range t.outline {
		least = math.Min(least, r2.Dot(p, t.up))
	}
	for _, p := range t.outline {
		if r2.Dot(p, t.up) < least+t.long/6 {
			base, n = r2.Add(base, p), n+1
		}
	}
	base = r2.Scale(1/n, base)
	at, far := 0, 0.0
	for i, p := range t.outline {
		if d := r2.Norm(r2.Sub(p, base)); d > far && r2.Dot(r2.Sub(p, base), t.up) > 0 {
			at, far = i, d
		}
	}
	return at
}

// turnTo makes a point of the outline the apex.
func (t *standing) turnTo(i int) {
	n := len(t.outline)
	round := make([]r2.Vec, 0, n+1)
	for k := range n + 1 {
		round = append(round, t.outline[(i+k)%n])
	}
	t.apex = round[0]
	// The outline runs clockwise: from the apex down the right side.
	t.right, t.left = walkAlong(round), walkAlong(reversed(round))
}

// tipward is the direction in which the tip points, unit: that of both edges near
// it, without its rounded end. ok is false when they run against each other.
func (t *standing) tipward() (up r2.Vec, ok bool) {
	edge := func(w walk) r2.Vec { return r2.Unit(r2.Sub(w.at(0.05*t.long), w.at(0.16*t.long))) }
	sum := r2.Add(edge(t.left), edge(t.right))
	if !(r2.Norm(sum) >= 0.2) {
		return r2.Vec{}, false
	}
	return r2.Unit(sum), true
}

// square moves the apex to the point of the tip that reaches farthest along the
// middle line between both edges.
func (t *standing) square() {
	for range 2 {
		up, ok := t.tipward()
		if !ok {
			return
		}
		at, far := 0, math.Inf(-1)
		for i, p := range t.outline {
			if r2.Norm(r2.Sub(p, t.apex)) < 0.1*t.long && r2.Dot(p, up) > far {
				at, far = i, r2.Dot(p, up)
			}
		}
		t.turnTo(at)
	}
}

// reach carries the tip on to where its colour has half given way to the
// ground's: a line around a sharp tip is drawn too short.
func (t *standing) reach(p *Picture) {
	l := p.Level(0)
	up := r2.Unit(r2.Add(r2.Unit(r2.Sub(t.left.at(0), t.left.at(0.08*t.long))), r2.Unit(r2.Sub(t.right.at(0), t.right.at(0.08*t.long)))))
	mean := func(from, to float64) (m colour) {
		for k := range 12 {
			c := l.SampleColour(r2.Add(t.apex, r2.Scale(from+(to-from)*float64(k)/11, up)))
			for a := range m {
				m[a] += c[a] / 12
			}
		}
		return m
	}
	far := math.Max(4, 0.015*t.long)
	in, out := mean(-1.5*far, -0.3*far), mean(1.2*far, 2*far)
	d := colour{in[0] - out[0], in[1] - out[1], in[2] - out[2]}
	size := apart(in, out)
	if size < 12*12 {
		return
	}
	share := func(s float64) float64 {
		c := l.SampleColour(r2.Add(t.apex, r2.Scale(s, up)))
		return ((c[0]-out[0])*d[0] + (c[1]-out[1])*d[1] + (c[2]-out[2])*d[2]) / size
	}
	s := 0.0
	for s < far && share(s+0.25) > 0.5 {
		s += 0.25
	}
	if s == 0 || s >= far {
		return
	}
	tip := r2.Add(t.apex, r2.Scale(s, up))
	for i, q := range t.outline {
		if q == t.apex {
			t.outline[i] = tip
			t.turnTo(i)
			return
		}
	}
}

// bow is how far an edge bulges outward from its chord on average, as a share
// of the chord, when it is walked clockwise round the tooth.
func bow(edge []r2.Vec) float64 {
	chord := r2.Norm2(r2.Sub(edge[len(edge)-1], edge[0]))
	if chord == 0 {
		return 0
	}
	return area(edge) / chord
}
