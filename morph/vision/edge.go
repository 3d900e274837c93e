package vision

import (
	"image"
	"math"

	"gonum.org/v1/gonum/spatial/r2"
)

// Edge draws lines along the edges of a picture from one point to others, for
// a hand that moves: what was worked out for one end point is kept for the
// next. An Edge belongs to one goroutine.
//
// The line is the cheapest way over the pixels, cheap where the colour changes
// fast (Mortensen & Barrett 1995, SIGGRAPH: 191–198), on a copy of the picture
// on which it is about a hundred pixels long. Larger copies sharpen it.
type Edge struct {
	picture *Picture
	from    r2.Vec
	near    []*maze // by level, of the present start
}

// NewEdge prepares lines in a picture, starting at 0,0.
func NewEdge(p *Picture) *Edge {
	return &Edge{picture: p, near: make([]*maze, p.Levels())}
}

// From sets the point, px, where the lines start.
func (e *Edge) From(p r2.Vec) {
	e.from = e.picture.Clamp(p)
	clear(e.near)
}

const (
	// stretch is how long a line may be, px, on the copy where it is found.
	stretch = 110
	// room is how far a line may go from its start there, along x and y.
	room = 150
)

// To gives the line from the start to a point: both ends, and in between the
// vertices, px, that keep it within a fraction of a pixel of the edge. The
// confidence is the share, 0 to 1, of the line along which the picture changes
// clearly from side to side; where there is no edge to follow, the line is
// straight and the confidence 0.
func (e *Edge) To(q r2.Vec) (line []r2.Vec, confidence float64) {
	q = e.picture.Clamp(q)
	straight := []r2.Vec{e.from, q}
	far := r2.Norm(r2.Sub(q, e.from))
	if far < 4 {
		return straight, 0
	}
	n := 0
	for n < e.picture.Levels()-1 && far/float64(int(1)<<n) > stretch {
		n++
	}
	if e.near[n] == nil {
		e.near[n] = newMaze(e.picture.Level(n), e.from)
	}
	line = e.near[n].way(q)
	if len(line) < 3 {
		return straight, 0
	}
	var at edge
	for ; n >= 0; n-- {
		l := e.picture.Level(n)
		line = soften(line, false, 2)
		at = l.lay(line, false, 2).settle(stiffness)
		line = at.points
		line[0], line[len(line)-1] = r2.Scale(1/l.Factor, e.from), r2.Scale(1/l.Factor, q)
		if n > 0 {
			for i := range line {
				line[i] = r2.Scale(2, line[i])
			}
		}
	}
	confidence = at.clear()
	if confidence < 0.3 {
		return straight, 0
	}
	for i := range line {
		line[i] = e.picture.Clamp(line[i])
	}
	return simplify(line, math.Max(0.2, far/4000)), confidence
}

// clear is the share of an edge where the picture changes from side to side,
// seen against how much it changes anyway.
func (e edge) clear() float64 {
	n := 0
	for i, c := range e.contrast {
		if c > 10 && c > e.noise[i] {
			n++
		}
	}
	return float64(n) / float64(max(1, len(e.contrast)))
}

// maze is a window of a level around a start, and the cheapest ways from there
// to its pixels as far as they were asked for.
type maze struct {
	level *Level
	box   image.Rectangle
	w     int
	toll  []int32 // of entering a pixel
	cost  []int32 // of the cheapest way so far, or -1
	back  []int32 // the pixel before on that way
	done  []bool
	shelf [][]int32 // pixels by cost, modulo the number of shelves
	open  int       // pixels on shelves
	now   int32     // the cost being settled
}

// dearest is the toll of a pixel without any edge, cheapest that on the
// clearest.
const dearest, cheapest = 100, 6

func newMaze(l *Level, from r2.Vec) *maze {
	x, y := int(from.X/l.Factor), int(from.Y/l.Factor)
	x, y = min(x, l.Width-1), min(y, l.Height-1)
	m := &maze{level: l}
	m.box = image.Rect(x-room, y-room, x+room+1, y+room+1).Intersect(image.Rect(0, 0, l.Width, l.Height))
	m.w = m.box.Dx()
	n := m.w * m.box.Dy()
	m.toll, m.cost, m.back, m.done = make([]int32, n), make([]int32, n), make([]int32, n), make([]bool, n)
	m.tolls()
	for i := range m.cost {
		m.cost[i] = -1
	}
	m.shelf = make([][]int32, 14*dearest+1)
	m.put(m.index(x, y), 0, -1)
	return m
}

