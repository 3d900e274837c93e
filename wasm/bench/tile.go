package bench

import (
	"cmp"
	"image"
	"math"
	"math/bits"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// A photo is drawn from textures of halved copies of itself: level 0 has full
// resolution, level n is halved n times. Levels small enough are one texture;
// larger ones are cut into tiles.
const (
	// tileSide is a tile's width and height in px of its level. With a border
	// of one px, taken from its neighbours so that no seam shows when pixels
	// are blended, a texture is 512 px wide.
	tileSide   = 510
	tileBorder = 1
	// wholeSide is the long side of the largest level that is one texture.
	wholeSide = 2046
	// tileBudget is how many tiles are kept, of 1 MB each, and tileMost how
	// many of them the window may ask for; the rest are for the magnifier.
	tileBudget = 48
	tileMost   = 44
)

// pyramid is the levels of a photo of width × height px.
type pyramid struct{ width, height int }

// size gives a level's width and height in its own px.
func (p pyramid) size(level int) (w, h int) {
	halved := func(n int) int { return max((n+(1<<level)-1)>>level, 1) }
	return halved(p.width), halved(p.height)
}

// base is the finest level that is one texture.
func (p pyramid) base() int {
	for level := 0; ; level++ {
		if w, h := p.size(level); max(w, h) <= wholeSide {
			return level
		}
	}
}

// coarsest is the level that nothing is gained by halving again.
func (p pyramid) coarsest() int {
	return max(p.base(), bits.Len(uint(max(p.width, p.height)))-8)
}

// tile is one piece of a level, x and y counted in tiles.
type tile struct{ level, x, y int }

// content gives the part of its level that a tile shows.
func (p pyramid) content(t tile) image.Rectangle {
	w, h := p.size(t.level)
	if t.level >= p.base() {
		return image.Rect(0, 0, w, h)
	}
	at := image.Pt(t.x*tileSide, t.y*tileSide)
	return image.Rectangle{at, at.Add(image.Pt(tileSide, tileSide))}.Intersect(image.Rect(0, 0, w, h))
}

// source gives the part of its level that a tile is made from: its content and
// a border where the level goes on.
func (p pyramid) source(t tile) image.Rectangle {
	w, h := p.size(t.level)
	return p.content(t).Inset(-tileBorder).Intersect(image.Rect(0, 0, w, h))
}

// wanted gives what the part of a photo that lies in frame, in device px, is
// best drawn from: a level that is one texture, to have something to show at
// once, and the tiles that show it sharp, those nearest to the middle first;
// level is that of the tiles, or of the one texture where it is sharp. There
// are at most tileMost tiles: beyond that a coarser level does.
func (p pyramid) wanted(at Placement, frame r2.Box) (level, whole int, tiles []tile) {
	base := p.base()
	if at.Scale > 0 && at.Scale < 1 {
		// A level may be drawn up to a fifth larger than its own pixels before
		// the next finer one, at four times the cost, is fetched.
		level = int(math.Floor(math.Log2(1.2 / at.Scale)))
	}
	level = min(level, p.coarsest())
	for ; level < base; level++ {
		if r := p.span(level, at, frame); r.Dx()*r.Dy() <= tileMost {
			return level, base, p.seen(level, at, frame)
		}
	}
	return level, level, nil
}

// span gives the rectangle, in tiles, of those of a level that lie in a window
// of device px.
func (p pyramid) span(level int, at Placement, window r2.Box) image.Rectangle {
	w, h := p.size(level)
	lo, hi := at.Photo(window.Min), at.Photo(window.Max)
	side := math.Ldexp(tileSide, level) // photo px
	along := func(lo, hi float64, n int) (int, int) {
		count := float64((n + tileSide - 1) / tileSide)
		return int(min(max(math.Floor(lo/side), 0), count)), int(min(max(math.Ceil(hi/side), 0), count))
	}
	var r image.Rectangle
	r.Min.X, r.Max.X = along(lo.X, hi.X, w)
	r.Min.Y, r.Max.Y = along(lo.Y, hi.Y, h)
	return r
}

// seen lists the tiles of a level that lie in a window of device px, those
// nearest to its middle first.
func (p pyramid) seen(level int, at Placement, window r2.Box) []tile {
	r := p.span(level, at, window)
	var out []tile
	for y := r.Min.Y; y < r.Max.Y; y++ {
		for x := r.Min.X; x < r.Max.X; x++ {
			out = append(out, tile{level, x, y})
		}
	}
	centre := r2.Scale(math.Ldexp(1/float64(tileSide), -level), at.Photo(middle(window)))
	far := func(t tile) float64 { return math.Hypot(float64(t.x)+0.5-centre.X, float64(t.y)+0.5-centre.Y) }
	slices.SortStableFunc(out, func(a, b tile) int { return cmp.Compare(far(a), far(b)) })
	return out
}

// patch is a rectangle of a texture drawn to a rectangle of the window.
type patch struct{ dst, src r2.Box }

// patchOf gives how a tile is drawn within frame, both in device px; ok is
// false where nothing of it shows. What lies outside is cut off here, since
// the graphics library counts in numbers too short for far-away corners. The
// last pixels of a level may stand for less photo than the others: pixel i of
// level n covers the photo from i·2ⁿ on.
func (p pyramid) patchOf(t tile, at Placement, frame r2.Box) (out patch, ok bool) {
	c := p.content(t)
	texel := math.Ldexp(at.Scale, t.level) // device px
	along := func(lo, hi, end int, shift, from, to float64) (d0, d1, s0, s1 float64) {
		a := float64(lo)*texel + shift
		b := min(float64(hi)*texel, float64(end)*at.Scale) + shift
		d0, d1 = max(a, from), min(b, to)
		return d0, d1, (d0-a)/texel + tileBorder, (d1-a)/texel + tileBorder
	}
	out.dst.Min.X, out.dst.Max.X, out.src.Min.X, out.src.Max.X =
		along(c.Min.X, c.Max.X, p.width, at.Shift.X, frame.Min.X, frame.Max.X)
	out.dst.Min.Y, out.dst.Max.Y, out.src.Min.Y, out.src.Max.Y =
		along(c.Min.Y, c.Max.Y, p.height, at.Shift.Y, frame.Min.Y, frame.Max.Y)
	return out, out.dst.Max.X > out.dst.Min.X && out.dst.Max.Y > out.dst.Min.Y
}

// bordered copies the pixels of a tile's source, RGBA, into a texture of its
// content with a border on every side; at the photo's edge the outermost
// pixels are repeated.
func bordered(dst []byte, source, content image.Rectangle, pix []byte) {
	w, h := content.Dx()+2*tileBorder, content.Dy()+2*tileBorder
	from, stride := source.Min, 4*source.Dx()
	left := content.Min.Sub(from).X - tileBorder // −1 where a column is missing
	for y := range h {
		sy := min(max(content.Min.Y-tileBorder+y-from.Y, 0), source.Dy()-1)
		line := pix[sy*stride : (sy+1)*stride]
		out := dst[y*4*w : (y+1)*4*w]
		skip := 0
		if left < 0 {
			copy(out, line[:4])
			skip = 1
		}
		n := copy(out[4*skip:], line)
		if done := 4*skip + n; done < len(out) {
			copy(out[done:], line[len(line)-4:])
		}
	}
}
