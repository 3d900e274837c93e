package desk

import (
	"bytes"
	"fmt"
	"slices"
	"strings"

	"crownbench/wasm/lesson"
	m "crownbench/wasm/markup"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
)

// Review is the instructor's review of a class.
type Review struct {
	Key     *lesson.Key
	Class   *lesson.Class // of what was taken in so far, nil before the key is there
	Wrong   []string      // sentences on keys and lessons that were handed over
	Read    int           // files, of those that were handed over
	Of      int
	Working bool
	Out     map[string]bool // students who are left out, by name
	Student int             // on the page, −1 for the class

	reviewer *lesson.Reviewer
	students []string      // everyone who handed in
	waiting  []lesson.File // answers that came before the key
	opened   *openedLesson // has the photographs
	page     *m.Node       // what is on the page
	urls     map[string]string
}

// Review is the review of a class.
func (d *Desk) Review() *Review { return &d.lesson.review }

// Waiting is how many files came before the key.
func (r *Review) Waiting() int { return len(r.waiting) }

// HasPictures tells whether the lesson file with the photographs is there.
func (r *Review) HasPictures() bool { return r.opened != nil }

// Students lists everyone who handed in, also those who are left out.
func (r *Review) Students() []string { return r.students }

// addToReview takes key, lesson and answers in any order.
func (d *Desk) addToReview(files []lesson.File) {
	r := &d.lesson.review
	if r.Working {
		d.Remark("The files before these are still being read; hand these over again afterwards.")
		return
	}
	r.Working, r.Read, r.Of = true, 0, len(files)
	files = slices.Clone(files)
	slices.SortStableFunc(files, func(a, b lesson.File) int { return turnOf(a) - turnOf(b) })
	d.outside.Refresh()
	d.outside.Beside(func(turn func() bool) {
		for _, f := range files {
			switch kindOf(f.Data) {
			case keyFile:
				r.addKey(f)
			case lessonFile:
				r.addLesson(f)
			default:
				if r.reviewer == nil {
					r.waiting = append(r.waiting, f)
				} else {
					r.reviewer.Add(f)
				}
			}
			r.Read++
			if turn() {
				d.outside.Refresh()
			}
		}
		r.Working = false
		if r.reviewer != nil {
			r.students = nil
			for _, s := range r.reviewer.Class().Students {
				r.students = append(r.students, s.Name)
			}
		}
		d.reviewAnew()
		if r.Class != nil {
			d.spoken = fmt.Sprintf("%s reviewed.", countOf(len(r.Class.Students), "student", "students"))
		}
	})
}

// turnOf puts the key first and the lesson second.
func turnOf(f lesson.File) int {
	switch kindOf(f.Data) {
	case keyFile:
		return 0
	case lessonFile:
		return 1
	}
	return 2
}

func (r *Review) addKey(f lesson.File) {
	k, err := lesson.ReadKey(f.Data)
	switch {
	case err != nil:
		r.wrong(f, Sentence(err))
		return
	case r.Key != nil && r.Key.Digest == k.Digest:
		return
	case r.Key != nil:
		r.wrong(f, "It is the key of another lesson than the one under review. Begin a new review for it.")
		return
	}
	r.Key, r.reviewer = k, lesson.NewReviewer(k)
	if r.opened != nil && k.Fits(r.opened.Opened) != nil {
		r.opened = nil
	}
	for _, w := range r.waiting {
		r.reviewer.Add(w)
	}
	r.waiting = nil
}

func (r *Review) addLesson(f lesson.File) {
	o, err := openLesson(f.Data)
	if err == nil && r.Key != nil {
		err = r.Key.Fits(o.Opened)
	}
	if err != nil {
		r.wrong(f, Sentence(err))
		return
	}
	r.opened, r.urls = o, nil
}

func (r *Review) wrong(f lesson.File, why string) {
	r.Wrong = append(r.Wrong, fmt.Sprintf("%s was not taken: %s", f.Name, why))
}

// reviewAnew computes the class from what was taken in.
func (d *Desk) reviewAnew() {
	r := &d.lesson.review
	if r.reviewer != nil {
		var without []string
		for name, out := range r.Out {
			if out {
				without = append(without, name)
			}
		}
		slices.Sort(without)
		r.Class = r.reviewer.Class(without...)
	}
	r.page = nil
	d.outside.Refresh()
}

