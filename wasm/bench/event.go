package bench

import (
	"math"
	"time"
)

// PointerKind says what a pointer did.
type PointerKind uint8

const (
	Down PointerKind = iota
	Move
	Up
	Cancel // the browser took the pointer away
	Leave  // a hovering pointer left the photo view
)

// Device is what a person points with.
type Device uint8

const (
	Mouse Device = iota
	Touch
	Pen
)

// The buttons of a Down event, numbered as the browser does.
const (
	MainButton   = 0
	MiddleButton = 1
)

// PointerEvent is one pointer event. X and Y are CSS px from the top left of
// the window and may be fractional.
type PointerEvent struct {
	Kind             PointerKind
	ID               int
	X, Y             float64
	Button           int // of Down
	Device           Device
	Shift, Ctrl, Alt bool
	Time             time.Duration // since any moment that stays the same
}

// WheelMode is the unit of a wheel event's deltas, numbered as the browser does.
type WheelMode uint8

const (
	ByPixel WheelMode = iota
	ByLine
	ByPage
)

// WheelEvent is one turn of a wheel or one step of a trackpad gesture, with
// the pointer at X, Y in CSS px.
type WheelEvent struct {
	X, Y             float64
	DX, DY           float64
	Mode             WheelMode
	Shift, Ctrl, Alt bool
}

// KeyEvent is a key going down or up. Key is the browser's name for what the
// key means: "a", "Enter", "ArrowLeft", " ".
type KeyEvent struct {
	Key                    string
	Up, Repeat             bool
	Shift, Ctrl, Alt, Meta bool
}

func finite(xs ...float64) bool {
	for _, x := range xs {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// reach gives, in CSS px, how far from a handle a press still takes hold of
// it, how far from it a click still means it while a new point is awaited, and
// how far a press may stray and still be a click. Fingers cover what they
// point at and tremble, so they get more room.
func (d Device) reach() (grab, pick, stray float64) {
	switch d {
	case Touch:
		return 24, 14, 8
	case Pen:
		return 16, 8, 5
	}
	return 12, 5, 4
}
