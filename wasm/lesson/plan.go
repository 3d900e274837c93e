package lesson

import (
	"archive/zip"
	"bytes"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"unicode"

	"crownbench/morph"
	"crownbench/wasm/photo"
	"crownbench/wasm/tray"
)

// Plan is what an instructor wants a class to do.
type Plan struct {
	Title, Instructions, Cautions string
	Readings                      []morph.ID
	Choices                       []string
	Repeats                       int
	Hidden                        Hidden
	Help                          Help
	Teeth                         []Planned
}

// Planned is a specimen of the tray that is put into a lesson.
type Planned struct {
	Specimen *tray.Specimen
	Photos   []string // IDs of those of its photographs that are given; all when nil
	Truth    string   // which of the choices is right, "" where that is not known
}

// Made are the two files that a plan gives.
type Made struct {
	Lesson, Key         []byte
	LessonFile, KeyFile string // names to give them
	Digest              string
	// Remarks are sentences for the instructor on what the lesson cannot hide
	// and what the key cannot judge.
	Remarks []string
}

// Make makes a lesson and its key. picture gives the file of a photograph.
//
// The teeth come in random order. The key holds the specimens as they are, with
// every mark and typed value; readings are computed from them at the review.
// Where the key's specimen lacks a reading that is asked, the class is compared
// with itself only.
//
// It refuses, with a sentence, a plan that asks for nothing or goes beyond the
// limits, a specimen that is not fit to be kept, a truth that is none of the
// choices, and a photograph that cannot be had or is none.
func Make(p Plan, picture func(*tray.Photo) ([]byte, error)) (*Made, error) {
	return makeBy(chance{tray.NewID, rand.Shuffle}, p, picture)
}

// chance is where identifiers and the order of teeth come from.
type chance struct {
	id      func() string
	shuffle func(n int, swap func(i, j int))
}

func makeBy(by chance, p Plan, picture func(*tray.Photo) ([]byte, error)) (*Made, error) {
	if err := checkAsked(p.Readings, p.Choices, p.Repeats); err != nil {
		return nil, err
	}
	if n := len(p.Teeth); n == 0 || n > MaxTeeth {
		return nil, fmt.Errorf("choose one to %d teeth for the lesson; these are %d", MaxTeeth, n)
	}
	l := &Lesson{
		ID: by.id(), Title: p.Title, Instructions: p.Instructions, Cautions: p.Cautions, Invented: true,
		Readings: p.Readings, Choices: p.Choices, Repeats: p.Repeats, Hidden: p.Hidden, Help: p.Help,
	}
	k := &Key{Lesson: l}
	m := &Made{}
	var pictures [][]byte
	teeth := slices.Clone(p.Teeth)
	by.shuffle(len(teeth), func(i, j int) { teeth[i], teeth[j] = teeth[j], teeth[i] })
	for i, t := range teeth {
		s := t.Specimen.Clone()
		if s.ID == "" { // not in a tray yet, as the demo's may be
			s.ID = by.id()
		}
		if err := s.Check(); err != nil {
			return nil, err
		}
		if t.Truth != "" && !slices.Contains(p.Choices, t.Truth) {
			return nil, fmt.Errorf("%.40q is said to be %.40q, which is none of the names to choose from", s.Name, t.Truth)
		}
		l.Invented = l.Invented && s.Invented
		tooth := Tooth{ID: by.id(), Name: fmt.Sprintf("Tooth %d", i+1)}
		if !p.Hidden.Identity && strings.TrimSpace(s.Name) != "" {
			tooth.Name = s.Name
		}
		kt := KeyTooth{ID: tooth.ID, Specimen: s, Truth: t.Truth, Photos: map[string]string{}}
		for j := range s.Photos {
			given := &s.Photos[j]
			if t.Photos != nil && !slices.Contains(t.Photos, given.ID) {
				continue
			}
			b, err := picture(given)
			if err != nil {
				return nil, err
			}
			bare, out, err := put(given, b, p.Help.Scale)
			if err != nil {
				return nil, err
			}
			out.ID = by.id()
			out.File = fmt.Sprintf("photos/%d-%d.%s", i+1, len(tooth.Photos)+1, endings[bare.format])
			tooth.Photos = append(tooth.Photos, out)
			pictures = append(pictures, bare.bytes)
			kt.Photos[out.ID] = given.ID
		}
		if len(tooth.Photos) == 0 {
			return nil, fmt.Errorf("%.40q has no photograph in the lesson: choose one, or leave the tooth out", s.Name)
		}
		l.Teeth = append(l.Teeth, tooth)
		k.Teeth = append(k.Teeth, kt)
	}
	if err := l.Check(); err != nil {
		return nil, err
	}
	var err error
	if m.Lesson, m.Digest, err = pack(l, pictures); err != nil {
		return nil, err
	}
	k.Digest = m.Digest
	if m.Key, err = k.write(); err != nil {
		return nil, err
	}
	name := fileName(l.Title)
	m.LessonFile, m.KeyFile = name+" lesson.zip", name+" key.json"
	m.Remarks = remarks(l, k)
	return m, nil
}

type bare struct {
	bytes  []byte
	format photo.Format
}

