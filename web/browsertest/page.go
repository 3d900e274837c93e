//go:build browser

package browsertest

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"image"
	"image/png"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

const (
	// patience is how long a page may take to do what it was asked to. It is
	// long because nothing is measured here: it only ends what is stuck.
	patience = 30 * time.Second
	// pause is the time between two looks at a page that is waited for.
	pause = 20 * time.Millisecond
)

// Page is a tab of its own, with storage of its own, watched for faults.
type Page struct {
	t     testing.TB
	ctx   context.Context
	watch *watch
	view  View
	// patience is how long anything may take.
	patience time.Duration

	downloads *downloads
	close     func()
	// held is the set of modifier keys that are down, as the protocol counts
	// them.
	held int64
	pen  bool // in place of the mouse
	// longer tells that the page speaks a language with longer words.
	longer bool
}

// Open loads the built page and waits until its program is ready.
func Open(t testing.TB, v View) *Page {
	t.Helper()
	p := OpenAt(t, appURL+"/", v)
	p.Until(`document.documentElement.dataset.state === "ready"`)
	return p
}

// openFixture loads one of the pages that the harness itself is tested with.
func openFixture(t testing.TB, name string, v View) *Page {
	t.Helper()
	return OpenAt(t, fixtureURL+"/"+name, v)
}

// OpenAt loads the page at an address and waits for its load event. Only that
// origin may be asked for anything.
func OpenAt(t testing.TB, address string, v View) *Page {
	t.Helper()
	return openTab(t, address, v, chromium, chromedp.WithNewBrowserContext())
}

// Beside opens the built page in another tab of the same window, with the same
// storage, and waits until its program is ready.
func (p *Page) Beside() *Page {
	p.t.Helper()
	other := openTab(p.t, appURL+"/", p.view, p.ctx)
	other.Until(ready)
	other.Front()
	return other
}

// openTab opens a tab in the browser, or in the window, that parent stands for.
func openTab(t testing.TB, address string, v View, parent context.Context, o ...chromedp.ContextOption) *Page {
	t.Helper()
	u, err := url.Parse(address)
	if err != nil {
		t.Fatal(err)
	}
	files := t.TempDir() // asked for first, so that it outlives the tab
	w := newWatch(u.Scheme + "://" + u.Host)
	ctx, closeTab := chromedp.NewContext(parent, append(o, chromedp.WithListener(w.hear))...)
	p := &Page{t: t, ctx: ctx, watch: w, view: v, patience: patience}
	p.close = sync.OnceFunc(func() {
		p.lastLook()
		closeTab()
	})
	t.Cleanup(p.close)
	// The first use of the context binds the tab to it, so it has no deadline.
	if err := chromedp.Do(ctx); err != nil {
		t.Fatalf("opening a tab: %v", err)
	}
	go p.dismissDialogs()
	do(p, "preparing the tab", func(ctx context.Context, t *chromedp.Target) error {
		if _, err := cdp.Call(ctx, t, audits.Enable, cdp.Empty{}); err != nil {
			return err
		}
		return v.apply(ctx, t)
	})
	p.catchDownloads(files)
	p.Goto(address)
	return p
}

// Close closes the tab before the test ends, for a test or a benchmark that
// opens many.
func (p *Page) Close() { p.close() }

// SetView changes the window while the page is open: its size, the scheme, print
// or screen. What a page is given before it loads (Touch, NoWebGL, Prelude)
// stays as it was.
func (p *Page) SetView(v View) {
	p.t.Helper()
	v.Touch, v.NoWebGL, v.Prelude = p.view.Touch, p.view.NoWebGL, p.view.Prelude
	p.view = v
	do(p, "changing the view", func(ctx context.Context, t *chromedp.Target) error {
		return errors.Join(v.applySize(ctx, t), v.applyMedia(ctx, t))
	})
}

