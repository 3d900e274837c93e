//go:build js

package picture

import (
	"context"
	"fmt"
	"image"
	"strings"
	"syscall/js"

	"crownbench/wasm/photo"
	"crownbench/wasm/store/promise"
)

// ReadFile reads a File that the user dropped or chose. One that is empty or
// too large is refused, with a *photo.Refusal, before it is read. It blocks:
// see package promise.
func ReadFile(ctx context.Context, file js.Value) ([]byte, error) {
	name := file.Get("name").String()
	if err := photo.CheckBytes(name, int64(file.Get("size").Float())); err != nil {
		return nil, err
	}
	buffer, err := promise.AwaitCall(ctx, file, "arrayBuffer")
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		// Moved or changed since it was chosen, or on a disk pulled out.
		return nil, &photo.Refusal{File: name, Fault: photo.Damaged,
			Wrong:  fmt.Sprintf("could not be read (%v)", err),
			Remedy: "See that it is still where it was, and open it again."}
	}
	array := js.Global().Get("Uint8Array").New(buffer)
	b := make([]byte, array.Get("length").Int())
	js.CopyBytesToGo(b, array)
	return b, nil
}

// Open decodes a photograph. The name serves to speak of the file. It refuses,
// with a *photo.Refusal, what photo.Describe refuses and what the browser
// cannot decode or has no memory for. It blocks: see package promise.
func Open(ctx context.Context, name string, b []byte) (*Picture, error) {
	info, err := photo.Describe(name, b)
	if err != nil {
		return nil, err
	}
	bitmap, size, err := decode(ctx, name, info, b)
	if err != nil {
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		return nil, err
	}

	stored := image.Pt(info.StoredWidth, info.StoredHeight)
	upright := image.Pt(info.Width, info.Height)
	// A JPEG comes upright from the browser; the other formats as stored.
	turn := info.Orientation != 1 && info.Format != photo.JPEG
	want := upright
	if turn {
		want = stored
	}
	if size != want {
		bitmap.Call("close")
		return nil, &photo.Refusal{File: name, Fault: photo.Damaged,
			Wrong: fmt.Sprintf("is damaged: its header says %d × %d pixels, the browser finds %d × %d",
				want.X, want.Y, size.X, size.Y),
			Remedy: "Open it in a picture editor and save it as JPEG."}
	}
	if turn {
		turned, err := turnUpright(bitmap, info)
		bitmap.Call("close")
		if err != nil {
			return nil, noMemory(name, err)
		}
		bitmap = turned
	}
	return &Picture{name: name, bitmap: bitmap, size: upright, levels: map[int]canvas{}}, nil
}

// decode has the browser make an ImageBitmap of the file and gives its size.
func decode(ctx context.Context, name string, info photo.Info, b []byte) (bitmap js.Value, size image.Point, err error) {
	var source js.Value
	if info.Format == photo.TIFF {
		source, err = tiffSource(name, b)
	} else {
		source, err = fileSource(info, b)
	}
	if err != nil {
		return js.Undefined(), image.Point{}, err
	}
	bitmap, err = promise.AwaitCall(ctx, js.Global(), "createImageBitmap", source,
		map[string]any{"imageOrientation": "from-image"})
	if err != nil {
		if strings.Contains(err.Error(), "alloc") {
			return js.Undefined(), image.Point{}, noMemory(name, err)
		}
		return js.Undefined(), image.Point{}, &photo.Refusal{File: name, Fault: photo.Damaged,
			Wrong:  fmt.Sprintf("cannot be decoded by the browser, though it is a %s by its beginning (%v)", info.Format, err),
			Remedy: "Open it in a picture editor and save it as JPEG."}
	}
	return bitmap, image.Pt(bitmap.Get("width").Int(), bitmap.Get("height").Int()), nil
}

func fileSource(info photo.Info, b []byte) (js.Value, error) {
	if info.Orientation != 1 {
		b = photo.WithoutOrientation(info.Format, b)
	}
	return promise.Try(func() js.Value {
		return js.Global().Get("Blob").New([]any{bytesOf(b)}, map[string]any{"type": info.MIME})
	})
}

func tiffSource(name string, b []byte) (js.Value, error) {
	m, err := photo.DecodeTIFF(name, b)
	if err != nil {
		return js.Undefined(), err
	}
	source, err := promise.Try(func() js.Value {
		data := js.Global().Get("Uint8ClampedArray").New(len(m.Pix))
		js.CopyBytesToJS(data, m.Pix)
		return js.Global().Get("ImageData").New(data, m.Rect.Dx(), m.Rect.Dy())
	})
	if err != nil {
		return js.Undefined(), noMemory(name, err)
	}
	return source, nil
}

func bytesOf(b []byte) js.Value {
	array := js.Global().Get("Uint8Array").New(len(b))
	js.CopyBytesToJS(array, b)
	return array
}

// turnUpright gives a new ImageBitmap with the file's orientation carried out.
func turnUpright(bitmap js.Value, info photo.Info) (js.Value, error) {
	class := js.Global().Get("OffscreenCanvas")
	if class.Type() != js.TypeFunction {
		return js.Undefined(), errNoCanvas
	}
	return promise.Try(func() js.Value {
		c := class.New(info.Width, info.Height)
		m := info.Orientation.Matrix(info.StoredWidth, info.StoredHeight)
		g := c.Call("getContext", "2d")
		g.Call("setTransform", m[0], m[1], m[2], m[3], m[4], m[5])
		g.Call("drawImage", bitmap, 0, 0)
		return c.Call("transferToImageBitmap")
	})
}

func noMemory(name string, cause error) *photo.Refusal {
	return &photo.Refusal{File: name, Fault: photo.TooManyPixels,
		Wrong:  fmt.Sprintf("needs more memory than the browser has left (%v)", cause),
		Remedy: "Close other pages and photographs, or make it smaller, and open it again."}
}
