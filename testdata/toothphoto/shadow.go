package toothphoto

import (
	"image"
	"math"

	"golang.org/x/image/vector"
	"gonum.org/v1/gonum/spatial/r2"
)

// shadows is the darkness of the ground, 0 to 1, on a grid coarser than the
// picture; shadows are smooth, so little is lost.
type shadows struct {
	cell   float64 // px
	margin int     // cells outside the picture on each side
	w, h   int
	dark   []float32
}

// newShadows makes an empty grid whose cells suit shadows at least as soft as
// the given deviation in px.
func newShadows(w, h int, soft float64) *shadows {
	cell := math.Max(1, soft/2)
	margin := 12
	s := &shadows{cell: cell, margin: margin}
	s.w = int(float64(w)/cell) + 2*margin + 2
	s.h = int(float64(h)/cell) + 2*margin + 2
	s.dark = make([]float32, s.w*s.h)
	return s
}

// cast adds the shadow of a shape, moved by (dx, dy) px and softened by a
// Gaussian of deviation soft px.
func (s *shadows) cast(shape []r2.Vec, dx, dy, soft, strength float64) {
	if strength <= 0 {
		return
	}
	z := vector.NewRasterizer(s.w, s.h)
	for i, p := range shape {
		x := float32((p.X+dx)/s.cell + float64(s.margin))
		y := float32((p.Y+dy)/s.cell + float64(s.margin))
		if i == 0 {
			z.MoveTo(x, y)
		} else {
			z.LineTo(x, y)
		}
	}
	z.ClosePath()
	a := image.NewAlpha(image.Rect(0, 0, s.w, s.h))
	z.Draw(a, a.Rect, image.Opaque, image.Point{})
	f := make([]float32, len(s.dark))
	for i := range f {
		f[i] = float32(a.Pix[i]) / 255
	}
	kernel := gaussian(soft / s.cell)
	f = convolve(f, s.w, s.h, kernel, true)
	f = convolve(f, s.w, s.h, kernel, false)
	for i, v := range f {
		s.dark[i] = 1 - (1-s.dark[i])*(1-float32(strength)*v)
	}
}

// at returns the darkness at a point of the picture in px.
func (s *shadows) at(x, y float64) float64 {
	x = x/s.cell + float64(s.margin) - 0.5
	y = y/s.cell + float64(s.margin) - 0.5
	i, j := int(x), int(y)
	if i < 0 || j < 0 || i >= s.w-1 || j >= s.h-1 {
		return 0
	}
	fx, fy := float32(x-float64(i)), float32(y-float64(j))
	row := s.dark[j*s.w+i:]
	top := row[0] + (row[1]-row[0])*fx
	low := row[s.w] + (row[s.w+1]-row[s.w])*fx
	return float64(top + (low-top)*fy)
}

// gaussian returns one side and the middle of a normalised kernel: element 0
// is the middle.
func gaussian(sigma float64) []float32 {
	if sigma <= 0 {
		return []float32{1}
	}
	n := int(math.Ceil(3.5 * sigma))
	k := make([]float32, n+1)
	sum := 0.0
	for i := range k {
		v := math.Exp(-float64(i*i) / (2 * sigma * sigma))
		k[i] = float32(v)
		sum += v
		if i > 0 {
			sum += v
		}
	}
	for i := range k {
		k[i] /= float32(sum)
	}
	return k
}

// convolve smooths a grid along its rows or its columns; values outside the
// grid count as its edge.
func convolve(f []float32, w, h int, kernel []float32, rows bool) []float32 {
	out := make([]float32, len(f))
	for y := 0; y < h; y++ {
		for x := 0; x < w; x++ {
			sum := kernel[0] * f[y*w+x]
			for k := 1; k < len(kernel); k++ {
				if rows {
					sum += kernel[k] * (f[y*w+max(x-k, 0)] + f[y*w+min(x+k, w-1)])
				} else {
					sum += kernel[k] * (f[max(y-k, 0)*w+x] + f[min(y+k, h-1)*w+x])
				}
			}
			out[y*w+x] = sum
		}
	}
	return out
}
