//go:build js

package page

import (
	"context"
	"fmt"
	"image"
	"syscall/js"

	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
	"crownbench/wasm/page/picture"
	"crownbench/wasm/panel"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"

	"github.com/hajimehoshi/ebiten/v2"
)

// App is the running program in its page.
type App struct {
	desk    *desk.Desk
	tray    *tray.Tray
	surface *Surface
	game    *bench.Game
	keeper  *keeper

	canvas  js.Value
	place   string // of the photograph in the window, as last told
	dirty   bool   // a frame of the panels is on order
	onFrame js.Func

	dialogOpen bool
	opener     js.Value // had the focus when the dialog was opened

	takingUp bool // this tab asked for the newer version

	thumbing bool // a small picture is being made

	opening string           // hash of the picture being opened
	open    *picture.Picture // the one under the bench
	urls    map[string]string
}

// Start puts the program into the page and gives the photo view for
// Ebitengine to run. Whatever was kept in this browser is on the desk when it
// returns.
func Start(v sheet.Versions) *App {
	doc := js.Global().Get("document")
	// Before all else: while a file is fetched the browser may ask for a frame.
	language := chooseLanguage(context.Background())
	a := &App{tray: &tray.Tray{}, urls: map[string]string{}}
	a.surface = NewSurface(doc.Call("getElementById", "app"))
	a.onFrame = js.FuncOf(func(js.Value, []js.Value) any { a.show(); return nil })
	a.keeper = &keeper{app: a}
	a.tray.Keep = a.keeper.keep
	a.desk = desk.New(a.tray, a, v)
	a.surface.Language = language
	a.game = bench.NewGame(a.desk.Bench, &picture.Labels{Say: language.Say})

	a.canvas = doc.Call("querySelector", "canvas")
	if !a.canvas.IsNull() {
		a.canvas.Call("setAttribute", "role", "application")
		a.canvas.Call("setAttribute", "aria-label", language.Say("Photograph. Arrow keys move the crosshair or the chosen point, Enter places a point, F1 gives help."))
		a.canvas.Call("setAttribute", "aria-describedby", "prompt")
		a.canvas.Call("setAttribute", "tabindex", "0")
	}
	a.listenPointer()
	a.listenKeys()
	a.listenFiles()
	a.listenWindow()
	a.resize()

	place, settings, backup := a.keeper.open(context.Background())
	a.desk.TakeBackup(backup)
	a.desk.TakeSettings(settings)
	a.desk.Start(place)
	a.followAddress()
	a.show()
	doc.Get("documentElement").Get("dataset").Set("state", "ready")
	go a.keepPage(context.Background())
	return a
}

// Game is the photo view.
func (a *App) Game() ebiten.Game { return a.game }

// LosePhotoView tells the person that photographs cannot be drawn.
func (a *App) LosePhotoView(err error) {
	if !a.canvas.IsNull() {
		a.canvas.Set("hidden", true) // and out of the keyboard's way
	}
	a.desk.LosePhotoView("This browser gives the page no WebGL 2, which drawing photographs needs (" + err.Error() + "). Switch on hardware acceleration, or try another browser.")
}

// Refresh orders one frame of the panels, however much has changed.
func (a *App) Refresh() {
	if !a.dirty {
		a.dirty = true
		js.Global().Call("requestAnimationFrame", a.onFrame)
	}
}

// Redraw orders one frame of the photo view.
func (a *App) Redraw() {
	ebiten.ScheduleFrame()
	if a.desk != nil {
		a.tellPlace()
	}
}

// tellPlace writes where the photograph lies in the window into the canvas
// element ("scale x y", CSS px), for whoever drives or inspects the page.
func (a *App) tellPlace() {
	if a.canvas.IsNull() {
		return
	}
	place := ""
	if scale, shift, ok := a.desk.Bench.Place(); ok {
		place = fmt.Sprintf("%g %g %g", scale, shift.X, shift.Y)
	}
	if place != a.place {
		a.place = place
		a.canvas.Get("dataset").Set("place", place)
	}
}

