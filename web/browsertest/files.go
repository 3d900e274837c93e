//go:build browser

package browsertest

import (
	"context"
	"encoding/base64"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"

	"github.com/chromedp/cdproto/browser"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// File is a file that a person hands to the page or gets from it.
type File struct {
	Name  string
	Bytes []byte
}

// onDisk writes the files where the browser can open them, and returns their
// paths.
func (p *Page) onDisk(files []File) []string {
	p.t.Helper()
	dir := p.t.TempDir()
	var paths []string
	for _, f := range files {
		path := filepath.Join(dir, f.Name)
		if err := os.WriteFile(path, f.Bytes, 0o644); err != nil {
			p.t.Fatal(err)
		}
		paths = append(paths, path)
	}
	return paths
}

// Drop drags files from outside the browser onto a point of the window and lets
// them go there.
func (p *Page) Drop(x, y float64, files ...File) {
	p.t.Helper()
	p.dragFiles(x, y, files, input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver, input.DispatchDragEventTypeDrop)
}

// DragOver holds files over a point of the window without letting go. The
// protocol cannot carry them out of the window again: Chromium sends the page no
// dragleave when such a drag is cancelled.
func (p *Page) DragOver(x, y float64, files ...File) {
	p.t.Helper()
	p.dragFiles(x, y, files, input.DispatchDragEventTypeDragEnter, input.DispatchDragEventTypeDragOver)
}

func (p *Page) dragFiles(x, y float64, files []File, steps ...input.DispatchDragEventType) {
	p.t.Helper()
	// What was under the pointer a moment ago may be gone with the next frame (a
	// dialog just closed), and Chromium forgets a drag whose target is gone.
	p.follow()
	const copies = 1 // the operation copy, as for files from a folder
	what := &input.DragData{Items: []*input.DragDataItem{}, Files: p.onDisk(files), DragOperationsMask: copies}
	for _, step := range steps {
		do(p, fmt.Sprintf("%s at (%.0f, %.0f)", step, x, y), func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, input.DispatchDragEvent, input.DispatchDragEventParams{Type: step, X: x, Y: y, Data: what, Modifiers: p.held})
			return err
		})
	}
}

// ChooseFiles gives files to the one file input that the selector names, as its
// dialogue would; the input may be hidden behind a button.
func (p *Page) ChooseFiles(selector string, files ...File) {
	p.t.Helper()
	paths := p.onDisk(files)
	e := p.findOne(fmt.Sprintf("file input %q", selector), listed(fmt.Sprintf(present, selector)))
	do(p, e.what, func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, dom.SetFileInputFiles, dom.SetFileInputFilesParams{Files: paths, ObjectID: e.id})
		return err
	})
}

// PasteText puts a text on the clipboard and pastes it with Control+V into
// whatever has the focus.
func (p *Page) PasteText(text string) {
	p.t.Helper()
	p.allowClipboard()
	p.Exec(fmt.Sprintf(`navigator.clipboard.writeText(%q)`, text))
	p.Press("Control+v")
}

// PasteImage puts a PNG on the clipboard and pastes it with Control+V into
// whatever has the focus.
func (p *Page) PasteImage(png []byte) {
	p.t.Helper()
	p.allowClipboard()
	p.Exec(fmt.Sprintf(`(async () => {
		const bytes = Uint8Array.from(atob(%q), c => c.charCodeAt(0));
		await navigator.clipboard.write([new ClipboardItem({"image/png": new Blob([bytes], {type: "image/png"})})]);
	})()`, base64.StdEncoding.EncodeToString(png)))
	p.Press("Control+v")
}

// allowClipboard lets the page's scripts write to the clipboard.
func (p *Page) allowClipboard() {
	p.t.Helper()
	do(p, "permission to write to the clipboard", func(ctx context.Context, t *chromedp.Target) error {
		c := chromedp.FromContext(p.ctx)
		// Without sanitization is what a script may do that no click has called.
		_, err := cdp.Call(ctx, c.Browser, browser.SetPermission, browser.SetPermissionParams{
			Permission:       &browser.PermissionDescriptor{Name: "clipboard-write", AllowWithoutSanitization: true},
			Setting:          browser.PermissionSettingGranted,
			BrowserContextID: c.BrowserContextID,
		})
		return err
	})
}

// downloads collects what a tab saves to disk.
type downloads struct {
	dir string

	mu   sync.Mutex
	name map[string]string // by the identifier of the download
	done chan download
}

type download struct {
	guid  string
	state browser.DownloadProgressState
}

// catchDownloads lets the tab download into a folder without asking.
func (p *Page) catchDownloads(dir string) {
	p.t.Helper()
	d := &downloads{dir: dir, name: make(map[string]string), done: make(chan download, 64)}
	p.downloads = d
	do(p, "allowing downloads", func(ctx context.Context, t *chromedp.Target) error {
		c := chromedp.FromContext(p.ctx)
		events := true
		_, err := cdp.Call(ctx, c.Browser, browser.SetDownloadBehavior, browser.SetDownloadBehaviorParams{
			Behavior:         browser.SetDownloadBehaviorBehaviorAllowAndName,
			BrowserContextID: c.BrowserContextID,
			DownloadPath:     dir,
			EventsEnabled:    &events,
		})
		return err
	})
	err := chromedp.ListenBrowser(p.ctx, func(ev any) {
		switch e := ev.(type) {
		case *browser.EventDownloadWillBegin:
			d.mu.Lock()
			d.name[e.GUID] = e.SuggestedFilename
			d.mu.Unlock()
		case *browser.EventDownloadProgress:
			if e.State != browser.DownloadProgressStateInProgress {
				d.done <- download{e.GUID, e.State}
			}
		}
	})
	if err != nil {
		p.t.Fatal(err)
	}
}

// Download does something that makes the page save a file, waits for it and
// returns it under the name that the person would see.
func (p *Page) Download(something func()) File {
	p.t.Helper()
	something()
	select {
	case got := <-p.downloads.done:
		p.downloads.mu.Lock()
		name := p.downloads.name[got.guid]
		p.downloads.mu.Unlock()
		if got.state != browser.DownloadProgressStateCompleted {
			p.t.Fatalf("the download of %q ended as %s", name, got.state)
		}
		content, err := os.ReadFile(filepath.Join(p.downloads.dir, got.guid))
		if err != nil {
			p.t.Fatal(err)
		}
		return File{Name: name, Bytes: content}
	case <-time.After(p.patience):
		p.t.Fatal("nothing was downloaded")
	}
	panic("unreachable")
}
