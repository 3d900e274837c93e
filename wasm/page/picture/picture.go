//go:build js

package picture

import (
	"context"
	"fmt"
	"image"
	"math"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// Picture is a decoded photograph, upright.
type Picture struct {
	name   string
	bitmap js.Value
	size   image.Point
	levels map[int]canvas // smaller copies, made when first asked for
	tile   canvas         // scratch for tiles of levels without a copy
}

// maxLevelPixels bounds a smaller copy: some browsers on tablets give a canvas
// no more than 16,777,216 px (from memory). Tiles of a level above it are
// drawn from the photograph each time.
const maxLevelPixels = 1 << 24

// Size is the upright size in px.
func (p *Picture) Size() image.Point { return p.size }

// LevelSize is the size of a level in its own px, rounded up.
func (p *Picture) LevelSize(level int) image.Point {
	half := func(n int) int { return (n + 1<<level - 1) >> level }
	return image.Pt(half(p.size.X), half(p.size.Y))
}

// Tile copies the pixels of r, in the px of the level, to dst: premultiplied
// RGBA, row by row, 4·width·height bytes, else it panics. What of r lies
// outside the level is transparent. It does not block.
func (p *Picture) Tile(level int, r image.Rectangle, dst []byte) error {
	if level < 0 || level > 16 || len(dst) != 4*r.Dx()*r.Dy() {
		panic(fmt.Sprintf("picture: level %d, tile %v and %d bytes do not fit", level, r, len(dst)))
	}
	if p.bitmap.IsUndefined() {
		return fmt.Errorf("%s has been closed", p.name)
	}
	inside := r.Intersect(image.Rectangle{Max: p.LevelSize(level)})
	if inside.Empty() {
		clear(dst)
		return nil
	}
	c, origin, err := p.source(level, inside)
	if err != nil {
		return noMemory(p.name, err)
	}
	if inside == r {
		if err := c.read(r.Sub(origin), dst); err != nil {
			return noMemory(p.name, err)
		}
		return nil
	}
	clear(dst)
	part := make([]byte, 4*inside.Dx()*inside.Dy())
	if err := c.read(inside.Sub(origin), part); err != nil {
		return noMemory(p.name, err)
	}
	for y := range inside.Dy() {
		at := 4 * ((inside.Min.Y-r.Min.Y+y)*r.Dx() + inside.Min.X - r.Min.X)
		copy(dst[at:], part[4*y*inside.Dx():4*(y+1)*inside.Dx()])
	}
	return nil
}

// source gives a canvas that holds the pixels of r of a level, and which pixel
// of the level its corner is.
func (p *Picture) source(level int, r image.Rectangle) (canvas, image.Point, error) {
	if level > 0 {
		if size := p.LevelSize(level); size.X*size.Y <= maxLevelPixels {
			c, err := p.copyOf(level)
			return c, image.Point{}, err
		}
	}
	if p.tile.size.X < r.Dx() || p.tile.size.Y < r.Dy() {
		size := image.Pt(max(p.tile.size.X, r.Dx()), max(p.tile.size.Y, r.Dy()))
		p.tile.free()
		var err error
		if p.tile, err = newCanvas(size); err != nil {
			p.tile = canvas{}
			return canvas{}, image.Point{}, err
		}
	}
	_, err := promise.Try(func() js.Value {
		g := p.tile.context
		g.Set("globalCompositeOperation", "copy")
		if level == 0 {
			g.Call("drawImage", p.bitmap, r.Min.X, r.Min.Y, r.Dx(), r.Dy(), 0, 0, r.Dx(), r.Dy())
			return js.Undefined()
		}
		from := image.Rectangle{r.Min.Mul(1 << level), r.Max.Mul(1 << level)}.Intersect(image.Rectangle{Max: p.size})
		g.Call("drawImage", p.bitmap, from.Min.X, from.Min.Y, from.Dx(), from.Dy(), 0, 0, r.Dx(), r.Dy())
		return js.Undefined()
	})
	return p.tile, r.Min, err
}

// copyOf gives the smaller copy of the photograph for a level, made by halving
// the next finer one: at exactly half the size the browser's smoothing is the
// mean of two by two pixels.
func (p *Picture) copyOf(level int) (canvas, error) {
	if c, ok := p.levels[level]; ok {
		return c, nil
	}
	source, size := p.bitmap, p.size
	if finer := p.LevelSize(level - 1); level > 1 && finer.X*finer.Y <= maxLevelPixels {
		c, err := p.copyOf(level - 1)
		if err != nil {
			return canvas{}, err
		}
		source, size = c.element, c.size
	}
	c, err := newCanvas(p.LevelSize(level))
	if err != nil {
		return canvas{}, err
	}
	scale := float64(int(1) << level)
	if size != p.size {
		scale = 2
	}
	_, err = promise.Try(func() js.Value {
		w, h := float64(size.X)/scale, float64(size.Y)/scale
		if w != math.Trunc(w) || h != math.Trunc(h) {
			// The last column or row is covered in part only; what shows
			// through is the picture itself, drawn out a little.
			c.context.Call("drawImage", source, 0, 0, c.size.X, c.size.Y)
		}
		c.context.Call("drawImage", source, 0, 0, w, h)
		return js.Undefined()
	})
	if err != nil {
		c.free()
		return canvas{}, err
	}
	p.levels[level] = c
	return c, nil
}

// thumbnailQuality is the JPEG quality of thumbnails, of 1.
const thumbnailQuality = 0.85

// Thumbnail gives the picture as a JPEG whose longer side is maxSide px, or
// its own size if that is less. It blocks: see package promise.
func (p *Picture) Thumbnail(ctx context.Context, maxSide int) ([]byte, error) {
	if p.bitmap.IsUndefined() {
		return nil, fmt.Errorf("%s has been closed", p.name)
	}
	longer := max(p.size.X, p.size.Y)
	scale := min(1, float64(maxSide)/float64(longer))
	size := image.Pt(max(1, int(math.Round(float64(p.size.X)*scale))), max(1, int(math.Round(float64(p.size.Y)*scale))))

	// Start from the coarsest copy that is still at least twice as fine.
	level := 0
	for scale*float64(int(2)<<level) <= 1 {
		level++
	}
	source := p.bitmap
	if s := p.LevelSize(level); level > 0 && s.X*s.Y <= maxLevelPixels {
		c, err := p.copyOf(level)
		if err != nil {
			return nil, noMemory(p.name, err)
		}
		source = c.element
	}
	c, err := newCanvas(size)
	if err != nil {
		return nil, noMemory(p.name, err)
	}
	defer c.free()
	_, err = promise.Try(func() js.Value {
		c.context.Set("fillStyle", "white") // a JPEG has no transparency
		c.context.Call("fillRect", 0, 0, size.X, size.Y)
		c.context.Call("drawImage", source, 0, 0, size.X, size.Y)
		return js.Undefined()
	})
	if err != nil {
		return nil, noMemory(p.name, err)
	}
	blob, err := promise.AwaitCall(ctx, c.element, "convertToBlob", map[string]any{"type": "image/jpeg", "quality": thumbnailQuality})
	if err != nil {
		return nil, fmt.Errorf("the browser makes no thumbnail of %s (%w)", p.name, err)
	}
	buffer, err := promise.AwaitCall(ctx, blob, "arrayBuffer")
	if err != nil {
		return nil, fmt.Errorf("the browser makes no thumbnail of %s (%w)", p.name, err)
	}
	array := js.Global().Get("Uint8Array").New(buffer)
	b := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(b, array)
	return b, nil
}

// Close gives the memory back; the picture gives no pixels after it. It may
// be called twice.
func (p *Picture) Close() {
	if p.bitmap.IsUndefined() {
		return
	}
	p.bitmap.Call("close")
	p.bitmap = js.Undefined()
	for _, c := range p.levels {
		c.free()
	}
	p.levels = map[int]canvas{}
	p.tile.free()
	p.tile = canvas{}
}
