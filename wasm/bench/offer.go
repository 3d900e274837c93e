package bench

import (
	"strings"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// stage is how far a proposal from the picture has come.
type stage uint8

const (
	noOffer   stage = iota
	wanted          // a click is awaited that says what it is to be about
	searching       // the picture is being read or searched
	offered         // it is shown
	doubted         // taking it would replace something, and that is asked
	refusing        // there is none, and it is said why
)

// offer is a proposal that a person has not decided on. It is no part of the
// record before it is taken.
type offer struct {
	stage  stage
	search search
	found  finding
	lines  lines  // of found.view
	why    string // of refusing
	turn   int    // tells this search from a later one
}

// finding is what a search proposes.
type finding struct {
	view morph.View // nothing but what is proposed
	say  string     // what it is and how far to trust it
	// parts is how many even parts a proposed scale bar has, 0 where that is
	// not known.
	parts int
	// swap gives the proposal the other way round, nil where it has none.
	swap func(*morph.View)
}

// search is something that the picture can be asked for.
type search struct {
	click string // what to click before, "" for nothing
	// find searches the picture, with the point that was clicked, photo px. Its
	// error is a sentence.
	find func(s Sight, at r2.Vec) (finding, error)
	// replaces names what taking it would do away with, "" for nothing.
	replaces func() string
	// take puts a proposal into the record.
	take func(v *morph.View, found *morph.View)
	// undo is what taking is called in the list of steps.
	undo string
}

// ask begins a search.
func (b *Bench) ask(s search) {
	b.active, b.start = mark{}, nil
	b.pointing.last = click{}
	b.offer = offer{stage: wanted, search: s}
	if s.click == "" {
		b.look(r2.Vec{})
	}
	b.redraw()
}

// look searches the picture once its pixels are there.
func (b *Bench) look(at r2.Vec) {
	b.searches++
	turn := b.searches
	b.offer.stage, b.offer.turn = searching, turn
	b.keys.cross = nil
	b.redraw()
	b.see(func(err error) {
		switch {
		case !b.looking(turn):
		case err != nil:
			b.settle(finding{}, err)
		default:
			b.host.Beside(func(rest func()) { b.findBeside(turn, at, rest) })
		}
	})
}

// looking tells whether a search is still under way that nobody has stopped.
func (b *Bench) looking(turn int) bool { return b.offer.stage == searching && b.offer.turn == turn }

// findBeside searches the picture while the page lives on.
func (b *Bench) findBeside(turn int, at r2.Vec, rest func()) {
	if !b.looking(turn) {
		return
	}
	sight := *b.sight
	sight.Picture = sight.Picture.Watched(func() bool {
		rest()
		return b.looking(turn)
	})
	found, err := b.offer.search.find(sight, at)
	if b.looking(turn) {
		b.settle(found, err)
		b.redraw()
	}
}

// settle shows what was found, or says why nothing was.
func (b *Bench) settle(found finding, err error) {
	if err != nil {
		b.offer.stage, b.offer.why = refusing, sentence(err)
		b.host.Say(b.offer.why)
		return
	}
	b.offer.stage, b.offer.found = offered, found
	b.offer.lines = linesOf(&found.view)
	b.host.Say(found.say)
}

// take puts the proposal into the record, once it is clear that it may replace
// what is there.
func (b *Bench) take() {
	o := b.offer
	if o.stage == offered && o.search.replaces() != "" {
		b.offer.stage = doubted
		b.redraw()
		return
	}
	b.offer = offer{}
	b.edit(o.search.undo, "", func(v *morph.View) { o.search.take(v, &o.found.view) })
	b.redraw()
}

// discard puts the proposal away.
func (b *Bench) discard() {
	b.offer = offer{}
	b.redraw()
}

// turnOffer gives the proposal the other way round.
func (b *Bench) turnOffer() {
	b.offer.found.swap(&b.offer.found.view)
	b.offer.lines = linesOf(&b.offer.found.view)
	b.redraw()
}

// Propose says whether a person may have the picture searched for what is to be
// marked.
func (b *Bench) Propose(yes bool) {
	if b.alone == yes {
		b.alone, b.offer = !yes, offer{}
		b.redraw()
	}
}

// TellReadings says whether a proposal may say what would be read from it.
func (b *Bench) TellReadings(yes bool) { b.untold = !yes }

// TellsReadings tells whether it may.
func (b *Bench) TellsReadings() bool { return !b.untold }

// Offering tells whether something is proposed that waits to be decided on.
func (b *Bench) Offering() bool { return b.offer.stage == offered || b.offer.stage == doubted }

// Asked tells whether the picture was asked for something that is not decided on
// yet, a refusal that stands there included.
func (b *Bench) Asked() bool { return b.offer.stage != noOffer }

// sentence makes an error read as one.
func sentence(err error) string {
	s := upperFirst(err.Error())
	if s != "" && !strings.ContainsAny(s[len(s)-1:], ".?!") {
		s += "."
	}
	return s
}

// offerWalk is what clicks and keys mean while a proposal is under way.
type offerWalk struct{ *Bench }

func (offerWalk) handles() []mark          { return nil }
func (w offerWalk) awaiting() bool         { return w.offer.stage == wanted }
func (w offerWalk) put(p r2.Vec)           { w.look(p) }
func (offerWalk) twice()                   {}
func (offerWalk) pick(mark) bool           { return false }
func (offerWalk) line() (mark, bool, bool) { return mark{}, false, false }
func (offerWalk) newest() mark             { return mark{} }
func (offerWalk) remove(mark)              {}
func (offerWalk) name(mark) string         { return "" }
func (w offerWalk) progress() Progress     { return w.walkOf(w.tool).progress() }

func (w offerWalk) miss(r2.Vec, float64) {
	if w.Offering() {
		w.host.Say("Take the proposal or discard it first.")
	}
}

func (w offerWalk) enter() {
	switch w.offer.stage {
	case offered:
		w.take()
	case refusing:
		w.discard()
	}
}

func (w offerWalk) prompt() Prompt {
	o := w.offer
	discard := Action{"Discard", "Escape", w.discard}
	switch o.stage {
	case wanted:
		return Prompt{Text: o.search.click, Actions: []Action{{"By hand instead", "Escape", w.discard}}}
	case searching:
		return Prompt{Text: "Looking at the picture…", Busy: true, Actions: []Action{{"Stop", "Escape", w.discard}}}
	case doubted:
		return Prompt{
			Text:    o.search.replaces() + " Put the proposal in its place? Undo brings it back.",
			Actions: []Action{{"Replace it", "", w.take}, {"Keep what is there", "Escape", w.discard}},
		}
	case refusing:
		return Prompt{Text: o.why, Actions: []Action{{"Go on by hand", "Enter", w.discard}}}
	}
	p := Prompt{Text: o.found.say, Actions: []Action{{"Take it", "Enter", w.take}}}
	if o.found.swap != nil {
		p.Actions = append(p.Actions, Action{"Other way round", "s", w.turnOffer})
	}
	p.Actions = append(p.Actions, discard)
	return p
}
