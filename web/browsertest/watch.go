//go:build browser

package browsertest

import (
	"fmt"
	"net/url"
	"strings"
	"sync"

	"github.com/chromedp/cdproto/audits"
	"github.com/chromedp/cdproto/inspector"
	"github.com/chromedp/cdproto/log"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/cdproto/runtime"
)

// consoleKept is how many of the last console lines a failing test shows.
const consoleKept = 30

// watch notes what goes wrong in a page while a test is busy with something
// else.
type watch struct {
	origin string

	mu      sync.Mutex
	faults  []string
	console []string
	// dialogs wakes whoever dismisses alert and confirm boxes; left open, one
	// would stop the page for good.
	dialogs chan struct{}
	// crash is closed when the page dies and a test wanted it to.
	crash chan struct{}
}

func newWatch(origin string) *watch {
	return &watch{origin: origin, dialogs: make(chan struct{}, 1)}
}

// hear is called with every event of the tab, in order and from one goroutine.
func (w *watch) hear(ev any) {
	switch e := ev.(type) {
	case *runtime.EventConsoleAPICalled:
		said := remoteText(e.Args)
		w.say("%s: %s", e.Type, said)
		if e.Type == runtime.ConsoleAPICalledTypeError || e.Type == runtime.ConsoleAPICalledTypeAssert {
			w.fault("console error: %s", said)
		}
	case *runtime.EventExceptionThrown:
		w.fault("uncaught: %s", exceptionText(e.ExceptionDetails))
	case *log.EventEntryAdded:
		w.say("%s (%s): %s %s", e.Entry.Level, e.Entry.Source, e.Entry.Text, e.Entry.URL)
		if e.Entry.Level == log.EntryLevelError {
			w.fault("browser error (%s): %s %s", e.Entry.Source, e.Entry.Text, e.Entry.URL)
		}
	case *audits.EventIssueAdded:
		if d := e.Issue.Details.ContentSecurityPolicyIssueDetails; d != nil {
			w.fault("Content-Security-Policy breached: %s by %s %q", d.ViolatedDirective, d.ContentSecurityPolicyViolationType, d.BlockedURL)
		}
	case *network.EventRequestWillBeSent:
		w.request(e.Request.URL)
	case *network.EventWebSocketCreated:
		w.request(e.URL)
	case *inspector.EventTargetCrashed:
		w.crashed()
	case *page.EventJavascriptDialogOpening:
		w.fault("a %s box stopped the page: %s", e.Type, e.Message)
		select {
		case w.dialogs <- struct{}{}:
		default:
		}
	}
}

// awaitCrash gives a channel that is closed when the page dies; that is no fault
// then.
func (w *watch) awaitCrash() <-chan struct{} {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.crash = make(chan struct{})
	return w.crash
}

func (w *watch) crashed() {
	w.mu.Lock()
	crash := w.crash
	w.crash = nil
	w.mu.Unlock()
	if crash == nil {
		w.fault("the page crashed")
		return
	}
	close(crash)
}

// request notes a request that leaves the page's own origin.
func (w *watch) request(target string) {
	u, err := url.Parse(target)
	if err != nil {
		w.fault("request to an address that cannot be read: %s", target)
		return
	}
	switch u.Scheme {
	case "data", "blob", "about":
		return
	}
	if u.Scheme+"://"+u.Host != w.origin {
		w.fault("request to a foreign origin: %s", target)
	}
}

func (w *watch) fault(format string, args ...any) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.faults = append(w.faults, fmt.Sprintf(format, args...))
}

func (w *watch) say(format string, args ...any) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.console = append(w.console, fmt.Sprintf(format, args...))
	if len(w.console) > consoleKept {
		w.console = w.console[1:]
	}
}

// take returns the faults noted so far and forgets them.
func (w *watch) take() []string {
	w.mu.Lock()
	defer w.mu.Unlock()
	faults := w.faults
	w.faults = nil
	return faults
}

func (w *watch) lastConsole() string {
	w.mu.Lock()
	defer w.mu.Unlock()
	return strings.Join(w.console, "\n")
}

// remoteText renders the arguments of a console call in one line.
func remoteText(args []*runtime.RemoteObject) string {
	var parts []string
	for _, a := range args {
		switch {
		case a.Type == runtime.RemoteObjectTypeString:
			parts = append(parts, strings.Trim(string(a.Value), `"`))
		case a.Description != "":
			parts = append(parts, a.Description)
		default:
			parts = append(parts, string(a.Value))
		}
	}
	return strings.Join(parts, " ")
}

func exceptionText(d *runtime.ExceptionDetails) string {
	if d.Exception != nil && d.Exception.Description != "" {
		return d.Text + " " + d.Exception.Description
	}
	return fmt.Sprintf("%s (%s:%d)", d.Text, d.URL, d.LineNumber+1)
}
