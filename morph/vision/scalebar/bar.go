package scalebar

import (
	"cmp"
	"errors"
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	"crownbench/morph/vision"
)

// Kind is how a scale bar is made.
type Kind string

const (
	Ruler  Kind = "ruler"
	Blocks Kind = "blocks"
	Line   Kind = "line"
)

// Bar is a proposal of a scale bar.
type Bar struct {
	Kind Kind
	Ends [2]r2.Vec // px of the photograph
	// Divisions is how many even parts lie between the ends, Spacing the length
	// of one in px, Major every how many of them a tick is taller; 0 where there
	// are none.
	Divisions int
	Spacing   float64
	Major     int
	// UEnd is the standard uncertainty of an end along the bar, px.
	UEnd float64
	// Confidence is from 0 to 1: for rulers and blocks by how many even parts
	// there are and how even they are, for a line never above ½.
	Confidence float64
}

// ErrNone tells that no scale bar was found.
var ErrNone = errors.New("No scale bar was found in this photo: mark its two ends yourself.")

// Guess gives the length that the bar most likely has: only a ruler whose
// every fifth or tenth tick is taller says so, by being one of millimetres.
// A person confirms it.
func (b Bar) Guess() (length float64, unit morph.Unit, ok bool) {
	if b.Kind == Ruler && (b.Major == 5 || b.Major == 10) {
		return float64(b.Divisions), morph.Millimetre, true
	}
	return 0, "", false
}

// Ask is what a person has to say before the bar sets a scale.
func (b Bar) Ask() string {
	switch {
	case b.Kind == Line:
		return "A bar without ticks: only its ends could be found. How long is it?"
	case b.Kind == Ruler && b.Major > 0:
		return "A ruler: how much is one of its smallest divisions?"
	case b.Kind == Ruler:
		return "A row of even ticks: how much is one division?"
	}
	return "A bar of even blocks: how much is one block?"
}

// Reading gives the bar in the form that morph reads a scale from, once one of
// its divisions (of a line: all of it) is known to be so long.
func (b Bar) Reading(division float64, unit morph.Unit) morph.Bar {
	return morph.Bar{From: morph.At(b.Ends[0]), To: morph.At(b.Ends[1]),
		Length: division * float64(max(1, b.Divisions)), Unit: unit}
}

// searchSide is the longer side, px, of the copy in which ink is looked for.
const searchSide = 1700

// Find proposes the scale bar of a photograph: the ruler or bar of blocks with
// the most even parts, else the straightest plain line. ErrNone when there is
// neither, vision.ErrStopped when a watched search was stopped.
func Find(p *vision.Picture) (bar Bar, err error) {
	defer vision.Stopped(&err)
	bars := candidates(p)
	if len(bars) == 0 {
		return Bar{}, ErrNone
	}
	return bars[0], nil
}

// candidates gives what may be a scale bar, the likeliest first.
func candidates(p *vision.Picture) []Bar {
	l := p.Level(p.Fitting(searchSide))
	side := min(l.Width, l.Height)
	dark, light := marks(l, max(7, side/70), strokeShare, false), marks(l, max(7, side/70), strokeShare, true)
	bright := brightness(p.Level(p.Fitting(200)))
	bars := slices.Concat(rulers(p, l, dark, bright), rulers(p, l, light, bright), blocks(p, l, marks(l, max(9, side/14), blockShare, false), bright))
	if len(bars) == 0 {
		bars = slices.Concat(lines(p, l, dark), lines(p, l, light))
	}
	slices.SortStableFunc(bars, func(a, b Bar) int {
		// Of two views of one ruler the one that saw its taller ticks.
		return cmp.Or(cmp.Compare(math.Round(100*b.Confidence), math.Round(100*a.Confidence)), cmp.Compare(b.Major, a.Major))
	})
	return bars
}
