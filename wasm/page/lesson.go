//go:build js

package page

import (
	"context"
	"errors"
	"fmt"
	"path"
	"strings"
	"syscall/js"

	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	"crownbench/wasm/store/promise"
	"crownbench/wasm/tray"
)

// PickLessonFiles lets the person choose files of a lesson.
func (a *App) PickLessonFiles(many bool) {
	accept := ".zip,application/zip"
	if many {
		accept = ".json,application/json,.zip,application/zip"
	}
	a.pickFor(accept, many, false, func(list js.Value) {
		files := make([]js.Value, list.Length())
		for i := range files {
			files[i] = list.Index(i)
		}
		go a.takeLessonFiles(context.Background(), files)
	})
}

// takeLessonFiles reads files and hands them to the Lesson together.
func (a *App) takeLessonFiles(ctx context.Context, files []js.Value) {
	var read []lesson.File
	for i, f := range files {
		name := f.Get("name").String()
		a.desk.SetBusy(fmt.Sprintf("Reading %s (%d of %d)…", name, i+1, len(files)))
		b, err := readWhole(ctx, f, desk.MaxLessonFile)
		if err != nil {
			a.desk.Warn(sentence(err))
			continue
		}
		read = append(read, lesson.File{Name: name, Data: b})
	}
	a.desk.SetBusy("")
	a.desk.TakeLessonFiles(read)
}

// isForLesson tells by a file's name and beginning whether it belongs to a
// lesson.
func (a *App) isForLesson(ctx context.Context, name string, file js.Value) bool {
	if !strings.HasSuffix(strings.ToLower(name), ".zip") && !isRecord(name, file.Get("type").String()) {
		return false
	}
	b, err := readWhole(ctx, file.Call("slice", 0, headBytes), headBytes)
	return err == nil && desk.IsForLesson(b)
}

// headBytes of a file tell what it is.
const headBytes = 256

// readWhole reads a File of at most so many bytes.
func readWhole(ctx context.Context, file js.Value, most float64) ([]byte, error) {
	name := file.Get("name").String()
	if file.Get("size").Float() > most {
		return nil, fmt.Errorf("%s is larger than %.0f MB, more than any file of a lesson may be", name, most/(1<<20))
	}
	buffer, err := promise.AwaitCall(ctx, file, "arrayBuffer")
	if err != nil { // moved or changed since it was chosen, or on a disk pulled out
		return nil, fmt.Errorf("%s could not be read (%w). See that it is still where it was, and open it again", name, err)
	}
	return bytesOf(js.Global().Get("Uint8Array").New(buffer)), nil
}

func bytesOf(array js.Value) []byte {
	b := make([]byte, array.Length())
	js.CopyBytesToGo(b, array)
	return b
}

// FetchDemo fetches the invented teeth without putting them on the desk.
func (a *App) FetchDemo(then func([]*tray.Specimen, error)) {
	go func() {
		a.desk.SetBusy("Fetching the invented teeth…")
		specimens, err := a.fetchDemo(context.Background())
		a.desk.SetBusy("")
		then(specimens, err)
	}()
}

// PhotoFile gives the file of a photograph. It blocks.
func (a *App) PhotoFile(p *tray.Photo) ([]byte, error) {
	return a.keeper.photo(context.Background(), p.Hash)
}

// KeepLessonFile keeps a lesson file among the photographs; the sweep at the
// start knows it by the list of work.
func (a *App) KeepLessonFile(hash string, file []byte) {
	go func() {
		if err := a.keeper.keepPhoto(context.Background(), hash, file); err != nil {
			a.desk.Warn("The lesson goes on, but cannot be taken up again after the page was closed: " + sentence(err))
		}
	}()
}

// KeepWork keeps work on lessons.
func (a *App) KeepWork(all []desk.KeptWork, key string, state func() ([]byte, error)) {
	a.keeper.keepWork(all, key, state)
}

// FetchWork gives a lesson file and the work on it.
func (a *App) FetchWork(w desk.KeptWork, then func(file, state []byte, err error)) {
	go func() { then(a.keeper.work(context.Background(), w)) }()
}

// lessonFragment begins the part of the page's address that names a lesson on
// the same site: #lesson=exercise.zip.
const lessonFragment = "#lesson="

// followAddress opens the lesson that the page's address names. The name is
// then taken out of the address, so that loading the page again goes on with
// the work instead.
func (a *App) followAddress() {
	location := js.Global().Get("location")
	name, ok := strings.CutPrefix(location.Get("hash").String(), lessonFragment)
	if !ok {
		return
	}
	js.Global().Get("history").Call("replaceState", js.Null(), "", location.Get("pathname").String()+location.Get("search").String())
	go func() {
		a.desk.SetBusy("Fetching the lesson…")
		file, b, err := fetchLesson(context.Background(), name)
		a.desk.SetBusy("")
		if err != nil {
			a.desk.Warn(sentence(err))
			return
		}
		a.desk.TakeLessonAddress(file, b)
	}()
}

// fetchLesson fetches a lesson from the page's own site, from its folder or
// below it.
func fetchLesson(ctx context.Context, relative string) (file string, b []byte, err error) {
	elsewhere := fmt.Errorf("a lesson can be opened by an address only when it lies beside this page; %.80q does not. Fetch the file yourself and choose it under Lesson", relative)
	base := js.Global().Get("document").Get("baseURI").String()
	made, err := promise.Try(func() js.Value { return js.Global().Get("URL").New(relative, base) })
	if err != nil {
		return "", nil, elsewhere
	}
	here := js.Global().Get("URL").New(".", base)
	if made.Get("origin").String() != here.Get("origin").String() || !strings.HasPrefix(made.Get("pathname").String(), here.Get("pathname").String()) {
		return "", nil, elsewhere
	}
	file = path.Base(made.Get("pathname").String())
	response, err := promise.Await(ctx, js.Global().Call("fetch", made, map[string]any{"redirect": "error"}))
	if err != nil {
		return "", nil, fmt.Errorf("the lesson %s could not be fetched; check the connection and try again", file)
	}
	if !response.Get("ok").Bool() {
		return "", nil, fmt.Errorf("there is no lesson %s on this site (answer %d); ask for the right address", file, response.Get("status").Int())
	}
	b, err = readBounded(ctx, response, desk.MaxLessonFile)
	return file, b, err
}

// readBounded reads what a server sends, and stops where it is too much.
func readBounded(ctx context.Context, response js.Value, most int) ([]byte, error) {
	reader := response.Get("body").Call("getReader")
	var b []byte
	for {
		part, err := promise.AwaitCall(ctx, reader, "read")
		if err != nil {
			return nil, errors.New("the lesson could not be fetched whole; check the connection and try again")
		}
		if part.Get("done").Bool() {
			return b, nil
		}
		array := part.Get("value")
		if len(b)+array.Length() > most {
			reader.Call("cancel")
			return nil, fmt.Errorf("what lies at this address is larger than %d MB, more than a lesson may be", most>>20)
		}
		b = append(b, bytesOf(array)...)
	}
}
