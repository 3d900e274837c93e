//go:build js

package page

import (
	"context"
	"fmt"
	"strings"
	"syscall/js"

	"crownbench/wasm/desk"
	"crownbench/wasm/page/picture"
	"crownbench/wasm/photo"
	"crownbench/wasm/tray"
)

func (a *App) listenFiles() {
	a.listen("dragover", func(e js.Value) {
		if hasFiles(e.Get("dataTransfer")) {
			e.Call("preventDefault")
			e.Get("dataTransfer").Set("dropEffect", "copy")
		}
	})
	a.listen("drop", func(e js.Value) {
		if hasFiles(e.Get("dataTransfer")) {
			e.Call("preventDefault")
			e.Call("stopPropagation")
			a.take(e.Get("dataTransfer").Get("files"))
		}
	})
	a.listen("paste", func(e js.Value) {
		if files := e.Get("clipboardData").Get("files"); files.Truthy() && files.Length() > 0 {
			e.Call("preventDefault")
			a.take(files)
			return
		}
		if a.pasteTable(e) {
			e.Call("preventDefault")
		}
	})
}

func hasFiles(transfer js.Value) bool {
	if !transfer.Truthy() {
		return false
	}
	types := transfer.Get("types")
	for i := range types.Length() {
		if types.Index(i).String() == "Files" {
			return true
		}
	}
	return false
}

// PickPhotos lets the person choose photograph files.
func (a *App) PickPhotos(camera bool) {
	a.pick("image/jpeg,image/png,image/webp,image/tiff,.jpg,.jpeg,.png,.webp,.tif,.tiff", true, camera)
}

// PickRecord lets the person choose an archive or a record.
func (a *App) PickRecord() { a.pick("application/json,.json,application/zip,.zip", false, false) }

// PickOwnTable lets the person choose a table of identified teeth.
func (a *App) PickOwnTable() {
	a.pickFor("text/csv,.csv,.tsv,.txt", false, false, func(list js.Value) {
		if list.Length() == 0 {
			return
		}
		f := list.Index(0)
		go func() {
			name := f.Get("name").String()
			b, err := picture.ReadFile(context.Background(), f)
			if err != nil {
				a.desk.Warn(sentence(err))
				return
			}
			a.desk.ReadOwnTable(name, b)
		}()
	})
}

func (a *App) pick(accept string, many, camera bool) { a.pickFor(accept, many, camera, a.take) }

// pickFor opens the browser's choice of files and hands the list to take.
func (a *App) pickFor(accept string, many, camera bool, take func(js.Value)) {
	doc := js.Global().Get("document")
	in := doc.Call("createElement", "input")
	in.Set("type", "file")
	in.Set("accept", accept)
	in.Set("multiple", many)
	in.Set("className", "unseen")
	in.Set("id", "file-input")
	if camera {
		in.Call("setAttribute", "capture", "environment")
	}
	// In the document, since some browsers forget an input that is not.
	if old := doc.Call("getElementById", "file-input"); !old.IsNull() {
		old.Call("remove")
	}
	doc.Get("body").Call("appendChild", in)
	var chosen js.Func
	chosen = js.FuncOf(func(js.Value, []js.Value) any {
		take(in.Get("files"))
		in.Call("remove")
		chosen.Release()
		return nil
	})
	in.Call("addEventListener", "change", chosen)
	in.Call("click")
}

// take reads the files a person handed over: photographs go to the specimen on
// the desk, a record to the tray. Each file that cannot be taken gets its own
// sentence; the others go on.
func (a *App) take(list js.Value) {
	n := list.Length()
	files := make([]js.Value, n)
	for i := range files {
		files[i] = list.Index(i) // the list is emptied once the event is over
	}
	go func() {
		ctx := context.Background()
		if a.desk.AwaitsLessonFiles() {
			a.takeLessonFiles(ctx, files)
			return
		}
		var forLesson []js.Value
		var photos []tray.Photo
		tables := 0
		for i, f := range files {
			name := f.Get("name").String()
			a.desk.SetBusy(fmt.Sprintf("Reading %s (%d of %d)…", name, i+1, n))
			if desk.IsTable(name, f.Get("type").String()) {
				if tables++; tables > 1 {
					a.desk.Warn(name + " was not opened: one table is opened at a time.")
				} else {
					a.takeTable(ctx, name, f)
				}
				continue
			}
			if a.isForLesson(ctx, name, f) {
				forLesson = append(forLesson, f)
				continue
			}
			if isArchive(name, f.Get("type").String()) {
				a.takeArchive(name, f)
				continue
			}
			b, err := picture.ReadFile(ctx, f)
			if err == nil && isRecord(name, f.Get("type").String()) {
				a.desk.ReadRecord(name, b)
				continue
			}
			var p tray.Photo
			if err == nil {
				p, err = a.takePhoto(ctx, name, b)
			}
			if err != nil {
				a.desk.Warn(sentence(err))
				continue
			}
			photos = append(photos, p)
		}
		a.desk.SetBusy("")
		a.desk.AddPhotos(photos...)
		if len(forLesson) > 0 {
			a.takeLessonFiles(ctx, forLesson)
		}
	}()
}

func isRecord(name, mime string) bool {
	return mime == "application/json" || strings.HasSuffix(strings.ToLower(name), ".json")
}

// takePhoto checks a photograph file and keeps its bytes.
func (a *App) takePhoto(ctx context.Context, name string, b []byte) (tray.Photo, error) {
	info, err := photo.Inspect(name, b)
	if err != nil {
		return tray.Photo{}, err
	}
	if err := a.keeper.keepPhoto(ctx, info.Hash, b); err != nil {
		return tray.Photo{}, fmt.Errorf("%s was not added: %w", name, err)
	}
	p := tray.Photo{
		Hash: info.Hash, File: name, MIME: info.MIME, Bytes: len(b), Width: info.Width, Height: info.Height,
		Taken: info.Taken, Device: info.Device,
	}
	p.ID = tray.NewID()
	return p, nil
}
