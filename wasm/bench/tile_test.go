package bench

import (
	"image"
	"math"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func TestPyramid(t *testing.T) {
	for _, test := range []struct {
		width, height, base, coarsest int
	}{
		{6000, 4000, 2, 5}, // 1500 × 1000; 188 × 125
		{2046, 2046, 0, 3},
		{2047, 10, 1, 3},
		{1, 1, 0, 0},
		{1, 100000, 6, 9},
	} {
		p := pyramid{test.width, test.height}
		if p.base() != test.base || p.coarsest() != test.coarsest {
			t.Errorf("%d × %d: base %d, coarsest %d; want %d, %d", test.width, test.height, p.base(), p.coarsest(), test.base, test.coarsest)
		}
	}
	// Halves are rounded up at each step; so is the whole.
	rapid.Check(t, func(t *rapid.T) {
		n := EvenInt(t, 1, 200000, "n")
		level := EvenInt(t, 0, 12, "level")
		half := n
		for range level {
			half = (half + 1) / 2
		}
		if w, h := (pyramid{n, 1}).size(level); w != half || h != 1 {
			t.Fatalf("level %d of %d × 1 px is %d × %d, want %d × 1", level, n, w, h, half)
		}
	})
}

func anyPhoto(t *rapid.T) (pyramid, Placement, r2.Vec) {
	p := pyramid{EvenInt(t, 1, 9000, "width"), EvenInt(t, 1, 9000, "height")}
	size := r2.Vec{X: Even(t, 50, 4000, "window width"), Y: Even(t, 50, 2200, "window height")}
	scale := math.Exp2(Even(t, -6, 8, "log scale"))
	// Some photo point lies in the middle.
	q := r2.Vec{
		X: Even(t, 0, 1, "x") * float64(p.width), Y: Even(t, 0, 1, "y") * float64(p.height),
	}
	return p, Placement{scale, r2.Sub(r2.Scale(0.5, size), r2.Scale(scale, q))}, size
}

// Whatever part of the photo the window shows, the wanted tiles cover it, and
// no more of them than are kept.
func TestWantedTilesCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, at, size := anyPhoto(t)
		level, whole, tiles := p.wanted(at, r2.Box{Max: size})
		if w, h := p.size(whole); max(w, h) > wholeSide {
			t.Fatalf("level %d in one texture would be %d × %d px", whole, w, h)
		}
		if len(tiles) > tileMost {
			t.Fatalf("%d tiles wanted, at most %d may be", len(tiles), tileMost)
		}
		if level != whole {
			for range 20 {
				s := r2.Vec{X: Even(t, 0, size.X, "sx"), Y: Even(t, 0, size.Y, "sy")}
				q := r2.Scale(math.Ldexp(1, -level), at.Photo(s)) // px of the level
				if q.X < 0 || q.Y < 0 || at.Photo(s).X >= float64(p.width) || at.Photo(s).Y >= float64(p.height) {
					continue
				}
				if want := (tile{level, int(q.X) / tileSide, int(q.Y) / tileSide}); !slices.Contains(tiles, want) {
					t.Fatalf("%v shows level %d at %v, but %v is not among %v", s, level, q, want, tiles)
				}
			}
		}
		// Sharp: pixels larger than 1.2 device px are drawn only where a finer
		// level does not exist or would need too many tiles.
		if texel := math.Ldexp(at.Scale, level); texel > 1.2*(1+1e-9) && level > 0 {
			finer := level - 1
			if r := p.span(finer, at, r2.Box{Max: size}); r.Dx()*r.Dy() <= tileMost {
				t.Fatalf("level %d is drawn at %g device px a pixel; level %d needs %v tiles only", level, texel, finer, r)
			}
		}
	})
}

// The tiles of a level divide it: every pixel lies in one.
func TestTilesDivideALevel(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := pyramid{EvenInt(t, 1, 9000, "width"), EvenInt(t, 2047, 9000, "height")}
		level := EvenInt(t, 0, p.base()-1, "level")
		w, h := p.size(level)
		at := Placement{Scale: 1}
		area := 0
		for _, k := range p.seen(level, at, r2.Box{Max: r2.Vec{X: 1e5, Y: 1e5}}) {
			c := p.content(k)
			if c.Empty() || !c.In(image.Rect(0, 0, w, h)) {
				t.Fatalf("%v shows %v of a level of %d × %d px", k, c, w, h)
			}
			if s := p.source(k); !c.In(s) || s.Dx() > 512 || s.Dy() > 512 {
				t.Fatalf("%v is made from %v for %v", k, s, c)
			}
			area += c.Dx() * c.Dy()
		}
		if area != w*h {
			t.Fatalf("tiles of level %d show %d px of %d", level, area, w*h)
		}
	})
}

// A patch draws each pixel where the photo has it, inside its frame.
func TestPatch(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, at, size := anyPhoto(t)
		frame := r2.Box{Max: size}
		_, whole, tiles := p.wanted(at, frame)
		for _, k := range append(tiles, tile{level: whole}) {
			patch, ok := p.patchOf(k, at, frame)
			if !ok {
				continue
			}
			c := p.content(k)
			for _, corner := range [][2]r2.Vec{{patch.dst.Min, patch.src.Min}, {patch.dst.Max, patch.src.Max}} {
				dst, src := corner[0], corner[1]
				if dst.X < -1e-9 || dst.Y < -1e-9 || dst.X > size.X+1e-9 || dst.Y > size.Y+1e-9 {
					t.Fatalf("%v is drawn at %v, outside the window", k, dst)
				}
				photo := r2.Add(r2.Vec{X: float64(c.Min.X - tileBorder), Y: float64(c.Min.Y - tileBorder)}, src)
				photo = r2.Scale(math.Ldexp(1, k.level), photo)
				if d := r2.Norm(r2.Sub(at.At(photo), dst)); d > 1e-6 {
					t.Fatalf("%v: texture px %v is drawn %g device px off", k, src, d)
				}
			}
		}
	})
}

// A texture holds its content and one px round it, of the level where that
// goes on, repeated where it ends.
func TestBordered(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := pyramid{EvenInt(t, 1, 1100, "width"), EvenInt(t, 2047, 2600, "height")}
		k := tile{0, EvenInt(t, 0, (p.width-1)/tileSide, "x"), EvenInt(t, 0, (p.height-1)/tileSide, "y")}
		// A photo whose pixels tell where they are.
		pixel := func(x, y int) [4]byte { return [4]byte{byte(x), byte(x >> 8), byte(y), byte(y >> 8)} }
		source, content := p.source(k), p.content(k)
		var pix []byte
		for y := source.Min.Y; y < source.Max.Y; y++ {
			for x := source.Min.X; x < source.Max.X; x++ {
				c := pixel(x, y)
				pix = append(pix, c[:]...)
			}
		}
		w, h := content.Dx()+2, content.Dy()+2
		dst := make([]byte, 4*w*h)
		bordered(dst, source, content, pix)
		for y := range h {
			for x := range w {
				px := min(max(content.Min.X-1+x, 0), p.width-1)
				py := min(max(content.Min.Y-1+y, 0), p.height-1)
				if got := [4]byte(dst[4*(y*w+x):]); got != pixel(px, py) {
					t.Fatalf("%v: texture px %d, %d holds %v, want the photo's %d, %d", k, x, y, got, px, py)
				}
			}
		}
	})
}