// Offline cuts the page off from every server, or connects it again.
func (p *Page) Offline(cut bool) {
	p.t.Helper()
	do(p, "changing the connection", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, network.EmulateNetworkConditionsByRule, network.EmulateNetworkConditionsByRuleParams{
			EmulateOfflineServiceWorker: &cut,
			MatchedNetworkConditions:    []*network.Conditions{{Offline: cut, DownloadThroughput: -1, UploadThroughput: -1}},
		})
		return err
	})
}

// SlowDown makes the page's thread so many times slower than the machine is, as
// on a school's tablet; 1 ends that.
func (p *Page) SlowDown(times float64) {
	p.t.Helper()
	do(p, "slowing down", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: times})
		return err
	})
}

// Kill ends the process that runs the page, as a crash of the browser or of the
// machine does: nothing of the page gets a word in. The next thing to do is to
// load it again.
func (p *Page) Kill() {
	p.t.Helper()
	gone := p.watch.awaitCrash()
	go func() {
		// It never answers.
		ctx, cancel := context.WithTimeout(p.ctx, p.patience)
		defer cancel()
		cdp.Call(ctx, chromedp.FromContext(p.ctx).Target, page.Crash, cdp.Empty{})
	}()
	select {
	case <-gone:
	case <-time.After(p.patience):
		p.t.Fatal("the page cannot be killed")
	}
}

// Front puts the tab before the others of its window. What a person does, they
// do in the tab in front; those behind are not drawn.
func (p *Page) Front() {
	p.t.Helper()
	do(p, "putting the tab in front", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, page.BringToFront, cdp.Empty{})
		return err
	})
}

// Goto loads an address in the same tab and waits for its load event.
func (p *Page) Goto(address string) {
	p.t.Helper()
	run(p, "loading "+address, chromedp.Navigate(address))
}

// Reload loads the page anew, as the reload button does. Like a person it waits
// while something is being saved: the browser would ask.
func (p *Page) Reload() {
	p.t.Helper()
	p.follow()
	p.Until(`!document.querySelector("#saving")?.textContent.includes("Saving")`)
	run(p, "loading the page again", chromedp.Reload())
}

// Eval returns the value of a JavaScript expression; a promise is waited for.
func Eval[T any](p *Page, expression string) T {
	p.t.Helper()
	return run(p, expression, chromedp.Evaluate[T](expression, chromedp.EvalAwaitPromise))
}

// Exec runs JavaScript for its effect. It is for what a person cannot do, such
// as losing a WebGL context; clicks and keys have methods of their own.
func (p *Page) Exec(script string) {
	p.t.Helper()
	run(p, script, chromedp.Evaluate[chromedp.Void](script, chromedp.EvalAwaitPromise))
}

// Until waits until a JavaScript expression is true.
func (p *Page) Until(expression string) {
	p.t.Helper()
	p.UntilWithin(p.patience, expression)
}

// UntilWithin is Until for what takes longer than most things do.
func (p *Page) UntilWithin(limit time.Duration, expression string) {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, limit)
	defer cancel()
	last := "never asked"
	for {
		value, err := chromedp.Run(ctx, chromedp.Evaluate[bool]("!!("+expression+")"))
		switch {
		case err == nil && value:
			return
		case err == nil:
			last = "it was false to the end"
		case ctx.Err() == nil:
			last = err.Error()
		}
		select {
		case <-ctx.Done():
			p.t.Fatalf("waited %v in vain for\n\t%s\n%s", limit, expression, last)
		case <-time.After(pause):
		}
	}
}

// Text returns the visible text of the one element that the selector names.
func (p *Page) Text(selector string) string {
	p.t.Helper()
	return callOn[string](p, p.find(selector), `function() { return this.innerText ?? this.textContent }`)
}

// Value returns what a field holds.
func (p *Page) Value(selector string) string {
	p.t.Helper()
	return callOn[string](p, p.find(selector), `function() { return this.value }`)
}

// UntilText waits until an element shows a text, wherever in it.
func (p *Page) UntilText(selector, want string) {
	p.t.Helper()
	p.Until(fmt.Sprintf(`(document.querySelector(%q)?.innerText ?? "").includes(%q)`, selector, p.said(want)))
}

