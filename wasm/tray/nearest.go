package tray

import (
	"strings"

	"crownbench/classify"
	"crownbench/morph"
)

// SideBySide is a tooth set beside its nearest comparison teeth, value by
// value: what both the page and the sheet show.
type SideBySide struct {
	Measures []classify.Measure // columns: those that one of the teeth has
	This     []string           // this tooth's cells, one for each of Measures
	Rows     []Beside           // nearest first
	Papers   []string           // citations, in the order in which Rows first need them
}

// Beside is one of the nearest teeth.
type Beside struct {
	Tooth    *classify.Tooth
	Name     string   // catalogue number and place in the jaw
	Cells    []string // one for each of SideBySide.Measures
	Distance float64
	// Paper is the place in SideBySide.Papers, from 1, of where the tooth was
	// published; 0 for a tooth of one's own.
	Paper int
}

// sideMeasures are the measurements that are shown side by side, where known.
var sideMeasures = []classify.Measure{
	classify.CBL, classify.CBW, classify.CH, classify.AL, classify.CBR, classify.CHR, classify.MC, classify.DC,
}

// Beside sets the specimen beside the teeth that its form rests on or, without
// a form, those that the clades rest on.
func (f Finding) Beside() SideBySide {
	near := Nearest(f.Answer)
	var t SideBySide
	for _, x := range sideMeasures {
		this := FormatValue(ownReading(f.Readings, x))
		some := this != NotKnown
		for _, n := range near {
			_, known := n.Tooth.Value(x)
			some = some || known
		}
		if some {
			t.Measures = append(t.Measures, x)
			t.This = append(t.This, this)
		}
	}
	for _, n := range near {
		row := Beside{Tooth: n.Tooth, Name: ToothName(n.Tooth), Distance: n.Distance}
		for _, x := range t.Measures {
			cell := NotKnown
			if v, ok := n.Tooth.Value(x); ok {
				cell = FormatNumber(v, 0, x.Unit())
			}
			row.Cells = append(row.Cells, cell)
		}
		if !n.Tooth.Own() {
			row.Paper = t.cite(n.Tooth.Source)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// cite gives the place of a paper among the citations, from 1.
func (t *SideBySide) cite(key string) int {
	text := key
	if src, ok := classify.Published().Source(key); ok {
		text = src.Reference
	}
	for i, p := range t.Papers {
		if p == text {
			return i + 1
		}
	}
	t.Papers = append(t.Papers, text)
	return len(t.Papers)
}

// Nearest are the teeth that the form rests on or, without a form, those that
// the clades rest on.
func Nearest(a classify.Answer) []classify.Neighbour {
	if len(a.Neighbours) > 0 {
		return a.Neighbours
	}
	return a.CladeNeighbours
}

// ToothName is the catalogue number of a comparison tooth with its place in the
// jaw.
func ToothName(t *classify.Tooth) string {
	return strings.TrimSpace(t.Specimen + " " + t.Position)
}

// ownReading is a reading as the comparison teeth have it: CHR is CH / CBL
// whatever axis the specimen's own divides by. Its uncertainty stands in the
// table of readings.
func ownReading(rs morph.Readings, x classify.Measure) morph.Reading {
	r := rs.Get(morph.ID(x))
	ch, cbl := rs.Get(morph.CH), rs.Get(morph.CBL)
	if x == classify.CHR && ch.Known && cbl.Known && cbl.Value > 0 && cbl.State != morph.Minimum {
		r = morph.Reading{Quantity: r.Quantity, Known: true, Value: ch.Value / cbl.Value, State: ch.State}
		if r.State == morph.MeasuredState {
			r.State = cbl.State
		}
	}
	r.U = 0
	return r
}
