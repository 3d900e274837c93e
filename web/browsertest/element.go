//go:build browser

package browsertest

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/chromedp/cdproto/accessibility"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/dom"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// element is one element of the page, and how the test named it.
type element struct {
	id   runtime.RemoteObjectID
	what string
}

// Box is where an element lies in the window, in CSS pixels.
type Box struct{ X, Y, Width, Height float64 }

// Centre returns the middle of the box.
func (b Box) Centre() (x, y float64) { return b.X + b.Width/2, b.Y + b.Height/2 }

// At returns the point at fractions of the width and height, from the top left.
func (b Box) At(fx, fy float64) (x, y float64) { return b.X + fx*b.Width, b.Y + fy*b.Height }

// Box returns where the one element that the selector names lies now.
func (p *Page) Box(selector string) Box {
	p.t.Helper()
	return callOn[Box](p, p.find(selector), `function() {
		const r = this.getBoundingClientRect();
		return {X: r.x, Y: r.y, Width: r.width, Height: r.height};
	}`)
}

// find waits for the selector to name exactly one visible element. Two are as
// wrong as none: the test would not know which it used.
func (p *Page) find(selector string) element {
	p.t.Helper()
	return p.findOne(fmt.Sprintf("element %q", selector), listed(fmt.Sprintf(visible, selector)))
}

// Expressions for a list of elements that a selector names: those that can be
// seen, and all.
const (
	visible = `[...document.querySelectorAll(%q)].filter(e => e.checkVisibility({visibilityProperty: true}) && e.getClientRects().length > 0)`
	present = `[...document.querySelectorAll(%q)]`
)

// listed looks up the elements of a list expression; it asks for the element
// itself only when there is just one.
func listed(list string) chromedp.Action[[]runtime.RemoteObjectID] {
	return func(ctx context.Context, t *chromedp.Target) ([]runtime.RemoteObjectID, error) {
		n, err := chromedp.Evaluate[int](list+".length")(ctx, t)
		if err != nil || n != 1 {
			return make([]runtime.RemoteObjectID, n), err
		}
		o, err := chromedp.Evaluate[*runtime.RemoteObject](list+"[0]")(ctx, t)
		if err != nil {
			return nil, err
		}
		return []runtime.RemoteObjectID{o.ObjectID}, nil
	}
}

// findRole waits for exactly one element with a role and a name, as a screen
// reader tells them.
func (p *Page) findRole(role, name string) element {
	p.t.Helper()
	name = p.said(name)
	what := fmt.Sprintf("%s named %q", role, name)
	return p.findOne(what, func(ctx context.Context, t *chromedp.Target) ([]runtime.RemoteObjectID, error) {
		root, err := chromedp.Evaluate[*runtime.RemoteObject]("document")(ctx, t)
		if err != nil {
			return nil, err
		}
		res, err := cdp.Call(ctx, t, accessibility.QueryAXTree, accessibility.QueryAXTreeParams{
			ObjectID: root.ObjectID, AccessibleName: name, Role: role,
		})
		if err != nil {
			return nil, err
		}
		var found []runtime.RemoteObjectID
		for _, n := range res.Nodes {
			if n.Ignored || n.BackendDOMNodeID == 0 {
				continue
			}
			o, err := cdp.Call(ctx, t, dom.ResolveNode, dom.ResolveNodeParams{BackendNodeID: n.BackendDOMNodeID})
			if err != nil {
				return nil, err
			}
			found = append(found, o.Object.ObjectID)
		}
		return found, nil
	})
}

// findOne looks until there is exactly one.
func (p *Page) findOne(what string, look chromedp.Action[[]runtime.RemoteObjectID]) element {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	var last string
	for {
		found, err := chromedp.Run(ctx, look)
		switch {
		case err == nil && len(found) == 1:
			return element{found[0], what}
		case err == nil:
			last = fmt.Sprintf("there are %d of it, want 1", len(found))
		case ctx.Err() == nil:
			last = err.Error()
		}
		select {
		case <-ctx.Done():
			p.t.Fatalf("%s: %s", what, last)
		case <-time.After(pause):
		}
	}
}

// callOn calls a JavaScript function with the element as this.
func callOn[T any](p *Page, e element, function string, args ...any) T {
	p.t.Helper()
	return run(p, e.what, chromedp.CallFunctionOn[T](function, func(c *runtime.CallFunctionOnParams) { c.ObjectID = e.id }, args...))
}

// spot is where an element would be hit, and what is in the way of that.
type spot struct {
	X, Y  float64
	Fault string
}

// aim finds the middle of an element, and who would receive a click there.
const aim = `function() {
	const name = e => e ? "<" + e.tagName.toLowerCase() + (e.id ? " id=" + e.id : "") + (e.className?.trim?.() ? " class=" + e.className.trim() : "") + ">" : "nothing";
	if (!this.isConnected) return {Fault: "it is gone from the page"};
	// A line that wraps has several boxes; the middle of them all may be beside
	// every one.
	const box = this.getClientRects()[0];
	if (!box || box.width === 0 || box.height === 0) return {Fault: "it has no extent"};
	const X = box.x + box.width / 2, Y = box.y + box.height / 2;
	if (this.matches(":disabled, [aria-disabled=true]")) return {X, Y, Fault: "it is disabled"};
	const hit = document.elementFromPoint(X, Y);
	const label = hit?.closest("label");
	if (hit && (this.contains(hit) || label?.control === this)) return {X, Y, Fault: ""};
	return {X, Y, Fault: "its middle is covered by " + name(hit)};
}`

// reach scrolls the element into view and returns the point in its middle, once
// it lies still and nothing is in front of it.
func (p *Page) reach(e element) (x, y float64) {
	p.t.Helper()
	p.follow()
	do(p, "scrolling to "+e.what, func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, dom.ScrollIntoViewIfNeeded, dom.ScrollIntoViewIfNeededParams{ObjectID: e.id})
		return err
	})
	var before spot
	for deadline := time.Now().Add(p.patience); ; time.Sleep(pause) {
		now := callOn[spot](p, e, aim)
		if now.Fault == "" && now == before {
			return now.X, now.Y
		}
		if time.Now().After(deadline) {
			if now.Fault == "" {
				now.Fault = "it never lies still"
			}
			p.t.Fatalf("%s cannot be reached at (%.0f, %.0f): %s", e.what, now.X, now.Y, now.Fault)
		}
		before = now
	}
}

var word = regexp.MustCompile(`[A-Za-z]{2,}`)

// longer says a text in a language made for tests: every word is a third longer
// than in English.
func longer(english string) string {
	return word.ReplaceAllStringFunc(english, func(w string) string { return w + strings.Repeat("ů", (len(w)+1)/3) })
}

// said is a text as the page says it.
func (p *Page) said(english string) string {
	if p.longer {
		return longer(english)
	}
	return english
}