// Visible reports whether the selector names an element that can be seen now.
func (p *Page) Visible(selector string) bool {
	p.t.Helper()
	return Eval[int](p, fmt.Sprintf(visible, selector)+".length") > 0
}

// TakeFaults returns what went wrong in the page so far and clears the account,
// for a test whose point is a fault.
func (p *Page) TakeFaults() []string {
	p.t.Helper()
	p.settle()
	return p.watch.take()
}

// settle makes a round trip, so that every event of what was done before has
// arrived.
func (p *Page) settle() {
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	_, err := chromedp.Run(ctx, chromedp.Evaluate[int]("0"))
	if err != nil {
		p.watch.fault("the page does not answer: %v", err)
	}
}

// follow waits until the page has drawn what came of the last events: it
// renders in the frame after an event, and what it renders may move things.
func (p *Page) follow() {
	p.t.Helper()
	Eval[bool](p, `new Promise(done => requestAnimationFrame(() => requestAnimationFrame(() => done(true))))`)
}

// Shot saves a picture of the page as it stands in dist/shots/<name>.png.
func (p *Page) Shot(name string) {
	p.t.Helper()
	if err := p.shoot(name); err != nil {
		p.t.Fatalf("taking the picture %s: %v", name, err)
	}
}

// Picture returns the page as it stands, a pixel for a CSS pixel, for a test
// that looks at what is drawn.
func (p *Page) Picture() image.Image {
	p.t.Helper()
	picture, err := png.Decode(bytes.NewReader(run(p, "taking a picture", chromedp.CaptureScreenshot())))
	if err != nil {
		p.t.Fatal(err)
	}
	return picture
}

func (p *Page) shoot(name string) error {
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	picture, err := chromedp.Run(ctx, chromedp.CaptureScreenshot())
	if err != nil {
		return err
	}
	path := filepath.Join(shotFolder, name+".png")
	return errors.Join(os.MkdirAll(shotFolder, 0o755), os.WriteFile(path, picture, 0o644))
}

// lastLook runs when the test is over: it reports the faults that nobody took
// and, when the test has failed, keeps the evidence.
func (p *Page) lastLook() {
	p.settle()
	for _, fault := range p.watch.take() {
		p.t.Errorf("fault in the page: %s", fault)
	}
	if !p.t.Failed() {
		return
	}
	name := "FAILED-" + strings.NewReplacer("/", "-", " ", "_").Replace(p.t.Name())
	if err := p.shoot(name); err != nil {
		p.t.Logf("no picture of the failure: %v", err)
	} else {
		p.t.Logf("the page at the end: dist/shots/%s.png", name)
	}
	if said := p.watch.lastConsole(); said != "" {
		p.t.Logf("the console at the end:\n%s", said)
	}
}

// dismissDialogs closes alert and confirm boxes with Cancel; watch has noted
// them as faults.
func (p *Page) dismissDialogs() {
	for {
		select {
		case <-p.ctx.Done():
			return
		case <-p.watch.dialogs:
			c := chromedp.FromContext(p.ctx)
			if _, err := cdp.Call(p.ctx, c.Target, page.HandleJavaScriptDialog, page.HandleJavaScriptDialogParams{Accept: false}); err != nil && p.ctx.Err() == nil {
				p.watch.fault("closing a box: %v", err)
			}
		}
	}
}

// run does one thing in the tab and fails the test when it goes wrong or takes
// longer than anyone would wait.
func run[T any](p *Page, what string, a chromedp.Action[T]) T {
	p.t.Helper()
	ctx, cancel := context.WithTimeout(p.ctx, p.patience)
	defer cancel()
	v, err := chromedp.Run(ctx, a)
	if err != nil {
		p.t.Fatalf("%s: %v", what, err)
	}
	return v
}

// do is run for what has no value.
func do(p *Page, what string, f func(context.Context, *chromedp.Target) error) {
	p.t.Helper()
	run(p, what, chromedp.Func(f))
}
