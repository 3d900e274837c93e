package desk

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"crownbench/morph"
	"crownbench/morph/agreement"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// KeptWork is work on a lesson that this browser keeps.
type KeptWork struct {
	Key     string `json:"key"`  // under which its state is kept
	File    string `json:"file"` // SHA-256 of the lesson file
	Digest  string `json:"digest"`
	Title   string `json:"title"`
	Student string `json:"student"`
	Done    int    `json:"done"` // sittings
	Of      int    `json:"of"`
	Handed  bool   `json:"handed,omitempty"` // an answer was saved
	Repeats bool   `json:"repeats,omitempty"`
}

// Taking is a lesson on the desk. Its specimens stand in a tray of their own,
// one sitting at a time; the person's tray waits aside.
type Taking struct {
	Work *lesson.Work
	At   int // the sitting on the desk
	// Repeats tells that a person marks own specimens again.
	Repeats bool
	Saved   string // name of the answer file that was saved last

	opened *openedLesson
	key    string
	home   *tray.Tray
	place  Place // to go back to
	// Pointing is what the repeats tell, PointingWhy why they do not; of the end
	// of one's own repeats only.
	Pointing    agreement.Pointing
	PointingWhy string
}

// Left is how many tasks of the sitting on the desk are not done.
func (t *Taking) Left() int { return left(t.Work.Tasks(t.At)) }

func left(tasks []lesson.Task) int {
	n := 0
	for _, x := range tasks {
		if !x.Done {
			n++
		}
	}
	return n
}

// Taking is the lesson on the desk, or nil.
func (d *Desk) Taking() *Taking { return d.lesson.taking }

// KeptWork lists the work on lessons that this browser keeps, the latest first.
func (d *Desk) KeptWork() []KeptWork { return slices.Clone(d.lesson.kept) }

// TakeKeptWork takes over the list as it was kept.
func (d *Desk) TakeKeptWork(all []KeptWork) {
	d.lesson.kept = slices.DeleteFunc(all, func(k KeptWork) bool { return k.Key == "" || k.File == "" })
}

// OpenedLesson is the lesson that waits for a name, or nil.
func (d *Desk) OpenedLesson() *lesson.Lesson {
	if o := d.lesson.opened; o != nil {
		return o.Lesson
	}
	return nil
}

// TakeLessonAddress opens a lesson that came from an address.
func (d *Desk) TakeLessonAddress(name string, b []byte) {
	if d.refusedInLesson() {
		return
	}
	d.openToTake(lesson.File{Name: name, Data: b})
}

func (d *Desk) openToTake(f lesson.File) {
	d.OpenLesson(LessonTake)
	o, err := openLesson(f.Data)
	if err != nil {
		d.lesson.wrong = fmt.Sprintf("%s was not opened: %s", f.Name, Sentence(err))
		d.lesson.opened = nil
		d.outside.Refresh()
		return
	}
	d.lesson.opened = o
	d.focus = "lesson-name"
	d.outside.Refresh()
}

// StudentName is the name that is being typed for the lesson that waits.
func (d *Desk) StudentName() string { return d.lesson.name }

// TypeStudentName takes what stands in the field for it.
func (d *Desk) TypeStudentName(text string) { d.lesson.name = text }

// PutLessonAway forgets the lesson that waits for a name.
func (d *Desk) PutLessonAway() {
	d.lesson.opened, d.lesson.wrong = nil, ""
	d.focus = "lesson-pick"
	d.outside.Refresh()
}

// BeginLesson begins the lesson that waits under the name that was typed, or
// goes on with the work on it that is kept under that name.
func (d *Desk) BeginLesson() {
	o := d.lesson.opened
	if o == nil {
		return
	}
	w, err := lesson.Start(o.Opened, d.lesson.name)
	if err != nil {
		d.lesson.wrong = Sentence(err)
		d.focus = "lesson-name"
		d.outside.Refresh()
		return
	}
	for _, k := range d.lesson.kept {
		if k.Digest == o.Digest && strings.EqualFold(k.Student, w.Student) {
			d.GoOn(k)
			d.Remark(fmt.Sprintf("Work by %s on this lesson was kept here; it goes on.", k.Student))
			return
		}
	}
	d.begin(o, w, false)
}

