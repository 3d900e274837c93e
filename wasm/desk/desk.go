package desk

import (
	"slices"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/bench"
	"crownbench/wasm/comparison"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Dialog is what lies over the bench.
type Dialog string

const (
	NoDialog    Dialog = ""
	SheetDialog Dialog = "sheet"
	OutDialog   Dialog = "out"
	HelpDialog  Dialog = "help"
	MapDialog   Dialog = "map"

	ComparisonDialog Dialog = "comparison" // the comparison teeth
)

// Desk is the program's state. Make one with New.
type Desk struct {
	Tray    *tray.Tray
	Bench   *bench.Bench
	outside Outside
	finder  tray.Finder

	settings  Settings
	ownBefore []comparison.List // what PutOwnBack goes back to, the latest last
	// known is what is being said of the specimen of that ID.
	known struct {
		of string
		Known
	}
	test   *sampleTest // of the comparison sample
	steady steadyFor
	spread spreadFor
	// spreading is what the readings are being drawn of, or are to be.
	spreading *tray.Specimen
	unfolded  map[string]bool // parts of the panels, by name
	nextRole  morph.Role      // of the photographs that were asked for, "" when any

	specimen string // on the desk, "" when none
	photo    string // on the bench, "" when none
	dialog   Dialog
	open     map[morph.ID]bool // readings whose details are open

	refused map[string]Refusal
	notices []Notice
	lastID  int
	spoken  string

	pixels      pixels
	picture     PictureState
	pictureFor  string // hash
	pictureWhy  string
	noPhotoView string // why the photo view cannot be drawn, "" when it can

	prompted string // what the bench last asked for
	saving   SavingState
	savWhy   string
	busy     string
	focus    string
	urls     map[string]string

	// widthByLength and countLength are how a person gives numbers, not part
	// of any record.
	widthByLength bool
	farther       bool // the tooth than the scale, see Farther
	countLength   map[string]string

	reach Reach
	newer bool

	table  TableWork
	lesson lessons

	// How the tray is looked through: see traylook.go.
	look       TrayLook
	glances    map[string]glance // by ID
	glancedHow tray.Sorting
	surveying  bool
	surveyed   int
	trayTop    float64 // CSS px
	trayHeight float64
	trayTurn   int
	thumbnails map[string]string // web addresses, by hash; "" where none can be made

	picking   bool
	picked    map[string]bool
	anchor    string   // of a range of picked rows
	restore   *Restore // a file that waits for an answer
	twinSeen  map[[2]string]bool
	outPicked bool
	dataset   archive.Dataset
	job       *Job
	backup    Backup
	unworked  bool // what is added now is in a file already
	space     Space

	trayOpen, sideOpen bool
	chosen             mapChoice
	shapes             shapeChoice
	lastMap            keptMap
	layouts            layouts
	sample             *classify.Reference // that everything is compared with; nil for the published teeth
	Versions           sheet.Versions
}

// New makes a desk over a tray.
func New(t *tray.Tray, out Outside, v sheet.Versions) *Desk {
	d := &Desk{
		Tray: t, outside: out, Versions: v, test: &sampleTest{}, unfolded: map[string]bool{},
		open: map[morph.ID]bool{}, refused: map[string]Refusal{}, countLength: map[string]string{},
	}
	d.Bench = bench.New(host{d})
	d.Bench.FollowEdge(true)
	return d
}

// Specimen is the tooth on the desk, or nil.
func (d *Desk) Specimen() *tray.Specimen { return d.Tray.Get(d.specimen) }

// Photo is the photograph on the bench, or nil.
func (d *Desk) Photo() *tray.Photo {
	s := d.Specimen()
	if s == nil {
		return nil
	}
	return s.Photo(d.photo)
}

// Find derives the readings and the sorting of a specimen.
func (d *Desk) Find(s *tray.Specimen) tray.Finding { return d.finder.Find(s) }

// Dialog is what lies over the bench now.
func (d *Desk) Dialog() Dialog { return d.dialog }

// OpenDialog lays something over the bench, or takes it away (NoDialog).
func (d *Desk) OpenDialog(x Dialog) {
	if x == SheetDialog && d.Specimen() == nil || d.lesson.taking != nil && !slices.Contains(inLesson, x) {
		return
	}
	d.dialog = x
	d.forgetRemarks()
	switch x {
	case SheetDialog:
		d.preparePictures()
		d.focus = "sheet-close"
	case OutDialog:
		d.focus = "out-backup"
		d.outside.AskSpace()
	case SizesDialog:
		d.focus = "sizes-close"
	case ShapesDialog:
		d.focus = "shapes-close"
	case HelpDialog:
		d.focus = "help-close"
	case MapDialog:
		d.focus = "map-plot"
	case ComparisonDialog:
		d.focus = "comparison-close"
	case LessonDialog:
		d.focus = "lesson-close"
	case InstructionsDialog:
		d.focus = "instructions-go"
	case LessonEndDialog:
		d.focus = "lesson-answer"
	case TableDialog:
		d.focus = "table-pick"
		if d.table.Stage != TableWanted {
			d.focus = "table-close"
		}
	}
	d.remember()
	d.outside.Refresh()
}

// Select puts a specimen on the desk and its first photograph on the bench.
func (d *Desk) Select(id string) {
	s := d.Tray.Get(id)
	d.forgetRemarks()
	if s == nil {
		d.specimen, d.photo = "", ""
	} else {
		photo := ""
		if len(s.Photos) > 0 {
			photo = s.Photos[0].ID
		}
		if id == d.specimen && s.Photo(d.photo) != nil {
			photo = d.photo
		}
		d.specimen, d.photo = id, photo
	}
	d.lay()
	d.takeUp()
	if d.dialog == SheetDialog {
		if d.Specimen() == nil {
			d.dialog = NoDialog
		} else {
			d.preparePictures()
		}
	}
	d.remember()
}

// SelectPhoto puts a photograph of the specimen on the bench.
func (d *Desk) SelectPhoto(id string) {
	s := d.Specimen()
	if s == nil || s.Photo(id) == nil {
		return
	}
	d.photo = id
	d.forgetRemarks()
	d.lay()
	d.takeUp()
	d.remember()
}

// TakeFocus gives the id of the element that should have the keyboard now, once.
func (d *Desk) TakeFocus() string {
	f := d.focus
	d.focus = ""
	return f
}
