package toothphoto

import (
	"image"
	"math"

	"golang.org/x/image/vector"
	"gonum.org/v1/gonum/spatial/r2"
)

// mask is the exact area coverage of a shape over the pixels of a box.
type mask struct {
	image.Alpha
}

// at returns the coverage of a pixel, 0 outside the box.
func (m *mask) at(x, y int) float32 {
	if !(image.Point{X: x, Y: y}).In(m.Rect) {
		return 0
	}
	return float32(m.Pix[m.PixOffset(x, y)]) / 255
}

// fill lays polygons, given in pixels, over a picture of w by h pixels.
// Contours that run the other way cut holes.
func fill(w, h int, contours ...[]r2.Vec) *mask {
	var all []r2.Vec
	for _, c := range contours {
		all = append(all, c...)
	}
	lo, hi := box(all)
	if len(all) == 0 || hi.X < 0 || hi.Y < 0 || lo.X > float64(w) || lo.Y > float64(h) {
		return &mask{}
	}
	r := image.Rect(
		int(math.Max(lo.X-1, 0)), int(math.Max(lo.Y-1, 0)),
		int(math.Min(hi.X+2, float64(w))), int(math.Min(hi.Y+2, float64(h))))
	if r.Empty() {
		return &mask{}
	}
	z := vector.NewRasterizer(r.Dx(), r.Dy())
	for _, c := range contours {
		for i, p := range c {
			x, y := float32(p.X-float64(r.Min.X)), float32(p.Y-float64(r.Min.Y))
			if i == 0 {
				z.MoveTo(x, y)
			} else {
				z.LineTo(x, y)
			}
		}
		z.ClosePath()
	}
	m := &mask{Alpha: *image.NewAlpha(image.Rect(0, 0, r.Dx(), r.Dy()))}
	z.Draw(&m.Alpha, m.Rect, image.Opaque, image.Point{})
	m.Rect = r
	return m
}

// stroke returns the outline of a band along an open line, as wide at each
// point as width says.
func stroke(line []r2.Vec, width func(i int) float64) []r2.Vec {
	left := make([]r2.Vec, 0, 2*len(line))
	right := make([]r2.Vec, 0, len(line))
	for i, p := range line {
		t := r2.Sub(line[min(i+1, len(line)-1)], line[max(i-1, 0)])
		if r2.Norm(t) == 0 {
			continue
		}
		t = r2.Unit(t)
		n := r2.Scale(width(i)/2, r2.Vec{X: -t.Y, Y: t.X})
		left = append(left, r2.Add(p, n))
		right = append(right, r2.Sub(p, n))
	}
	for i := len(right) - 1; i >= 0; i-- {
		left = append(left, right[i])
	}
	return left
}