// begin puts new work on the desk.
func (d *Desk) begin(o *openedLesson, w *lesson.Work, repeats bool) {
	key := tray.NewID()
	d.outside.KeepLessonFile(o.hash, o.file)
	d.lesson.kept = slices.Insert(d.lesson.kept, 0, KeptWork{
		Key: key, File: o.hash, Digest: o.Digest, Title: o.Lesson.Title, Student: w.Student, Of: len(w.Entries), Repeats: repeats})
	d.enter(&Taking{Work: w, opened: o, key: key, Repeats: repeats}, 0)
	d.keepWork()
	d.OpenDialog(InstructionsDialog)
}

// GoOn goes on with work that this browser keeps.
func (d *Desk) GoOn(k KeptWork) { d.goOn(k, -1) }

// goOn goes on at a sitting, or, below 0, at the first that is not finished.
func (d *Desk) goOn(k KeptWork, at int) {
	if d.lesson.taking != nil {
		return
	}
	waiting := d.lesson.opened
	d.SetBusy("Opening the lesson…")
	d.outside.FetchWork(k, func(file, state []byte, err error) {
		d.SetBusy("")
		o := waiting
		if err == nil && (o == nil || o.hash != k.File) {
			if file == nil {
				err = fmt.Errorf("the lesson file of %q is no longer in this browser: open it again, and the work goes on under the same name", k.Title)
			} else {
				o, err = openLesson(file)
			}
		}
		var w *lesson.Work
		if err == nil {
			w, err = lesson.Resume(o.Opened, state)
		}
		if err != nil {
			d.Warn(Sentence(err))
			return
		}
		if d.lesson.taking != nil {
			return // opened twice
		}
		if file == nil {
			d.outside.KeepLessonFile(o.hash, o.file)
		}
		if at < 0 || at >= len(w.Entries) {
			at, _ = w.Next()
		}
		d.enter(&Taking{Work: w, opened: o, key: k.Key, Repeats: k.Repeats}, at)
	})
}

// ForgetWork takes work on a lesson out of this browser.
func (d *Desk) ForgetWork(key string) {
	d.lesson.kept = slices.DeleteFunc(d.lesson.kept, func(k KeptWork) bool { return k.Key == key })
	nothing := func() ([]byte, error) { return nil, nil }
	d.outside.KeepWork(slices.Clone(d.lesson.kept), key, nothing)
	d.outside.Refresh()
}

func (d *Desk) enter(t *Taking, at int) {
	t.home = d.Tray
	t.place = d.place()
	t.place.Dialog = NoDialog
	d.lesson.taking, d.lesson.opened, d.lesson.wrong, d.lesson.name = t, nil, "", ""
	d.dialog = NoDialog
	d.SetDrawer(false, false)
	d.assist()
	d.sit(at)
}

// assist lets the bench help as far as the lesson on the desk allows it.
func (d *Desk) assist() {
	help := lesson.Help{Edges: true, Proposals: true}
	if t := d.lesson.taking; t != nil {
		help = t.Work.Lesson.Help
	}
	d.Bench.FollowEdge(help.Edges && !d.settings.Straight)
	d.Bench.Propose(help.Proposals)
	readings, _ := d.Shown()
	d.Bench.TellReadings(readings)
}

// sit puts a sitting on the desk.
func (d *Desk) sit(i int) {
	t := d.lesson.taking
	t.At = i
	s := t.Work.Specimen(i)
	sitting := &tray.Tray{Keep: d.keepSitting}
	if _, err := sitting.Adopt(s); err != nil { // the work was checked when it was read
		d.Warn(Sentence(err))
	}
	d.Tray = sitting
	clear(d.refused)
	clear(d.open)
	d.Select(s.ID)
}

// keepSitting takes what was marked into the work; the tray calls it.
func (d *Desk) keepSitting(changes []tray.Change) {
	t := d.lesson.taking
	for _, c := range changes {
		if c.After == nil {
			continue
		}
		if err := t.Work.Keep(t.At, c.After); err != nil {
			d.Warn(Sentence(err))
			return
		}
	}
	t.Saved = ""
	d.keepWork()
}