func (a *App) show() {
	a.dirty = false
	opener := a.followDialog()
	a.surface.Show(panel.Page(a.desk)...)
	a.measure()
	a.makeThumbnails()
	if opener.Truthy() && opener.Get("isConnected").Bool() {
		opener.Call("focus", map[string]any{"preventScroll": true})
	}
	if id := a.desk.TakeFocus(); id != "" {
		if el := js.Global().Get("document").Call("getElementById", id); !el.IsNull() {
			el.Call("focus")
			if el.Get("localName").String() == "input" {
				el.Call("select")
			}
		}
	}
}

// followDialog keeps the photo view out of the keyboard's reach while a dialog
// lies over it. It gives the element that had the focus before the dialog that
// has just been closed, to give the focus back to.
func (a *App) followDialog() (opener js.Value) {
	open := a.desk.Dialog() != desk.NoDialog
	switch {
	case open && !a.dialogOpen:
		a.opener = js.Global().Get("document").Get("activeElement")
	case !open && a.dialogOpen:
		opener = a.opener
	}
	a.dialogOpen = open
	if !a.canvas.IsNull() {
		a.canvas.Set("inert", open)
	}
	return opener
}

// measure tells the bench which part of the window no panel covers.
func (a *App) measure() {
	stage := js.Global().Get("document").Call("getElementById", "stage")
	if stage.IsNull() {
		return
	}
	r := stage.Call("getBoundingClientRect")
	w, h := js.Global().Get("innerWidth").Float(), js.Global().Get("innerHeight").Float()
	a.desk.Bench.Cover(r.Get("left").Float(), r.Get("top").Float(), w-r.Get("right").Float(), h-r.Get("bottom").Float())
}

func (a *App) resize() {
	g := js.Global()
	a.desk.Bench.Resize(g.Get("innerWidth").Float(), g.Get("innerHeight").Float(), g.Get("devicePixelRatio").Float())
	a.game.SetDark(g.Call("matchMedia", "(prefers-color-scheme: dark)").Get("matches").Bool())
	a.Redraw()
}

func (a *App) listenWindow() {
	g := js.Global()
	again := js.FuncOf(func(js.Value, []js.Value) any {
		a.resize()
		a.Refresh()
		return nil
	})
	g.Call("addEventListener", "resize", again)
	g.Call("matchMedia", "(prefers-color-scheme: dark)").Call("addEventListener", "change", again)
	// A cell keeps what its owner typed until they leave it; then it may be
	// rewritten as the record has it.
	g.Call("addEventListener", "hashchange", js.FuncOf(func(js.Value, []js.Value) any {
		a.followAddress()
		return nil
	}))
	g.Call("addEventListener", "blur", js.FuncOf(func(js.Value, []js.Value) any {
		a.desk.Bench.Release()
		return nil
	}))
	g.Call("addEventListener", "beforeunload", js.FuncOf(func(_ js.Value, args []js.Value) any {
		if a.desk.WouldBeLost() && !a.takingUp { // which has saved everything before
			a.keeper.flush()
			args[0].Call("preventDefault") // the browser asks, in its own words
			args[0].Set("returnValue", true)
		}
		return nil
	}))
	g.Get("document").Call("addEventListener", "visibilitychange", js.FuncOf(func(js.Value, []js.Value) any {
		a.keeper.flush()
		return nil
	}))
	g.Get("document").Call("addEventListener", "focusout", js.FuncOf(func(js.Value, []js.Value) any {
		a.Refresh()
		return nil
	}))
}

