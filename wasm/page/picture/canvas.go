//go:build js

package picture

import (
	"errors"
	"image"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// canvas is an off-screen canvas with its context.
type canvas struct {
	element, context js.Value
	size             image.Point // px
}

var errNoCanvas = errors.New("this browser cannot draw pictures off the screen: use a newer one (from 2023 on)")

var errNoContext = errors.New("it gives no canvas")

// newCanvas makes a canvas whose pixels are kept in memory, not on the
// graphics card, since they are to be read back.
func newCanvas(size image.Point) (canvas, error) {
	class := js.Global().Get("OffscreenCanvas")
	if class.Type() != js.TypeFunction {
		return canvas{}, errNoCanvas
	}
	c := canvas{size: size}
	_, err := promise.Try(func() js.Value {
		c.element = class.New(size.X, size.Y)
		c.context = c.element.Call("getContext", "2d", map[string]any{"willReadFrequently": true})
		if c.context.IsNull() {
			return js.Undefined() // as browsers do that are short of memory
		}
		c.context.Set("imageSmoothingEnabled", true)
		c.context.Set("imageSmoothingQuality", "high")
		return js.Undefined()
	})
	if err != nil {
		return canvas{}, err
	}
	if c.context.IsNull() {
		return canvas{}, errNoContext
	}
	return c, nil
}

// free gives the canvas's pixels back at once rather than when the browser
// next clears up.
func (c canvas) free() {
	if c.element.Truthy() {
		c.element.Set("width", 0)
		c.element.Set("height", 0)
	}
}

// read copies the pixels of r, which must lie within the canvas, to dst:
// premultiplied RGBA, 4 bytes a pixel, row by row.
func (c canvas) read(r image.Rectangle, dst []byte) error {
	v, err := promise.Try(func() js.Value {
		return c.context.Call("getImageData", r.Min.X, r.Min.Y, r.Dx(), r.Dy()).Get("data")
	})
	if err != nil {
		return err
	}
	js.CopyBytesToGo(dst, v)
	premultiply(dst)
	return nil
}

// premultiply turns the browser's straight alpha into what image.RGBA and the
// bench expect. Photographs are opaque, so the common case is one comparison.
func premultiply(pix []byte) {
	for i := 3; i < len(pix); i += 4 {
		a := uint32(pix[i])
		if a == 0xff {
			continue
		}
		for j := i - 3; j < i; j++ {
			pix[j] = uint8((uint32(pix[j])*a + 127) / 255)
		}
	}
}