// keepWork keeps the work as it is when the browser comes to it.
func (d *Desk) keepWork() {
	t := d.lesson.taking
	for i := range d.lesson.kept {
		k := &d.lesson.kept[i]
		if k.Key != t.key {
			continue
		}
		k.Done, k.Handed = 0, t.Saved != ""
		for _, e := range t.Work.Entries {
			if e.Done {
				k.Done++
			}
		}
	}
	d.outside.KeepWork(slices.Clone(d.lesson.kept), t.key, t.Work.State)
	d.outside.Refresh()
}

// ChooseName says what the student calls the tooth of the sitting on the desk.
func (d *Desk) ChooseName(name string) {
	t := d.lesson.taking
	if t == nil {
		return
	}
	if err := t.Work.Choose(t.At, name); err != nil {
		d.Warn(Sentence(err))
		return
	}
	t.Saved = ""
	d.keepWork()
}

// NextTooth goes on to the next sitting, or to the end after the last. A
// sitting with nothing left to do counts as finished.
func (d *Desk) NextTooth() {
	t := d.lesson.taking
	if t == nil {
		return
	}
	d.settleSitting()
	if t.At+1 < len(t.Work.Entries) {
		d.sit(t.At + 1)
		return
	}
	d.EndLesson()
}

// PreviousTooth goes back to the sitting before.
func (d *Desk) PreviousTooth() {
	if t := d.lesson.taking; t != nil && t.At > 0 {
		d.settleSitting()
		d.sit(t.At - 1)
	}
}

// GoToSitting goes to a sitting, from the list at the end.
func (d *Desk) GoToSitting(i int) {
	if t := d.lesson.taking; t != nil && i >= 0 && i < len(t.Work.Entries) {
		d.settleSitting()
		d.dialog = NoDialog
		d.sit(i)
	}
}

func (d *Desk) settleSitting() {
	t := d.lesson.taking
	t.Work.Finish(t.At, t.Left() == 0)
	d.keepWork()
}

// EndLesson shows what was done and what is left.
func (d *Desk) EndLesson() {
	t := d.lesson.taking
	if t == nil {
		return
	}
	d.settleSitting()
	if t.Repeats {
		t.PointingWhy = ""
		var err error
		if t.Pointing, err = t.Work.Pointing(); err != nil {
			t.PointingWhy = Sentence(err)
		} else if t.Pointing.All.SD == 0 {
			t.PointingWhy = "Every point was placed exactly where it was the first time; that tells nothing of how well you point."
		}
	}
	d.OpenDialog(LessonEndDialog)
}

// SaveAnswer hands out the answer file.
func (d *Desk) SaveAnswer() {
	t := d.lesson.taking
	if t == nil {
		return
	}
	b, err := t.Work.Answer(time.Now())
	if err != nil {
		d.Warn(Sentence(err))
		return
	}
	t.Saved = t.Work.AnswerFile()
	d.outside.Download(t.Saved, "application/json", b)
	d.keepWork()
}

// LeaveLesson puts the person's own tray back on the desk. The work is kept.
func (d *Desk) LeaveLesson() {
	t := d.lesson.taking
	if t == nil {
		return
	}
	d.settleSitting()
	d.lesson.taking = nil
	d.Tray = t.home
	d.assist()
	d.dialog = NoDialog
	clear(d.refused)
	clear(d.open)
	d.SetDrawer(false, false)
	d.specimen, d.photo = "", ""
	d.Start(t.place)
	d.remember()
	if !t.Repeats && t.Saved == "" {
		d.Remark("The work on the lesson is kept in this browser; go on under Lesson.")
	}
}

// Shown tells what of a specimen may be shown now: readings that follow from
// its marks, and how it is sorted.
func (d *Desk) Shown() (readings, answer bool) {
	t := d.lesson.taking
	if t == nil {
		return true, true
	}
	h := t.Work.Lesson.Hidden
	return !h.Readings, !h.Answer && !h.Readings
}

// Asked tells whether the lesson on the desk asks for a reading.
func (t *Taking) Asked(id morph.ID) bool { return slices.Contains(t.Work.Lesson.Readings, id) }
