package desk

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// Dialogs of the Lesson.
const (
	LessonDialog       Dialog = "lesson"        // the ways into it
	InstructionsDialog Dialog = "instructions"  // of the lesson that is being taken
	LessonEndDialog    Dialog = "lesson-end"    // every tooth was seen
	ReportDialog       Dialog = "lesson-report" // in place of the desk
)

// inLesson are the dialogs that may be opened while a lesson is on the desk.
var inLesson = []Dialog{NoDialog, HelpDialog, InstructionsDialog, LessonEndDialog}

// LessonDoor is the part of the lesson dialog that is open.
type LessonDoor int

const (
	LessonWays LessonDoor = iota
	LessonTake
	LessonMake
	LessonReview
	LessonRepeat
)

// Lessons is what the Lesson asks of the desk's surroundings.
type Lessons interface {
	// PickLessonFiles lets the person choose files of a lesson, one or many;
	// they come back with TakeLessonFiles.
	PickLessonFiles(many bool)
	// FetchDemo fetches the invented teeth without putting them on the desk.
	FetchDemo(then func([]*tray.Specimen, error))
	// PhotoFile gives the file of a photograph. It may block, so it is for work
	// that runs Beside.
	PhotoFile(*tray.Photo) ([]byte, error)
	// KeepLessonFile keeps a lesson file under its SHA-256 for as long as work
	// on it is kept.
	KeepLessonFile(hash string, file []byte)
	// KeepWork keeps the list of all work on lessons and the state of the one
	// with that key, which is asked for when its turn comes.
	KeepWork(all []KeptWork, key string, state func() ([]byte, error))
	// FetchWork gives a lesson file and the work on it; the file is nil where
	// this browser has lost it.
	FetchWork(w KeptWork, then func(file, state []byte, err error))
}

// lessons is all that the desk knows of lessons.
type lessons struct {
	door   LessonDoor
	wrong  string // why what was handed over cannot be taken
	kept   []KeptWork
	opened *openedLesson // waits for a name
	name   string        // that is being typed
	taking *Taking
	making Making
	review Review
	// repeats are own specimens that are to be marked twice, by ID.
	repeats map[string]bool
}

// openedLesson is a lesson with the file that it came from.
type openedLesson struct {
	*lesson.Opened
	file []byte
	hash string // of the file
}

func openLesson(file []byte) (*openedLesson, error) {
	o, err := lesson.Open(file)
	if err != nil {
		return nil, err
	}
	sum := sha256.Sum256(file)
	return &openedLesson{o, file, hex.EncodeToString(sum[:])}, nil
}

// photo gives the ID of a lesson's photograph by its hash, or "".
func (o *openedLesson) photo(hash string) string {
	for _, t := range o.Lesson.Teeth {
		if i := slices.IndexFunc(t.Photos, func(p lesson.Photo) bool { return p.Hash == hash }); i >= 0 {
			return t.Photos[i].ID
		}
	}
	return ""
}

// OpenLesson opens one of the ways into a lesson, or shows them all. While a
// lesson is on the desk nothing of the sort can be opened.
func (d *Desk) OpenLesson(door LessonDoor) {
	if d.lesson.taking != nil {
		return
	}
	d.lesson.door, d.lesson.wrong = door, ""
	if door == LessonMake {
		d.lesson.making.fill(d.Tray.Specimens())
	}
	d.OpenDialog(LessonDialog)
	if door != LessonWays {
		d.focus = "lesson-back"
	}
}

// LessonDoor is the part of the lesson dialog that is open.
func (d *Desk) LessonDoor() LessonDoor { return d.lesson.door }

// LessonWrong says why what was handed over last cannot be taken, or "".
func (d *Desk) LessonWrong() string { return d.lesson.wrong }

// PickLessonFiles lets the person choose a lesson, or a key and answers.
func (d *Desk) PickLessonFiles() {
	d.outside.PickLessonFiles(d.lesson.door == LessonReview)
}

