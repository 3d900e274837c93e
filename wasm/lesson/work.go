package lesson

import (
	"errors"
	"fmt"
	"maps"
	"slices"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"crownbench/morph"
	"crownbench/morph/agreement"
	"crownbench/wasm/tray"
)

// Entry is what a student marked, typed and chose for one tooth in one repeat.
// Readings are no part of it: they are computed from it.
type Entry struct {
	Tooth  string                   `json:"tooth"`  // its ID
	Repeat int                      `json:"repeat"` // from 1
	Views  []morph.View             `json:"views,omitempty"`
	Typed  map[morph.ID]morph.Typed `json:"typed,omitempty"`
	Counts map[morph.ID]morph.Count `json:"counts,omitempty"`
	Mesial morph.CarinaState        `json:"mesialDenticles,omitempty"`
	Distal morph.CarinaState        `json:"distalDenticles,omitempty"`
	Prefer map[morph.ID]string      `json:"prefer,omitempty"`
	Choice string                   `json:"choice,omitempty"` // what the student calls it
	Done   bool                     `json:"done,omitempty"`   // the student says so
}

// Work is a student's work on a lesson. Its entries are sittings in the order
// in which they are to be done: every tooth once, then every tooth again, so
// that no mark is repeated from memory. Make one with Start or Resume.
type Work struct {
	Lesson  *Lesson
	Digest  string // of the lesson
	Student string // name or number
	Entries []Entry
}

type workBody struct {
	Lesson  string  `json:"lesson"` // its ID
	Digest  string  `json:"digest"`
	Student string  `json:"student"`
	Written string  `json:"written,omitempty"` // RFC 3339, of answers only
	Entries []Entry `json:"entries"`
}

// Start begins a student's work. Of the name, what does not print is left out
// and spaces are made single. The error is a sentence: no name or number, or
// one that is too long.
func Start(o *Opened, student string) (*Work, error) {
	if !utf8.ValidString(student) {
		return nil, errors.New("the name is not valid text (UTF-8)")
	}
	student = strings.Join(strings.Fields(student), " ")
	student = strings.TrimSpace(strings.Map(func(r rune) rune {
		if unicode.IsPrint(r) {
			return r
		}
		return -1
	}, student))
	if student == "" {
		return nil, errors.New("write your name, or the number you were given")
	}
	if err := checkText("name", student, MaxName); err != nil {
		return nil, err
	}
	w := &Work{Lesson: o.Lesson, Digest: o.Digest, Student: student}
	for r := range o.Lesson.Repeats {
		for _, t := range o.Lesson.Teeth {
			w.Entries = append(w.Entries, Entry{Tooth: t.ID, Repeat: r + 1})
		}
	}
	return w, nil
}

// Title names a sitting: "Tooth 3, second time".
func (w *Work) Title(i int) string {
	e := w.Entries[i]
	name := w.Lesson.Teeth[w.Lesson.Tooth(e.Tooth)].Name
	if w.Lesson.Repeats == 1 {
		return name
	}
	return name + ", " + ordinal(e.Repeat) + " time"
}

func ordinal(n int) string {
	words := []string{"first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"}
	if n >= 1 && n <= len(words) {
		return words[n-1]
	}
	return fmt.Sprintf("%d.", n)
}

// Specimen gives a sitting as a specimen that the bench and the readings take:
// the tooth's photographs with what was marked on them in this sitting, and
// nothing of other sittings. Its ID is the same at every call.
func (w *Work) Specimen(i int) *tray.Specimen {
	e := &w.Entries[i]
	t := &w.Lesson.Teeth[w.Lesson.Tooth(e.Tooth)]
	s := e.specimen(t)
	s.Invented = w.Lesson.Invented
	s.ID = fmt.Sprintf("%s-%s-%d", w.Lesson.ID, t.ID, e.Repeat)
	return s
}

func (e *Entry) specimen(t *Tooth) *tray.Specimen {
	s := t.specimen("entry", e.Views)
	s.Typed, s.Counts, s.Prefer = e.Typed, e.Counts, e.Prefer
	s.Mesial, s.Distal = e.Mesial, e.Distal
	return s.Clone()
}

