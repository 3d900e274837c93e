package tray

import (
	"fmt"
	"maps"
	"math"
	"slices"
	"time"

	"crownbench/morph"
)

// Row says where in the jaw a tooth stood, when that is known. Mesial means
// premaxillary and foremost dentary teeth, lateral all others.
type Row string

const (
	RowUnknown Row = ""
	RowMesial  Row = "mesial"
	RowLateral Row = "lateral"
)

// Photo is a photograph of a specimen with what was marked on it. The picture
// itself is kept apart, under Hash.
type Photo struct {
	morph.View
	Hash   string `json:"sha256"` // of the file as it came, hexadecimal
	File   string `json:"file"`   // name of the file as it came
	MIME   string `json:"mime"`
	Bytes  int    `json:"bytes"`
	Width  int    `json:"width"`  // px, upright
	Height int    `json:"height"` // px, upright
	Taken  string `json:"taken,omitempty"`
	Device string `json:"device,omitempty"`
}

// Specimen is one tooth: who it is and everything that was marked, counted
// and typed about it.
type Specimen struct {
	ID       string    `json:"id"`
	Name     string    `json:"name"` // catalogue or field number, as the user writes it
	Invented bool      `json:"invented,omitempty"`
	Created  time.Time `json:"created"`
	Changed  time.Time `json:"changed"`
	// Revision counts changes; a copy with a higher one is newer.
	Revision int `json:"revision"`

	Row      Row    `json:"toothRow,omitempty"`
	Age      string `json:"age,omitempty"`     // epoch, as the reference teeth name it
	Country  string `json:"country,omitempty"` // where it was found
	Locality string `json:"locality,omitempty"`
	Remarks  string `json:"remarks,omitempty"`

	Photos []Photo                  `json:"photos,omitempty"`
	Typed  map[morph.ID]morph.Typed `json:"typed,omitempty"`
	Counts map[morph.ID]morph.Count `json:"counts,omitempty"`
	Mesial morph.CarinaState        `json:"mesialDenticles,omitempty"`
	Distal morph.CarinaState        `json:"distalDenticles,omitempty"`
	Prefer map[morph.ID]string      `json:"prefer,omitempty"`
	DSDI   morph.DSDIRule           `json:"dsdiRule,omitempty"`
	CHR    morph.CHRRule            `json:"chrRule,omitempty"`
}

// Tooth gives the inputs that readings follow from.
func (s *Specimen) Tooth() morph.Tooth {
	t := morph.Tooth{
		Typed: s.Typed, Counts: s.Counts, Mesial: s.Mesial, Distal: s.Distal,
		Prefer: s.Prefer, DSDI: s.DSDI, CHR: s.CHR,
	}
	for _, p := range s.Photos {
		t.Views = append(t.Views, p.View)
	}
	return t
}

// Photo gives the photograph with that ID, or nil.
func (s *Specimen) Photo(id string) *Photo {
	for i := range s.Photos {
		if s.Photos[i].ID == id {
			return &s.Photos[i]
		}
	}
	return nil
}

// Clone copies the specimen so that no part of the copy is shared.
func (s *Specimen) Clone() *Specimen {
	c := *s
	c.Photos = slices.Clone(s.Photos)
	for i := range c.Photos {
		c.Photos[i].View = cloneView(s.Photos[i].View)
	}
	c.Typed = maps.Clone(s.Typed)
	c.Counts = maps.Clone(s.Counts)
	c.Prefer = maps.Clone(s.Prefer)
	return &c
}

func cloneView(v morph.View) morph.View {
	v.Bars = slices.Clone(v.Bars)
	for i := range v.Bars {
		v.Bars[i].From.Via = slices.Clone(v.Bars[i].From.Via)
		v.Bars[i].To.Via = slices.Clone(v.Bars[i].To.Via)
	}
	if v.Crown != nil {
		c := *v.Crown
		c.Path = clonePath(c.Path)
		v.Crown = &c
	}
	if v.Section != nil {
		s := *v.Section
		s.Outline = clonePath(s.Outline)
		v.Section = &s
	}
	v.Stretches = slices.Clone(v.Stretches)
	for i := range v.Stretches {
		v.Stretches[i].Line = clonePath(v.Stretches[i].Line)
		v.Stretches[i].Ticks = clonePath(v.Stretches[i].Ticks)
	}
	return v
}