// lessonKind is what a file is to a lesson.
type lessonKind int

const (
	noLesson lessonKind = iota
	lessonFile
	keyFile
	answerFile
)

// kindOf tells by its beginning what a file is to a lesson. Whether it is
// sound is another question.
func kindOf(b []byte) lessonKind {
	if bytes.HasPrefix(b, []byte("PK")) {
		// The name of an archive's first part stands behind 30 bytes of header.
		if len(b) > 41 && string(b[30:41]) == "lesson.json" {
			return lessonFile
		}
		return noLesson
	}
	head := b[:min(len(b), 200)]
	word, ok := formatIn(head)
	switch {
	case !ok:
		return noLesson
	case word == lesson.KeyFormat:
		return keyFile
	}
	return answerFile
}

// formatIn reads the value of "format" where a JSON object begins with one that
// belongs to a lesson.
func formatIn(head []byte) (string, bool) {
	dec := json.NewDecoder(bytes.NewReader(head))
	for i := range 3 { // {, "format", its value
		t, err := dec.Token()
		if err != nil {
			return "", false
		}
		word, _ := t.(string)
		if i == 0 && t != json.Delim('{') || i == 1 && word != "format" {
			return "", false
		}
		if i == 2 {
			return word, slices.Contains([]string{lesson.KeyFormat, lesson.AnswerFormat, lesson.WorkFormat, lesson.LessonFormat}, word)
		}
	}
	return "", false
}

// IsForLesson tells by the beginning of a file whether it belongs to a lesson.
func IsForLesson(head []byte) bool { return kindOf(head) != noLesson }

// AwaitsLessonFiles tells whether what is handed over now is for the Lesson,
// whatever it is.
func (d *Desk) AwaitsLessonFiles() bool {
	return d.dialog == LessonDialog && (d.lesson.door == LessonTake || d.lesson.door == LessonReview)
}

// MaxLessonFile is how large a file may be that is handed to the Lesson, in
// bytes.
const MaxLessonFile = lesson.MaxLessonBytes

// TakeLessonFiles takes what was handed to the Lesson: a lesson to work on, or
// a key with answers.
func (d *Desk) TakeLessonFiles(files []lesson.File) {
	if len(files) == 0 || d.refusedInLesson() {
		return
	}
	review := d.dialog == LessonDialog && d.lesson.door == LessonReview
	for _, f := range files {
		if k := kindOf(f.Data); k == keyFile || k == answerFile {
			review = true
		}
	}
	if review {
		if d.dialog != LessonDialog || d.lesson.door != LessonReview {
			d.OpenLesson(LessonReview)
		}
		d.addToReview(files)
		return
	}
	d.openToTake(files[0])
	if len(files) > 1 {
		d.Remark("One lesson is opened at a time: the first of these files.")
	}
}

// refusedInLesson tells whether something cannot be done since a lesson is on
// the desk, and says so.
func (d *Desk) refusedInLesson() bool {
	if d.lesson.taking == nil {
		return false
	}
	d.Remark("A lesson is on the desk; nothing else can be added meanwhile. Leave it first: the work on it is kept.")
	return true
}

// own is the person's own tray, also while a lesson is on the desk.
func (d *Desk) own() *tray.Tray {
	if t := d.lesson.taking; t != nil {
		return t.home
	}
	return d.Tray
}

// LessonPicture gives the file of a photograph that came with a lesson; ok is
// false for any other.
func (d *Desk) LessonPicture(hash string) (b []byte, err error, ok bool) {
	var from []*openedLesson
	if t := d.lesson.taking; t != nil {
		from = append(from, t.opened)
	}
	from = append(from, d.lesson.review.opened)
	for _, o := range from {
		if o == nil {
			continue
		}
		if id := o.photo(hash); id != "" {
			b, err := o.Picture(id)
			return b, err, true
		}
	}
	return nil, nil, false
}
