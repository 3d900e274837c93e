package bench

import (
	"fmt"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// Host is what a Bench stands on.
type Host interface {
	// Edit changes the marks of the photograph that is shown. edit gets a copy
	// of them; the host then calls Show with what came of it, before it
	// returns. Edits that follow each other with the same non-empty merge word
	// are undone together. An edit that is refused shows nothing new.
	Edit(label, merge string, edit func(*morph.View))
	// See gives the pixels of the photo that is shown, or a sentence why it
	// cannot: at once or, since reading them takes a while, later.
	See(then func(Sight, error))
	// Beside runs work that takes long, at once or later. The work calls rest
	// often, so that the page lives on meanwhile: anything may have happened to
	// the Bench when rest returns.
	Beside(work func(rest func()))
	// Redraw tells that something visible changed.
	Redraw()
	// Say announces a sentence: an action was refused, or a person who does
	// not see the photo view needs to know what happened.
	Say(sentence string)
}

// Tool is what clicks in the photo view are for.
type Tool uint8

const (
	Look Tool = iota
	Scale
	Crown
	Section
	Denticles
)

// Bench is the photo view.
type Bench struct {
	host Host

	view          *morph.View // never changed here
	lines         lines       // of view, as they are drawn
	width, height float64     // photo px
	win           window
	cam           camera
	shade         Shade
	fitted        bool // the camera follows the window until it is moved

	tool   Tool
	active mark // the selected point
	row    int  // the selected stretch of carina, or none
	next   row  // what the next stretch will be

	start   *r2.Vec // the first end of a scale bar whose other end is awaited
	again   bool    // a further reading of the bar was asked for
	lastBar morph.Bar
	// lastParts is into how many even parts that bar is divided, 0 where nobody
	// has looked.
	lastParts int
	sight     *Sight // nil until the pixels were needed and are there
	follow    following
	offer     offer
	alone     bool     // nothing is proposed
	untold    bool     // no proposal says what would be read from it
	searches  int      // begun so far
	carded    bool     // the scale is to come from a card
	corners   []r2.Vec // of a card whose other corners are awaited, at most three
	lastCard  morph.Flat
	remark    *remarking // nil while nothing is marked again
	pointing  pointing
	keys      keyboard
	words     int // merge words given out
	corner    int // of the magnifier
}

const noRow = -1

// New gives a Bench without a photo.
func New(h Host) *Bench {
	b := &Bench{host: h, row: noRow, win: window{w: 1, h: 1, ratio: 1}, cam: camera{scale: 1}}
	b.lastBar.Unit, b.lastCard.Unit = morph.Millimetre, morph.Millimetre
	return b
}

// Show shows the marks of a photo of width × height px; nil shows no photo.
// Another view.ID than before fits the photo into the window and lets go of
// what was selected; the same one keeps camera, selection and a movement under
// way. The Bench keeps view and never changes it; nor may the caller.
func (b *Bench) Show(view *morph.View, width, height int) {
	if view != nil && (width <= 0 || height <= 0) {
		view = nil
	}
	same := view != nil && b.view != nil && view.ID == b.view.ID
	resized := float64(width) != b.width || float64(height) != b.height
	b.view, b.width, b.height = view, float64(width), float64(height)
	b.lines = linesOf(view)
	if !same {
		b.forget()
		if view != nil {
			b.carded = b.carded && len(view.Bars) == 0
			b.next = rowFor(view.Role)
			b.resume()
			b.watch()
		}
	}
	b.check()
	if !same || resized {
		b.Fit()
	}
	b.redraw()
}

// forget lets go of everything that belongs to the photo that was shown.
func (b *Bench) forget() {
	b.active, b.row = mark{}, noRow
	b.start, b.again, b.corners = nil, false, nil
	b.remark = nil
	b.sight, b.offer = nil, offer{}
	b.follow = following{on: b.follow.on}
	b.pointing = pointing{}
	b.keys = keyboard{}
}

// resume selects the stretch of carina that was being marked.
func (b *Bench) resume() {
	if n := len(b.view.Stretches); n > 0 && !(b.view.Stretches[n-1].Done && b.view.Stretches[n-1].Serrated) {
		b.row = n - 1
	}
}

// check lets go of what an edit or an undo took away.
func (b *Bench) check() {
	if b.view == nil || b.row >= len(b.view.Stretches) {
		b.row = noRow
	}
	if b.view != nil && b.view.Flat != nil {
		b.corners = nil
	}
	if b.remark != nil && len(b.landmarks()) != len(b.remark.points) {
		b.remark = nil
	}
	if _, ok := b.at(b.active); !ok {
		b.active = mark{}
	}
	if p := &b.pointing; p.gesture == dragging {
		if _, ok := b.at(p.mark); !ok {
			p.gesture = idle
		}
	}
}

// Release tells that no key, button or finger can be taken to be held any
// more, since the window lost the focus.
func (b *Bench) Release() {
	b.pointing = pointing{}
	b.keys.space = false
	b.follow.straight = false
	b.redraw()
}

// Resize tells the size of the window in CSS px and the device px in one.
func (b *Bench) Resize(w, h, ratio float64) {
	if !finite(w, h, ratio) {
		return
	}
	b.reframe(func() { b.win.w, b.win.h, b.win.ratio = max(w, 1), max(h, 1), min(max(ratio, 0.1), 16) })
}

// Cover tells how much of the window is hidden behind panels at each side, in
// CSS px. The fitted photo and the magnifier keep clear of them.
func (b *Bench) Cover(left, top, right, bottom float64) {
	if !finite(left, top, right, bottom) {
		return
	}
	b.reframe(func() {
		b.win.left, b.win.top, b.win.right, b.win.bottom = max(left, 0), max(top, 0), max(right, 0), max(bottom, 0)
	})
}

// reframe changes the window. A fitted photo stays fitted; otherwise a larger
// or smaller window shows more or less around the same middle, and a panel
// that comes or goes moves nothing.
func (b *Bench) reframe(change func()) {
	old := b.win
	change()
	if b.win == old {
		return
	}
	if b.fitted {
		b.Fit()
	} else if b.view != nil {
		b.cam.shift = r2.Add(b.cam.shift, r2.Vec{X: (b.win.w - old.w) / 2, Y: (b.win.h - old.h) / 2})
		b.cam.scale = limited(b.cam.scale, b.fit().scale)
		b.cam = b.cam.kept(b.win.free(), b.width, b.height)
	}
	b.redraw()
}

func (b *Bench) fit() camera { return fitting(b.win.free(), b.width, b.height) }

// Fit shows the whole photo.
func (b *Bench) Fit() {
	b.fitted = true
	if b.view != nil {
		b.cam = b.fit()
	}
	b.redraw()
}

// Zoom magnifies by a factor about the active point, the keyboard's crosshair
// or the middle of the free part of the window.
func (b *Bench) Zoom(factor float64) {
	at := middle(b.win.free())
	if p, ok := b.focus(); ok && within(b.win.free(), b.cam.screen(p)) {
		at = b.cam.screen(p)
	}
	b.zoomAt(at, factor)
}

// focus gives the photo point that the keyboard works at.
func (b *Bench) focus() (r2.Vec, bool) {
	if b.keys.cross != nil {
		return *b.keys.cross, true
	}
	return b.at(b.active)
}

// zoomAt magnifies by a factor and keeps the photo point at s in its place.
func (b *Bench) zoomAt(s r2.Vec, factor float64) {
	if b.view == nil || !finite(factor, s.X, s.Y) || factor <= 0 {
		return
	}
	p := b.cam.photo(s)
	b.cam = holding(p, s, limited(b.cam.scale*factor, b.fit().scale))
	if !b.onPhoto(p) {
		// Zooming about a point beside the photo could push it out of sight.
		b.cam = b.cam.kept(b.win.free(), b.width, b.height)
	}
	b.fitted = false
	b.redraw()
}

// pan moves the photo by a distance in CSS px.
func (b *Bench) pan(by r2.Vec) {
	if b.view == nil || by == (r2.Vec{}) {
		return
	}
	b.cam.shift = r2.Add(b.cam.shift, by)
	b.cam = b.cam.kept(b.win.free(), b.width, b.height)
	b.fitted = false
	b.redraw()
}

// reveal moves the photo as little as needed to bring a photo point into the
// free part of the window.
func (b *Bench) reveal(p r2.Vec) {
	const margin = 40
	box, s := b.win.free(), b.cam.screen(p)
	inset := func(lo, hi, x float64) float64 {
		m := min(margin, (hi-lo)/4)
		return min(max(x, lo+m), hi-m) - x
	}
	by := r2.Vec{X: inset(box.Min.X, box.Max.X, s.X), Y: inset(box.Min.Y, box.Max.Y, s.Y)}
	if by != (r2.Vec{}) {
		b.cam.shift = r2.Add(b.cam.shift, by)
		b.fitted = false
	}
}

// onPhoto tells whether a point in photo px lies on the photo.
func (b *Bench) onPhoto(p r2.Vec) bool {
	return p.X >= 0 && p.Y >= 0 && p.X <= b.width && p.Y <= b.height
}

// clamped gives the point of the photo that is nearest to p.
func (b *Bench) clamped(p r2.Vec) r2.Vec {
	return r2.Vec{X: min(max(p.X, 0), b.width), Y: min(max(p.Y, 0), b.height)}
}

// SetTool says what clicks are for from now on. Points of a walk that is not
// finished stay in the record.
func (b *Bench) SetTool(t Tool) {
	if t > Denticles || t == b.tool && b.remark == nil {
		return
	}
	b.remark = nil
	b.tool = t
	b.active = mark{}
	b.offer = offer{}
	b.start, b.again, b.corners = nil, false, nil
	b.pointing.last = click{}
	if b.pointing.gesture <= dragging {
		b.pointing.gesture = idle
	}
	if t == Look {
		b.keys.cross = nil
	}
	b.watch()
	b.redraw()
}

// Tool is the tool in use.
func (b *Bench) Tool() Tool { return b.tool }

// Active gives the position of the selected point in photo px.
func (b *Bench) Active() (at r2.Vec, ok bool) { return b.at(b.active) }

// walk is what one tool makes of clicks and keys.
type walk interface {
	// handles lists the points that can be taken hold of, in walking order.
	handles() []mark
	// awaiting tells whether a click on an empty place means something.
	awaiting() bool
	put(p r2.Vec)
	// twice is the second of two clicks in one place.
	twice()
	// enter is the Enter key while no crosshair is shown.
	enter()
	// pick is a click on a handle; it tells whether the walk used it for more
	// than selecting.
	pick(m mark) bool
	// miss is a click that found nothing while no point was awaited.
	miss(p r2.Vec, reach float64)
	// line gives the finished line that vertices can be put into, by the mark
	// that its first vertex has.
	line() (first mark, closed, ok bool)
	// newest is the point placed last while the walk is under way.
	newest() mark
	remove(m mark)
	name(m mark) string
	prompt() Prompt
	progress() Progress
}

func (b *Bench) walk() walk {
	if b.offer.stage != noOffer {
		return offerWalk{b}
	}
	if b.remark != nil {
		return repeatWalk{b}
	}
	return b.walkOf(b.tool)
}

func (b *Bench) walkOf(t Tool) walk {
	switch t {
	case Scale:
		if b.ByCard() {
			return cardWalk{b}
		}
		return scaleWalk{b}
	case Crown:
		return crownWalk{b}
	case Section:
		return sectionWalk{b}
	case Denticles:
		return denticleWalk{b}
	}
	return looking{b}
}

// edit commits a change of the marks.
func (b *Bench) edit(label, merge string, edit func(*morph.View)) {
	if b.view == nil {
		return
	}
	if merge == "" {
		b.keys.nudged = mark{}
	}
	was := b.view
	b.host.Edit(label, merge, func(v *morph.View) {
		edit(v)
		markEdited(was, v)
	})
}

// choose selects a point.
func (b *Bench) choose(m mark) {
	if _, ok := b.at(m); !ok {
		m = mark{}
	}
	b.active = m
	b.redraw()
}

// removeActive takes the selected point away. Its neighbour, which now has its
// place in the path, is not selected instead: a key pressed twice would take
// that away too.
func (b *Bench) removeActive() {
	if m := b.active; m.kind != nothing {
		b.active = mark{}
		b.walk().remove(m)
		b.check()
		b.redraw()
	}
}

// word gives a merge word that was not used before.
func (b *Bench) word(of string) string {
	b.words++
	return fmt.Sprintf("%s %d", of, b.words)
}

// looking is the walk of the Look tool: nothing is marked.
type looking struct{ *Bench }

func (looking) handles() []mark          { return nil }
func (looking) awaiting() bool           { return false }
func (looking) put(r2.Vec)               {}
func (looking) twice()                   {}
func (looking) enter()                   {}
func (looking) pick(mark) bool           { return false }
func (looking) miss(r2.Vec, float64)     {}
func (looking) line() (mark, bool, bool) { return mark{}, false, false }
func (looking) newest() mark             { return mark{} }
func (looking) remove(mark)              {}
func (looking) name(mark) string         { return "" }
func (looking) progress() Progress       { return NotBegun }
func (l looking) prompt() Prompt {
	return Prompt{Text: "Drag to move the photo, turn the wheel or pinch to zoom. Choose a tool to mark something."}
}
