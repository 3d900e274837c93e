package intake

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/classify/typed"
	"crownbench/wasm/tray"
)

// Choice is one of the things that a column may hold.
type Choice struct {
	Key   string // "" for what is not used
	Label string
	Group string

	column typed.Column
}

// Groups of choices, as headings of a list.
const (
	groupTooth       = "The tooth"
	groupReadings    = "Readings"
	groupUncertainty = "± of a reading (standard uncertainty)"
	groupStanding    = "State of a reading (estimated, minimum …)"
)

// inventedField is the column of a tray's own table that marks the teeth of the
// demo.
const inventedField = "invented"

// NotUsed is the label of a column that holds nothing of use.
const NotUsed = "not used"

var choices = makeChoices()

func makeChoices() []Choice {
	all := []Choice{
		{"", NotUsed, "", typed.Column{}},
		{"name", "Name: catalogue or field number", groupTooth, typed.Column{Holds: typed.Name}},
		{"row", "Tooth row: mesial or lateral", groupTooth, typed.Column{Holds: typed.ToothRow}},
		{"mesial", "Mesial carina: denticles present, absent", groupTooth, typed.Column{Holds: typed.MesialDenticles}},
		{"distal", "Distal carina: denticles present, absent", groupTooth, typed.Column{Holds: typed.DistalDenticles}},
		{"invented", "Invented, as demo teeth are: yes or no", groupTooth, typed.Column{Holds: typed.Text, Field: inventedField}},
	}
	of := func(prefix, label, group string, h typed.Holds) {
		for _, m := range classify.Measures() {
			all = append(all, Choice{prefix + string(m), fmt.Sprintf(label, m, m.Name()), group,
				typed.Column{Holds: h, Measure: m, Unit: typed.Units(m)[0]}})
		}
	}
	of("", "%s: %s", groupReadings, typed.Reading)
	for _, f := range tray.Fields {
		c := typed.Column{Holds: typed.Text, Field: f.ID}
		switch f.ID {
		case "age":
			c = typed.Column{Holds: typed.Epoch}
		case "country":
			c = typed.Column{Holds: typed.Country}
		}
		all = append(all, Choice{"text " + f.ID, f.Label, f.Group, c})
	}
	of("± ", "± of %s: %s", groupUncertainty, typed.Uncertainty)
	of("state ", "State of %s: %s", groupStanding, typed.Standing)
	return all
}

// Choices lists what a column may hold, in the order of a list of them; those
// of a group stand together.
func Choices() []Choice { return choices }

// ChoiceOf gives the choice that a column stands at.
func ChoiceOf(c typed.Column) Choice {
	for _, x := range choices[1:] {
		if x.column.Same(c) {
			return x
		}
	}
	return choices[0]
}

func choiceOf(key string) (Choice, bool) {
	i := slices.IndexFunc(choices, func(c Choice) bool { return c.Key == key })
	if i < 0 {
		return Choice{}, false
	}
	return choices[i], true
}

// propose takes over what was understood of the headings, and finds fields of
// the record for the others. A taxon is the scientific name of a record; a
// clade, a form and an animal belong to teeth that are compared with, which
// these are not.
func propose(columns []typed.Column) []typed.Column {
	out := slices.Clone(columns)
	for i, c := range out {
		switch c.Holds {
		case typed.Taxon:
			out[i].Holds, out[i].Field = typed.Text, "scientificName"
		case typed.Clade, typed.Form, typed.Individual:
			out[i].Holds = typed.Nothing
		}
	}
	for i, c := range out {
		if c.Holds != typed.Nothing {
			continue
		}
		found, ok := fieldCalled(c.Heading)
		if !ok {
			continue
		}
		found.Heading = c.Heading
		if !slices.ContainsFunc(out, found.Same) {
			out[i] = found
		}
	}
	return out
}

// alsoCalled are headings of fields besides their own names, as plainly makes
// them.
var alsoCalled = map[string]string{
	"site": "locality", "quarry": "locality", "stage": "earliestAgeOrLowestStage",
	"remark": "remarks", "notes": "remarks", "note": "remarks", "comments": "remarks", "comment": "remarks",
	"collector": "recordedBy", "collectedby": "recordedBy", "lat": "decimalLatitude", "long": "decimalLongitude", "lon": "decimalLongitude",
}

func fieldCalled(heading string) (typed.Column, bool) {
	h := plainly(heading)
	switch h {
	case "":
		return typed.Column{}, false
	case inventedField:
		return typed.Column{Holds: typed.Text, Field: inventedField}, true
	}
	for _, f := range tray.Fields {
		if h == plainly(f.ID) || h == plainly(f.Label) || h == plainly(f.Term) || alsoCalled[h] == f.ID {
			c, _ := choiceOf("text " + f.ID)
			return c.column, true
		}
	}
	return typed.Column{}, false
}

// plainly is a heading in small letters, of letters alone.
func plainly(heading string) string {
	return strings.Map(func(r rune) rune {
		if r >= 'a' && r <= 'z' {
			return r
		}
		return -1
	}, strings.ToLower(heading))
}

// fieldWant tells what a field of the record expects instead of a text, or "".
func fieldWant(id, text string) string {
	if id == inventedField {
		if _, ok := yesOrNo(text); !ok {
			return "yes or no"
		}
		return ""
	}
	f, ok := tray.FieldOf(id)
	if !ok || f.Check(text) == nil {
		return ""
	}
	if len(f.Words) > 0 {
		return "one of " + strings.Join(f.Words, ", ")
	}
	if f.Such != "" {
		return fmt.Sprintf("a %s such as %s", strings.ToLower(f.Label), f.Such)
	}
	return "a shorter " + strings.ToLower(f.Label)
}

func yesOrNo(text string) (yes, ok bool) {
	switch strings.ToLower(text) {
	case "yes":
		return true, true
	case "no":
		return false, true
	}
	return false, false
}
