package desk

import (
	"slices"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

const (
	// TrayRowHeight is the height of a row of a long tray, in CSS px.
	TrayRowHeight = 56
	// longTray is the number of rows from which only those in sight are in the
	// page.
	longTray = 60
	// beyond is how many rows are kept above and below those in sight, so that
	// the keyboard finds the next one.
	beyond = 8
	// stride is how many rows are scrolled by before others come into the page.
	stride = 4
)

// TrayWindow is the part of the tray's rows that is in the page.
type TrayWindow struct {
	Rows []*tray.Specimen
	From int  // place of the first of them among all rows
	Of   int  // all rows
	Long bool // rows stand at their place, all of one height
}

// ScrollTray is told how far the list of the tray is scrolled and how high it
// is, both in CSS px.
func (d *Desk) ScrollTray(top, height float64) {
	before := d.trayTop
	const farthest = 1e8 // px, beyond what browsers scroll
	d.trayTop, d.trayHeight = min(max(0, top), farthest), min(height, farthest)
	if strideOf(before) != strideOf(d.trayTop) {
		d.outside.Refresh()
	}
}

// TrayTurn counts how often the list has started anew at its top.
func (d *Desk) TrayTurn() int { return d.trayTurn }

// TrayWindow gives the rows that are in sight, and some around them.
func (d *Desk) TrayWindow() TrayWindow {
	rows := d.TrayRows()
	w := TrayWindow{Rows: rows, Of: len(rows), Long: d.Tray.Len() > longTray}
	if !w.Long {
		return w
	}
	height := d.trayHeight
	if height <= 0 {
		height = 1200
	}
	first := min(stride*strideOf(d.trayTop), max(0, len(rows)-1))
	w.From = max(0, first-beyond)
	to := min(len(rows), first+stride+int(height)/TrayRowHeight+beyond)
	w.Rows = rows[w.From:to]
	return w
}

// strideOf numbers the strides that a list is scrolled through.
func strideOf(top float64) int { return int(top) / (stride * TrayRowHeight) }

// FacePhoto is the photograph that stands for a tooth in the tray: its first
// side view, else its first photograph; nil when it has none.
func FacePhoto(s *tray.Specimen) *tray.Photo {
	if len(s.Photos) == 0 {
		return nil
	}
	i := slices.IndexFunc(s.Photos, func(p tray.Photo) bool {
		return p.Role == morph.LateralLabial || p.Role == morph.LateralLingual
	})
	return &s.Photos[max(i, 0)]
}

// Thumbnail gives the web address of a photograph's small picture, "" while
// there is none.
func (d *Desk) Thumbnail(hash string) string { return d.thumbnails[hash] }

// ThumbnailsWanted are the photographs in sight whose small pictures are not
// there yet; those that could not be made are not asked for again.
func (d *Desk) ThumbnailsWanted() []*tray.Photo {
	if d.Taking() != nil {
		return nil // a lesson shows no tray
	}
	var wanted []*tray.Photo
	for _, s := range d.TrayWindow().Rows {
		if p := FacePhoto(s); p != nil {
			if _, made := d.thumbnails[p.Hash]; !made {
				wanted = append(wanted, p)
			}
		}
	}
	return wanted
}

// ThumbnailMade brings the web address of a small picture, "" where it cannot
// be made.
func (d *Desk) ThumbnailMade(hash, url string) {
	if d.thumbnails == nil {
		d.thumbnails = map[string]string{}
	}
	d.thumbnails[hash] = url
	d.outside.Refresh()
}