// ShowPicture puts the picture of a photograph under the bench's marks.
func (a *App) ShowPicture(p *tray.Photo) {
	if a.open != nil {
		a.game.SetPicture(nil)
		a.open.Close()
		a.open = nil
	}
	if p == nil {
		a.opening = ""
		return
	}
	a.opening = p.Hash
	go func() {
		pic, err := a.openPicture(context.Background(), p)
		if a.opening != p.Hash { // the person has gone on to another one
			if pic != nil {
				pic.Close()
			}
			return
		}
		if err != nil {
			a.desk.PictureFailed(p.Hash, sentence(err))
			return
		}
		if size := pic.Size(); size != image.Pt(p.Width, p.Height) {
			pic.Close()
			a.desk.PictureFailed(p.Hash, fmt.Sprintf("The picture comes out at %d × %d pixels here, but its marks were made on %d × %d; it is not shown, so that they do not stand in the wrong place.", size.X, size.Y, p.Width, p.Height))
			return
		}
		a.open = pic
		a.game.SetPicture(pic)
		a.desk.PictureShown(p.Hash)
	}()
}

func (a *App) openPicture(ctx context.Context, p *tray.Photo) (*picture.Picture, error) {
	b, err, ok := a.desk.LessonPicture(p.Hash)
	if !ok {
		b, err = a.keeper.photo(ctx, p.Hash)
	}
	if err != nil {
		return nil, err
	}
	return picture.Open(ctx, p.File, b)
}

// PreparePictures gives web addresses for a specimen's photographs.
func (a *App) PreparePictures(s *tray.Specimen, ready func(map[string]string)) {
	go func() {
		urls := map[string]string{}
		for i := range s.Photos {
			p := &s.Photos[i]
			if a.urls[p.Hash] == "" {
				pic, err := a.openPicture(context.Background(), p)
				if err != nil {
					a.desk.Warn(sentence(err))
					continue
				}
				b, err := pic.Thumbnail(context.Background(), sheetSide)
				pic.Close()
				if err != nil {
					a.desk.Warn(sentence(err))
					continue
				}
				a.urls[p.Hash] = objectURL("image/jpeg", b)
			}
			urls[p.Hash] = a.urls[p.Hash]
		}
		ready(urls)
	}()
}

// sheetSide is the longest side of a photograph on the sheet, in px: 300 px an
// inch over the 17 cm that a page leaves it.
const sheetSide = 2000

// Print opens the browser's print.
func (a *App) Print() { js.Global().Call("print") }

// Remember keeps where the person is for the next start.
func (a *App) Remember(p desk.Place) { a.keeper.remember(p) }

// KeepSettings keeps what the person chose for all teeth.
func (a *App) KeepSettings(s desk.Settings) { a.keeper.keepSettings(s) }

// KeepBackup keeps what is known of the last backup.
func (a *App) KeepBackup(b desk.Backup) { a.keeper.keepBackup(b) }

// AskSpace asks how much room the browser leaves this page.
func (a *App) AskSpace() { a.keeper.askSpace() }

// Download hands a file to the person.
func (a *App) Download(name, mime string, data []byte) {
	a.hand(name, objectURL(mime, data))
}

// hand lets the browser save what is at an address of this page.
func (a *App) hand(name, url string) {
	doc := js.Global().Get("document")
	link := doc.Call("createElement", "a")
	link.Set("href", url)
	link.Set("download", name)
	doc.Get("body").Call("appendChild", link)
	link.Call("click")
	link.Call("remove")
	var late js.Func
	late = js.FuncOf(func(js.Value, []js.Value) any {
		js.Global().Get("URL").Call("revokeObjectURL", url)
		late.Release()
		return nil
	})
	js.Global().Call("setTimeout", late, 60_000) // the browser may still be reading it
}

func objectURL(mime string, data []byte) string {
	b := js.Global().Get("Uint8Array").New(len(data))
	js.CopyBytesToJS(b, data)
	blob := js.Global().Get("Blob").New([]any{b}, map[string]any{"type": mime})
	return js.Global().Get("URL").Call("createObjectURL", blob).String()
}

func sentence(err error) string { return desk.Sentence(err) }