// Keep takes what a specimen that Specimen gave has come to hold. It refuses
// one that is not fit to be kept, and leaves the sitting as it was.
func (w *Work) Keep(i int, s *tray.Specimen) error {
	e := &w.Entries[i]
	t := &w.Lesson.Teeth[w.Lesson.Tooth(e.Tooth)]
	kept := Entry{Tooth: e.Tooth, Repeat: e.Repeat, Choice: e.Choice, Done: e.Done}
	s = s.Clone()
	for _, p := range s.Photos {
		if given := t.photo(p.ID); given != nil {
			kept.Views = append(kept.Views, p.View)
		}
	}
	kept.Typed, kept.Counts, kept.Prefer, kept.Mesial, kept.Distal = s.Typed, s.Counts, s.Prefer, s.Mesial, s.Distal
	if err := kept.check(w.Lesson); err != nil {
		return err
	}
	*e = kept
	return nil
}

// Choose sets what the student calls the tooth; "" takes the choice back. It
// refuses a name that the lesson does not offer.
func (w *Work) Choose(i int, choice string) error {
	if choice != "" && !slices.Contains(w.Lesson.Choices, choice) {
		return fmt.Errorf("%.40q is none of the names to choose from", choice)
	}
	w.Entries[i].Choice = choice
	return nil
}

// Finish sets whether the student is done with a sitting.
func (w *Work) Finish(i int, done bool) { w.Entries[i].Done = done }

// Task is one thing that a sitting asks for.
type Task struct {
	Quantity morph.Quantity // the zero Quantity for the choice of a name
	Done     bool
	Needs    string // what is missing or cannot be, in a few words
	// Reading is what follows from the marks; the zero Reading where the
	// lesson hides readings.
	Reading morph.Reading
}

// Tasks tells how far a sitting is. A reading counts as done when it is known
// or recorded as not to be had, such as denticles that are absent.
func (w *Work) Tasks(i int) []Task {
	readings := morph.Read(w.Specimen(i).Tooth())
	var out []Task
	for _, id := range w.Lesson.Readings {
		r := readings.Get(id)
		t := Task{Quantity: r.Quantity, Done: r.Known || r.State != morph.MeasuredState && r.State != "", Needs: r.Needs}
		if !t.Done && t.Needs == "" {
			t.Needs = r.Problem // a value that cannot be
		}
		if !w.Lesson.Hidden.Readings {
			t.Reading = r
		}
		out = append(out, t)
	}
	if len(w.Lesson.Choices) > 0 {
		t := Task{Done: w.Entries[i].Choice != ""}
		if !t.Done {
			t.Needs = "choose what the tooth is"
		}
		out = append(out, t)
	}
	return out
}

// Next gives the first sitting that is not finished, and false when all are.
func (w *Work) Next() (int, bool) {
	i := slices.IndexFunc(w.Entries, func(e Entry) bool { return !e.Done })
	return max(i, 0), i >= 0
}

// State writes the work so that Resume goes on with it.
func (w *Work) State() ([]byte, error) {
	return seal(WorkFormat, workBody{Lesson: w.Lesson.ID, Digest: w.Digest, Student: w.Student, Entries: w.Entries})
}

// Resume goes on with work that State wrote. The error is a sentence: state of
// another lesson, or damaged.
func Resume(o *Opened, state []byte) (*Work, error) {
	var b workBody
	whole, err := unseal(state, WorkFormat, MaxAnswerBytes, &b)
	switch {
	case err != nil:
		return nil, err
	case !whole:
		return nil, errors.New("the saved work is damaged")
	case b.Lesson != o.Lesson.ID || b.Digest != o.Digest:
		return nil, errors.New("the saved work belongs to another lesson")
	}
	w, err := Start(o, b.Student)
	if err != nil {
		return nil, err
	}
	if err := checkEntries(o.Lesson, b.Entries); err != nil {
		return nil, err
	}
	for _, e := range b.Entries {
		i := slices.IndexFunc(w.Entries, func(x Entry) bool { return x.Tooth == e.Tooth && x.Repeat == e.Repeat })
		w.Entries[i] = e.clone()
	}
	return w, nil
}

// Answer writes the answer file that the student gives back. now is put into
// it so that of two answers by one student the later is known.
func (w *Work) Answer(now time.Time) ([]byte, error) {
	var done []Entry
	for _, e := range w.Entries {
		if !e.empty(w.Lesson) {
			done = append(done, e)
		}
	}
	if len(done) == 0 {
		return nil, errors.New("nothing was measured yet, so there is no answer to hand in")
	}
	out, err := seal(AnswerFormat, workBody{w.Lesson.ID, w.Digest, w.Student, now.UTC().Format(time.RFC3339Nano), done})
	if err == nil && len(out) > MaxAnswerBytes {
		err = fmt.Errorf("the answer is larger than %d MB: use fewer points along the outlines", MaxAnswerBytes>>20)
	}
	return out, err
}

