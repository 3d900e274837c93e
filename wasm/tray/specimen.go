package tray

import (
	"maps"
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
	Width  int    `json:"width"`            // px, upright
	Height int    `json:"height"`           // px, upright
	Taken  string `json:"taken,omitempty"`  // as the camera had it, ISO 8601
	Device string `json:"device,omitempty"` // camera or scanner: maker and model
	// Creator is who took it, License under which terms it may be used.
	Creator string `json:"creator,omitempty"`
	License string `json:"license,omitempty"`
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

	Catalogue
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

// Clone copies the specimen so that no part of the copy is shared. Lists and
// maps without content come out as nil, so that a specimen is the same before
// and after it was saved.
func (s *Specimen) Clone() *Specimen {
	c := *s
	c.Photos = cloneList(s.Photos)
	for i := range c.Photos {
		c.Photos[i].View = cloneView(s.Photos[i].View)
	}
	c.Typed = cloneMap(s.Typed)
	c.Counts = cloneMap(s.Counts)
	c.Prefer = cloneMap(s.Prefer)
	return &c
}

func cloneView(v morph.View) morph.View {
	v.Bars = cloneList(v.Bars)
	for i := range v.Bars {
		v.Bars[i].From.Via = cloneList(v.Bars[i].From.Via)
		v.Bars[i].To.Via = cloneList(v.Bars[i].To.Via)
	}
	v.Repeats = cloneList(v.Repeats)
	for i := range v.Repeats {
		v.Repeats[i] = clonePath(v.Repeats[i])
	}
	if v.Flat != nil {
		f := *v.Flat
		for i := range f.Corners {
			f.Corners[i].Via = cloneList(f.Corners[i].Via)
		}
		v.Flat = &f
	}
	if v.Depth != nil {
		d := *v.Depth
		v.Depth = &d
	}
	if v.Crown != nil {
		c := *v.Crown
		c.Path = clonePath(c.Path)
		if c.Tip != nil {
			t := *c.Tip
			c.Tip = &t
		}
		v.Crown = &c
	}
	if v.Section != nil {
		s := *v.Section
		s.Outline = clonePath(s.Outline)
		v.Section = &s
	}
	v.Stretches = cloneList(v.Stretches)
	for i := range v.Stretches {
		v.Stretches[i].Line = clonePath(v.Stretches[i].Line)
		v.Stretches[i].Ticks = clonePath(v.Stretches[i].Ticks)
	}
	return v
}

func clonePath[P ~[]morph.Vertex](p P) P {
	p = cloneList(p)
	for i := range p {
		p[i].Via = cloneList(p[i].Via)
	}
	return p
}

func cloneList[L ~[]E, E any](l L) L {
	if len(l) == 0 {
		return nil
	}
	return slices.Clone(l)
}

func cloneMap[M ~map[K]V, K comparable, V any](m M) M {
	if len(m) == 0 {
		return nil
	}
	return maps.Clone(m)
}
