package lesson

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"crownbench/morph"
)

// File is a file that the instructor hands to a review.
type File struct {
	Name string
	Data []byte
}

// Problem is a sentence about a file that was not counted, or not whole.
type Problem struct {
	File    string
	Text    string
	Counted bool // the file was counted all the same
}

// Student is one student whose answer is counted.
type Student struct {
	Name    string
	File    string
	Written time.Time
	Answer  *Answer
}

// Reviewer takes in answers one by one, so that a page can stay responsive
// between them. Make one with NewReviewer.
type Reviewer struct {
	key      *Key
	held     []morph.Readings // by tooth, what the key holds
	students []*reviewed
	problems []Problem
	files    int
}

// reviewed is a student with the readings that follow from the answer.
type reviewed struct {
	Student
	values []value
	named  map[int]int // choice by tooth, of the first repeat that has one
	notes  []Problem
}

// value is one reading of one tooth in one repeat.
type value struct {
	reading, tooth, repeat int // places in the lesson's lists; repeat from 0
	value                  float64
}

// NewReviewer makes a review of the answers to the lesson of a key.
func NewReviewer(k *Key) *Reviewer {
	r := &Reviewer{key: k}
	for i := range k.Teeth {
		r.held = append(r.held, k.Teeth[i].readings())
	}
	if k.Changed {
		r.problems = append(r.problems, Problem{Text: "The key was changed after it was written, by hand or by accident. It is used as it is.", Counted: true})
	}
	return r
}

// Add takes in one file. What is wrong with it becomes a Problem:
//   - a file that is no answer, is damaged or answers another lesson is not counted
//   - a file that was changed after it was written is not counted
//   - of several answers by one student the one written last is counted
//   - beyond MaxAnswers files none is counted
//   - an answer that lacks teeth is counted, and what it lacks is named
func (r *Reviewer) Add(f File) {
	r.files++
	if r.files > MaxAnswers {
		r.refuse(f.Name, fmt.Sprintf("it is file %d; a review takes %d answers. Review the class in parts.", r.files, MaxAnswers))
		return
	}
	a, err := ReadAnswer(r.key, f.Data)
	if err != nil {
		r.refuse(f.Name, ended(err.Error()))
		return
	}
	if a.Changed {
		r.refuse(f.Name, fmt.Sprintf("the answer of %s was changed after it was written, by hand or by accident. Ask for the file as the program gave it.", a.Student))
		return
	}
	s := &reviewed{Student: Student{Name: a.Student, File: f.Name, Written: a.Written, Answer: a}}
	same := slices.IndexFunc(r.students, func(o *reviewed) bool { return strings.EqualFold(o.Name, s.Name) })
	if same >= 0 {
		kept, left := r.students[same], s
		if !s.Written.Before(kept.Written) {
			kept, left = s, kept
		}
		r.refuse(left.File, fmt.Sprintf("%s handed in more than once; the answer written last, %s, is counted. Two students of one name must tell themselves apart.", left.Name, shownFile(kept.File)))
		if kept != s {
			return
		}
		r.students = slices.Delete(r.students, same, same+1)
	}
	s.read(r.key)
	r.students = append(r.students, s)
}

func (r *Reviewer) refuse(file, why string) {
	r.problems = append(r.problems, Problem{File: file, Text: shownFile(file) + " is not counted: " + why})
}

// shownFile is a file's name as a sentence quotes it.
func shownFile(name string) string {
	if name == "" {
		return "A file without a name"
	}
	if n := []rune(name); len(n) > 80 {
		name = string(n[:60]) + "…" + string(n[len(n)-15:])
	}
	return fmt.Sprintf("%q", name)
}

func ended(s string) string {
	if strings.HasSuffix(s, ".") {
		return s
	}
	return s + "."
}

// read computes a student's readings.
func (s *reviewed) read(k *Key) {
	s.named = map[int]int{}
	l := k.Lesson
	got := make([]int, len(l.Teeth)) // repeats with something in them
	for _, e := range s.Answer.Entries {
		t := l.Tooth(e.Tooth)
		tooth := e.specimen(&l.Teeth[t]).Tooth()
		// One rule for the class and the key.
		tooth.DSDI, tooth.CHR = k.Teeth[t].Specimen.DSDI, k.Teeth[t].Specimen.CHR
		readings := morph.Values(tooth)
		any := false
		for i, id := range l.Readings {
			if v, ok := judged(readings.Get(id)); ok {
				s.values = append(s.values, value{i, t, e.Repeat - 1, v})
				any = true
			}
		}
		if c := slices.Index(l.Choices, e.Choice); c >= 0 {
			if _, ok := s.named[t]; !ok {
				s.named[t] = c
			}
			any = true
		}
		if any {
			got[t]++
		}
	}
	var lacks []string
	for t, n := range got {
		switch {
		case n == 0:
			lacks = append(lacks, l.Teeth[t].Name)
		case n < l.Repeats && len(l.Readings) > 0:
			lacks = append(lacks, fmt.Sprintf("%s (%d of %d times)", l.Teeth[t].Name, n, l.Repeats))
		}
	}
	if len(lacks) > 0 {
		s.notes = append(s.notes, Problem{File: s.File, Counted: true,
			Text: fmt.Sprintf("The answer of %s is counted, but has nothing complete of %s.", s.Name, listed(lacks))})
	}
}

// listed joins names, and no more than a few.
func listed(names []string) string {
	const most = 6
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

// Class gives the review of what was taken in so far, without students whom
// the instructor leaves out by name. Students stand in the order of their
// names.
func (r *Reviewer) Class(without ...string) *Class {
	left := func(s *reviewed) bool { return slices.Contains(without, s.Name) }
	students := slices.DeleteFunc(slices.Clone(r.students), left)
	slices.SortStableFunc(students, func(a, b *reviewed) int { return cmp.Compare(strings.ToLower(a.Name), strings.ToLower(b.Name)) })
	c := &Class{Key: r.key, Problems: slices.Clone(r.problems)}
	for _, s := range students {
		c.Students = append(c.Students, s.Student)
		c.Problems = append(c.Problems, s.notes...)
	}
	for _, s := range r.students {
		if left(s) {
			c.Problems = append(c.Problems, Problem{File: s.File, Text: fmt.Sprintf("The answer of %s was left out of this review.", s.Name)})
		}
	}
	for i := range r.key.Lesson.Readings {
		c.Readings = append(c.Readings, r.readingOf(students, i))
	}
	if len(r.key.Lesson.Choices) > 0 {
		c.Naming = namingOf(r.key, students)
	}
	return c
}

// Review reviews all files at once.
func Review(k *Key, files []File) *Class {
	r := NewReviewer(k)
	for _, f := range files {
		r.Add(f)
	}
	return r.Class()
}
