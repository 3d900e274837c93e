package desk

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"unicode"
	"unicode/utf8"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/bench"
	"crownbench/wasm/comparison"
	"crownbench/wasm/sheet"
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

// Place is where a person was: enough to come back to it after a reload.
type Place struct {
	Specimen string     `json:"specimen,omitempty"`
	Photo    string     `json:"photo,omitempty"`
	Tool     bench.Tool `json:"tool,omitempty"`
	Dialog   Dialog     `json:"dialog,omitempty"`
	// Lesson is the key of the work on the desk, Sitting where it is; the others
	// are then what was on the desk before.
	Lesson  string `json:"lesson,omitempty"`
	Sitting int    `json:"sitting,omitempty"`
}

// Notice is a sentence for the person, with how grave it is.
type Notice struct {
	ID    int
	Text  string
	Grave bool // something went wrong; otherwise a remark
}

// Refusal is what a person typed into a cell that could not be taken, and why.
type Refusal struct {
	Text, Why string
}

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
	anchor    string // of a range of picked rows
	twinSeen  map[[2]string]bool
	outPicked bool
	dataset   archive.Dataset
	job       *Job
	backup    Backup
	unworked  bool // what is added now is in a file already
	space     Space

	trayOpen, sideOpen bool
	chosen             mapChoice
	lastMap            keptMap
	layouts            layouts
	sample             *classify.Reference // that everything is compared with; nil for the published teeth
	Versions           sheet.Versions
}

// PictureState tells how far the picture under the bench is.
type PictureState int

const (
	PictureNone PictureState = iota
	PictureOpening
	PictureReady
	PictureBad
)

// SavingState tells how the record stands.
type SavingState int

const (
	Saved SavingState = iota
	SavingNow
	NotSaved // something could not be saved; see SavingWhy
	SavingOff
)

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

// host lets the bench change the record through the desk.
type host struct{ d *Desk }

func (h host) Edit(label, merge string, edit func(*morph.View)) {
	d := h.d
	id := d.photo
	d.edit(label, merge, func(s *tray.Specimen) {
		if p := s.Photo(id); p != nil {
			edit(&p.View)
		}
	})
}

// Redraw is called for every move of the picture; the panels follow only when
// what they say has changed.
func (h host) Redraw() {
	h.d.outside.Redraw()
	if p := promptWords(h.d.Bench.Prompt()); p != h.d.prompted {
		h.d.prompted = p
		h.d.outside.Refresh()
	}
}

func promptWords(p bench.Prompt) string {
	words := p.Text
	for _, a := range p.Actions {
		words += "|" + a.Label
	}
	return words
}

