//go:build browser

package browsertest

import (
	"fmt"
	"runtime"
	"strings"
	"testing"
	"time"
)

func TestClickElement(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Click("#plain")
	p.Click("#far")
	p.ClickRole("button", "Named by label")
	p.ClickRole("checkbox", "Tick")
	var ids []string
	for _, h := range heardSo(p, "click") {
		ids = append(ids, h.ID)
		if !h.Trusted {
			t.Errorf("the click on %s was not a real one", h.ID)
		}
	}
	if got := strings.Join(ids, " "); got != "plain far icon tick" {
		t.Errorf("clicked %s", got)
	}
}

// aimAt looks once at whether an element can be clicked, and returns the reason
// why not.
func aimAt(p *Page, selector string) string {
	p.t.Helper()
	return callOn[spot](p, p.find(selector), aim).Fault
}

func TestClickRefused(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	for selector, want := range map[string]string{
		"#under": "covered by <i id=cover>",
		"#off":   "disabled",
		"#plain": "",
	} {
		got := aimAt(p, selector)
		if (want == "") != (got == "") || !strings.Contains(got, want) {
			t.Errorf("clicking %s is refused with %q, want %q", selector, got, want)
		}
	}
}

// What the harness reports as a failure must fail a test; this checks it on a
// test of its own.
func TestFailuresAreReported(t *testing.T) {
	for name, c := range map[string]struct {
		use  func(*Page)
		want string
	}{
		"covered": {func(p *Page) { p.Click("#under") }, "covered by <i id=cover>"},
		"twins":   {func(p *Page) { p.Click(".twin") }, "there are 2"},
		"absent":  {func(p *Page) { p.ClickRole("button", "Undo") }, "there are 0"},
		"until":   {func(p *Page) { p.Until(`document.title === "Something else"`) }, "in vain"},
		"error":   {func(p *Page) { p.Until(`nobody.home`) }, "nobody is not defined"},
		"key":     {func(p *Page) { p.Press("Hyperspace") }, "no key"},
		"finger":  {func(p *Page) { p.Tap(1, 1) }, "no touch screen"},
		"script":  {func(p *Page) { p.Exec(`throw new Error("on purpose")`) }, "on purpose"},
	} {
		t.Run(name, func(t *testing.T) {
			p := openFixture(t, "events.html", Laptop)
			said := failureOf(p, c.use)
			if !strings.Contains(said, c.want) {
				t.Errorf("the failure reads %q, want %q in it", said, c.want)
			}
		})
	}
}

// failureOf does something with a page in the name of a test of its own, with
// little patience, and returns what that test failed with.
func failureOf(p *Page, use func(*Page)) string {
	m := &mock{TB: p.t}
	q := *p
	q.t, q.patience = m, 2*time.Second
	done := make(chan struct{})
	go func() {
		defer close(done)
		use(&q)
	}()
	<-done
	return m.said
}

// mock stands in for the test that a page belongs to, and keeps what it dies
// of.
type mock struct {
	testing.TB
	said string
}

func (m *mock) Fatal(args ...any) {
	m.said = fmt.Sprint(args...)
	runtime.Goexit()
}

func (m *mock) Fatalf(format string, args ...any) {
	m.said = fmt.Sprintf(format, args...)
	runtime.Goexit()
}