// AnswerFile is a name for the answer file.
func (w *Work) AnswerFile() string {
	return fileName(w.Lesson.Title) + " - " + fileName(w.Student) + ".json"
}

// Pointing tells from the repeats how well the student, or a researcher who
// made a lesson of their own specimens, places points on photographs: what
// morph.View.Pointing takes. A scale that came with the lesson is no repeat. It
// refuses what agreement.PointingOf refuses.
func (w *Work) Pointing() (agreement.Pointing, error) {
	return pointing(w.Lesson, w.Entries)
}

// Pointing is the same for a student of a class.
func (o Own) Pointing(l *Lesson) (agreement.Pointing, error) {
	return pointing(l, o.Student.Answer.Entries)
}

func pointing(l *Lesson, entries []Entry) (agreement.Pointing, error) {
	var repeats [][]morph.View
	for _, t := range l.Teeth {
		for _, p := range t.Photos {
			var passes []morph.View
			for _, e := range entries {
				for _, v := range e.Views {
					if v.ID == p.ID {
						if l.Help.Scale {
							v.Bars = nil
						}
						passes = append(passes, v)
					}
				}
			}
			repeats = append(repeats, passes)
		}
	}
	return agreement.PointingOf(repeats)
}

// empty tells whether nothing was done; a scale that came with the lesson is
// nothing done.
func (e *Entry) empty(l *Lesson) bool {
	for _, v := range e.Views {
		if v.Crown != nil || v.Section != nil || len(v.Stretches) > 0 || len(v.Repeats) > 0 {
			return false
		}
		if !l.Help.Scale && (len(v.Bars) > 0 || v.Flat != nil || v.Depth != nil) {
			return false
		}
	}
	return len(e.Typed)+len(e.Counts) == 0 && e.Choice == "" && e.Mesial == "" && e.Distal == ""
}

func (e Entry) clone() Entry {
	s := &tray.Specimen{Typed: e.Typed, Counts: e.Counts, Prefer: e.Prefer}
	for _, v := range e.Views {
		s.Photos = append(s.Photos, tray.Photo{View: v})
	}
	s = s.Clone()
	e.Typed, e.Counts, e.Prefer, e.Views = s.Typed, s.Counts, s.Prefer, nil
	for _, p := range s.Photos {
		e.Views = append(e.Views, p.View)
	}
	return e
}

// check refuses an entry that the lesson has no place for, or whose marks are
// none that a photograph can have.
func (e *Entry) check(l *Lesson) error {
	i := l.Tooth(e.Tooth)
	if i < 0 || e.Repeat < 1 || e.Repeat > l.Repeats {
		return fmt.Errorf("there is an entry for a tooth or a repeat that the lesson does not have")
	}
	t := &l.Teeth[i]
	if e.Choice != "" && !slices.Contains(l.Choices, e.Choice) {
		return fmt.Errorf("%.40q of %s is none of the names to choose from", e.Choice, t.Name)
	}
	seen := map[string]bool{}
	for _, v := range e.Views {
		if t.photo(v.ID) == nil || seen[v.ID] {
			return fmt.Errorf("%s has marks on a photograph that the lesson does not have", t.Name)
		}
		seen[v.ID] = true
	}
	for _, m := range [][]morph.ID{slices.Collect(maps.Keys(e.Typed)), slices.Collect(maps.Keys(e.Counts)), slices.Collect(maps.Keys(e.Prefer))} {
		for _, id := range m {
			if _, ok := morph.QuantityOf(id); !ok {
				return fmt.Errorf("%s has a value of %.20q, which this program does not know", t.Name, id)
			}
		}
	}
	return e.specimen(t).Check()
}

func checkEntries(l *Lesson, entries []Entry) error {
	if len(entries) > MaxTeeth*MaxRepeats {
		return fmt.Errorf("there are %d entries, more than a lesson may have", len(entries))
	}
	type sitting struct {
		tooth  string
		repeat int
	}
	seen := map[sitting]bool{}
	for i := range entries {
		if err := entries[i].check(l); err != nil {
			return err
		}
		at := sitting{entries[i].Tooth, entries[i].Repeat}
		if seen[at] {
			return fmt.Errorf("there are two entries for the same tooth and repeat")
		}
		seen[at] = true
	}
	return nil
}
