//go:build js

package page

import (
	"context"
	"fmt"
	"io"
	"strings"
	"syscall/js"

	"crownbench/wasm/store/promise"
)

// piece is how much of a file is handed to the browser at once, in bytes: it
// keeps pieces out of the program's memory, on disk when they are many.
const piece = 8 << 20

// Create begins a file of any size, which is kept by the browser until it is
// handed to the person.
func (a *App) Create(name, mime string) (io.Writer, func(keep bool)) {
	f := &blobFile{blobs: js.Global().Get("Array").New()}
	return f, func(keep bool) {
		if keep {
			f.flush()
			blob := js.Global().Get("Blob").New(f.blobs, map[string]any{"type": mime})
			a.hand(name, js.Global().Get("URL").Call("createObjectURL", blob).String())
		}
		f.blobs = js.Undefined()
	}
}

// blobFile collects what is written as pieces that the browser keeps.
type blobFile struct {
	blobs   js.Value // an array
	pending []byte
}

func (f *blobFile) Write(b []byte) (int, error) {
	f.pending = append(f.pending, b...)
	if len(f.pending) >= piece {
		f.flush()
	}
	return len(b), nil
}

func (f *blobFile) flush() {
	if len(f.pending) > 0 {
		array := js.Global().Get("Uint8Array").New(len(f.pending))
		js.CopyBytesToJS(array, f.pending)
		f.blobs.Call("push", js.Global().Get("Blob").New([]any{array}))
		f.pending = f.pending[:0]
	}
}

func isArchive(name, mime string) bool {
	return mime == "application/zip" || mime == "application/x-zip-compressed" || strings.HasSuffix(strings.ToLower(name), ".zip")
}

// fileReader reads a File of the browser piece by piece. It blocks: see
// package promise.
type fileReader struct {
	ctx  context.Context
	name string
	file js.Value
	size int64

	window []byte // what was read last
	from   int64
}

// window is how much is read at once, in bytes: a zip file is mostly read on
// from where the last reading ended, a little at a time.
const window = 1 << 20

func (r *fileReader) ReadAt(b []byte, off int64) (int, error) {
	n := 0
	for n < len(b) {
		at := off + int64(n)
		if at >= r.size {
			return n, io.EOF
		}
		if at < r.from || at >= r.from+int64(len(r.window)) {
			if err := r.read(at, max(window, int64(len(b)-n))); err != nil {
				return n, err
			}
		}
		n += copy(b[n:], r.window[at-r.from:])
	}
	return n, nil
}

func (r *fileReader) read(at, length int64) error {
	to := min(at+length, r.size)
	buffer, err := promise.AwaitCall(r.ctx, r.file.Call("slice", float64(at), float64(to)), "arrayBuffer")
	if err != nil {
		return fmt.Errorf("%s could not be read (%w); see that it is still where it was, and open it again", r.name, err)
	}
	array := js.Global().Get("Uint8Array").New(buffer)
	if int64(array.Length()) != to-at {
		return fmt.Errorf("%s changed while it was read; open it again", r.name)
	}
	r.window, r.from = make([]byte, array.Length()), at
	js.CopyBytesToGo(r.window, array)
	return nil
}

// takeArchive reads the file of an archive back.
func (a *App) takeArchive(name string, file js.Value) {
	size := int64(file.Get("size").Float())
	a.desk.TakeArchive(name, &fileReader{ctx: context.Background(), name: name, file: file, size: size}, size)
}

// KeepPhoto keeps a photograph's file. It blocks: see package promise.
func (a *App) KeepPhoto(hash string, b []byte) error {
	return a.keeper.keepPhoto(context.Background(), hash, b)
}
