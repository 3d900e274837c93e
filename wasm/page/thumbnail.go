//go:build js

package page

import (
	"context"

	"crownbench/wasm/tray"
)

// thumbnailSide is the longer side of a small picture, in px: twice what the
// tray shows, for fine screens.
const thumbnailSide = 112

// makeThumbnails makes the small pictures of the rows in sight, one at a time.
// Whatever is in sight by then comes next.
func (a *App) makeThumbnails() {
	if a.thumbing {
		return
	}
	wanted := a.desk.ThumbnailsWanted()
	if len(wanted) == 0 {
		return
	}
	a.thumbing = true
	go func() {
		p := wanted[0]
		url := ""
		if b := a.thumbnail(context.Background(), p); b != nil {
			url = objectURL("image/jpeg", b)
		}
		a.thumbing = false
		a.desk.ThumbnailMade(p.Hash, url) // which shows the page again, and asks for the next
	}()
}

// thumbnail gives a small picture, kept or made; nil where there is none to
// make it of, which the tray shows by an empty frame.
func (a *App) thumbnail(ctx context.Context, p *tray.Photo) []byte {
	if b := a.keeper.thumbnail(ctx, p.Hash); b != nil {
		return b
	}
	pic, err := a.openPicture(ctx, p)
	if err != nil {
		return nil
	}
	defer pic.Close()
	b, err := pic.Thumbnail(ctx, thumbnailSide)
	if err != nil {
		return nil
	}
	a.keeper.keepThumbnail(ctx, p.Hash, b)
	return b
}