func (m *maze) index(x, y int) int32 { return int32((y-m.box.Min.Y)*m.w + x - m.box.Min.X) }

// tolls sets what each pixel costs: less the faster the colour changes there,
// on the scale of the clear edges of the window.
func (m *maze) tolls() {
	l := m.level
	slope := make([]float32, len(m.toll))
	count := make([]int, 512)
	for y := m.box.Min.Y; y < m.box.Max.Y; y++ {
		up, mid, low := 4*max(y-1, 0)*l.Width, 4*y*l.Width, 4*min(y+1, l.Height-1)*l.Width
		for x := m.box.Min.X; x < m.box.Max.X; x++ {
			left, here, right := 4*max(x-1, 0), 4*x, 4*min(x+1, l.Width-1)
			sum := 0
			for c := range 3 {
				nw, n, ne := int(l.Pix[up+left+c]), int(l.Pix[up+here+c]), int(l.Pix[up+right+c])
				w, e := int(l.Pix[mid+left+c]), int(l.Pix[mid+right+c])
				sw, s, se := int(l.Pix[low+left+c]), int(l.Pix[low+here+c]), int(l.Pix[low+right+c])
				dx, dy := ne+2*e+se-nw-2*w-sw, sw+2*s+se-nw-2*n-ne
				sum += dx*dx + dy*dy
			}
			g := float32(math.Sqrt(float64(sum))) / 8 // grey levels per px, all colours together
			slope[m.index(x, y)] = g
			count[min(int(g), len(count)-1)]++
		}
	}
	// A twentieth of the pixels lie on clear edges, more or less.
	clear, seen := len(count)-1, 0
	for ; clear > 4 && seen < len(slope)/20; clear-- {
		seen += count[clear]
	}
	scale := 0.5 * float32(clear)
	for i, g := range slope {
		g /= scale
		m.toll[i] = cheapest + int32((dearest-cheapest)/(1+g*g))
	}
}

func (m *maze) put(i, cost, back int32) {
	m.cost[i], m.back[i] = cost, back
	k := int(cost) % len(m.shelf)
	m.shelf[k] = append(m.shelf[k], i)
	m.open++
}

// way settles pixels, the cheapest first (Dijkstra), until the one under q is
// known, and gives the pixels' middles from start to q, px of the level.
func (m *maze) way(q r2.Vec) []r2.Vec {
	l := m.level
	x := max(m.box.Min.X, min(int(q.X/l.Factor), m.box.Max.X-1))
	y := max(m.box.Min.Y, min(int(q.Y/l.Factor), m.box.Max.Y-1))
	goal := m.index(x, y)
	for !m.done[goal] && m.open > 0 {
		k := int(m.now) % len(m.shelf)
		shelf := m.shelf[k]
		if len(shelf) == 0 {
			m.now++
			continue
		}
		i := shelf[len(shelf)-1]
		m.shelf[k] = shelf[:len(shelf)-1]
		m.open--
		if !m.done[i] && m.cost[i] == m.now {
			m.done[i] = true
			m.enter(i)
		}
	}
	var out []r2.Vec
	for i := goal; i >= 0; i = m.back[i] {
		x, y := m.box.Min.X+int(i)%m.w, m.box.Min.Y+int(i)/m.w
		out = append(out, r2.Vec{X: float64(x) + 0.5, Y: float64(y) + 0.5})
	}
	for a, b := 0, len(out)-1; a < b; a, b = a+1, b-1 {
		out[a], out[b] = out[b], out[a]
	}
	return out
}

// enter offers the ways through a settled pixel to its neighbours.
func (m *maze) enter(i int32) {
	x, y := int(i)%m.w, int(i)/m.w
	for dy := -1; dy <= 1; dy++ {
		for dx := -1; dx <= 1; dx++ {
			u, v := x+dx, y+dy
			if u < 0 || v < 0 || u >= m.w || v >= m.box.Dy() {
				continue
			}
			j := int32(v*m.w + u)
			if m.done[j] {
				continue
			}
			length := int32(10) // tenths of a px
			if dx != 0 && dy != 0 {
				length = 14
			}
			cost := m.now + length*m.toll[j]
			if m.cost[j] < 0 || cost < m.cost[j] {
				m.put(j, cost, i)
			}
		}
	}
}