func (h host) Say(sentence string) {
	h.d.spoken = sentence
	h.d.outside.Refresh()
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

// forgetRemarks takes remarks off the page once the person has gone on; what
// went wrong stays until it is put away.
func (d *Desk) forgetRemarks() {
	d.notices = slices.DeleteFunc(d.notices, func(n Notice) bool { return !n.Grave })
}

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

func (d *Desk) preparePictures() {
	s := d.Specimen()
	d.outside.PreparePictures(s, func(urls map[string]string) {
		d.urls = urls
		d.outside.Refresh()
	})
}

// PictureURL gives the web address of a photograph's picture, or "".
func (d *Desk) PictureURL(hash string) string { return d.urls[hash] }

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

// takeUp takes up the tool that the photograph on the bench asks for.
func (d *Desk) takeUp() {
	p := d.Photo()
	if p == nil {
		return
	}
	d.Bench.SetTool(nextTool(p))
}

// nextTool proposes what to do first with a photograph: its scale, then what
// its role is for.
func nextTool(p *tray.Photo) bench.Tool {
	switch {
	case !p.Scaled():
		return bench.Scale
	case p.Role.Lateral() && (p.Crown == nil || !p.Crown.Done):
		return bench.Crown
	case p.Role.Sectional() && (p.Section == nil || !p.Section.Done || p.Section.Mesial == morph.Unset || p.Section.Distal == morph.Unset):
		return bench.Section
	case p.Role == morph.MesialView || p.Role == morph.DistalView:
		return bench.Denticles
	}
	return bench.Look
}

// lay shows the current photograph on the bench.
func (d *Desk) lay() {
	d.glanceAll()
	p := d.Photo()
	hash := ""
	if p != nil {
		hash = p.Hash
	}
	another := hash != d.pictureFor
	if another {
		d.pictureFor = hash
		d.pixels = pixels{of: hash}
		d.picture, d.pictureWhy = PictureNone, ""
		if p != nil {
			d.picture = PictureOpening
		}
	}
	if p == nil {
		d.photo = ""
		d.Bench.Show(nil, 0, 0)
	} else {
		d.Bench.Show(&p.View, p.Width, p.Height)
	}
	if another {
		d.outside.ShowPicture(p)
	}
	d.wantSpread()
	d.outside.Redraw()
	d.outside.Refresh()
}

// PictureShown and PictureFailed answer Outside.ShowPicture.
func (d *Desk) PictureShown(hash string) {
	if hash == d.pictureFor {
		d.picture = PictureReady
		d.readPixels()
		d.outside.Redraw()
		d.outside.Refresh()
	}
}

// PictureFailed tells why a picture cannot be shown; its marks stay.
func (d *Desk) PictureFailed(hash, why string) {
	if hash == d.pictureFor {
		d.picture, d.pictureWhy = PictureBad, why
		d.readPixels()
		d.outside.Refresh()
	}
}

// Picture tells how far the picture under the bench is, and why it is not
// there when it is not.
func (d *Desk) Picture() (PictureState, string) { return d.picture, d.pictureWhy }

// LosePhotoView tells the desk that photographs cannot be drawn here; typed
// values, sorting and sheet go on.
func (d *Desk) LosePhotoView(why string) {
	d.noPhotoView = why
	d.outside.Refresh()
}

// NoPhotoView gives the reason why photographs cannot be drawn, or "".
func (d *Desk) NoPhotoView() string { return d.noPhotoView }

// edit changes the specimen on the desk.
func (d *Desk) edit(label, merge string, f func(*tray.Specimen)) {
	if err := d.Tray.Edit(d.specimen, label, merge, f); err != nil {
		d.Warn(Sentence(err))
		return
	}
	d.lay()
}

// Undo takes back the last point that is no part of the record yet, else the
// last change, and goes to where that was made.
func (d *Desk) Undo() {
	if d.Bench.TakeBack() {
		d.spoken = "Undone: the last point."
		d.Laid()
		return
	}
	d.step(d.Tray.Undo, "Undone: ")
}

// Redo makes the last change that was taken back again.
func (d *Desk) Redo() { d.step(d.Tray.Redo, "Done again: ") }

func (d *Desk) step(f func() (string, []string, bool), word string) {
	label, ids, ok := f()
	if !ok {
		return
	}
	d.spoken = word + label + "."
	clear(d.refused)
	d.goTo(ids)
}

// goTo keeps the desk on a specimen that exists: one of ids if the current
// one is not among them.
func (d *Desk) goTo(ids []string) {
	for _, id := range ids {
		if id == d.specimen && d.Tray.Get(id) != nil {
			d.settle()
			return
		}
	}
	for _, id := range ids {
		if d.Tray.Get(id) != nil {
			d.Select(id)
			return
		}
	}
	if d.Specimen() == nil {
		if all := d.Tray.Specimens(); len(all) > 0 {
			d.Select(all[len(all)-1].ID)
		} else {
			d.Select("")
		}
		return
	}
	d.settle()
}

// settle lays the bench again after the specimen changed under it.
func (d *Desk) settle() {
	if s := d.Specimen(); s != nil && s.Photo(d.photo) == nil {
		d.photo = ""
		if len(s.Photos) > 0 {
			d.photo = s.Photos[0].ID
		}
	}
	d.lay()
}

// ChangedElsewhere takes over a specimen that another tab saved (nil: deleted).
func (d *Desk) ChangedElsewhere(id string, s *tray.Specimen) {
	if s == nil {
		if d.own().Drop(id) {
			d.Remark("A specimen was deleted in another tab of this browser.")
		}
	} else if changed, err := d.own().Adopt(s); err != nil {
		d.Warn(Sentence(err))
	} else if !changed {
		return
	}
	d.goTo([]string{d.specimen})
}

// Conflict is told that a change was not saved because another tab was there
// first. The tray takes what is stored (nil: deleted); ours stays as a copy of
// its own, so that nothing entered in either tab is lost.
func (d *Desk) Conflict(why, id string, ours, stored *tray.Specimen) {
	d.Warn(why)
	own := d.own()
	own.Drop(id)
	if stored != nil {
		if _, err := own.Adopt(stored); err != nil {
			d.Warn(Sentence(err))
		}
	}
	if ours != nil {
		c := ours.Clone()
		c.Name += " (from this tab)"
		if _, err := own.Add("keep a copy of "+ours.Name, c); err != nil {
			d.Warn(Sentence(err))
		}
	}
	d.goTo([]string{d.specimen})
}

// Start puts the desk where it was left.
func (d *Desk) Start(p Place) {
	switch {
	case d.Tray.Get(p.Specimen) != nil:
		d.specimen, d.photo = p.Specimen, p.Photo
		d.settle()
		d.Bench.SetTool(p.Tool)
		if p.Dialog != NoDialog {
			d.OpenDialog(p.Dialog)
		}
	case d.Tray.Len() > 0:
		d.Select(d.Tray.Specimens()[0].ID)
	default:
		d.Select("")
	}
	for _, k := range d.lesson.kept {
		if k.Key == p.Lesson {
			d.goOn(k, p.Sitting)
		}
	}
	d.outside.Refresh()
}

func (d *Desk) place() Place {
	p := Place{Specimen: d.specimen, Photo: d.photo, Tool: d.Bench.Tool(), Dialog: d.dialog}
	if p.Dialog == ReportDialog {
		p.Dialog = NoDialog // a review does not outlast the page
	}
	return p
}

func (d *Desk) remember() {
	p := d.place()
	if t := d.lesson.taking; t != nil {
		p = t.place
		p.Lesson, p.Sitting = t.key, t.At
	}
	d.outside.Remember(p)
}

// Warn shows a sentence about something that went wrong until it is put away.
func (d *Desk) Warn(text string) { d.notice(text, true) }

// Remark shows a sentence worth knowing.
func (d *Desk) Remark(text string) { d.notice(text, false) }

// maxNotices bounds what lies over the page when much goes wrong at once.
const maxNotices = 5

func (d *Desk) notice(text string, grave bool) {
	for _, n := range d.notices {
		if n.Text == text {
			return
		}
	}
	d.lastID++
	d.notices = append(d.notices, Notice{d.lastID, text, grave})
	if len(d.notices) > maxNotices {
		d.notices = d.notices[1:]
	}
	d.outside.Refresh()
}

// Notices are the sentences on show, oldest first.
func (d *Desk) Notices() []Notice { return d.notices }

// PutAway takes a notice off the page.
func (d *Desk) PutAway(id int) {
	for i, n := range d.notices {
		if n.ID == id {
			d.notices = append(d.notices[:i:i], d.notices[i+1:]...)
			break
		}
	}
	d.outside.Refresh()
}

// Spoken is the last thing said for those who listen to the page.
func (d *Desk) Spoken() string { return d.spoken }

// Saving tells how the record stands, and why where it is not saved.
func (d *Desk) Saving() (SavingState, string) { return d.saving, d.savWhy }

// WouldBeLost tells whether something entered would be gone if the page were
// left now: it is not saved yet, or cannot be. The invented teeth are no loss.
func (d *Desk) WouldBeLost() bool {
	switch d.saving {
	case SavingNow, NotSaved:
		return true
	case SavingOff:
		return d.lesson.taking != nil || slices.ContainsFunc(d.Tray.Specimens(), func(s *tray.Specimen) bool { return !s.Invented })
	}
	return false
}

// SetSaving is told by the store how the record stands.
func (d *Desk) SetSaving(s SavingState, why string) {
	if d.saving == s && d.savWhy == why {
		return
	}
	d.saving, d.savWhy = s, why
	d.outside.Refresh()
}

// Busy names what the program is at work on, "" when nothing.
func (d *Desk) Busy() string { return d.busy }

// SetBusy is told of work that a person waits for.
func (d *Desk) SetBusy(what string) {
	d.busy = what
	d.outside.Refresh()
}

// TakeFocus gives the id of the element that should have the keyboard now, once.
func (d *Desk) TakeFocus() string {
	f := d.focus
	d.focus = ""
	return f
}

// Refused gives what was typed into a cell and could not be taken.
func (d *Desk) Refused(cell string) (Refusal, bool) {
	r, ok := d.refused[d.specimen+"|"+cell]
	return r, ok
}

func (d *Desk) refuse(cell, text string, err error) {
	d.refused[d.specimen+"|"+cell] = Refusal{text, Sentence(err)}
	d.spoken = Sentence(err)
	d.outside.Refresh()
}

func (d *Desk) refuseOnceDone(how Typing, cell, text string, err error) {
	if how == Done {
		d.refuse(cell, text, err)
	}
}

func (d *Desk) accept(cell string) { delete(d.refused, d.specimen+"|"+cell) }

// ToggleReading opens or closes the details of a reading.
func (d *Desk) ToggleReading(id morph.ID) {
	d.open[id] = !d.open[id]
	d.wantSpread()
	d.outside.Refresh()
}

// ReadingOpen tells whether a reading's details are open.
func (d *Desk) ReadingOpen(id morph.ID) bool { return d.open[id] }

// Unfolded tells whether a part of a panel lies open. It stays so from tooth to
// tooth, and while a value is typed that hides the part for a moment.
func (d *Desk) Unfolded(part string) bool { return d.unfolded[part] }

// Unfold opens a part of a panel, or closes it.
func (d *Desk) Unfold(part string, open bool) {
	d.unfolded[part] = open
	d.outside.Refresh()
}

// Drawer tells which of the side panels are slid in on a small window.
func (d *Desk) Drawer() (trayOpen, sideOpen bool) { return d.trayOpen, d.sideOpen }

// SetDrawer slides the side panels in or out on a small window.
func (d *Desk) SetDrawer(trayOpen, sideOpen bool) {
	d.trayOpen, d.sideOpen = trayOpen, sideOpen
	d.outside.Refresh()
}

// Sentence makes an error read as one: a capital first, unless it begins with
// the name of a file, and a full stop last.
func Sentence(err error) string {
	s := strings.TrimSpace(err.Error())
	if s == "" {
		return ""
	}
	if word, _, _ := strings.Cut(s, " "); !strings.Contains(word, ".") {
		first, n := utf8.DecodeRuneInString(s)
		s = string(unicode.ToUpper(first)) + s[n:]
	}
	if !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}

func countOf(n int, one, many string) string {
	if n == 1 {
		return "1 " + one
	}
	return fmt.Sprintf("%d %s", n, many)
}
