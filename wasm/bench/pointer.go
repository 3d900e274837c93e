package bench

import (
	"slices"
	"time"

	"gonum.org/v1/gonum/spatial/r2"
)

// gesture is what the pointers that are down are doing.
type gesture uint8

const (
	idle     gesture = iota
	pressing         // down, and not yet known whether it is a click
	aiming           // moving a point that is put when the finger goes up
	dragging         // moving a marked point
	panning
	pinching
)

// finger is a pointer that is down.
type finger struct {
	id int
	at r2.Vec // CSS px
}

// click is a click as far as it may be the first of two.
type click struct {
	at     r2.Vec // CSS px
	time   time.Duration
	device Device
	ok     bool
	// ends tells that a second click means that the walk's newest point ends
	// something: the first one put it or clicked on it.
	ends bool
}

// pointing is the state of all pointers.
type pointing struct {
	fingers []finger
	gesture gesture
	lead    int // id of the pointer that presses, drags or pans
	press   click
	device  Device
	at      r2.Vec // CSS px, of the leading pointer
	mark    mark   // the point under the press or in the drag
	grip    r2.Vec // photo px from the pointer to that point
	from    r2.Vec // photo px, where the drag began
	merge   string
	last    click
	hover   *r2.Vec // CSS px, of a pointer that is not down

	anchor r2.Vec  // photo px between two fingers
	span   float64 // CSS px between them at the start
	scale  float64 // of the camera at the start
}

// holdTime is how long a finger or pen rests before moving it aims a new point
// instead of moving the photo. What a finger points at is hidden under it, so
// there must be a way to put a point by the magnifier.
const holdTime = 350 * time.Millisecond

// lineReach is how far from a line a press takes hold of it, as a part of how
// far from a handle it does.
const lineReach = 0.7

// Two clicks are one double-click within this time and distance (CSS px).
const (
	doubleTime  = 500 * time.Millisecond
	doubleMouse = 6.0
	doublePen   = 12.0
	doubleTouch = 24.0
)

func (c click) repeats(first click) bool {
	near := doubleMouse
	switch c.device {
	case Touch:
		near = doubleTouch
	case Pen:
		near = doublePen
	}
	wait := c.time - first.time
	return first.ok && first.device == c.device && wait >= 0 && wait <= doubleTime && distance(c.at, first.at) <= near
}

// Pointer takes a pointer event.
//
// A press that is let go within a few px is a click, and the click is where
// the pointer went down: that is where the person aimed, while letting go
// moves the hand. A press on a handle that moves on drags it; elsewhere it
// moves the photo. A finger or pen that rests first and then moves aims: where
// it is lifted the next point is put.
func (b *Bench) Pointer(e PointerEvent) {
	if b.view == nil {
		b.pointing = pointing{}
		return
	}
	b.hold(e.Shift)
	s := r2.Vec{X: e.X, Y: e.Y}
	if !finite(e.X, e.Y) {
		if e.Kind == Down || e.Kind == Move {
			return
		}
		s = b.pointing.at
	}
	switch e.Kind {
	case Down:
		b.pointerDown(e, s)
	case Move:
		b.pointerMove(e, s)
	case Up:
		b.pointerUp(e, s)
	case Cancel:
		b.lift(e.ID, false)
	case Leave:
		b.pointing.hover = nil
		b.redraw()
	}
}

func (b *Bench) pointerDown(e PointerEvent, s r2.Vec) {
	p := &b.pointing
	if slices.ContainsFunc(p.fingers, func(f finger) bool { return f.id == e.ID }) {
		b.lift(e.ID, false) // its going up was lost
	}
	p.fingers = append(p.fingers, finger{e.ID, s})
	if b.keys.cross != nil {
		b.keys.cross = nil
		b.redraw()
	}
	if p.gesture != idle {
		if e.Device == Touch && len(p.fingers) == 2 {
			b.startPinch()
		}
		return
	}
	p.lead, p.at, p.device = e.ID, s, e.Device
	switch {
	case e.Button == MiddleButton, e.Button == MainButton && b.keys.space:
		p.gesture = panning
		b.keys.spent = true
	case e.Button == MainButton:
		p.gesture = pressing
		p.press = click{at: s, time: e.Time, device: e.Device, ok: true}
		grab, _, _ := e.Device.reach()
		p.mark, _ = b.hit(s, grab)
	}
	b.redraw()
}

func (b *Bench) pointerMove(e PointerEvent, s r2.Vec) {
	p := &b.pointing
	i := slices.IndexFunc(p.fingers, func(f finger) bool { return f.id == e.ID })
	if i < 0 || p.gesture == idle {
		if e.Device != Touch {
			had := p.hover != nil
			p.hover = &s
			if !had || b.walk().awaiting() {
				b.redraw()
			}
		}
		if i < 0 {
			return
		}
	}
	p.fingers[i].at = s
	if p.gesture == pinching {
		b.pinch()
		return
	}
	if e.ID != p.lead {
		return
	}
	before := p.at
	p.at = s
	if e.Device != Touch {
		p.hover = &s
	}
	switch p.gesture {
	case pressing:
		if _, _, stray := e.Device.reach(); distance(s, p.press.at) > stray {
			b.startMove(s, e.Time-p.press.time >= holdTime)
		}
	case aiming:
		b.redraw()
	case dragging:
		b.dragTo(s)
	case panning:
		b.pan(r2.Sub(s, before))
	}
}