// LeaveOut leaves a student out of the review, or takes the student in again.
func (d *Desk) LeaveOut(student string, out bool) {
	r := &d.lesson.review
	if r.Out == nil {
		r.Out = map[string]bool{}
	}
	r.Out[student] = out
	d.reviewAnew()
}

// NewReview forgets the review, to begin another.
func (d *Desk) NewReview() {
	d.lesson.review = Review{}
	d.focus = "lesson-pick"
	d.outside.Refresh()
}

// ShowReport shows the class's report in place of the desk, or, from 0, the
// page of a student.
func (d *Desk) ShowReport(student int) {
	r := &d.lesson.review
	if r.Class == nil || student >= len(r.Class.Students) {
		return
	}
	r.Student, r.page = student, nil
	if d.dialog != ReportDialog {
		d.OpenDialog(ReportDialog)
		d.focus = "report-close"
	}
	if student >= 0 && r.urls == nil && r.opened != nil {
		r.urls = map[string]string{}
		d.outside.PreparePictures(picturesOf(r.opened.Lesson), func(byHash map[string]string) {
			for _, t := range r.opened.Lesson.Teeth {
				for _, p := range t.Photos {
					r.urls[p.ID] = byHash[p.Hash]
				}
			}
			r.page = nil
			d.outside.Refresh()
		})
	}
	d.outside.Refresh()
}

// picturesOf gathers the photographs of a lesson.
func picturesOf(l *lesson.Lesson) *tray.Specimen {
	s := &tray.Specimen{}
	for _, t := range l.Teeth {
		for i, p := range t.Photos {
			x := tray.Photo{Hash: p.Hash, File: fmt.Sprintf("%s, photograph %d", t.Name, i+1), MIME: p.MIME, Bytes: p.Bytes, Width: p.Width, Height: p.Height}
			x.ID = p.ID
			s.Photos = append(s.Photos, x)
		}
	}
	return s
}

// CloseReport goes back to the review.
func (d *Desk) CloseReport() { d.OpenLesson(LessonReview) }

// ReportPage is the report that is shown. It is made once and kept while
// nothing changes.
func (d *Desk) ReportPage() *m.Node {
	r := &d.lesson.review
	if r.page == nil && r.Class != nil {
		if r.Student < 0 {
			r.page = r.Class.Report()
		} else {
			r.page = r.Class.Own(r.Student).Page(r.Class.Key.Lesson.Title, r.urls)
		}
	}
	return r.page
}

// reportName is the name of a file of the review.
func (r *Review) reportName(what string) string {
	title := strings.Join(strings.FieldsFunc(r.Key.Lesson.Title, func(c rune) bool { return strings.ContainsRune(`/\:*?"<>|`, c) || c < ' ' }), " ")
	if runes := []rune(title); len(runes) > 60 {
		title = string(runes[:60])
	}
	return strings.TrimSpace(title) + " " + what
}

// SaveReport hands out the class's report as a page of its own.
func (d *Desk) SaveReport() {
	if r := &d.lesson.review; r.Class != nil {
		d.outside.Download(r.reportName("report.html"), "text/html;charset=utf-8", r.Class.HTML())
	}
}

// SaveOwnResult hands out the page of the student who is shown, without the
// photographs.
func (d *Desk) SaveOwnResult() {
	r := &d.lesson.review
	if r.Class == nil || r.Student < 0 {
		return
	}
	own := r.Class.Own(r.Student)
	d.outside.Download(r.reportName("result of "+own.Student.Name+".html"), "text/html;charset=utf-8", sheet.Standalone(own.Page(r.Class.Key.Lesson.Title, nil)))
}

// SaveReviewTable hands out one of the tables of the review.
func (d *Desk) SaveReviewTable(t lesson.Table) {
	var b bytes.Buffer
	if err := t.CSV(&b); err != nil {
		d.Warn(Sentence(err))
		return
	}
	d.outside.Download(d.lesson.review.reportName(t.Name+".csv"), "text/csv;charset=utf-8", b.Bytes())
}
