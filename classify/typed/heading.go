package typed

import (
	"slices"
	"strings"

	"crownbench/classify"
)

// kind says what a column holds.
type kind uint8

const (
	isNothing kind = iota
	isID
	isValue
	isUncertainty
	isRow
	isMesialState
	isDistalState
	isEpoch
	isCountry
	isTaxon
	isClade
	isForm
	isIndividual
)

type column struct {
	heading string
	kind    kind
	measure classify.Measure
	scale   float64 // to mm, or 1
}

// words are headings other than measures, in small letters without spaces and
// underscores.
var words = map[string]kind{
	"id": isID, "tooth": isID, "specimen": isID, "catalognumber": isID, "name": isID,
	"row": isRow, "toothrow": isRow, "toothclass": isRow,
	"mesialdenticles": isMesialState, "distaldenticles": isDistalState,
	"epoch": isEpoch, "age": isEpoch,
	"country": isCountry,
	"taxon":   isTaxon, "genus": isTaxon, "scientificname": isTaxon,
	"clade": isClade, "family": isClade,
	"form": isForm, "shapeclass": isForm,
	"individual": isIndividual, "animal": isIndividual,
}

// older names of measures (FABL and BW as in Farlow and others 1991, from
// memory).
var older = map[string]classify.Measure{"FABL": classify.CBL, "BW": classify.CBW, "TCH": classify.CH}

// readHeading understands the headings; of several that mean the same the first
// counts and the rest are ignored.
func readHeading(cells []string) (columns []column, ignored []string) {
	for _, cell := range cells {
		c := readColumn(strings.TrimSpace(cell))
		twice := slices.ContainsFunc(columns, func(o column) bool { return o.kind == c.kind && o.measure == c.measure })
		if c.kind == isNothing || twice {
			c.kind = isNothing
			if c.heading != "" {
				ignored = append(ignored, c.heading)
			}
		}
		columns = append(columns, c)
	}
	return columns, ignored
}

func readColumn(heading string) column {
	c := column{heading: heading, scale: 1}
	plain := strings.NewReplacer(" ", "", "_", "", "-", "", "[", "(", "]", ")").Replace(strings.ToLower(heading))
	if k, ok := words[plain]; ok {
		c.kind = k
		return c
	}
	c.kind = isValue
	if inner, ok := strings.CutPrefix(plain, "u("); ok {
		c.kind, plain = isUncertainty, strings.Replace(inner, ")", "", 1)
	}
	for _, unit := range []struct {
		suffix string
		scale  float64
	}{{"(mm)", 1}, {"(cm)", 10}, {"per5mm", 1}, {"(per5mm)", 1}, {"/5mm", 1}, {"(/5mm)", 1}, {"mm", 1}, {"cm", 10}} {
		if p, ok := strings.CutSuffix(plain, unit.suffix); ok && p != "" {
			plain, c.scale = p, unit.scale
			break
		}
	}
	for _, suffix := range []string{"±", "sd"} {
		if p, ok := strings.CutSuffix(plain, suffix); ok && p != "" {
			c.kind, plain = isUncertainty, p
		}
	}
	name := strings.ToUpper(plain)
	if m, ok := older[name]; ok {
		name = string(m)
	}
	c.measure = classify.Measure(name)
	if !c.measure.Known() {
		return column{heading: heading}
	}
	if c.measure.Unit() != "mm" {
		c.scale = 1
	}
	return c
}

// columnOf returns the place of the first column of a kind, or -1.
func columnOf(columns []column, k kind) int {
	return slices.IndexFunc(columns, func(c column) bool { return c.kind == k })
}
