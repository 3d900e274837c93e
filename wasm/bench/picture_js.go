package bench

import (
	"image"
	"time"

	"github.com/hajimehoshi/ebiten/v2"
	"github.com/hajimehoshi/ebiten/v2/colorm"
	"gonum.org/v1/gonum/spatial/r2"
)

// Picture is the pixels of the photo that is shown.
type Picture interface {
	// Size is the width and height in px.
	Size() image.Point
	// Tile writes a rectangle of the picture, halved level times, into dst as
	// premultiplied RGBA, row by row without gaps. r is in px of that level,
	// whose size is ⌈w/2ˡ⌉ × ⌈h/2ˡ⌉. Where it gives an error, a coarser level is
	// shown instead.
	Tile(level int, r image.Rectangle, dst []byte) error
}

// gallery keeps the textures of a picture.
type gallery struct {
	picture  Picture
	pyramid  pyramid
	textures map[tile]*texture
	frame    int // counts drawn frames
	shade    Shade
	local    local
	pix, out []byte
	vertices [4]Vertex
}

// texture is a tile on the graphics card; its image is nil where the picture
// did not give the pixels.
type texture struct {
	image *ebiten.Image
	used  int // frame
}

func (t *texture) free() {
	if t.image != nil {
		t.image.Deallocate()
	}
}

// Time that loading tiles may take in one frame; one is loaded in any case.
const (
	loadTime       = 6 * time.Millisecond
	loadTimeMoving = 0
)

func (g *gallery) show(p Picture) {
	for _, t := range g.textures {
		t.free()
	}
	g.local.forget()
	*g = gallery{picture: p, textures: map[tile]*texture{}, shade: g.shade, local: g.local, pix: g.pix, out: g.out}
	if p != nil {
		size := p.Size()
		if size.X <= 0 || size.Y <= 0 {
			g.picture = nil
			return
		}
		g.pyramid = pyramid{size.X, size.Y}
	}
}

// load makes sure that what the scene needs of the picture is at hand, as far
// as time allows, and tells whether all is.
func (g *gallery) load(s *Scene) (complete bool) {
	g.frame++
	_, whole, tiles := g.pyramid.wanted(s.Photo, r2.Box{Max: s.Size})
	if t := (tile{level: whole}); !g.touch(t) {
		g.fetch(t) // something to show comes before anything else
	}
	if m := s.Magnifier; m != nil {
		level, whole, inset := g.pyramid.wanted(m.Photo, m.Frame)
		if level == whole {
			inset = []tile{{level: whole}}
		}
		// What is in the magnifier is what the person looks at.
		tiles = append(inset, tiles...)
	}
	var missing []tile
	for _, t := range tiles {
		if !g.touch(t) {
			missing = append(missing, t)
		}
	}
	limit := loadTime
	if s.Moving {
		limit = loadTimeMoving
	}
	began := time.Now()
	for i, t := range missing {
		if i > 0 && time.Since(began) >= limit {
			return false
		}
		if !g.touch(t) { // the window and the magnifier may want the same
			g.fetch(t)
		}
	}
	return true
}

// touch marks a texture as used in this frame.
func (g *gallery) touch(t tile) bool {
	tx := g.textures[t]
	if tx == nil {
		return false
	}
	tx.used = g.frame
	return true
}

func (g *gallery) fetch(t tile) {
	source, content := g.pyramid.source(t), g.pyramid.content(t)
	w, h := content.Dx()+2*tileBorder, content.Dy()+2*tileBorder
	g.pix = sized(g.pix, 4*source.Dx()*source.Dy())
	g.out = sized(g.out, 4*w*h)
	g.evict()
	tx := &texture{used: g.frame}
	g.textures[t] = tx
	if g.picture.Tile(t.level, source, g.pix) != nil {
		return
	}
	bordered(g.out, source, content, g.pix)
	// On its own, not in a shared atlas: an atlas of tiles would be larger than
	// all of them.
	tx.image = ebiten.NewImageWithOptions(image.Rect(0, 0, w, h), &ebiten.NewImageOptions{Unmanaged: true})
	tx.image.WritePixels(g.out)
	if t.level >= g.pyramid.base() {
		g.pix, g.out = nil, nil // many times what a tile needs
	}
}

