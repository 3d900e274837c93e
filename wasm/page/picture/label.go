//go:build js

package picture

import (
	"fmt"
	"image"
	"math"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// maxLabels is how many drawn labels are kept; beyond it all are forgotten,
// since the bench's labels are few and zooming does not change them.
const maxLabels = 500

type labelKey struct {
	text string
	px   float64
}

// Labels draws short texts with the browser's own fonts, as a white core in a
// dark halo that shows on any photograph, and keeps what it drew. The zero
// value is ready.
type Labels struct {
	// Say gives a text in the language of the page; nil for English.
	Say func(string) string

	canvas canvas
	drawn  map[labelKey]*image.RGBA
}

// Label draws one line of text with letters px high in premultiplied RGBA. The
// picture is as large as the text with its halo; it belongs to Labels and must
// not be changed. A browser that cannot draw it gives an empty picture.
func (l *Labels) Label(text string, px float64) *image.RGBA {
	key := labelKey{text, px}
	if m, ok := l.drawn[key]; ok {
		return m
	}
	if l.Say != nil {
		text = l.Say(text)
	}
	m, err := l.draw(text, px)
	if err != nil {
		m = image.NewRGBA(image.Rectangle{})
	}
	if l.drawn == nil || len(l.drawn) >= maxLabels {
		l.drawn = map[labelKey]*image.RGBA{}
	}
	l.drawn[key] = m
	return m
}

func (l *Labels) draw(text string, px float64) (*image.RGBA, error) {
	if !l.canvas.element.Truthy() {
		c, err := newCanvas(image.Pt(256, 64))
		if err != nil {
			return nil, err
		}
		l.canvas = c
	}
	halo := math.Ceil(px / 6)
	font := fmt.Sprintf("600 %gpx system-ui, sans-serif", px)

	m, err := promise.Try(func() js.Value {
		l.canvas.context.Set("font", font)
		return l.canvas.context.Call("measureText", text)
	})
	if err != nil {
		return nil, err
	}
	measure := func(key string, otherwise float64) float64 {
		if v := m.Get(key); v.Type() == js.TypeNumber {
			return math.Ceil(math.Abs(v.Float()))
		}
		return otherwise
	}
	// Font heights, not this text's, so that labels in a row stand level.
	ascent, descent := measure("fontBoundingBoxAscent", math.Ceil(px)), measure("fontBoundingBoxDescent", math.Ceil(px/3))
	left := measure("actualBoundingBoxLeft", 0)
	width := max(measure("width", 0), measure("actualBoundingBoxRight", 0))
	size := image.Pt(int(left+width+2*halo), int(ascent+descent+2*halo))
	if size.X < 1 || size.Y < 1 || size.X > 4096 || size.Y > 1024 {
		return nil, fmt.Errorf("the label %.40q would be %d × %d pixels", text, size.X, size.Y)
	}

	if size.X > l.canvas.size.X || size.Y > l.canvas.size.Y {
		l.canvas.free()
		c, err := newCanvas(image.Pt(max(size.X, l.canvas.size.X), max(size.Y, l.canvas.size.Y)))
		if err != nil {
			l.canvas = canvas{}
			return nil, err
		}
		l.canvas = c
	}
	_, err = promise.Try(func() js.Value {
		g := l.canvas.context
		g.Call("clearRect", 0, 0, l.canvas.size.X, l.canvas.size.Y)
		g.Set("font", font)
		g.Set("textBaseline", "alphabetic")
		g.Set("lineJoin", "round")
		g.Set("lineWidth", 2*halo)
		g.Set("strokeStyle", "rgba(0, 0, 0, 0.8)")
		g.Set("fillStyle", "white")
		g.Call("strokeText", text, left+halo, ascent+halo)
		g.Call("fillText", text, left+halo, ascent+halo)
		return js.Undefined()
	})
	if err != nil {
		return nil, err
	}
	out := image.NewRGBA(image.Rectangle{Max: size})
	return out, l.canvas.read(out.Rect, out.Pix)
}
