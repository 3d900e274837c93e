package desk

import (
	"errors"
	"fmt"
	"io"

	"crownbench/wasm/archive"
	"crownbench/wasm/photo"
)

// TakeArchive reads an archive of size bytes back: its photographs are kept one
// by one, and its specimens are added to the tray as one step.
func (d *Desk) TakeArchive(file string, r io.ReaderAt, size int64) {
	if d.refusedInLesson() {
		return
	}
	d.startJob("Reading "+file, 0, func(j *Job, step func()) {
		var faults []string
		specimens, notes, err := archive.Read(r, size, func(hash string, b []byte) error {
			defer step()
			if j.stopped {
				return errStopped
			}
			name := fmt.Sprintf("The photograph %.12s… in the archive", hash)
			if _, err := photo.Inspect(name, b); err != nil {
				faults = append(faults, Sentence(err)+" It was left out; its marks were kept.")
				return nil
			}
			return d.outside.KeepPhoto(hash, b)
		})
		switch {
		case errors.Is(err, errStopped):
			d.Remark(file + " was not read: it was stopped.")
			return
		case err != nil:
			d.Warn(fmt.Sprintf("%s was not read: %s", file, Sentence(err)))
			return
		}
		d.takeRead(file, specimens)
		for _, n := range append(notes, faults...) {
			d.Warn(n)
		}
	})
}
