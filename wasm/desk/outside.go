package desk

import (
	"io"

	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// Outside is what the desk asks of its surroundings.
type Outside interface {
	// Refresh is called when something a panel shows has changed.
	Refresh()
	// Redraw is called when the photo view has changed.
	Redraw()
	// ShowPicture puts the picture of a photograph under the bench's marks;
	// nil takes it away. It comes back with PictureShown or PictureFailed.
	ShowPicture(p *tray.Photo)
	// ReadPixels reads the pixels of the picture that is shown, piece by piece so
	// that the page lives on, and then goes on with them, or with a sentence why
	// they cannot be had.
	ReadPixels(then func(bench.Sight, error))
	// AfterFrame calls f once the person sees what has changed.
	AfterFrame(f func())
	// PickPhotos lets the person choose photograph files; camera asks for the
	// device's camera where there is one.
	PickPhotos(camera bool)
	// PickRecord lets the person choose a record file to read back.
	PickRecord()
	// PickTable lets the person choose a table of teeth; it comes back with
	// TakeTable.
	PickTable()
	// Beside runs work that takes long. The work calls turn often, so that the
	// page lives on meanwhile; now and then turn tells that it is time to show
	// how far the work is.
	Beside(work func(turn func() bool))
	// Rested calls f when a person who has just changed something has had a
	// moment to go on.
	Rested(f func())
	// LoadDemo fetches the demo's photographs and hands them to TakeDemo.
	LoadDemo()
	// Download hands a file to the person.
	Download(name, mime string, data []byte)
	// Create begins a file of any size. What is written goes into it; done
	// hands it to the person, or throws it away. It may block.
	Create(name, mime string) (w io.Writer, done func(keep bool))
	// KeepPhoto keeps a photograph's file by its SHA-256. It may block, so it is
	// for work that runs Beside.
	KeepPhoto(hash string, b []byte) error
	// Copy puts a text on the clipboard and tells how that went.
	Copy(text string, done func(error))
	// KeepBackup keeps what is known of the last backup for the next start.
	KeepBackup(Backup)
	// AskSpace asks how much room there is; it comes back with SetSpace.
	AskSpace()
	// PreparePictures gives web addresses for the photographs of a specimen,
	// by hash, and calls back when they are there.
	PreparePictures(s *tray.Specimen, ready func(urls map[string]string))
	// Print opens the browser's print of what is on the sheet.
	Print()
	// TakeUpNewer saves what is pending and starts the newer version of the page
	// that was announced with NewerReady.
	TakeUpNewer()
	// Remember keeps the desk's layout for the next start.
	Remember(Place)
	// KeepSettings keeps what the person chose for all teeth.
	KeepSettings(Settings)
	// PickOwnTable lets the person choose a table of identified teeth, which
	// comes back with ReadOwnTable.
	PickOwnTable()
	Lessons
}
