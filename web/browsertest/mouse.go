//go:build browser

package browsertest

import (
	"context"
	"fmt"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// dragSteps is the number of moves in a drag; enough for a page that follows
// the pointer to see it travel.
const dragSteps = 10

// Click clicks the middle of the one element that the selector names, with the
// mouse or, on a touch screen, a finger.
func (p *Page) Click(selector string) {
	p.t.Helper()
	p.hit(p.find(selector))
}

// ClickRole clicks the one element with a role and an accessible name, such as
// "button", "Undo".
func (p *Page) ClickRole(role, name string) {
	p.t.Helper()
	p.hit(p.findRole(role, name))
}

func (p *Page) hit(e element) {
	p.t.Helper()
	x, y := p.reach(e)
	if p.view.Touch {
		p.Tap(x, y)
		return
	}
	p.ClickAt(x, y)
}

// Hover moves the mouse onto the one element that the selector names.
func (p *Page) Hover(selector string) {
	p.t.Helper()
	p.MoveTo(p.reach(p.find(selector)))
}

// ClickAt moves to a point, in CSS pixels from the top left of the window, and
// clicks the left button.
func (p *Page) ClickAt(x, y float64) {
	p.t.Helper()
	p.clicks(x, y, input.MouseButtonLeft, 1)
}

// RightClickAt is ClickAt with the right button.
func (p *Page) RightClickAt(x, y float64) {
	p.t.Helper()
	p.clicks(x, y, input.MouseButtonRight, 1)
}

// DoubleClickAt clicks the left button twice, as a double click.
func (p *Page) DoubleClickAt(x, y float64) {
	p.t.Helper()
	p.clicks(x, y, input.MouseButtonLeft, 2)
}

func (p *Page) clicks(x, y float64, button input.MouseButton, times int64) {
	p.t.Helper()
	p.MoveTo(x, y)
	for n := int64(1); n <= times; n++ {
		p.mouse(input.DispatchMouseEventParams{Type: chromedp.MousePressed, X: x, Y: y, Button: button, Buttons: buttonBit[button], ClickCount: n})
		p.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseReleased, X: x, Y: y, Button: button, ClickCount: n})
	}
}

// MoveTo moves the mouse with no button down.
func (p *Page) MoveTo(x, y float64) {
	p.t.Helper()
	p.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseMoved, X: x, Y: y, Button: input.MouseButtonNone})
}

// Drag presses the left button at the first point, moves to the second in small
// steps and lets go.
func (p *Page) Drag(x0, y0, x1, y1 float64) {
	p.t.Helper()
	p.drag(input.MouseButtonLeft, x0, y0, x1, y1)
}

// MiddleDrag is Drag with the middle button.
func (p *Page) MiddleDrag(x0, y0, x1, y1 float64) {
	p.t.Helper()
	p.drag(input.MouseButtonMiddle, x0, y0, x1, y1)
}

func (p *Page) drag(button input.MouseButton, x0, y0, x1, y1 float64) {
	p.t.Helper()
	down := buttonBit[button]
	p.MoveTo(x0, y0)
	p.mouse(input.DispatchMouseEventParams{Type: chromedp.MousePressed, X: x0, Y: y0, Button: button, Buttons: down, ClickCount: 1})
	for i := 1; i <= dragSteps; i++ {
		f := float64(i) / dragSteps
		p.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseMoved, X: x0 + f*(x1-x0), Y: y0 + f*(y1-y0), Button: button, Buttons: down})
	}
	p.mouse(input.DispatchMouseEventParams{Type: chromedp.MouseReleased, X: x1, Y: y1, Button: button, ClickCount: 1})
}

// Wheel turns the wheel over a point by so many CSS pixels; dy > 0 turns
// towards the person, which scrolls down.
func (p *Page) Wheel(x, y, dx, dy float64) {
	p.t.Helper()
	do(p, fmt.Sprintf("wheel at (%.0f, %.0f)", x, y), func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, dispatchWheel, wheel{Type: chromedp.MouseWheel, X: x, Y: y, DeltaX: dx, DeltaY: dy, Modifiers: p.held})
		return err
	})
}

// wheel is DispatchMouseEventParams for a wheel. The generated type leaves out
// a delta of 0, and Chromium refuses a wheel event that lacks one.
type wheel struct {
	Type      input.DispatchMouseEventType `json:"type"`
	X         float64                      `json:"x"`
	Y         float64                      `json:"y"`
	DeltaX    float64                      `json:"deltaX"`
	DeltaY    float64                      `json:"deltaY"`
	Modifiers int64                        `json:"modifiers"`
}

var dispatchWheel = cdp.Command[wheel, cdp.Empty]{Method: input.CommandDispatchMouseEvent}

// buttonBit is the bit of a button in the buttons field of a mouse event.
var buttonBit = map[input.MouseButton]int64{
	input.MouseButtonLeft:   1,
	input.MouseButtonRight:  2,
	input.MouseButtonMiddle: 4,
}

// TakePen has what the mouse does from now on done by a pen on the screen.
func (p *Page) TakePen() { p.pen = true }

// mouse sends one event, with the modifier keys that are held.
func (p *Page) mouse(e input.DispatchMouseEventParams) {
	p.t.Helper()
	e.Modifiers = p.held
	if p.pen {
		e.PointerType = input.DispatchMouseEventPointerTypePen
		e.Force = 0.5
	}
	do(p, fmt.Sprintf("mouse %s at (%.0f, %.0f)", e.Type, e.X, e.Y), func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchMouseEvent, e)
		return err
	})
}