func sized(b []byte, n int) []byte {
	if cap(b) < n {
		return make([]byte, n)
	}
	return b[:n]
}

// evict frees the tile that was not used for longest when there are too many.
// Levels in one texture stay.
func (g *gallery) evict() {
	count := 0
	var oldest tile
	found := false
	for t, tx := range g.textures {
		if t.level >= g.pyramid.base() {
			continue
		}
		count++
		if tx.used < g.frame && (!found || tx.used < g.textures[oldest].used) {
			oldest, found = t, true
		}
	}
	if found && count >= tileBudget {
		g.textures[oldest].free()
		delete(g.textures, oldest)
	}
}

// draw paints the picture into a frame of the screen: a whole level first, then
// the tiles at hand from coarse to fine.
func (g *gallery) draw(screen *ebiten.Image, at Placement, frame r2.Box) {
	level, _, _ := g.pyramid.wanted(at, frame)
	best := -1
	for t, tx := range g.textures {
		if t.level >= g.pyramid.base() && tx.image != nil && (best < 0 || t.level <= level && t.level > best || best > level && t.level < best) {
			best = t.level
		}
	}
	if best >= 0 {
		g.paint(screen, tile{level: best}, at, frame)
	}
	for l := g.pyramid.base() - 1; l >= level; l-- {
		for _, t := range g.pyramid.seen(l, at, frame) {
			g.paint(screen, t, at, frame)
		}
	}
}

// nearestAbove is the size of a pixel of a texture in device px from which on
// pixels are shown as squares rather than blended.
const nearestAbove = 8.0

func (g *gallery) paint(screen *ebiten.Image, t tile, at Placement, frame r2.Box) {
	p, ok := g.pyramid.patchOf(t, at, frame)
	if tx := g.textures[t]; !ok || tx == nil || tx.image == nil {
		return
	}
	v := &g.vertices
	for i := range v {
		d, s := p.dst.Min, p.src.Min
		if i&1 != 0 {
			d.X, s.X = p.dst.Max.X, p.src.Max.X
		}
		if i&2 != 0 {
			d.Y, s.Y = p.dst.Max.Y, p.src.Max.Y
		}
		v[i] = Vertex{
			DstX: float32(d.X), DstY: float32(d.Y), SrcX: float32(s.X), SrcY: float32(s.Y),
			ColorR: 1, ColorG: 1, ColorB: 1, ColorA: 1,
		}
	}
	switch {
	case g.shade.Local > 0 && g.local.prepare(g.picture, g.pyramid, g.shade.Local):
		g.paintLocal(screen, t, at)
		return
	case g.shade != (Shade{}):
		g.paintShaded(screen, t, at)
		return
	}
	op := &ebiten.DrawTrianglesOptions{Filter: ebiten.FilterLinear, DisableMipmaps: true}
	if at.squares(t) {
		op.Filter = ebiten.FilterNearest
	}
	screen.DrawTriangles(v[:], []uint16{0, 1, 2, 1, 3, 2}, g.textures[t].image, op)
}

// squares tells whether a tile is drawn so large that its pixels are shown as
// squares.
func (p Placement) squares(t tile) bool { return p.Scale*float64(int(1)<<t.level) > nearestAbove }

// paintShaded draws the tile whose corners are in g.vertices otherwise than it is.
func (g *gallery) paintShaded(screen *ebiten.Image, t tile, at Placement) {
	var m colorm.ColorM
	for i, row := range g.shade.Matrix() {
		for j, x := range row[:3] {
			m.SetElement(i, j, x)
		}
		m.SetElement(i, 4, row[3])
	}
	op := &colorm.DrawTrianglesOptions{Filter: ebiten.FilterLinear}
	if at.squares(t) {
		op.Filter = ebiten.FilterNearest
	}
	colorm.DrawTriangles(screen, g.vertices[:], []uint16{0, 1, 2, 1, 3, 2}, g.textures[t].image, m, op)
}
