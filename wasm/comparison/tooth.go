package comparison

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Limits of a list of own teeth and of the texts in it; errors name them.
const (
	MaxTeeth = 2000
	MaxText  = 200 // characters
)

// Identity is what a tooth is known to be. A clade or a form is needed for it
// to speak for anything.
type Identity struct {
	Taxon string        `json:"taxon,omitempty"`
	Clade string        `json:"clade,omitempty"`
	Form  classify.Form `json:"form,omitempty"`
}

// Tooth is one identified tooth of a person's own.
type Tooth struct {
	ID   string `json:"id"`
	Name string `json:"name"` // catalogue or field number
	Identity
	From     string                       `json:"from"`                 // in words: the tray, or the name of a file
	Specimen string                       `json:"specimen,omitempty"`   // ID in the tray that it was taken from
	Animal   string                       `json:"individual,omitempty"` // the same for all teeth of one animal
	Row      classify.ToothRow            `json:"row,omitempty"`
	Values   map[classify.Measure]float64 `json:"values"`
	Mesial   classify.DenticleState       `json:"mesialDenticles,omitempty"`
	Distal   classify.DenticleState       `json:"distalDenticles,omitempty"`
	Age      string                       `json:"age,omitempty"`
	Country  string                       `json:"country,omitempty"`
}

// needed are the measurements without which a tooth is not compared with.
var needed = []classify.Measure{classify.CBL, classify.CBW, classify.CH}

// FromSpecimen makes a comparison tooth of a specimen as it is now. The error
// is a sentence for the user: what is missing or cannot be right.
func FromSpecimen(s *tray.Specimen, f tray.Finding, known Identity) (Tooth, error) {
	t := Tooth{
		ID: "own " + s.ID, Name: s.Name, Identity: known.tidy(), From: "the tray", Specimen: s.ID, Animal: tray.Animal(s.ID),
		Row: f.Query.Row, Values: map[classify.Measure]float64{},
		Mesial: f.Query.Mesial, Distal: f.Query.Distal, Age: s.Age, Country: s.Country,
	}
	for m, v := range f.Query.Values {
		t.Values[m] = v
	}
	if s.Invented {
		return Tooth{}, errors.New("an invented tooth is no evidence for anything and cannot be compared with")
	}
	for _, r := range f.Doubted {
		if slices.Contains(needed, classify.Measure(r.ID)) {
			return Tooth{}, fmt.Errorf("%s is in doubt, and a tooth to compare with must be sure: %s", r.ID, lowerFirst(strings.TrimSuffix(r.Problem, ".")))
		}
	}
	for _, m := range needed {
		if r := f.Readings.Get(morph.ID(m)); r.Known && r.State == morph.Minimum {
			return Tooth{}, fmt.Errorf("%s is a minimum of a broken crown; a tooth to compare with needs the whole %s", m, m.Name())
		}
	}
	return t, t.Check()
}

// Check tells, in a sentence, what keeps a tooth from being compared with.
func (t Tooth) Check() error {
	if t.ID == "" {
		return errors.New("a comparison tooth has no id")
	}
	for _, text := range []string{t.ID, t.Name, t.Taxon, t.Clade, t.From, t.Specimen, t.Animal, t.Age, t.Country} {
		if utf8.RuneCountInString(text) > MaxText {
			return fmt.Errorf("the text %.40q… is longer than %d characters", text, MaxText)
		}
	}
	for _, m := range needed {
		if t.Values[m] == 0 {
			return fmt.Errorf("%s is missing; a tooth to compare with needs CBL, CBW and CH", m)
		}
	}
	_, err := t.sample()
	return err
}

// sample is the tooth as the comparison sample has it.
func (t Tooth) sample() (classify.Tooth, error) {
	c := classify.Tooth{
		ID: t.ID, Taxon: t.Taxon, Clade: t.Clade, Form: t.Form, Row: t.Row, Specimen: t.Name, Individual: t.Animal,
		Epoch: t.Age, Country: t.Country, MesialDenticles: t.Mesial, DistalDenticles: t.Distal, FormBasis: "as its owner identified it",
	}
	switch {
	case t.Form != "" && !slices.Contains(classify.Forms(), t.Form):
		return c, fmt.Errorf("%q is no form; blade, robust or front is expected", t.Form)
	case t.Clade == "" && t.Form == "":
		return c, errors.New("say the clade or the form; a tooth without either speaks for nothing")
	case t.Row > classify.Mesiolateral || t.Mesial > classify.DenticlesAbsent || t.Distal > classify.DenticlesAbsent:
		return c, errors.New("its tooth row or its denticles are none that this program knows")
	}
	for m, v := range t.Values {
		if m == classify.CBR || m == classify.CHR {
			continue // they follow from the lengths
		}
		if err := c.SetValue(m, v); err != nil {
			return c, err
		}
	}
	return c, nil
}

// Compared tells whether the tooth's clade is one that shares are given for.
func (i Identity) Compared() bool { return slices.Contains(classify.Clades(), i.tidy().Clade) }

// tidy trims the texts and writes a clade as the published table does.
func (i Identity) tidy() Identity {
	i.Taxon, i.Clade = strings.TrimSpace(i.Taxon), strings.TrimSpace(i.Clade)
	for _, c := range classify.Clades() {
		if strings.EqualFold(c, i.Clade) {
			i.Clade = c
		}
	}
	return i
}

func lowerFirst(s string) string {
	if len(s) < 2 || strings.ToUpper(s[1:2]) == s[1:2] {
		return s // an abbreviation
	}
	return strings.ToLower(s[:1]) + s[1:]
}
