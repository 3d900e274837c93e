package vision

import (
	"fmt"
	"image"
	"image/draw"
	"math"
	"sync"

	"gonum.org/v1/gonum/spatial/r2"
)

// Picture is a photograph to be read: its pixels and smaller copies of them,
// each half as wide and high as the one before, made when first asked for. All
// of the copies together take a third of the photograph's own memory. A Picture
// may be read from several goroutines at once.
type Picture struct {
	size   image.Point
	mu     sync.Mutex
	levels []*Level // the made ones, level 0 first
	count  int      // how many there are
	of     *Picture // that this is a watched view of, or nil
	goOn   func() bool
}

// maxSide bounds the sides of a picture so that no index overflows.
const maxSide = 1 << 15

// leastSide is the shorter side, px, below which no smaller copy is made.
const leastSide = 8

// NewPicture makes a picture of width × height pixels from RGBA bytes, four a
// pixel, row by row from the top: what a browser's canvas and image.RGBA hold.
// Alpha is not looked at. The bytes are kept, not copied, and must not change
// while the picture is in use.
func NewPicture(pix []uint8, width, height int) (*Picture, error) {
	if width < 1 || height < 1 || width > maxSide || height > maxSide {
		return nil, fmt.Errorf("the picture is %d × %d pixels; each side must be 1 to %d", width, height, maxSide)
	}
	if len(pix) < 4*width*height {
		return nil, fmt.Errorf("the picture's pixels are incomplete: %d bytes instead of %d", len(pix), 4*width*height)
	}
	p := &Picture{size: image.Pt(width, height)}
	p.levels = []*Level{{Width: width, Height: height, Pix: pix[:4*width*height], Factor: 1}}
	for p.count = 1; min(width, height)>>p.count >= leastSide; p.count++ {
	}
	return p, nil
}

// PictureOf makes a picture from a decoded image. An image.RGBA with its origin
// at 0,0 and no gaps between its rows is kept as it is, others are copied.
func PictureOf(img image.Image) (*Picture, error) {
	b := img.Bounds()
	if m, ok := img.(*image.RGBA); ok && b.Min == (image.Point{}) && m.Stride == 4*b.Dx() {
		return NewPicture(m.Pix, b.Dx(), b.Dy())
	}
	if b.Dx() > maxSide || b.Dy() > maxSide {
		return NewPicture(nil, b.Dx(), b.Dy()) // the error says it all
	}
	m := image.NewRGBA(image.Rect(0, 0, b.Dx(), b.Dy()))
	draw.Draw(m, m.Rect, img, b.Min, draw.Src)
	return NewPicture(m.Pix, b.Dx(), b.Dy())
}

// Width and Height are the sides of the photograph in px.
func (p *Picture) Width() int  { return p.size.X }
func (p *Picture) Height() int { return p.size.Y }

// Holds tells whether a point lies in the photograph.
func (p *Picture) Holds(q r2.Vec) bool {
	return q.X >= 0 && q.Y >= 0 && q.X <= float64(p.size.X) && q.Y <= float64(p.size.Y)
}

// Clamp gives the point of the photograph that is nearest to q; a coordinate
// that is no number becomes 0.
func (p *Picture) Clamp(q r2.Vec) r2.Vec {
	return r2.Vec{X: clamp(q.X, float64(p.size.X)), Y: clamp(q.Y, float64(p.size.Y))}
}

func clamp(v, most float64) float64 {
	if !(v > 0) {
		return 0
	}
	return math.Min(v, most)
}

// Levels is how many sizes of the photograph there are, at least 1.
func (p *Picture) Levels() int { return p.count }

