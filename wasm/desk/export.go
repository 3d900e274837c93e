package desk

import (
	"errors"
	"fmt"
	"io"
	"slices"
	"time"

	"crownbench/wasm/archive"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Export is a kind of file that leaves the program with a whole tray, or with
// the teeth that were picked out of it.
type Export struct {
	ID      string
	Label   string
	Purpose string // one sentence: what it is for
	Photos  bool   // the photographs' files are in it

	name  func(day string) string
	mime  string
	write func(w io.Writer, s archive.Source) ([]string, error)
}

// BackupExport is the ID of the export that brings everything back.
const BackupExport = "backup"

// Exports lists them, in the order in which they are offered.
var Exports = []Export{
	{ID: BackupExport, Label: "Backup (zip)", Photos: true,
		Purpose: "For yourself: the photographs and everything entered, coordinates that you do not share among them. It is read back here.",
		name:    dated("backup", "zip"), mime: "application/zip",
		write: func(w io.Writer, s archive.Source) ([]string, error) {
			s.Private = true
			return archive.Write(w, s)
		}},
	{ID: "archive", Label: "Archive (zip)", Photos: true,
		Purpose: "To hand on: the photographs and everything entered, without coordinates that are not shared. It is read back here, and any zip program opens it.",
		name:    dated("tray", "zip"), mime: "application/zip", write: archive.Write},
	{ID: "csv", Label: "Table (CSV)",
		Purpose: "For a spreadsheet or R: one row a specimen, every reading with its state and ±, the answer, the versions.",
		name:    plain("tray.csv"), mime: "text/csv;charset=utf-8",
		write: func(w io.Writer, s archive.Source) ([]string, error) {
			return nil, sheet.CSV(w, s.Specimens, s.Find, s.Versions)
		}},
	{ID: "json", Label: "Record (JSON)",
		Purpose: "For programs, and to be read back here: everything that was marked, counted and typed; photographs only by name and check sum.",
		name:    plain("tray.json"), mime: "application/json",
		write: func(w io.Writer, s archive.Source) ([]string, error) {
			return nil, sheet.Record(w, s.Specimens, s.Find, s.Versions)
		}},
	{ID: "datapackage", Label: "Data Package (zip)",
		Purpose: "For the data behind a paper, or a repository: linked tables with their keys, types and units described (datapackage.org).",
		name:    plain("tray-datapackage.zip"), mime: "application/zip", write: without(archive.DataPackage)},
	{ID: "dwca", Label: "Darwin Core Archive (zip)",
		Purpose: "For collection databases and biodiversity portals: occurrences with measurements and media records.",
		name:    plain("tray-darwincore.zip"), mime: "application/zip", write: without(archive.DarwinCore)},
	{ID: "annotations", Label: "Outlines (Web Annotations)",
		Purpose: "For image archives and viewers: what was traced, tied to each photograph by its check sum.",
		name:    plain("tray-annotations.jsonld"), mime: "application/ld+json", write: without(archive.Annotations)},
	{ID: "plate", Label: "Plate of outlines (SVG)",
		Purpose: "For a figure: the traced teeth side by side at one scale, with a scale bar; any drawing program edits it.",
		name:    plain("tray-outlines.svg"), mime: "image/svg+xml",
		write: func(w io.Writer, s archive.Source) ([]string, error) {
			p := sheet.PlateOf(s.Specimens)
			if len(p.Teeth) == 0 {
				return nil, errors.New("none of the teeth has an outline with a scale")
			}
			_, err := w.Write(p.Document())
			return nil, err
		}},
	{ID: "shapes", Label: "Crown shapes (CSV)",
		Purpose: "For statistics of shape: elliptic Fourier descriptors of every crown traced in side view, one row a tooth, free of size and place.",
		name:    plain("tray-shapes.csv"), mime: "text/csv;charset=utf-8", write: writeShapes},
}

func plain(name string) func(string) string { return func(string) string { return name } }

func dated(name, ending string) func(string) string {
	return func(day string) string { return name + "-" + day + "." + ending }
}

func without(write func(io.Writer, archive.Source) error) func(io.Writer, archive.Source) ([]string, error) {
	return func(w io.Writer, s archive.Source) ([]string, error) { return nil, write(w, s) }
}

// Dataset is what the archives say of the tray as a whole.
func (d *Desk) Dataset() archive.Dataset { return d.dataset }

// SetDataset says it, for as long as the page is open.
func (d *Desk) SetDataset(s archive.Dataset) {
	d.dataset = s
	d.outside.Refresh()
}

// OutPickedOnly tells whether exports hold only the picked teeth.
func (d *Desk) OutPickedOnly() bool { return d.outPicked && len(d.Picked()) > 0 }

// SetOutPickedOnly lets exports hold only the picked teeth, or the whole tray.
func (d *Desk) SetOutPickedOnly(yes bool) {
	d.outPicked = yes
	d.outside.Refresh()
}

// OutSpecimens are the teeth that an export would hold.
func (d *Desk) OutSpecimens() []*tray.Specimen {
	if d.OutPickedOnly() {
		return d.Picked()
	}
	return d.Tray.Specimens()
}

// TakeOut makes the file of an export and hands it to the person.
func (d *Desk) TakeOut(id string) { d.takeOut(id, d.OutSpecimens()) }

// BackUp makes a backup of the whole tray.
func (d *Desk) BackUp() { d.takeOut(BackupExport, d.own().Specimens()) }

func (d *Desk) takeOut(id string, specimens []*tray.Specimen) {
	i := slices.IndexFunc(Exports, func(e Export) bool { return e.ID == id })
	if i < 0 || len(specimens) == 0 {
		return
	}
	e := Exports[i]
	name := e.name(time.Now().Format(time.DateOnly))
	of := len(specimens)
	files := photoFiles(specimens)
	if e.Photos {
		of += len(files)
	}
	whole := len(specimens) == d.own().Len()
	d.startJob("Making "+name, of, func(j *Job, step func()) {
		since := d.backup
		w, done := d.outside.Create(name, e.mime)
		notes, err := e.write(stoppable{w, j}, archive.Source{
			Specimens: specimens, Find: d.findSteps(j, step), Versions: d.Versions, Dataset: d.dataset,
			Photo: func(hash string) ([]byte, error) {
				defer step()
				if j.stopped {
					return nil, errStopped
				}
				return d.outside.PhotoFile(files[hash])
			},
		})
		if j.stopped {
			err = errStopped
		}
		done(err == nil)
		switch {
		case errors.Is(err, errStopped):
			d.Remark(name + " was not made: it was stopped.")
			return
		case err != nil:
			d.Warn(fmt.Sprintf("%s was not made: %s", name, Sentence(err)))
			return
		}
		for _, n := range notes {
			d.Warn(n)
		}
		if whole && e.ID == BackupExport {
			d.backedUp(since)
		}
	})
}

// photoFiles are the photographs that specimens show, one for each file, by its
// SHA-256.
func photoFiles(specimens []*tray.Specimen) map[string]*tray.Photo {
	files := map[string]*tray.Photo{}
	for _, s := range specimens {
		for i := range s.Photos {
			if h := s.Photos[i].Hash; h != "" {
				files[h] = &s.Photos[i]
			}
		}
	}
	return files
}
