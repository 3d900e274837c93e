package lesson

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Lesson is what a class is asked to do, without the pictures and without any
// answer.
type Lesson struct {
	ID           string     `json:"id"` // random; the key and the answers carry it too
	Title        string     `json:"title"`
	Instructions string     `json:"instructions,omitempty"` // plain text; an empty line parts paragraphs
	Cautions     string     `json:"cautions,omitempty"`     // likewise
	Invented     bool       `json:"invented,omitempty"`     // the teeth do not exist
	Readings     []morph.ID `json:"readings"`
	Choices      []string   `json:"choices,omitempty"` // names to give each tooth one of; without any, none is asked
	Repeats      int        `json:"repeats"`           // how often every tooth is measured
	Hidden       Hidden     `json:"hidden"`
	Help         Help       `json:"help"`
	Teeth        []Tooth    `json:"teeth"` // in the order in which they are measured
}

// Hidden is what the program keeps from the student during the work.
type Hidden struct {
	Identity bool `json:"identity"` // the teeth are called Tooth 1, Tooth 2 …
	Readings bool `json:"readings"` // what follows from the student's own marks
	Answer   bool `json:"answer"`   // how the program sorts the student's tooth
}

// Help is what the program may do for the student.
type Help struct {
	Edges     bool `json:"edges"`     // lines may follow an edge in the picture
	Proposals bool `json:"proposals"` // the program may propose outlines and landmarks
	Scale     bool `json:"scale"`     // the scale is set already
}

// Tooth is one tooth of a lesson.
type Tooth struct {
	ID     string  `json:"id"` // random
	Name   string  `json:"name"`
	Photos []Photo `json:"photos"`
}

// Photo is one photograph of a lesson. Bars, Flat and Depth are given with it
// where the scale is.
type Photo struct {
	ID     string     `json:"id"` // random; the ID of its view
	Role   morph.Role `json:"role"`
	File   string     `json:"file"` // in the lesson file
	MIME   string     `json:"mime"`
	Bytes  int        `json:"bytes"`
	Hash   string     `json:"sha256"` // of the picture as it is in the lesson file
	Width  int        `json:"width"`  // px, upright
	Height int        `json:"height"`

	Bars  []morph.Bar  `json:"bars,omitempty"`
	Flat  *morph.Flat  `json:"flat,omitempty"`
	Depth *morph.Depth `json:"depth,omitempty"`
}

// Tooth gives the place of a tooth by its ID, −1 where there is none.
func (l *Lesson) Tooth(id string) int {
	return slices.IndexFunc(l.Teeth, func(t Tooth) bool { return t.ID == id })
}

func (t *Tooth) photo(id string) *Photo {
	i := slices.IndexFunc(t.Photos, func(p Photo) bool { return p.ID == id })
	if i < 0 {
		return nil
	}
	return &t.Photos[i]
}

const digits = "0123456789"

// isIdentifier tells whether a text is 20 to 40 capitals and digits.
func isIdentifier(s string) bool {
	return len(s) >= 20 && len(s) <= 40 && strings.Trim(s, digits+"ABCDEFGHIJKLMNOPQRSTUVWXYZ") == ""
}

// isPicture tells whether a path is that of a lesson's picture: photos/, the
// places of tooth and picture, and an ending.
func isPicture(path string) bool {
	name, inside := strings.CutPrefix(path, "photos/")
	places, ending, _ := strings.Cut(name, ".")
	tooth, picture, _ := strings.Cut(places, "-")
	for _, place := range []string{tooth, picture} {
		if len(place) < 1 || len(place) > 3 || strings.Trim(place, digits) != "" {
			return false
		}
	}
	return inside && slices.Contains([]string{"jpg", "png", "webp"}, ending)
}

