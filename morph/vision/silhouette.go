package vision

import (
	"errors"
	"image"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Outline is a closed line around one thing in a photograph, in px, its last
// point joined with its first, clockwise as one sees it.
type Outline struct {
	Points []r2.Vec
	// Confidence is the share, 0 to 1, of the line along which the picture
	// changes clearly from one side to the other.
	Confidence float64
}

// Why no outline is proposed.
var (
	ErrNoTooth  = errors.New("nothing here stands out from the ground around it: click inside the crown, or trace it by hand")
	ErrTouching = errors.New("what lies here is not one tooth: two things touch, so part them in the photograph or trace the crown by hand")
	ErrCutOff   = errors.New("the tooth runs out of the picture, so its outline is not closed: use a photograph that shows all of it")
	ErrTooBusy  = errors.New("the ground is too busy, or too much like the tooth, to find the outline: trace the crown by hand")
)

// overview is how many pixels the copy has at most on which the tooth is told
// from the ground: sand is even there, and a tooth still hundreds of pixels
// long.
const overview = 120_000

// Silhouette proposes the outline of the tooth that a point lies in, on a
// plain ground: a sheet, card, velvet, sand, with a soft shadow if any.
//
// What the frame of the picture shows is taken for ground, and so is what joins
// it without an edge and could be the same ground in shade. Of the rest, what
// surrounds the point is described by its colours, ground likewise, and the two
// are parted where that costs least (a minimum cut; Rother, Kolmogorov & Blake
// 2004, ACM Trans. Graph. 23: 309–314). Larger copies of the picture then
// sharpen the line step by step.
//
// The error is one of ErrNoTooth, ErrTouching, ErrCutOff and ErrTooBusy.
func Silhouette(p *Picture, at r2.Vec) (Outline, error) {
	if !p.Holds(at) {
		return Outline{}, ErrNoTooth
	}
	n := 0
	for n < p.Levels()-1 && (p.Width()>>n)*(p.Height()>>n) > overview {
		n++
	}
	f := newField(p.Level(n))
	here := image.Pt(int(at.X/f.level.Factor), int(at.Y/f.level.Factor))
	body, err := f.tooth(here)
	if err != nil {
		return Outline{}, err
	}
	if err := whole(body); err != nil {
		return Outline{}, err
	}
	if f.cutOff(p, body) {
		return Outline{}, ErrCutOff
	}
	return sharpen(p, n, body.contour())
}

// sharpen brings a closed line, found on level n, to the edge on all larger
// copies in turn.
func sharpen(p *Picture, n int, line []r2.Vec) (Outline, error) {
	var e edge
	line = soften(line, true, 2)
	reach := 3
	if ragged(resample(line, true, stride)) > smooth {
		line = soften(line, true, 12)
		reach = 6
	}
	for ; n >= 0; n-- {
		e = p.Level(n).lay(line, true, reach).settle(stiffness)
		line = soften(e.points, true, 1)
		reach = 3
		if n > 0 {
			for i := range line {
				line[i] = r2.Scale(2, line[i])
			}
		}
	}
	for i := range line {
		line[i] = p.Clamp(line[i])
	}
	o := Outline{Points: line, Confidence: e.clear() * math.Max(0, math.Min(1, 2-ragged(line)/smooth))}
	if o.Confidence < 0.5 {
		return Outline{}, ErrTooBusy
	}
	return o, nil
}

// smooth is how ragged the outline of a tooth is at most, as a share of its
// size, denticles and all; twice as ragged, a line is not an outline.
const smooth = 0.003

// ragged is how far an evenly spaced closed line strays from its own course,
// smoothed over a twenty-fifth of its length, as a share of its size. Seven
// tenths of the line stray less: a torn root's end does not count.
func ragged(line []r2.Vec) float64 {
	n := len(line)
	around := n / 50
	if around < 1 {
		return 0
	}
	var sum r2.Vec
	for k := -around; k <= around; k++ {
		sum = r2.Add(sum, line[(k+n)%n])
	}
	off := make([]float64, n)
	for i := range line {
		off[i] = r2.Norm(r2.Sub(line[i], r2.Scale(1/float64(2*around+1), sum)))
		sum = r2.Add(sum, r2.Sub(line[(i+around+1)%n], line[(i-around+n)%n]))
	}
	return quantile(off, 0.7) / math.Sqrt(math.Abs(area(line))+1)
}

// stiffness is what a line pays to swerve by one px within a stride, as a share
// of the contrast along it.
const stiffness = 0.25

// field is a level prepared for telling tooth from ground.
type field struct {
	level  *Level
	w, h   int
	colour []colour
	look   []colour  // what tells tooth from ground: the colour, or what stands for it
	slope  []float64 // how fast the colour changes, grey levels per px
	ring   *mask     // the frame of the picture
}

const (
	// ringShare is how much of the picture's sides counts as its frame.
	ringShare = 0.03
	// sampled is how many colours describe tooth and ground at most.
	sampled = 3000
	// calm is the slope, grey levels per px, that a ground's own texture may
	// reach before it is smoothed.
	calm = 4
)

func newField(l *Level) *field {
	f := &field{level: l, w: l.Width, h: l.Height}
	f.colour = make([]colour, f.w*f.h)
	for i := range f.colour {
		p := l.Pix[4*i:][:4]
		f.colour[i] = colour{float64(p[0]), float64(p[1]), float64(p[2])}
	}
	f.ring = f.frame()
	f.slope = make([]float64, f.w*f.h)
	f.rise()
	grainy := quantile(f.under(f.ring, f.slope), 0.5) > 2*calm
	var uneven []float64
	if grainy {
		uneven = f.uneven()
	}
	for range 4 {
		if quantile(f.under(f.ring, f.slope), 0.8) <= calm {
			break
		}
		f.smooth()
		f.rise()
	}
	f.look = f.colour
	if grainy {
		// Enamel is smoother than sand even where it has its colour.
		f.look = make([]colour, len(f.colour))
		for i, c := range f.colour {
			f.look[i] = colour{0.577 * (c[0] + c[1] + c[2]), 0.707 * (c[0] - c[2]), 2 * uneven[i]}
		}
	}
	return f
}

// uneven is the deviation of the colour within two px of each pixel, grey
// levels.
func (f *field) uneven() []float64 {
	sum, square := f.blank(), f.blank()
	for i, c := range f.colour {
		g := (c[0] + c[1] + c[2]) / 3
		sum[i], square[i] = g, g*g
	}
	sum, square = f.boxed(sum, 2), f.boxed(square, 2)
	out := f.blank()
	for i := range out {
		out[i] = math.Sqrt(math.Max(0, square[i]-sum[i]*sum[i]))
	}
	return f.boxed(out, 2)
}

func (f *field) blank() []float64 { return make([]float64, f.w*f.h) }

// boxed is the mean within reach px along and across.
func (f *field) boxed(v []float64, reach int) []float64 {
	rows, out := f.blank(), f.blank()
	n := float64(2*reach + 1)
	for i := range v {
		x := i % f.w
		for k := -reach; k <= reach; k++ {
			rows[i] += v[i-x+max(0, min(x+k, f.w-1))] / n
		}
	}
	for i := range v {
		x, y := i%f.w, i/f.w
		for k := -reach; k <= reach; k++ {
			out[i] += rows[max(0, min(y+k, f.h-1))*f.w+x] / n
		}
	}
	return out
}

// rise works out the slopes.
func (f *field) rise() {
	for y := range f.h {
		up, down := max(y-1, 0)*f.w, min(y+1, f.h-1)*f.w
		for x := range f.w {
			left, right := max(x-1, 0), min(x+1, f.w-1)
			dx := apart(f.colour[y*f.w+left], f.colour[y*f.w+right])
			dy := apart(f.colour[up+x], f.colour[down+x])
			f.slope[y*f.w+x] = math.Sqrt(dx+dy) / 2
		}
	}
}

// smooth mixes every colour with its neighbours', 1:2:1 along and across.
func (f *field) smooth() {
	blend := func(n, stride int, at func(k int) int) {
		for k := range stride {
			before := f.colour[at(k*n)]
			for i := range n {
				here := f.colour[at(k*n+i)]
				after := f.colour[at(k*n+min(i+1, n-1))]
				for c := range here {
					f.colour[at(k*n+i)][c] = (before[c] + 2*here[c] + after[c]) / 4
				}
				before = here
			}
		}
	}
	blend(f.w, f.h, func(k int) int { return k })
	blend(f.h, f.w, func(k int) int { return k%f.h*f.w + k/f.h })
}

// under gives the values under a mask.
func (f *field) under(m *mask, values []float64) []float64 {
	var out []float64
	for i, on := range m.on {
		if on {
			out = append(out, values[i])
		}
	}
	return out
}

// tooth marks the thing that a pixel belongs to.
func (f *field) tooth(here image.Point) (*mask, error) {
	crest := f.crest()
	best := f.seed(here, crest)
	if best == nil {
		return nil, ErrNoTooth
	}
	clearest := f.clear(best, crest)
	for m, k := best, 0; k < 2; k++ {
		if m = f.part(m, here); m == nil {
			break
		}
		m = m.filled()
		clear := f.clear(m, crest)
		if clear > 0.9*clearest {
			best, clearest = m, clear
		}
	}
	return best, nil
}

// seed marks the thing around a pixel that the ground does not reach. How
// steep an edge stops the ground, and how deep a shade may be, is tried out:
// what gives the clearest edge all round counts, the larger thing in doubt.
func (f *field) seed(here image.Point, crest []float64) *mask {
	look := mix(f.sample(f.ring), 5).common(0.12)
	texture := quantile(f.under(f.ring, f.slope), 0.9)
	var best *mask
	clearest := 0.0
	for _, light := range []struct{ shade, near float64 }{{0.9, 2}, {0.85, 3.5}, {0.6, 3.5}, {0.35, 3.5}} {
		away := make([]float64, len(f.colour))
		for i, c := range f.look {
			away[i] = look.shaded(c, light.shade)
		}
		for _, steep := range []float64{1, 2, 4, 8} {
			even := steep * math.Max(4, texture)
			ground := f.ground(func(j int) bool { return f.slope[j] < even && away[j] < light.near*light.near })
			thing := newMask(f.w, f.h)
			for i, on := range ground.on {
				thing.on[i] = !on
			}
			m := thing.component(here, 2)
			if m == nil || m.count() < leastThing {
				continue
			}
			m = m.filled()
			clear := f.clear(m, crest)
			if best == nil || clear > 1.1*clearest {
				best, clearest = m, clear
			}
		}
	}
	return best
}

// leastThing is how few pixels of the overview can still be a tooth.
const leastThing = 24

// crest is the steepest slope within two px of each pixel.
func (f *field) crest() []float64 {
	const reach = 2
	rows, out := make([]float64, len(f.slope)), make([]float64, len(f.slope))
	for i := range rows {
		x := i % f.w
		for k := max(-reach, -x); k <= min(reach, f.w-1-x); k++ {
			rows[i] = math.Max(rows[i], f.slope[i+k])
		}
	}
	for i := range out {
		y := i / f.w
		for k := max(-reach, -y); k <= min(reach, f.h-1-y); k++ {
			out[i] = math.Max(out[i], rows[i+k*f.w])
		}
	}
	return out
}

// clear is how steep the fainter part of a thing's edge is.
func (f *field) clear(m *mask, crest []float64) float64 {
	var along []float64
	for i, on := range m.on {
		if !on {
			continue
		}
		edge := false
		m.around4(i, func(j int) { edge = edge || !m.on[j] })
		if edge {
			along = append(along, crest[i])
		}
	}
	return quantile(along, 0.3) * solid(m)
}

// frame marks the frame of the picture.
func (f *field) frame() *mask {
	m := newMask(f.w, f.h)
	wide := max(1, int(ringShare*float64(min(f.w, f.h))))
	for i := range m.on {
		x, y := i%f.w, i/f.w
		m.on[i] = x < wide || y < wide || x >= f.w-wide || y >= f.h-wide
	}
	return m
}

// sample gives an even choice of what is seen under a mask.
func (f *field) sample(m *mask) []colour { return colours(f.look, m) }

// colours gives an even choice of the colours under a mask.
func colours(all []colour, m *mask) []colour {
	step := max(1, m.count()/sampled)
	var out []colour
	k := 0
	for i, on := range m.on {
		if on {
			if k%step == 0 {
				out = append(out, all[i])
			}
			k++
		}
	}
	return out
}

// ground marks what joins the frame over pixels that may be ground.
func (f *field) ground(may func(j int) bool) *mask {
	m := newMask(f.w, f.h)
	var starts []int
	for i, on := range f.ring.on {
		if on && may(i) {
			starts = append(starts, i)
		}
	}
	m.flood(starts, may)
	return m
}

// part cuts tooth from ground, both described by what is taken for them now,
// and gives the part that the pixel belongs to.
func (f *field) part(tooth *mask, here image.Point) *mask {
	rest := newMask(f.w, f.h)
	for i, on := range tooth.on {
		rest.on[i] = !on
	}
	inside, outside := mix(f.sample(tooth), 5), mix(f.sample(rest), 6)
	net := newNetwork(f.w*f.h, 4*f.w*f.h)
	const (
		unit = 64 // of one natural logarithm
		most = 4  // natural logarithms that one pixel's colour can count
		sure = 1 << 20
	)
	for i := range net.tie {
		c := f.look[i]
		d := outside.unlikely(c) - inside.unlikely(c)
		net.tie[i] = int32(unit * math.Max(-most, math.Min(d, most)))
		if f.ring.on[i] && !tooth.on[i] {
			net.tie[i] = -sure
		}
	}
	net.tie[here.Y*f.w+here.X] = sure
	// Neighbours stay together unless their colours differ more than usual.
	var sum float64
	var count int
	f.pairs(func(i, j int, far float64) {
		sum += apart(f.colour[i], f.colour[j])
		count++
	})
	usual := 2*sum/float64(max(1, count)) + 1
	f.pairs(func(i, j int, far float64) {
		tie := 0.15 + 4*math.Exp(-apart(f.colour[i], f.colour[j])/usual)
		net.join(int32(i), int32(j), int32(unit*tie/far))
	})
	m := newMask(f.w, f.h)
	m.on = net.cut()
	return m.component(here, 2)
}

// pairs calls visit with every two neighbouring pixels and their distance.
func (f *field) pairs(visit func(i, j int, far float64)) {
	for y := range f.h {
		for x := range f.w {
			i := y*f.w + x
			if x < f.w-1 {
				visit(i, i+1, 1)
			}
			if y < f.h-1 {
				visit(i, i+f.w, 1)
				if x < f.w-1 {
					visit(i, i+f.w+1, math.Sqrt2)
				}
				if x > 0 {
					visit(i, i+f.w-1, math.Sqrt2)
				}
			}
		}
	}
}

// whole tells what is wrong with a thing as an outline of one tooth.
func whole(m *mask) error {
	n := m.count()
	if n < 12 {
		return ErrNoTooth
	}
	if solid(m) < leastSolid || m.neck() < leastNeck {
		return ErrTouching
	}
	return nil
}

// cutOff tells whether a thing runs out of the picture: whether the outermost
// pixels of the photograph itself, where the thing reaches them on the copy,
// look more like the thing than like the ground.
func (f *field) cutOff(p *Picture, thing *mask) bool {
	rest := newMask(f.w, f.h)
	for i, on := range thing.on {
		rest.on[i] = !on
	}
	inside, outside := mix(colours(f.colour, thing), 5), mix(colours(f.colour, rest), 6)
	full := p.Level(0)
	touching, out := 0, 0
	for i, on := range thing.on {
		x, y := i%f.w, i/f.w
		if !on || x > 0 && y > 0 && x < f.w-1 && y < f.h-1 {
			continue
		}
		c := full.Colour(outermost(x, f.w, full.Width, f.level.Factor), outermost(y, f.h, full.Height, f.level.Factor))
		touching++
		if len(outside) == 0 || inside.unlikely(c) < outside.unlikely(c) {
			out++
		}
	}
	return 3*out > touching
}

// outermost is the photograph's pixel in the middle of a copy's pixel, or at
// the very edge for the copy's first and last.
func outermost(x, w, full int, factor float64) int {
	switch x {
	case 0:
		return 0
	case w - 1:
		return full - 1
	}
	return int((float64(x) + 0.5) * factor)
}

const (
	// leastSolid is the least share of its hull that one tooth fills: strongly
	// curved crowns with their root fill four fifths.
	leastSolid = 0.72
	// leastNeck is how narrow one tooth may become between two wide parts.
	leastNeck = 0.6
)

// solid is the share of a thing's convex hull that it fills.
func solid(m *mask) float64 {
	hull := convexHull(m.contour())
	return math.Min(1, float64(m.count())/math.Max(1, math.Abs(area(hull))))
}
