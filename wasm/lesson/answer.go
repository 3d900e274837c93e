package lesson

import (
	"errors"
	"fmt"
	"time"
)

// Answer is what a student handed in.
type Answer struct {
	Student string
	Written time.Time
	Entries []Entry
	// Changed tells that the file is not as the program wrote it.
	Changed bool
}

// ReadAnswer reads an answer to the lesson of a key. The error says what is
// wrong with the file: no answer, damaged, or an answer to another lesson.
func ReadAnswer(k *Key, b []byte) (*Answer, error) {
	var body workBody
	whole, err := unseal(b, AnswerFormat, MaxAnswerBytes, &body)
	switch {
	case err != nil:
		return nil, err
	case body.Lesson != k.Lesson.ID:
		return nil, errors.New("it answers another lesson")
	case body.Digest != k.Digest:
		return nil, errors.New("it answers another state of this lesson; the lesson file was changed")
	}
	a := &Answer{Changed: !whole}
	// The name is brought into the form that Start gives it.
	w, err := Start(&Opened{Lesson: k.Lesson}, body.Student)
	if err != nil {
		return nil, errors.New("it bears no name or number, or one that is too long")
	}
	a.Student = w.Student
	if a.Written, err = time.Parse(time.RFC3339Nano, body.Written); err != nil {
		return nil, fmt.Errorf("it says %.40q where the time of writing should stand", body.Written)
	}
	if err := checkEntries(k.Lesson, body.Entries); err != nil {
		return nil, err
	}
	for _, e := range body.Entries {
		a.Entries = append(a.Entries, e.clone())
	}
	return a, nil
}