func clonePath[P ~[]morph.Vertex](p P) P {
	p = slices.Clone(p)
	for i := range p {
		p[i].Via = slices.Clone(p[i].Via)
	}
	return p
}

// Limits on one specimen; a record beyond them is refused with a sentence
// that names the limit.
const (
	MaxPhotos   = 40
	MaxVertices = 20000 // on one photograph, points along followed edges included
	MaxText     = 10000 // characters in one text field
)

// Check tells, in a sentence, what makes a specimen unfit to be kept, or nil.
// It bounds what a damaged or hostile record can bring in: sizes, indices and
// numbers that are not finite.
func (s *Specimen) Check() error {
	if s.ID == "" {
		return fmt.Errorf("the record of %q has no identifier", s.Name)
	}
	for _, f := range []struct{ field, text string }{
		{"name", s.Name}, {"locality", s.Locality}, {"remarks", s.Remarks}, {"age", s.Age}, {"country", s.Country},
	} {
		if len(f.text) > MaxText {
			return fmt.Errorf("the %s of %.40q is longer than %d characters", f.field, s.Name, MaxText)
		}
	}
	switch s.Row {
	case RowUnknown, RowMesial, RowLateral:
	default:
		return fmt.Errorf("%q gives the tooth row as %.40q; it is mesial, lateral or left empty", s.Name, s.Row)
	}
	if len(s.Photos) > MaxPhotos {
		return fmt.Errorf("%q has %d photographs; at most %d belong to one specimen", s.Name, len(s.Photos), MaxPhotos)
	}
	seen := map[string]bool{}
	for i := range s.Photos {
		p := &s.Photos[i]
		if p.ID == "" || seen[p.ID] {
			return fmt.Errorf("photograph %d of %q has no identifier of its own", i+1, s.Name)
		}
		seen[p.ID] = true
		if err := checkView(&p.View); err != nil {
			return fmt.Errorf("photograph %q of %q: %w", p.File, s.Name, err)
		}
	}
	for id, v := range s.Typed {
		if !finite(v.Value, v.U) {
			return fmt.Errorf("%s of %q is not a finite number", id, s.Name)
		}
	}
	for id, c := range s.Counts {
		if !finite(c.N, c.LengthMM) {
			return fmt.Errorf("the count %s of %q is not a finite number", id, s.Name)
		}
	}
	return nil
}

func checkView(v *morph.View) error {
	if !slices.Contains(morph.Roles, v.Role) {
		return fmt.Errorf("its role %.40q is not known", v.Role)
	}
	n, bad := 0, false
	count := func(p []morph.Vertex) {
		for _, q := range p {
			n += 1 + len(q.Via)
			bad = bad || !finite(q.X, q.Y)
			for _, w := range q.Via {
				bad = bad || !finite(w[0], w[1])
			}
		}
	}
	bad = !finite(v.Pointing) || v.Pointing < 0
	for _, b := range v.Bars {
		count([]morph.Vertex{b.From, b.To})
		bad = bad || !finite(b.Length, b.ULength)
	}
	if c := v.Crown; c != nil {
		count(c.Path)
		if c.Apex < morph.Unset || c.Apex >= len(c.Path) {
			return fmt.Errorf("its crown's apex is point %d of %d", c.Apex+1, len(c.Path))
		}
	}
	if s := v.Section; s != nil {
		count(s.Outline)
		for _, end := range []int{s.Mesial, s.Distal} {
			if end < morph.Unset || end >= len(s.Outline) {
				return fmt.Errorf("its section's end is point %d of %d", end+1, len(s.Outline))
			}
		}
	}
	for _, st := range v.Stretches {
		count(st.Line)
		count(st.Ticks)
	}
	if bad {
		return fmt.Errorf("a marked point or length is not a finite number")
	}
	if n > MaxVertices {
		return fmt.Errorf("it carries %d marked points; at most %d are read", n, MaxVertices)
	}
	return nil
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}