// Level gives the photograph at 1/2ⁿ of its sides; n outside 0 to Levels()-1
// gives the nearest level there is.
func (p *Picture) Level(n int) *Level {
	n = max(0, min(n, p.count-1))
	if p.of != nil {
		return p.watched(n)
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	for len(p.levels) <= n {
		p.levels = append(p.levels, p.levels[len(p.levels)-1].half())
	}
	return p.levels[n]
}

// Fitting gives the largest level of which no side is longer than side px, or
// the smallest there is.
func (p *Picture) Fitting(side int) int {
	n := 0
	for n < p.count-1 && max(p.size.X, p.size.Y)>>n > side {
		n++
	}
	return n
}

// Level is the photograph at one size. Its pixel (i, j) is the mean of the
// square of Factor × Factor photograph pixels from (i·Factor, j·Factor) on, so
// a point of the photograph lies at its coordinates divided by Factor. It must
// not be changed.
type Level struct {
	Width, Height int
	Pix           []uint8 // RGBA, 4 bytes a pixel
	Factor        float64 // px of the photograph to one px of the level
	goOn          func() bool
}

// half averages two by two pixels; an odd last row or column stands alone.
func (l *Level) half() *Level {
	w, h := (l.Width+1)/2, (l.Height+1)/2
	out := &Level{Width: w, Height: h, Pix: make([]uint8, 4*w*h), Factor: 2 * l.Factor}
	stride := 4 * l.Width
	for y := range h {
		top := l.Pix[2*y*stride:][:stride]
		low := l.Pix[min(2*y+1, l.Height-1)*stride:][:stride]
		row := out.Pix[4*y*w:][:4*w]
		for x := range l.Width / 2 {
			a, b, o := top[8*x:][:8], low[8*x:][:8], row[4*x:][:4]
			o[0] = uint8((uint(a[0]) + uint(a[4]) + uint(b[0]) + uint(b[4]) + 2) >> 2)
			o[1] = uint8((uint(a[1]) + uint(a[5]) + uint(b[1]) + uint(b[5]) + 2) >> 2)
			o[2] = uint8((uint(a[2]) + uint(a[6]) + uint(b[2]) + uint(b[6]) + 2) >> 2)
			o[3] = 0xff
		}
		if l.Width%2 == 1 {
			a, b, o := top[stride-4:], low[stride-4:], row[4*w-4:]
			for c := range 3 {
				o[c] = uint8((uint(a[c]) + uint(b[c]) + 1) >> 1)
			}
			o[3] = 0xff
		}
	}
	return out
}

// weight mixes a colour into its grey: the luma of ITU-R BT.601, in 256ths.
const redWeight, greenWeight, blueWeight = 77, 150, 29

// Grey is the grey of pixel (x, y), 0 to 255. Outside the level the nearest
// pixel counts.
func (l *Level) Grey(x, y int) float64 {
	p := l.at(x, y)
	return float64(redWeight*int(p[0])+greenWeight*int(p[1])+blueWeight*int(p[2])) / 256
}

func (l *Level) at(x, y int) []uint8 {
	x, y = max(0, min(x, l.Width-1)), max(0, min(y, l.Height-1))
	return l.Pix[4*(y*l.Width+x):][:4]
}

// Colour is the red, green and blue of pixel (x, y), 0 to 255 each. Outside
// the level the nearest pixel counts.
func (l *Level) Colour(x, y int) [3]float64 {
	p := l.at(x, y)
	return [3]float64{float64(p[0]), float64(p[1]), float64(p[2])}
}

// SampleGrey is the grey, 0 to 255, at a point of the level (not of the
// photograph), bilinear between the centres of pixels.
func (l *Level) SampleGrey(q r2.Vec) float64 {
	x, y, fx, fy := l.cell(q)
	top := l.Grey(x, y)*(1-fx) + l.Grey(x+1, y)*fx
	low := l.Grey(x, y+1)*(1-fx) + l.Grey(x+1, y+1)*fx
	return top*(1-fy) + low*fy
}

// SampleColour is the colour at a point of the level, bilinear between the
// centres of pixels.
func (l *Level) SampleColour(q r2.Vec) [3]float64 {
	x, y, fx, fy := l.cell(q)
	a, b, c, d := l.at(x, y), l.at(x+1, y), l.at(x, y+1), l.at(x+1, y+1)
	var out [3]float64
	for k := range out {
		top := float64(a[k])*(1-fx) + float64(b[k])*fx
		low := float64(c[k])*(1-fx) + float64(d[k])*fx
		out[k] = top*(1-fy) + low*fy
	}
	return out
}

// cell gives the pixel whose centre is the first at or before a point, and how
// far from it toward the next ones the point lies, 0 to 1.
func (l *Level) cell(q r2.Vec) (x, y int, fx, fy float64) {
	u, v := clamp(q.X-0.5, float64(l.Width-1)), clamp(q.Y-0.5, float64(l.Height-1))
	x, y = int(u), int(v)
	return x, y, u - float64(x), v - float64(y)
}

// Gradient is how the grey rises to the right and downward at a point of the
// level, in grey levels per px of the level, over a span of two px.
func (l *Level) Gradient(q r2.Vec) r2.Vec {
	return r2.Vec{
		X: (l.SampleGrey(r2.Vec{X: q.X + 1, Y: q.Y}) - l.SampleGrey(r2.Vec{X: q.X - 1, Y: q.Y})) / 2,
		Y: (l.SampleGrey(r2.Vec{X: q.X, Y: q.Y + 1}) - l.SampleGrey(r2.Vec{X: q.X, Y: q.Y - 1})) / 2,
	}
}

// GreyPlane writes the grey of a rectangle of the level, which must lie within
// it, into dst row by row and returns it; dst is used when it is long enough.
func (l *Level) GreyPlane(r image.Rectangle, dst []float32) []float32 {
	n := r.Dx() * r.Dy()
	if cap(dst) < n {
		dst = make([]float32, n)
	}
	dst = dst[:n]
	i := 0
	for y := r.Min.Y; y < r.Max.Y; y++ {
		row := l.Pix[4*(y*l.Width+r.Min.X):][:4*r.Dx()]
		for x := 0; x < len(row); x += 4 {
			dst[i] = float32(redWeight*int(row[x])+greenWeight*int(row[x+1])+blueWeight*int(row[x+2])) / 256
			i++
		}
	}
	return dst
}
