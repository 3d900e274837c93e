//go:build browser

package browsertest

import (
	"context"
	"fmt"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/input"
	"github.com/chromedp/chromedp"
)

// Tap touches a point, in CSS pixels from the top left of the window, and lets
// go. The view must be a touch screen.
func (p *Page) Tap(x, y float64) {
	p.t.Helper()
	p.fingers(input.DispatchTouchEventTypeTouchStart, x, y)
	p.fingers(input.DispatchTouchEventTypeTouchEnd)
}

// Swipe puts a finger down at the first point, moves it to the second in small
// steps and lifts it.
func (p *Page) Swipe(x0, y0, x1, y1 float64) {
	p.t.Helper()
	p.fingers(input.DispatchTouchEventTypeTouchStart, x0, y0)
	for i := 1; i <= dragSteps; i++ {
		f := float64(i) / dragSteps
		p.fingers(input.DispatchTouchEventTypeTouchMove, x0+f*(x1-x0), y0+f*(y1-y0))
	}
	p.fingers(input.DispatchTouchEventTypeTouchEnd)
}

// Pinch puts two fingers down left and right of a point, each at a distance of
// from, and moves them apart or together until each is at a distance of to, in
// CSS pixels.
//
//	from  ·●——+——●·     to  ●———+———●
func (p *Page) Pinch(x, y, from, to float64) {
	p.t.Helper()
	p.fingers(input.DispatchTouchEventTypeTouchStart, x-from, y, x+from, y)
	for i := 1; i <= dragSteps; i++ {
		d := from + float64(i)/dragSteps*(to-from)
		p.fingers(input.DispatchTouchEventTypeTouchMove, x-d, y, x+d, y)
	}
	p.fingers(input.DispatchTouchEventTypeTouchEnd)
}

// fingers sends one touch event with a finger at each pair of coordinates.
func (p *Page) fingers(typ input.DispatchTouchEventType, xy ...float64) {
	p.t.Helper()
	if !p.view.Touch {
		p.t.Fatal("this view has no touch screen")
	}
	points := []*input.TouchPoint{}
	for i := 0; i < len(xy); i += 2 {
		id := float64(i / 2)
		points = append(points, &input.TouchPoint{X: xy[i], Y: xy[i+1], ID: &id})
	}
	do(p, fmt.Sprintf("%s at %v", typ, xy), func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, input.DispatchTouchEvent, input.DispatchTouchEventParams{Type: typ, TouchPoints: points, Modifiers: p.held})
		return err
	})
}
