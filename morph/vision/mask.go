package vision

import (
	"image"
	"math"
	"sort"

	"gonum.org/v1/gonum/spatial/r2"
)

// mask marks pixels of a level.
type mask struct {
	w, h int
	on   []bool
}

func newMask(w, h int) *mask { return &mask{w: w, h: h, on: make([]bool, w*h)} }

func (m *mask) count() int {
	n := 0
	for _, on := range m.on {
		if on {
			n++
		}
	}
	return n
}

// around4 and around8 call visit with the index of every neighbour of a pixel.
func (m *mask) around4(i int, visit func(j int)) {
	x := i % m.w
	if x > 0 {
		visit(i - 1)
	}
	if x < m.w-1 {
		visit(i + 1)
	}
	if i >= m.w {
		visit(i - m.w)
	}
	if i < m.w*(m.h-1) {
		visit(i + m.w)
	}
}

// component keeps what is joined, side by side, with the marked pixel nearest
// to a place within reach px of it; nil when there is none.
func (m *mask) component(at image.Point, reach int) *mask {
	start, near := -1, reach*reach+1
	for y := max(0, at.Y-reach); y <= min(m.h-1, at.Y+reach); y++ {
		for x := max(0, at.X-reach); x <= min(m.w-1, at.X+reach); x++ {
			d := (x-at.X)*(x-at.X) + (y-at.Y)*(y-at.Y)
			if m.on[y*m.w+x] && d < near {
				start, near = y*m.w+x, d
			}
		}
	}
	if start < 0 {
		return nil
	}
	out := newMask(m.w, m.h)
	out.flood([]int{start}, func(j int) bool { return m.on[j] })
	return out
}

// flood marks the starts and everything joined with them that may be marked.
func (m *mask) flood(starts []int, may func(j int) bool) {
	stack := starts
	for _, i := range starts {
		m.on[i] = true
	}
	for len(stack) > 0 {
		i := stack[len(stack)-1]
		stack = stack[:len(stack)-1]
		m.around4(i, func(j int) {
			if !m.on[j] && may(j) {
				m.on[j] = true
				stack = append(stack, j)
			}
		})
	}
}

// filled marks the holes too: what is not joined with the frame from outside.
func (m *mask) filled() *mask {
	outside := newMask(m.w, m.h)
	var starts []int
	for i := range m.on {
		x, y := i%m.w, i/m.w
		if (x == 0 || y == 0 || x == m.w-1 || y == m.h-1) && !m.on[i] {
			starts = append(starts, i)
		}
	}
	outside.flood(starts, func(j int) bool { return !m.on[j] })
	out := newMask(m.w, m.h)
	for i, on := range outside.on {
		out.on[i] = !on
	}
	return out
}

// depths is the distance of every marked pixel from the nearest unmarked one,
// about, in thirds of a px (the 3-4 chamfer distance of Borgefors 1986). outside
// is the distance of what lies beyond the picture: 0 or far.
func (m *mask) depths(outside int32) []int32 {
	d := make([]int32, len(m.on))
	at := func(x, y int) int32 {
		if x < 0 || y < 0 || x >= m.w || y >= m.h {
			return outside
		}
		return d[y*m.w+x]
	}
	for y := range m.h {
		for x := range m.w {
			if i := y*m.w + x; m.on[i] {
				d[i] = min(at(x-1, y)+3, at(x, y-1)+3, at(x-1, y-1)+4, at(x+1, y-1)+4)
			}
		}
	}
	for y := m.h - 1; y >= 0; y-- {
		for x := m.w - 1; x >= 0; x-- {
			if i := y*m.w + x; m.on[i] {
				d[i] = min(d[i], at(x+1, y)+3, at(x, y+1)+3, at(x+1, y+1)+4, at(x-1, y+1)+4)
			}
		}
	}
	return d
}

// closed marks bays and holes too that are narrower than twice a reach, in
// thirds of a px.
func (m *mask) closed(reach int32) *mask {
	wide, out := newMask(m.w, m.h), newMask(m.w, m.h)
	for i, d := range m.inverse().depths(far) {
		wide.on[i] = d <= reach
	}
	for i, d := range wide.depths(far) {
		out.on[i] = d > reach
	}
	return out
}

// far is more than any distance within a picture.
const far = 1 << 28

// inverse marks what a mask does not.
func (m *mask) inverse() *mask {
	out := newMask(m.w, m.h)
	for i, on := range m.on {
		out.on[i] = !on
	}
	return out
}

// neck is how wide the narrowest passage between two wide parts is, as a share
// of the narrower part's own width; 1 when there is one part only. A part
// counts when it is at least two fifths as wide as the widest.
func (m *mask) neck() float64 {
	depth := m.depths(0)
	var order []int
	for i, on := range m.on {
		if on {
			order = append(order, i)
		}
	}
	sort.SliceStable(order, func(a, b int) bool { return depth[order[a]] > depth[order[b]] })
	if len(order) == 0 {
		return 1
	}
	widest := float64(depth[order[0]])
	// Pixels join from the deepest on; a root is the deepest of its part.
	root := make([]int32, len(m.on))
	for i := range root {
		root[i] = -1
	}
	find := func(i int32) int32 {
		for root[i] != i {
			root[i] = root[root[i]]
			i = root[i]
		}
		return i
	}
	narrowest := 1.0
	for _, i := range order {
		root[i] = int32(i)
		m.around4(i, func(j int) {
			if root[j] < 0 {
				return
			}
			a, b := find(int32(i)), find(int32(j))
			if a == b {
				return
			}
			if depth[a] < depth[b] {
				a, b = b, a
			}
			if part := float64(depth[b]); part >= 0.4*widest {
				narrowest = math.Min(narrowest, float64(depth[i])/part)
			}
			root[b] = a
		})
	}
	return narrowest
}

// contour walks round a mask without holes, along the sides of its pixels with
// the marked ones on the right hand, from its topmost leftmost corner. Points
// are the middles of the sides, so corners of single pixels are cut off.
func (m *mask) contour() []r2.Vec {
	start := -1
	for i, on := range m.on {
		if on {
			start = i
			break
		}
	}
	if start < 0 {
		return nil
	}
	marked := func(x, y int) bool {
		return x >= 0 && y >= 0 && x < m.w && y < m.h && m.on[y*m.w+x]
	}
	var out []r2.Vec
	x, y := start%m.w, start/m.w
	x0, y0, dx, dy := x, y, 1, 0
	for {
		out = append(out, r2.Vec{X: float64(x) + float64(dx)/2, Y: float64(y) + float64(dy)/2})
		x, y = x+dx, y+dy
		// The two pixels ahead, left and right of the way.
		lx, ly := x+(dx+dy-1)/2, y+(dy-dx-1)/2
		rx, ry := x+(dx-dy-1)/2, y+(dy+dx-1)/2
		switch {
		case !marked(rx, ry):
			dx, dy = -dy, dx // turn right
		case marked(lx, ly):
			dx, dy = dy, -dx // turn left
		}
		if x == x0 && y == y0 && dx == 1 && dy == 0 {
			return out
		}
	}
}
