package bench

import (
	"fmt"
	"math"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// Placement maps photo px to device px: device = photo·Scale + Shift.
type Placement struct {
	Scale float64
	Shift r2.Vec
}

// At gives where a photo point is drawn.
func (p Placement) At(q r2.Vec) r2.Vec { return r2.Add(r2.Scale(p.Scale, q), p.Shift) }

// Photo gives the photo point that is drawn at s.
func (p Placement) Photo(s r2.Vec) r2.Vec { return r2.Scale(1/p.Scale, r2.Sub(s, p.Shift)) }

// Dash is how a line is broken up, by what it stands for.
type Dash uint8

const (
	Solid   Dash = iota
	Dashed       // a part that is missing: what is measured there is a minimum
	Dotted       // not placed yet
	Chained      // proposed, and not decided on
)

// Stroke is a line to be drawn, cut to what can be seen.
type Stroke struct {
	Points []r2.Vec // device px
	Dash   Dash
	// Start is the length of line in device px before Points[0], so that
	// dashes stay where they are while the photo moves.
	Start float64
	Thin  bool
	Quiet bool // belongs to another tool than the one in use
}

// Shape tells marks apart.
type Shape uint8

const (
	Dot      Shape = iota // a point between landmarks
	Square                // mesial end: A, M
	Triangle              // apex: G
	Diamond               // distal end: B, D
	BarEnd                // across a scale bar
	Tick                  // a denticle, across its carina
	Ring                  // round the selected point
)

// Mark is a marked point to be drawn.
type Mark struct {
	At    r2.Vec // device px
	Shape Shape
	Angle float64 // of BarEnd and Tick: direction of the line it crosses, radians
	Quiet bool
}

// Label is a short text centred at a place.
type Label struct {
	At    r2.Vec // device px
	Text  string
	Px    float64 // height of the letters' em, device px
	Quiet bool
}

// Magnifier is an inset that shows the photo round a point enlarged.
type Magnifier struct {
	Frame   r2.Box // device px
	Photo   Placement
	Strokes []Stroke // device px, within Frame
	Centre  r2.Vec   // device px, the point itself
}

// Scene lists what is to be drawn, from the back to the front.
type Scene struct {
	Size          r2.Vec // of the window, device px
	Ratio         float64
	Width, Height float64 // of the photo in photo px; 0 is no photo
	Photo         Placement
	Strokes       []Stroke
	Marks         []Mark
	Labels        []Label
	Cross         *r2.Vec // device px, the keyboard's crosshair
	Magnifier     *Magnifier
	// Moving tells that a gesture is under way, so that a picture that is
	// still coming in should come in small portions.
	Moving bool
}

// labelPx is the size of letters in CSS px.
const labelPx = 14.0

// Scene gives what is to be drawn now.
func (b *Bench) Scene() Scene {
	s := Scene{Size: r2.Scale(b.win.ratio, r2.Vec{X: b.win.w, Y: b.win.h}), Ratio: b.win.ratio}
	if b.view == nil {
		return s
	}
	s.Width, s.Height = b.width, b.height
	s.Photo = b.placement()
	s.Moving = b.pointing.gesture > aiming
	d := &drafter{Bench: b, scene: &s, to: s.Photo, strokes: &s.Strokes}
	margin := 24 * b.win.ratio
	d.clip = r2.Box{Min: r2.Vec{X: -margin, Y: -margin}, Max: r2.Add(s.Size, r2.Vec{X: margin, Y: margin})}
	for _, t := range []Tool{Scale, Section, Denticles, Crown} {
		if t != b.tool {
			d.draw(t)
		}
	}
	d.draw(b.tool)
	d.preview()
	d.drawOffer()
	spread(s.Labels)
	if at, ok := b.at(b.active); ok {
		d.mark(at, Ring, 0)
	}
	if c := b.keys.cross; c != nil {
		at := s.Photo.At(*c)
		s.Cross = &at
	}
	s.Magnifier = b.magnifier()
	return s
}

func (b *Bench) placement() Placement {
	return Placement{b.cam.scale * b.win.ratio, r2.Scale(b.win.ratio, b.cam.shift)}
}

// drafter draws marks of the photo into a scene.
type drafter struct {
	*Bench
	scene   *Scene
	to      Placement
	clip    r2.Box // device px
	strokes *[]Stroke
	bare    bool // lines only
	quiet   bool
	points  []r2.Vec
}

// lines are the lines of a view in photo px. They are followed point by point
// for each frame, so they are made once for each change.
type lines struct {
	crown, section []r2.Vec
	stretches      [][]r2.Vec
}

func linesOf(v *morph.View) (l lines) {
	if v == nil {
		return l
	}
	if v.Crown != nil {
		l.crown = v.Crown.Path.Polyline()
	}
	if s := v.Section; s != nil {
		l.section = s.Outline.Polyline()
		if s.Done && len(s.Outline) > 0 {
			l.section = append(s.Outline.Polygon(), s.Outline[0].Vec())
		}
	}
	for _, s := range v.Stretches {
		l.stretches = append(l.stretches, s.Line.Polyline())
	}
	return l
}

func (d *drafter) draw(t Tool) {
	if d.remark != nil {
		return // what was marked would lead the hand
	}
	d.quiet = t != d.tool && d.tool != Look
	switch t {
	case Scale:
		d.drawCard()
		d.drawBars()
	case Crown:
		d.drawCrown()
	case Section:
		d.drawSection()
	case Denticles:
		d.drawStretches()
	}
}

func (d *drafter) drawBars() {
	quiet := d.quiet
	d.quiet = quiet || d.view.Flat != nil // which counts in their place
	defer func() { d.quiet = quiet }()
	for _, bar := range d.view.Bars {
		from, to := bar.From.Vec(), bar.To.Vec()
		d.stroke([]r2.Vec{from, to}, Stroke{Quiet: d.quiet})
		along := r2.Sub(to, from)
		angle := math.Atan2(along.Y, along.X)
		d.mark(from, BarEnd, angle)
		d.mark(to, BarEnd, angle)
		if bar.Length > 0 {
			d.label(r2.Scale(0.5, r2.Add(from, to)), upward(along), barText(bar))
		}
	}
	if d.start != nil && d.tool == Scale {
		d.mark(*d.start, BarEnd, 0)
	}
}

// upward gives the direction across a line that points up on the screen.
func upward(along r2.Vec) r2.Vec {
	n := r2.Vec{X: along.Y, Y: -along.X}
	if n.Y > 0 {
		n = r2.Scale(-1, n)
	}
	return n
}

func (d *drafter) drawCrown() {
	w := crownWalk{d.Bench}
	c := w.crown()
	n := len(c.Path)
	if n == 0 {
		return
	}
	if c.ApexBroken && c.Apex > 0 && c.Apex < n {
		// The edges beside a broken apex do not end where the crown did.
		hi := min(c.Apex+1, n-1)
		d.stroke(c.Path[:c.Apex].Polyline(), Stroke{Quiet: d.quiet})
		d.stroke(c.Path[c.Apex-1:hi+1].Polyline(), Stroke{Quiet: d.quiet, Dash: Dashed})
		d.stroke(c.Path[hi:].Polyline(), Stroke{Quiet: d.quiet})
	} else {
		d.stroke(d.lines.crown, Stroke{Quiet: d.quiet})
	}
	if c.Tip != nil && c.ApexBroken {
		d.tip(c, Dotted, "~G")
	}
	if c.Done {
		base := Stroke{Quiet: d.quiet, Thin: true}
		if c.BaseBroken {
			base.Dash = Dashed
		}
		d.stroke([]r2.Vec{c.Path[0].Vec(), c.Path[n-1].Vec()}, base)
	}
	d.vertices(c.Path, d.tool == Crown, func(i int) (string, Shape) {
		switch l := w.letter(i); l {
		case "A":
			return l, Square
		case "G":
			return l, Triangle
		case "B":
			return l, Diamond
		}
		return "", Dot
	})
}

func (d *drafter) drawSection() {
	w := sectionWalk{d.Bench}
	s := w.section()
	if len(s.Outline) == 0 {
		return
	}
	d.stroke(d.lines.section, Stroke{Quiet: d.quiet})
	d.vertices(s.Outline, d.tool == Section, func(i int) (string, Shape) {
		switch l := w.letter(i); l {
		case "M":
			return l, Square
		case "D":
			return l, Diamond
		}
		return "", Dot
	})
}

func (d *drafter) drawStretches() {
	quiet := d.quiet
	for i, s := range d.view.Stretches {
		d.quiet = quiet || d.tool == Denticles && d.row != noRow && i != d.row
		d.stroke(d.lines.stretches[i], Stroke{Quiet: d.quiet, Thin: true})
		if d.bare {
			continue
		}
		for _, t := range s.Ticks {
			if d.visible(t.Vec()) {
				d.mark(t.Vec(), Tick, directionAt(s.Line, t.Vec()))
			}
		}
		d.vertices(s.Line, d.tool == Denticles && (i == d.row || d.row == noRow), func(int) (string, Shape) { return "", Dot })
		if n := len(s.Line); n > 0 && s.Done {
			text := fmt.Sprint(len(s.Ticks))
			if s.Serrated {
				text = "serrated"
			}
			last := s.Line[n-1].Vec()
			d.label(last, r2.Sub(last, s.Line[max(n-2, 0)].Vec()), text)
		}
	}
	d.quiet = quiet
}

// directionAt gives the direction, in radians, of the line nearest to q.
func directionAt(p morph.Path, q r2.Vec) float64 {
	w, d := nearest(p, false, q)
	if math.IsInf(d, 1) {
		return 0
	}
	from, to := p[w.index-1].Vec(), p[w.index].Vec()
	if via := p[w.index].Via; w.via > 0 {
		from = r2.Vec{X: via[w.via-1][0], Y: via[w.via-1][1]}
	}
	if via := p[w.index].Via; w.via < len(via) {
		to = r2.Vec{X: via[w.via][0], Y: via[w.via][1]}
	}
	return math.Atan2(to.Y-from.Y, to.X-from.X)
}

// dotGap is the least distance in CSS px between dots that are drawn: along a
// close walk they would hide the line.
const dotGap = 20.0

// vertices draws the vertices of a path: landmarks always, the others while
// they can be taken hold of.
func (d *drafter) vertices(p morph.Path, handles bool, landmark func(i int) (letter string, shape Shape)) {
	if d.bare {
		return
	}
	centre := centroid(p)
	last, gap := r2.Vec{X: math.Inf(1)}, dotGap*d.win.ratio
	for i, v := range p {
		at := v.Vec()
		if !d.visible(at) {
			continue
		}
		letter, shape := landmark(i)
		if letter == "" {
			s := d.to.At(at)
			if !handles || distance(s, last) < gap && i < len(p)-1 {
				continue
			}
			last = s
			d.mark(at, Dot, 0)
			continue
		}
		d.mark(at, shape, 0)
		d.label(at, r2.Sub(at, centre), letter)
	}
}

func centroid(p morph.Path) (c r2.Vec) {
	for _, v := range p {
		c = r2.Add(c, r2.Scale(1/float64(len(p)), v.Vec()))
	}
	return c
}

func (d *drafter) visible(p r2.Vec) bool { return within(d.clip, d.to.At(p)) }

func (d *drafter) mark(at r2.Vec, shape Shape, angle float64) {
	if !d.bare && d.visible(at) {
		d.scene.Marks = append(d.scene.Marks, Mark{d.to.At(at), shape, angle, d.quiet})
	}
}

// label writes text beside a photo point, away from it in a direction.
func (d *drafter) label(at, away r2.Vec, text string) {
	if d.bare || !d.visible(at) {
		return
	}
	const clear = 18 // CSS px
	if n := r2.Norm(away); n > 0 {
		away = r2.Scale(1/n, away)
	} else {
		away = r2.Vec{Y: -1}
	}
	s := r2.Add(d.to.At(at), r2.Scale(clear*d.win.ratio, away))
	d.scene.Labels = append(d.scene.Labels, Label{s, text, labelPx * d.win.ratio, d.quiet})
}

// preview draws the line that the next click would add.
func (d *drafter) preview() {
	to, ok := d.aim()
	newest := d.walk().newest()
	from, walking := d.at(newest)
	if !ok || !walking || newest.kind == tickPoint {
		return
	}
	d.quiet = false
	via, ok := d.along(from, to)
	if !ok {
		d.stroke([]r2.Vec{from, to}, Stroke{Dash: Dotted})
		return
	}
	line := appended(morph.Path{morph.At(from)}, to, via).Polyline()
	d.stroke(line, Stroke{Thin: true})
}

// aim gives the photo point where the next point would be put.
func (b *Bench) aim() (r2.Vec, bool) {
	if !b.walk().awaiting() {
		return r2.Vec{}, false
	}
	p := &b.pointing
	switch {
	case b.keys.cross != nil:
		return *b.keys.cross, true
	case p.gesture == pressing && p.mark.kind == nothing:
		return b.clamped(b.cam.photo(p.press.at)), true
	case p.gesture == aiming:
		return b.clamped(b.cam.photo(p.at)), true
	case p.gesture == idle && p.hover != nil:
		at := b.cam.photo(*p.hover)
		return at, b.onPhoto(at)
	}
	return r2.Vec{}, false
}
