package bench

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"gonum.org/v1/gonum/spatial/r2"
)

// keyboard is the state of working by keys.
type keyboard struct {
	cross  *r2.Vec // photo px, the crosshair while it is shown
	home   *r2.Vec // photo px, where the crosshair appears next
	space  bool    // held
	spent  bool    // and used for moving the photo
	nudged mark    // the point that arrow keys move in one undo step
	merge  string
}

// Steps of the arrow keys: for a point in photo px, for the crosshair in CSS
// px, so that it crosses the window in reasonable time at any zoom.
const (
	nudge, nudgeFar, nudgeFine = 1.0, 10.0, 0.1
	cross, crossFar, crossFine = 10.0, 50.0, 1.0
	panStep                    = 60.0 // CSS px
	zoomStep                   = 1.25
)

func wheelFactor(dy float64, fine bool) float64 {
	if fine {
		return math.Exp(-min(max(dy, -10), 10) * 0.01)
	}
	return math.Exp(-min(max(dy, -400), 400) * 0.0015)
}

var arrows = map[string]r2.Vec{
	"ArrowLeft": {X: -1}, "ArrowRight": {X: 1}, "ArrowUp": {Y: -1}, "ArrowDown": {Y: 1},
}

// Key takes a key event and tells whether it meant something here; if not, it
// is the page's.
func (b *Bench) Key(e KeyEvent) bool {
	if b.view == nil || e.Ctrl || e.Meta {
		if e.Key == " " && e.Up {
			b.keys.space = false
		}
		return false
	}
	b.hold(e.Shift && !(e.Key == "Shift" && e.Up))
	if e.Key == " " {
		return b.spaceKey(e)
	}
	if e.Up {
		return false
	}
	if way, ok := arrows[e.Key]; ok {
		b.arrow(way, e.Shift, e.Alt)
		return true
	}
	key := e.Key
	if len(key) == 1 {
		key = strings.ToLower(key)
	}
	switch key {
	case "Enter":
		b.enterKey()
		return true
	case "Escape":
		return b.escape()
	case "Delete", "Backspace":
		return b.deleteKey()
	case "]", "n":
		return b.step(1)
	case "[", "p":
		return b.step(-1)
	case "+", "=":
		b.Zoom(zoomStep)
		return true
	case "-", "_":
		b.Zoom(1 / zoomStep)
		return true
	case "0":
		b.Fit()
		return true
	}
	if e.Alt || e.Repeat {
		return false
	}
	for _, a := range b.Prompt().Actions {
		if a.Key == key {
			a.Do()
			return true
		}
	}
	return false
}

// spaceKey holds the photo for moving while the key is down, and puts a point
// at the crosshair if that was not done.
func (b *Bench) spaceKey(e KeyEvent) bool {
	k := &b.keys
	if !e.Up {
		if !e.Repeat {
			k.spent = false
		}
		k.space = true
		return true
	}
	if k.space && !k.spent && k.cross != nil {
		b.pressCross()
	}
	k.space = false
	return true
}

func (b *Bench) arrow(way r2.Vec, shift, alt bool) {
	size := func(plain, far, fine float64) float64 {
		switch {
		case alt:
			return fine
		case shift:
			return far
		}
		return plain
	}
	k := &b.keys
	if at, ok := b.at(b.active); ok && k.cross == nil {
		if k.nudged != b.active {
			k.nudged, k.merge = b.active, b.word("nudge")
		}
		b.move(b.active, r2.Add(at, r2.Scale(size(nudge, nudgeFar, nudgeFine), way)), k.merge)
		if at, ok = b.at(b.active); ok {
			b.reveal(at)
		}
		b.redraw()
		return
	}
	if b.tool == Look {
		b.pan(r2.Scale(-size(panStep, 5*panStep, panStep/10), way))
		return
	}
	if k.cross == nil {
		at := b.cam.photo(middle(b.win.free()))
		if k.home != nil {
			at = *k.home
		}
		k.cross = &at
		b.host.Say("Arrow keys move the crosshair, Enter presses there.")
	}
	at := b.clamped(r2.Add(*k.cross, r2.Scale(size(cross, crossFar, crossFine)/b.cam.scale, way)))
	k.cross, k.home = &at, &at
	b.reveal(at)
	b.redraw()
}

func (b *Bench) enterKey() {
	if b.keys.cross != nil {
		b.pressCross()
		return
	}
	b.walk().enter()
	b.redraw()
}

// pressCross clicks at the crosshair. A second time in the same place is a
// double-click. The crosshair goes on from a point it put; a point it selects
// is what the arrow keys move from then on.
func (b *Bench) pressCross() {
	k := &b.keys
	at := *k.cross
	w := b.walk()
	if p, ok := b.at(w.newest()); ok && p == at {
		w.twice()
		b.redraw()
		return
	}
	was := b.press(at, Mouse)
	if _, ok := b.at(b.active); ok && was != missed {
		b.host.Say(b.saying(b.active))
	}
	switch was {
	case placed, used:
		b.choose(mark{})
	case selected:
		k.cross, k.home = nil, &at
	}
	b.redraw()
}

// saying names a point and its position for someone who does not see it.
func (b *Bench) saying(m mark) string {
	at, _ := b.at(m)
	name := b.walk().name(m)
	if name == "" {
		return ""
	}
	return fmt.Sprintf("%s, at %.1f, %.1f.", upperFirst(name), at.X, at.Y)
}

func upperFirst(s string) string {
	if s == "" {
		return ""
	}
	return strings.ToUpper(s[:1]) + s[1:]
}

// escape leaves the innermost thing that can be left.
func (b *Bench) escape() bool {
	p := &b.pointing
	switch at, held := b.at(b.active); {
	case p.gesture == dragging:
		p.gesture = idle
		b.move(p.mark, p.from, p.merge)
	case p.gesture == pressing || p.gesture == aiming:
		p.gesture = idle
	case b.offer.stage != noOffer:
		b.discard()
	case b.remark != nil:
		b.remark = nil
	case held && b.active.kind != barStart && b.active.kind != cornerStart:
		b.keys.home = &at
		b.choose(mark{})
	case b.keys.cross != nil:
		b.keys.cross = nil
	case b.start != nil || b.again || len(b.corners) > 0:
		b.start, b.again, b.corners = nil, false, nil
		b.check()
	default:
		return false
	}
	b.redraw()
	return true
}

func (b *Bench) deleteKey() bool {
	if b.active.kind == nothing {
		b.active = b.walk().newest()
	}
	if b.active.kind == nothing {
		return false
	}
	if b.pointing.gesture == dragging {
		b.pointing.gesture = idle
	}
	b.removeActive()
	return true
}

// step selects the next or the previous point.
func (b *Bench) step(by int) bool {
	all := b.walk().handles()
	if len(all) == 0 {
		return false
	}
	i := slices.Index(all, b.active)
	switch {
	case i >= 0:
		i = (i + by + len(all)) % len(all)
	case by < 0:
		i = len(all) - 1
	default:
		i = 0
	}
	b.keys.cross = nil
	b.choose(all[i])
	if at, ok := b.at(b.active); ok {
		b.reveal(at)
		b.keys.home = &at
		b.host.Say(b.saying(b.active))
	}
	b.redraw()
	return true
}
