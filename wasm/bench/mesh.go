package bench

import (
	"image/color"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Mesh is triangles of one draw call; at most maxVertices corners, since
// indices have 16 bits.
type Mesh struct {
	Vertices []Vertex
	Indices  []uint16
}

const maxVertices = 1 << 16

// theme is the colours that follow the page's.
type theme struct {
	ground color.RGBA // round the photo
	accent color.RGBA // round the selected point
}

// A quiet ground, and an accent that stands out from photos of brown and grey.
var (
	light = theme{color.RGBA{0xd9, 0xd7, 0xd1, 0xff}, color.RGBA{0xff, 0xb0, 0x20, 0xff}}
	dusk  = theme{color.RGBA{0x22, 0x24, 0x28, 0xff}, color.RGBA{0xff, 0xb0, 0x20, 0xff}}
)

// A light core in a dark halo shows on any photo.
var (
	core = color.NRGBA{0xff, 0xfd, 0xf4, 0xff}
	halo = color.NRGBA{0x0b, 0x0d, 0x12, 0xc0}
)

// Widths and radii in CSS px.
const (
	coreWidth  = 1.8
	thinWidth  = 1.2
	haloWidth  = 1.3 // on each side of a core
	dotRadius  = 2.6
	ringRadius = 10.0
	barHalf    = 8.0
	tickHalf   = 6.0
	dashOn     = 7.0
	dashOff    = 5.0
	dotOn      = 1.6
	dotOff     = 4.5

	chainPeriod = 20.0 // from one dash to the next
	chainOn     = 11.0
	chainDot    = 5.5 // from a dot to the next dash
)

// quietAlpha is how strong marks of other tools are drawn.
const quietAlpha = 0.55

// pen makes meshes. Its zero value is ready; reset keeps the memory.
type pen struct {
	meshes []Mesh
	n      int // meshes in use
	ratio  float64
	side   []r2.Vec // scratch
	ring   []r2.Vec // scratch
}

func (p *pen) reset(ratio float64) {
	for i := range p.meshes {
		p.meshes[i].Vertices = p.meshes[i].Vertices[:0]
		p.meshes[i].Indices = p.meshes[i].Indices[:0]
	}
	p.n, p.ratio = 0, ratio
}

// mesh gives a mesh with room for n more vertices.
func (p *pen) mesh(n int) *Mesh {
	if p.n == 0 || len(p.meshes[p.n-1].Vertices)+n > maxVertices {
		if p.n == len(p.meshes) {
			p.meshes = append(p.meshes, Mesh{})
		}
		p.n++
	}
	return &p.meshes[p.n-1]
}

// draw gives the triangles of a scene's lines and marks, from the back to
// the front. They are the pen's and hold until it draws again.
func (p *pen) draw(s *Scene, t theme) []Mesh {
	p.reset(s.Ratio)
	p.strokes(s.Strokes)
	p.marks(s.Marks, t)
	if s.Cross != nil {
		p.cross(*s.Cross, 14, 4)
	}
	return p.meshes[:p.n]
}

// drawLens gives the triangles of what lies within the magnifier.
func (p *pen) drawLens(m *Magnifier, ratio float64) []Mesh {
	p.reset(ratio)
	p.strokes(m.Strokes)
	p.cross(m.Centre, 20, 5)
	f := m.Frame
	p.outlined([]r2.Vec{f.Min, {X: f.Max.X, Y: f.Min.Y}, f.Max, {X: f.Min.X, Y: f.Max.Y}, f.Min}, coreWidth, 1)
	return p.meshes[:p.n]
}

func (p *pen) strokes(all []Stroke) {
	for _, pass := range []color.NRGBA{halo, core} {
		for i := range all {
			s := &all[i]
			width := coreWidth
			if s.Thin {
				width = thinWidth
			}
			if pass == halo {
				width += 2 * haloWidth
			}
			p.stroke(s, width*p.ratio, faded(pass, s.Quiet))
		}
	}
}

func (p *pen) stroke(s *Stroke, width float64, c color.NRGBA) {
	switch s.Dash {
	case Solid:
		p.ribbon(s.Points, width, c)
	case Dashed:
		dashes(s.Points, s.Start, dashOn*p.ratio, dashOff*p.ratio, func(part []r2.Vec) { p.ribbon(part, width, c) })
	case Chained: // long dashes with a dot between
		each := func(part []r2.Vec) { p.ribbon(part, width, c) }
		dashes(s.Points, s.Start, chainOn*p.ratio, (chainPeriod-chainOn)*p.ratio, each)
		dashes(s.Points, s.Start+chainDot*p.ratio, dotOn*p.ratio, (chainPeriod-dotOn)*p.ratio, each)
	case Dotted:
		dashes(s.Points, s.Start, dotOn*p.ratio, dotOff*p.ratio, func(part []r2.Vec) { p.ribbon(part, width, c) })
	}
}

func faded(c color.NRGBA, quiet bool) color.NRGBA {
	if quiet {
		c.A = uint8(float64(c.A) * quietAlpha)
	}
	return c
}

// outlined draws a line at once in halo and core.
func (p *pen) outlined(points []r2.Vec, width float64, alpha float64) {
	h, c := halo, core
	h.A, c.A = uint8(float64(h.A)*alpha), uint8(float64(c.A)*alpha)
	p.ribbon(points, (width+2*haloWidth)*p.ratio, h)
	p.ribbon(points, width*p.ratio, c)
}

func (p *pen) cross(at r2.Vec, arm, free float64) {
	for _, way := range []r2.Vec{{X: 1}, {X: -1}, {Y: 1}, {Y: -1}} {
		p.outlined([]r2.Vec{
			r2.Add(at, r2.Scale(free*p.ratio, way)),
			r2.Add(at, r2.Scale(arm*p.ratio, way)),
		}, thinWidth, 1)
	}
}

func (p *pen) marks(all []Mark, t theme) {
	for _, m := range all {
		alpha := 1.0
		if m.Quiet {
			alpha = quietAlpha
		}
		switch m.Shape {
		case BarEnd, Tick:
			half := barHalf
			if m.Shape == Tick {
				half = tickHalf
			}
			across := r2.Scale(half*p.ratio, r2.Vec{X: -math.Sin(m.Angle), Y: math.Cos(m.Angle)})
			p.outlined([]r2.Vec{r2.Sub(m.At, across), r2.Add(m.At, across)}, coreWidth, alpha)
		case Ring:
			ring := p.ring[:0]
			for _, q := range circle {
				ring = append(ring, r2.Add(m.At, r2.Scale(ringRadius*p.ratio, q)))
			}
			ring = append(ring, ring[0])
			p.ring = ring
			p.ribbon(ring, (coreWidth+2*haloWidth)*p.ratio, halo)
			p.ribbon(ring, coreWidth*p.ratio, color.NRGBA{t.accent.R, t.accent.G, t.accent.B, 0xff})
		default:
			sign := signs[m.Shape]
			p.fill(m.At, sign.corners, (sign.radius+sign.out*haloWidth)*p.ratio, faded(halo, m.Quiet))
			p.fill(m.At, sign.corners, sign.radius*p.ratio, faded(core, m.Quiet))
		}
	}
}

// sign is a filled mark: a regular polygon.
type sign struct {
	corners []r2.Vec // of radius 1
	radius  float64  // CSS px
	out     float64  // by how much its radius grows when its sides move out by 1
}

var signs = map[Shape]sign{
	Dot:      signOf(10, 0, dotRadius),
	Square:   signOf(4, math.Pi/4, 6),
	Triangle: signOf(3, -math.Pi/2, 6.5),
	Diamond:  signOf(4, 0, 6.5),
}

func signOf(n int, turn, radius float64) sign {
	return sign{polygon(r2.Vec{}, 1, n, turn), radius, 1 / math.Cos(math.Pi/float64(n))}
}

var circle = polygon(r2.Vec{}, 1, 28, 0)

// polygon gives the corners of a regular polygon.
func polygon(at r2.Vec, radius float64, n int, turn float64) []r2.Vec {
	out := make([]r2.Vec, n)
	for i := range out {
		sin, cos := math.Sincos(turn + 2*math.Pi*float64(i)/float64(n))
		out[i] = r2.Add(at, r2.Vec{X: radius * cos, Y: radius * sin})
	}
	return out
}

// dashes cuts a line into dashes of length on with gaps of length off; start
// is the length of line before its first point.
func dashes(points []r2.Vec, start, on, off float64, emit func([]r2.Vec)) {
	period := on + off
	if len(points) < 2 || !(period > 0) || !finite(start) {
		return
	}
	at := math.Mod(start, period)
	var part []r2.Vec
	if at < on {
		part = append(part, points[0])
	}
	for i := 1; i < len(points); i++ {
		from, to := points[i-1], points[i]
		length := distance(from, to)
		if !(length > 0) || math.IsInf(length, 1) {
			continue
		}
		for gone := 0.0; ; {
			left := period - at
			if at < on {
				left = on - at
			}
			if gone+left >= length {
				at += length - gone
				if at < on {
					part = append(part, to)
				}
				break
			}
			gone += left
			p := r2.Add(from, r2.Scale(gone/length, r2.Sub(to, from)))
			if at < on {
				emit(append(part, p))
				part = part[:0]
				at = on
			} else {
				part = append(part[:0], p)
				at = 0
			}
		}
	}
	if len(part) > 1 {
		emit(part)
	}
}

// Joints sharper than this are drawn as two ends that overlap: the point of
// their miter would stick out far.
const miterLeast = 0.35

// feather is the width in device px over which an edge fades.
const feather = 1.0

// ribbon adds a line as a band of triangles whose edges fade out. A line that
// ends where it began is joined there.
//
// Each point has four vertices across the line:
//
//	faded ─ full ─ full ─ faded
func (p *pen) ribbon(points []r2.Vec, width float64, c color.NRGBA) {
	const portion = 4000 // points, so that they fit in one mesh
	for len(points) > portion {
		p.band(points[:portion], width, c)
		points = points[portion-1:]
	}
	p.band(points, width, c)
}

func (p *pen) band(points []r2.Vec, width float64, c color.NRGBA) {
	// Points that coincide give no direction.
	line := p.side[:0]
	for _, q := range points {
		if finite(q.X, q.Y) && (len(line) == 0 || distance(q, line[len(line)-1]) > 1e-3) {
			line = append(line, q)
		}
	}
	p.side = line
	n := len(line)
	if n < 2 {
		return
	}
	// Lines thinner than the feather are drawn wider and fainter.
	full := max(width/2-feather/2, 0)
	alpha := float32(c.A) / 255 * float32(min(1, width/feather))
	faded := full + feather
	m := p.mesh(16*n + 16) // if every joint is sharp
	closed := n > 3 && line[0] == line[n-1]
	across := func(at, normal r2.Vec, a float32) {
		for k, off := range [4]float64{-faded, -full, full, faded} {
			v := a
			if k == 0 || k == 3 {
				v = 0
			}
			m.vertex(r2.Add(at, r2.Scale(off, normal)), c, v)
		}
	}
	joined := false // the next cross-section continues a band
	section := func(at, normal r2.Vec, a float32) {
		across(at, normal, a)
		if joined {
			m.quads()
		}
		joined = true
	}
	unit := func(i int) r2.Vec { return r2.Unit(r2.Sub(line[i+1], line[i])) }
	normal := func(d r2.Vec) r2.Vec { return r2.Vec{X: -d.Y, Y: d.X} }
	// miter gives the normal at a joint, stretched so that the band keeps its
	// width, or false where it would stick out.
	miter := func(d, e r2.Vec) (r2.Vec, bool) {
		sum := r2.Add(normal(d), normal(e))
		half := r2.Norm(sum) / 2 // cosine of half the turn
		if half < miterLeast {
			return r2.Vec{}, false
		}
		return r2.Scale(1/(2*half*half), sum), true
	}
	first, lastWay := unit(0), unit(n-2)
	begin := func(at, way r2.Vec) {
		joined = false
		section(r2.Sub(at, r2.Scale(feather, way)), normal(way), 0)
		section(at, normal(way), alpha)
	}
	end := func(at, way r2.Vec) {
		section(at, normal(way), alpha)
		section(r2.Add(at, r2.Scale(feather, way)), normal(way), 0)
	}
	var seam r2.Vec
	seamed := false
	if closed {
		seam, seamed = miter(lastWay, first)
	}
	if seamed {
		section(line[0], seam, alpha)
	} else {
		begin(line[0], first)
	}
	way := first
	for i := 1; i < n-1; i++ {
		next := unit(i)
		if across, ok := miter(way, next); ok {
			section(line[i], across, alpha)
		} else {
			end(r2.Add(line[i], r2.Scale(width/2, way)), way)
			begin(r2.Sub(line[i], r2.Scale(width/2, next)), next)
		}
		way = next
	}
	if seamed {
		section(line[n-1], seam, alpha)
	} else {
		end(line[n-1], lastWay)
	}
}

// fill adds a convex polygon, corners of radius 1 made larger about a centre,
// whose edge fades out.
func (p *pen) fill(at r2.Vec, corners []r2.Vec, radius float64, c color.NRGBA) {
	n := len(corners)
	m := p.mesh(2 * n)
	first := len(m.Vertices)
	soft := feather / 2 / math.Cos(math.Pi/float64(n))
	for i, q := range corners {
		m.vertex(r2.Add(at, r2.Scale(max(radius-soft, 0), q)), c, float32(c.A)/255)
		m.vertex(r2.Add(at, r2.Scale(radius+soft, q)), c, 0)
		if i > 1 {
			m.triangle(first, first+2*i-2, first+2*i)
		}
		next := first + 2*((i+1)%n)
		m.triangle(first+2*i, first+2*i+1, next)
		m.triangle(first+2*i+1, next+1, next)
	}
}

func (m *Mesh) vertex(at r2.Vec, c color.NRGBA, alpha float32) {
	m.Vertices = append(m.Vertices, Vertex{
		DstX: float32(at.X), DstY: float32(at.Y),
		SrcX: 1.5, SrcY: 1.5, // the middle of a white picture of 3 × 3 px
		ColorR: float32(c.R) / 255, ColorG: float32(c.G) / 255, ColorB: float32(c.B) / 255, ColorA: alpha,
	})
}

func (m *Mesh) triangle(i, j, k int) {
	m.Indices = append(m.Indices, uint16(i), uint16(j), uint16(k))
}

// quads joins the last two cross-sections of a band.
func (m *Mesh) quads() {
	at := len(m.Vertices) - 8
	for k := at; k < at+3; k++ {
		m.triangle(k, k+1, k+4)
		m.triangle(k+1, k+5, k+4)
	}
}