var endings = map[photo.Format]string{photo.JPEG: "jpg", photo.PNG: "png", photo.WebP: "webp"}

// put makes a photograph fit to be handed out; its ID and place are to come.
func put(given *tray.Photo, b []byte, scale bool) (bare, Photo, error) {
	stripped, format, err := photo.Bare(given.File, b)
	if err != nil {
		return bare{}, Photo{}, err
	}
	i, err := photo.Inspect(given.File, stripped)
	if err != nil {
		return bare{}, Photo{}, err
	}
	if given.Width != 0 && (i.Width != given.Width || i.Height != given.Height) {
		return bare{}, Photo{}, fmt.Errorf("%s is not the photograph that was marked: it is %d × %d pixels, not %d × %d", given.File, i.Width, i.Height, given.Width, given.Height)
	}
	out := Photo{Role: given.Role, MIME: i.MIME, Bytes: i.Bytes, Hash: i.Hash, Width: i.Width, Height: i.Height}
	if scale {
		if _, err := given.Scale(); err != nil {
			return bare{}, Photo{}, fmt.Errorf("the scale is to be given, but %s has none: set it, or let the class set it", given.File)
		}
		out.Bars, out.Flat, out.Depth = given.Bars, given.Flat, given.Depth
	}
	return bare{stripped, format}, out, nil
}

// pack writes the lesson file. Pictures are compressed already; and no part
// carries a date.
func pack(l *Lesson, pictures [][]byte) (file []byte, digest string, err error) {
	text, digest, err := l.manifest()
	if err != nil {
		return nil, "", err
	}
	var out bytes.Buffer
	z := zip.NewWriter(&out)
	add := func(name string, method uint16, b []byte) error {
		w, err := z.CreateHeader(&zip.FileHeader{Name: name, Method: method})
		if err == nil {
			_, err = w.Write(b)
		}
		return err
	}
	if err := add(manifestName, zip.Deflate, text); err != nil {
		return nil, "", err
	}
	n, total := 0, 0
	for _, t := range l.Teeth {
		for _, p := range t.Photos {
			if total += len(pictures[n]); total > MaxLessonBytes-MaxManifestBytes {
				return nil, "", fmt.Errorf("the photographs take more than %d MB together: leave some out, or save them smaller", MaxLessonBytes>>20)
			}
			if err := add(p.File, zip.Store, pictures[n]); err != nil {
				return nil, "", err
			}
			n++
		}
	}
	if err := z.Close(); err != nil {
		return nil, "", err
	}
	if len(text) > MaxManifestBytes {
		return nil, "", errors.New("the lesson's description is too long: shorten the instructions")
	}
	return out.Bytes(), digest, nil
}

// remarks tells the instructor what the lesson cannot hide and what the key
// cannot judge.
func remarks(l *Lesson, k *Key) []string {
	out := []string{"Keep the key to yourself: it holds every mark and value of these teeth."}
	if l.Hidden.Identity {
		out = append(out, "A label that is to be seen in a photograph stays in it; look before you hand the lesson out.")
	}
	if l.Help.Scale {
		out = append(out, "The scale is given, so the class does not show the error of setting one.")
	}
	if l.Repeats == 1 {
		out = append(out, "Every tooth is measured once, so the error of one person measuring again will not be known.")
	}
	if len(l.Teeth) < 3 {
		out = append(out, "With fewer than three teeth the reliability says little.")
	}
	var unnamed []string
	for i := range k.Teeth {
		t := &k.Teeth[i]
		var lacks []string
		readings := t.readings()
		for _, id := range l.Readings {
			if _, ok := judged(readings.Get(id)); !ok {
				lacks = append(lacks, string(id))
			}
		}
		if len(lacks) > 0 {
			out = append(out, fmt.Sprintf("The key has no %s of %s, so the class is compared with itself there.", strings.Join(lacks, ", "), named(t.Specimen.Name)))
		}
		if !l.Help.Scale && slices.ContainsFunc(t.Specimen.Photos, func(p tray.Photo) bool { return p.Depth != nil || p.Flat != nil }) {
			out = append(out, fmt.Sprintf("The key corrects a photograph of %s for tilt or depth, of which students are not told: their lengths will differ for that alone.", named(t.Specimen.Name)))
		}
		if len(l.Choices) > 0 && t.Truth == "" {
			unnamed = append(unnamed, named(t.Specimen.Name))
		}
	}
	if len(unnamed) > 0 {
		slices.Sort(unnamed)
		out = append(out, fmt.Sprintf("The key does not say which name is right for %s.", listed(unnamed)))
	}
	return out
}

func named(name string) string {
	if strings.TrimSpace(name) == "" {
		return "a tooth without a name"
	}
	return name
}

// fileName makes a title fit to be the name of a file anywhere.
func fileName(title string) string {
	name := strings.Map(func(r rune) rune {
		if unicode.IsLetter(r) || unicode.IsDigit(r) || r == ' ' || r == '-' {
			return r
		}
		return -1
	}, title)
	name = strings.Join(strings.Fields(name), " ")
	if r := []rune(name); len(r) > 60 {
		name = strings.TrimSpace(string(r[:60]))
	}
	if name == "" {
		return "class"
	}
	return name
}
