package lesson

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"

	"crownbench/morph"
	"crownbench/morph/agreement"
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

// Class is what a class's answers say. Numbers that they do not give stand
// beside a sentence that says why; none is ever NaN.
type Class struct {
	Key      *Key
	Students []Student
	Problems []Problem
	Readings []Reading
	Naming   *Naming // nil when the lesson asks for no names
}

// Reading is what the class made of one reading. Student, Tooth and Repeat are
// places in the lists of the class and of the lesson.
type Reading struct {
	Quantity morph.Quantity
	Values   []Value
	Teeth    []ToothReading

	// Errors are the technical errors within and between students.
	Errors    agreement.ObserverErrors
	ErrorsWhy string
	// Correlation rests on the students who measured every tooth, each
	// with the mean of the repeats.
	Correlation    agreement.Intraclass
	CorrelationWhy string
	// Bias is that of the students' mean differences from the key.
	Bias    agreement.Bias
	BiasWhy string
	// Limits are those of single students' values around the key, and Points
	// what they rest on.
	Limits    agreement.Spread
	LimitsWhy string
	Points    []Point
}

// Value is one measurement by one student.
type Value struct {
	Student, Tooth, Repeat int // Repeat from 0
	Value                  float64
	// Score is its modified z score among all measurements of the tooth.
	Score   float64
	Outlier bool
}

// Point is a student's mean of one tooth beside the key.
type Point struct {
	Student, Tooth int
	Mean           float64 // of the two
	Difference     float64 // student − key
}

// ToothReading is one reading of one tooth over the class; each student counts
// once, with the mean of the repeats.
type ToothReading struct {
	Students  int // who have it
	Missing   int // who do not
	Mean, SD  float64
	Median    float64
	Low, High float64
	Outliers  int // measurements marked
	Key       float64
	KeyKnown  bool
	Bias      agreement.Bias
	BiasWhy   string
}

func (rv *Reviewer) readingOf(students []*reviewed, reading int) Reading {
	l := rv.key.Lesson
	q, _ := morph.QuantityOf(l.Readings[reading])
	r := Reading{Quantity: q, Teeth: make([]ToothReading, len(l.Teeth))}
	// mean[tooth][student] is nil where there is none.
	mean := make([][]*float64, len(l.Teeth))
	for t := range mean {
		mean[t] = make([]*float64, len(students))
	}
	for i, s := range students {
		sum, n := make([]float64, len(l.Teeth)), make([]float64, len(l.Teeth))
		for _, v := range s.values {
			if v.reading == reading {
				r.Values = append(r.Values, Value{Student: i, Tooth: v.tooth, Repeat: v.repeat, Value: v.value})
				sum[v.tooth] += v.value
				n[v.tooth]++
			}
		}
		for t := range sum {
			if n[t] > 0 {
				m := sum[t] / n[t]
				mean[t][i] = &m
			}
		}
	}
	r.score(len(l.Teeth))
	for t := range l.Teeth {
		r.Teeth[t] = r.toothOf(t, mean[t], rv.held[t].Get(q.ID))
	}
	r.compare(mean, len(students))
	return r
}

// score marks the outliers of each tooth.
func (r *Reading) score(teeth int) {
	at := make([][]int, teeth)
	for i, v := range r.Values {
		at[v.Tooth] = append(at[v.Tooth], i)
	}
	for _, places := range at {
		values := make([]float64, len(places))
		for i, p := range places {
			values[i] = r.Values[p].Value
		}
		scores, err := agreement.Scores(values)
		if err != nil {
			continue // values beyond any comparison are marked by nothing
		}
		for i, p := range places {
			v := &r.Values[p]
			v.Score = scores[i]
			v.Outlier = max(v.Score, -v.Score) > agreement.OutlierScore
		}
	}
}

func (r *Reading) toothOf(tooth int, means []*float64, key morph.Reading) ToothReading {
	var t ToothReading
	var values, off []float64
	t.Key, t.KeyKnown = judged(key)
	for _, m := range means {
		if m == nil {
			t.Missing++
			continue
		}
		values = append(values, *m)
		off = append(off, *m-t.Key)
	}
	t.Students = len(values)
	for _, v := range r.Values {
		if v.Tooth == tooth && v.Outlier {
			t.Outliers++
		}
	}
	if len(values) > 0 {
		t.Low, t.High = slices.Min(values), slices.Max(values)
		t.Median = agreement.Median(values)
		for _, v := range values {
			t.Mean += v / float64(len(values))
		}
	}
	b, err := agreement.BiasOf(off)
	if err == nil {
		t.SD = b.SD
	}
	switch {
	case !t.KeyKnown:
		t.BiasWhy = "The key has no value for this tooth."
	case err != nil:
		t.BiasWhy = err.Error()
	default:
		t.Bias = b
	}
	return t
}

// compare fills in what rests on all teeth together.
func (r *Reading) compare(mean [][]*float64, students int) {
	var ms []agreement.Measurement
	for _, v := range r.Values {
		ms = append(ms, agreement.Measurement{Tooth: v.Tooth, Observer: v.Student, Value: v.Value})
	}
	r.Errors, r.ErrorsWhy = said(agreement.ErrorsOf(ms))

	table := make(agreement.Repeats, len(mean))
	var biases []float64
	groups := make([][]float64, students)
	for s := range students {
		var sum float64
		complete := true
		for t := range mean {
			m := mean[t][s]
			complete = complete && m != nil
			if key := r.Teeth[t]; m != nil && key.KeyKnown {
				d := *m - key.Key
				groups[s] = append(groups[s], d)
				sum += d
				r.Points = append(r.Points, Point{Student: s, Tooth: t, Mean: (*m + key.Key) / 2, Difference: d})
			}
		}
		if n := len(groups[s]); n > 0 {
			biases = append(biases, sum/float64(n))
		}
		if complete {
			for t := range mean {
				table[t] = append(table[t], *mean[t][s])
			}
		}
	}
	if len(table[0]) < 2 {
		r.CorrelationWhy = "The intraclass correlation needs two students who measured every tooth."
	} else {
		r.Correlation, r.CorrelationWhy = said(agreement.IntraclassCorrelation(table))
	}
	if len(r.Points) == 0 {
		r.BiasWhy = "The key has no value that anyone measured."
		r.LimitsWhy = r.BiasWhy
		return
	}
	r.Bias, r.BiasWhy = said(agreement.BiasOf(biases))
	r.Limits, r.LimitsWhy = said(agreement.SpreadOf(groups))
}

func said[T any](v T, err error) (T, string) {
	if err != nil {
		return v, err.Error()
	}
	return v, ""
}
