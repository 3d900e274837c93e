package lesson

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"io"

	"crownbench/wasm/photo"
)

// manifestName is the lesson's description in the lesson file; the pictures lie
// under photos/.
const manifestName = "lesson.json"

// Opened is a lesson file whose content was found whole.
type Opened struct {
	Lesson *Lesson
	Digest string // of the lesson; the key and the answers carry it
	zip    *zip.Reader
}

// Open reads a lesson file, a zip archive with lesson.json and the pictures,
// and checks every picture. It keeps b. The error is a sentence: a file that is
// no lesson, is damaged, lacks a picture or goes beyond the limits.
func Open(b []byte) (*Opened, error) {
	if len(b) > MaxLessonBytes {
		return nil, fmt.Errorf("the file is larger than %d MB, more than a lesson may be", MaxLessonBytes>>20)
	}
	if !bytes.HasPrefix(b, []byte("PK")) {
		return nil, errors.New("the file is not a lesson")
	}
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, errors.New("the file is cut off or damaged; fetch it again")
	}
	if len(z.File) > MaxTeeth*MaxPhotos+1 {
		return nil, fmt.Errorf("the file holds %d parts, more than a lesson may have", len(z.File))
	}
	o := &Opened{zip: z}
	text, err := o.read(manifestName, MaxManifestBytes)
	if err != nil {
		return nil, fmt.Errorf("the file is not a lesson: %w", err)
	}
	if o.Lesson, err = readManifest(text); err != nil {
		return nil, err
	}
	o.Digest = digestOf(text)
	for i, t := range o.Lesson.Teeth {
		for j := range t.Photos {
			if err := o.check(&t.Photos[j]); err != nil {
				return nil, fmt.Errorf("photograph %d of tooth %d: %w", j+1, i+1, err)
			}
		}
	}
	return o, nil
}

func (o *Opened) check(p *Photo) error {
	b, err := o.read(p.File, p.Bytes)
	if err != nil {
		return err
	}
	if len(b) != p.Bytes || digestOf(b) != p.Hash {
		return errors.New("it was changed or damaged since the lesson was made")
	}
	i, err := photo.Describe("the picture", b)
	if err != nil {
		return err
	}
	if i.Width != p.Width || i.Height != p.Height {
		return errors.New("its size is not what the lesson says")
	}
	return nil
}

// Picture gives the file of a photograph by its ID.
func (o *Opened) Picture(id string) ([]byte, error) {
	for i := range o.Lesson.Teeth {
		if p := o.Lesson.Teeth[i].photo(id); p != nil {
			return o.read(p.File, p.Bytes)
		}
	}
	return nil, errors.New("the lesson has no such photograph")
}

// read gives a part of the archive of at most so many bytes.
func (o *Opened) read(name string, most int) ([]byte, error) {
	var part *zip.File
	for _, f := range o.zip.File {
		if f.Name != name {
			continue
		}
		if part != nil {
			return nil, fmt.Errorf("there are two parts %s in the file", name)
		}
		part = f
	}
	if part == nil {
		return nil, fmt.Errorf("there is no part %s in the file", name)
	}
	r, err := part.Open()
	if err != nil {
		return nil, fmt.Errorf("the part %s cannot be read", name)
	}
	defer r.Close()
	b, err := io.ReadAll(io.LimitReader(r, int64(most)+1))
	if err != nil {
		return nil, fmt.Errorf("the part %s is cut off or damaged", name)
	}
	if len(b) > most {
		return nil, fmt.Errorf("the part %s is larger than it may be", name)
	}
	return b, nil
}