// startMove turns a press that strayed into a drag, a pan or, after a rest,
// into aiming.
func (b *Bench) startMove(s r2.Vec, rested bool) {
	p := &b.pointing
	p.last = click{}
	aim := b.cam.photo(p.press.at)
	grab, _, _ := p.device.reach()
	m := p.mark
	at, ok := b.at(m)
	p.merge = b.word("drag")
	if !ok && rested && p.device != Mouse && b.walk().awaiting() {
		p.gesture = aiming
		b.redraw()
		return
	}
	if !ok {
		first, where, on := b.onLine(p.press.at, grab*lineReach)
		if !on {
			p.gesture = panning
			b.pan(r2.Sub(s, p.press.at))
			return
		}
		b.keys.nudged = mark{}
		m = b.insert(first, where, p.merge)
		if at, ok = b.at(m); !ok {
			p.gesture = idle // the point was refused
			return
		}
	}
	b.keys.nudged = mark{}
	b.choose(m)
	p.gesture, p.mark, p.from, p.grip = dragging, m, at, r2.Sub(at, aim)
	b.dragTo(s)
}

func (b *Bench) dragTo(s r2.Vec) {
	p := &b.pointing
	b.move(p.mark, r2.Add(b.cam.photo(s), p.grip), p.merge)
}

func (b *Bench) pointerUp(e PointerEvent, s r2.Vec) {
	p := &b.pointing
	if p.gesture != idle && p.gesture != pinching && e.ID == p.lead {
		// The last stretch of a quick movement may come with the going up.
		b.pointerMove(PointerEvent{Kind: Move, ID: e.ID, X: s.X, Y: s.Y, Device: e.Device, Time: e.Time}, s)
	}
	b.lift(e.ID, true)
}

// lift takes a pointer off the photo view; a press that it ends is a click
// unless the browser took it away.
func (b *Bench) lift(id int, meant bool) {
	p := &b.pointing
	n := len(p.fingers)
	p.fingers = slices.DeleteFunc(p.fingers, func(f finger) bool { return f.id == id })
	if len(p.fingers) == n {
		return
	}
	if p.gesture == pinching {
		switch len(p.fingers) {
		case 0:
			p.gesture = idle
		case 1:
			p.gesture, p.lead, p.at = panning, p.fingers[0].id, p.fingers[0].at
		default:
			b.startPinch()
		}
		return
	}
	if id != p.lead {
		return
	}
	was := p.gesture
	p.gesture = idle
	switch {
	case !meant:
	case was == pressing:
		b.clicked(p.press)
	case was == aiming:
		b.press(b.cam.photo(p.at), p.device)
	}
	b.redraw()
}

// startPinch begins to zoom and pan by the first two fingers. A drag that is
// under way ends where it is.
func (b *Bench) startPinch() {
	p := &b.pointing
	f, g := p.fingers[0].at, p.fingers[1].at
	p.gesture = pinching
	p.last = click{}
	p.anchor = b.cam.photo(r2.Scale(0.5, r2.Add(f, g)))
	p.span = max(distance(f, g), 1)
	p.scale = b.cam.scale
	b.redraw()
}

// pinch keeps the photo point that was between the fingers between them.
func (b *Bench) pinch() {
	p := &b.pointing
	f, g := p.fingers[0].at, p.fingers[1].at
	scale := limited(p.scale*max(distance(f, g), 1)/p.span, b.fit().scale)
	b.cam = holding(p.anchor, r2.Scale(0.5, r2.Add(f, g)), scale)
	if !b.onPhoto(p.anchor) {
		b.cam = b.cam.kept(b.win.free(), b.width, b.height)
	}
	b.fitted = false
	b.redraw()
}

// clicked takes a click of a pointer, which may be the second of two.
func (b *Bench) clicked(c click) {
	last := b.pointing.last
	b.pointing.last = c
	if c.repeats(last) {
		if last.ends {
			b.walk().twice()
		}
		return
	}
	put := b.press(b.cam.photo(c.at), c.device)
	newest := b.walk().newest()
	b.pointing.last.ends = put == placed || put == selected && b.active == newest
}

// outcome says what a click came to.
type outcome uint8

const (
	missed   outcome = iota
	placed           // a point was put
	used             // a handle that was clicked meant more than itself
	selected         // a point is selected now, perhaps a new one within a line
)

// press does what a click at a photo point means.
func (b *Bench) press(at r2.Vec, d Device) outcome {
	w := b.walk()
	s := b.cam.screen(at)
	grab, pick, _ := d.reach()
	if m, ok := b.hit(s, grab); ok && w.pick(m) {
		return used
	}
	near := grab
	if w.awaiting() {
		near = pick
	}
	if m, ok := b.hit(s, near); ok {
		b.choose(m)
		return selected
	}
	line := grab * lineReach
	if !w.awaiting() {
		if first, where, ok := b.onLine(s, line); ok {
			b.insert(first, where, "")
			return selected
		}
		w.miss(at, line/b.cam.scale)
		return missed
	}
	p := b.clamped(at)
	if distance(p, at)*b.cam.scale > grab {
		b.host.Say("That is outside the photo.")
		return missed
	}
	w.put(p)
	return placed
}

// Wheel zooms about the pointer. With Ctrl, as a trackpad's pinch reports
// itself, each step is bounded to a small one.
func (b *Bench) Wheel(e WheelEvent) {
	if b.view == nil || !finite(e.X, e.Y, e.DY) {
		return
	}
	dy := e.DY
	switch e.Mode {
	case ByLine:
		dy *= 33
	case ByPage:
		dy *= 400
	}
	b.zoomAt(r2.Vec{X: e.X, Y: e.Y}, wheelFactor(dy, e.Ctrl))
}
