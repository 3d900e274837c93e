//go:build js

package page

import (
	"context"
	"fmt"
	"syscall/js"

	"crownbench/wasm/desk"
	"crownbench/wasm/store/promise"
	"crownbench/wasm/tray"
)

// demoFolder is where the build puts the invented teeth, beside the page.
const demoFolder = "demo/"

// LoadDemo fetches the invented teeth and puts them on the desk.
func (a *App) LoadDemo() {
	go func() {
		ctx := context.Background()
		a.desk.SetBusy("Fetching the invented teeth…")
		defer a.desk.SetBusy("")
		specimens, err := a.fetchDemo(ctx)
		if err != nil {
			a.desk.Warn(sentence(err))
			return
		}
		a.desk.TakeDemo(specimens)
	}()
}

// fetchDemo fetches the invented teeth and keeps their photographs.
func (a *App) fetchDemo(ctx context.Context) ([]*tray.Specimen, error) {
	list, err := fetch(ctx, demoFolder+"demo.json")
	if err != nil {
		return nil, err
	}
	return desk.ReadDemo(list, func(file string) (tray.Photo, error) {
		b, err := fetch(ctx, demoFolder+file)
		if err != nil {
			return tray.Photo{}, err
		}
		return a.takePhoto(ctx, file, b)
	})
}

// fetch reads one of the page's own files.
func fetch(ctx context.Context, path string) ([]byte, error) {
	response, err := promise.Await(ctx, js.Global().Call("fetch", path))
	if err != nil {
		return nil, fmt.Errorf("%s could not be fetched; check the connection and try again", path)
	}
	if !response.Get("ok").Bool() {
		return nil, fmt.Errorf("%s is missing on this site (answer %d)", path, response.Get("status").Int())
	}
	buffer, err := promise.AwaitCall(ctx, response, "arrayBuffer")
	if err != nil {
		return nil, fmt.Errorf("%s could not be fetched whole; check the connection and try again", path)
	}
	array := js.Global().Get("Uint8Array").New(buffer)
	b := make([]byte, array.Length())
	js.CopyBytesToGo(b, array)
	return b, nil
}