// Check tells, in a sentence, what makes a lesson unfit, or nil.
func (l *Lesson) Check() error {
	if !isIdentifier(l.ID) {
		return fmt.Errorf("the lesson has no identifier")
	}
	if strings.TrimSpace(l.Title) == "" {
		return fmt.Errorf("the lesson has no title")
	}
	for _, t := range []struct {
		what, text string
		most       int
	}{{"title", l.Title, MaxName}, {"instructions", l.Instructions, MaxText}, {"cautions", l.Cautions, MaxText}} {
		if err := checkText(t.what, t.text, t.most); err != nil {
			return err
		}
	}
	if err := checkAsked(l.Readings, l.Choices, l.Repeats); err != nil {
		return err
	}
	if n := len(l.Teeth); n == 0 || n > MaxTeeth {
		return fmt.Errorf("the lesson has %d teeth; one to %d are taken", n, MaxTeeth)
	}
	seen := map[string]bool{}
	total := 0
	for i := range l.Teeth {
		t := &l.Teeth[i]
		if !isIdentifier(t.ID) || seen[t.ID] {
			return fmt.Errorf("tooth %d has no identifier of its own", i+1)
		}
		seen[t.ID] = true
		if err := checkText("name of a tooth", t.Name, MaxName); err != nil {
			return err
		}
		if n := len(t.Photos); n == 0 || n > MaxPhotos {
			return fmt.Errorf("tooth %d has %d photographs; one to %d are taken", i+1, n, MaxPhotos)
		}
		for j := range t.Photos {
			p := &t.Photos[j]
			if !isIdentifier(p.ID) || seen[p.ID] || !isPicture(p.File) || seen[p.File] {
				return fmt.Errorf("photograph %d of tooth %d has no identifier or file of its own", j+1, i+1)
			}
			seen[p.ID], seen[p.File] = true, true
			if p.Bytes < 0 || p.Bytes > MaxLessonBytes-total {
				return fmt.Errorf("the photographs are said to take more than %d MB", MaxLessonBytes>>20)
			}
			total += p.Bytes
		}
		// The marks and sizes have the limits of any specimen's.
		s := t.specimen("check", nil)
		if err := s.Check(); err != nil {
			return err
		}
	}
	return nil
}

func checkAsked(readings []morph.ID, choices []string, repeats int) error {
	if len(readings) == 0 && len(choices) == 0 {
		return fmt.Errorf("the lesson asks for nothing: choose readings, or names to tell the teeth by")
	}
	if len(readings) > MaxReadings || len(choices) > MaxChoices {
		return fmt.Errorf("the lesson asks for %d readings and %d names; at most %d and %d are taken", len(readings), len(choices), MaxReadings, MaxChoices)
	}
	for i, id := range readings {
		if _, ok := morph.QuantityOf(id); !ok {
			return fmt.Errorf("the lesson asks for the reading %.20q, which this program does not know", id)
		}
		if slices.Contains(readings[:i], id) {
			return fmt.Errorf("the lesson asks twice for the reading %s", id)
		}
	}
	for i, c := range choices {
		if err := checkText("name to choose", c, MaxName); err != nil {
			return err
		}
		if strings.TrimSpace(c) == "" || slices.Contains(choices[:i], c) {
			return fmt.Errorf("the names to choose from must differ, and none may be empty")
		}
	}
	if len(choices) == 1 {
		return fmt.Errorf("one name is no choice: give at least two")
	}
	if repeats < 1 || repeats > MaxRepeats {
		return fmt.Errorf("the lesson asks for %d repeats; 1 to %d are taken", repeats, MaxRepeats)
	}
	return nil
}

// specimen is the tooth as the bench takes it, with marks laid over the
// photographs by their IDs.
func (t *Tooth) specimen(id string, marks []morph.View) *tray.Specimen {
	s := &tray.Specimen{ID: id, Name: t.Name}
	for i, p := range t.Photos {
		v := morph.View{ID: p.ID, Bars: p.Bars, Flat: p.Flat, Depth: p.Depth}
		for _, m := range marks {
			if m.ID == p.ID {
				v = m
			}
		}
		v.Role = p.Role
		s.Photos = append(s.Photos, tray.Photo{
			View: v, Hash: p.Hash, File: fmt.Sprintf("%s, photograph %d", t.Name, i+1),
			MIME: p.MIME, Bytes: p.Bytes, Width: p.Width, Height: p.Height,
		})
	}
	return s.Clone()
}

// manifest is the lesson as it stands in the lesson file and in the key; the
// digest of these bytes names this very lesson.
func (l *Lesson) manifest() (text []byte, digest string, err error) {
	text, err = json.Marshal(struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
		*Lesson
	}{LessonFormat, Version, l})
	return text, digestOf(text), err
}

// readManifest reads and checks a lesson.
func readManifest(text []byte) (*Lesson, error) {
	if len(text) > MaxManifestBytes {
		return nil, fmt.Errorf("the lesson's description is larger than %d MB", MaxManifestBytes>>20)
	}
	var m struct {
		Format  string `json:"format"`
		Version int    `json:"version"`
		Lesson
	}
	if err := decode(text, &m); err != nil {
		return nil, err
	}
	if err := checkFormat(m.Format, m.Version, LessonFormat); err != nil {
		return nil, err
	}
	if err := m.Lesson.Check(); err != nil {
		return nil, err
	}
	return &m.Lesson, nil
}
