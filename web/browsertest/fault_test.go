//go:build browser

package browsertest

import (
	"context"
	"strings"
	"testing"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"

	"crownbench/testdata/toothphoto"
)

// The graphics driver gives up in the middle of a walk: the page comes back by
// itself, with the walk where it was.
func TestGraphicsLostInTheMiddle(t *testing.T) {
	p := Open(t, Laptop)
	truth := scaledLateral(p)
	tool(p, "Crown")
	point(p, *truth.A)
	pointTwice(p, *truth.G)
	p.follow()
	prompt := p.Text("#prompt")
	p.UntilText("#saving", "Saved")
	p.Exec(`globalThis.before = true; document.querySelector("canvas").getContext("webgl2").getExtension("WEBGL_lose_context").loseContext()`)
	p.Until(`!globalThis.before && ` + ready + ` && document.querySelector(".photos button") && !document.querySelector("#stage .card")`)
	if got := p.Text("#prompt"); got != prompt {
		t.Errorf("the walk goes on with %q instead of %q", got, prompt)
	}
	pointTwice(p, *truth.B)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
}

// Ways in which browsers deny a page its database.
var denied = map[string]string{
	"refused at once": `IDBFactory.prototype.open = () => { throw new DOMException("The operation is insecure.", "SecurityError") }`,
	"refused later": `IDBFactory.prototype.open = new Proxy(IDBFactory.prototype.open, {apply: (open, idb) => {
		const request = Reflect.apply(open, idb, ["never made " + Math.random(), 1]);
		request.addEventListener("upgradeneeded", e => { e.stopImmediatePropagation(); request.transaction.abort() });
		return request;
	}})`,
	"not there": `delete IDBFactory.prototype.open; Object.defineProperty(globalThis, "indexedDB", {value: undefined})`,
}

// Without a database the whole program works for the visit, says that nothing is
// kept, and the browser asks before the page is left.
func TestStorageDenied(t *testing.T) {
	for name, prelude := range denied {
		t.Run(name, func(t *testing.T) {
			v := Laptop
			v.Prelude = prelude
			p := Open(t, v)
			p.UntilText("#saving", "Not kept")
			p.UntilText(".notices", "nothing is kept")
			p.ClickRole("button", "Put away")
			p.Click("#quick")
			p.Fill("#cell-CH", "71.01")
			p.Fill("#cell-CBL", "41.46")
			p.Fill("#cell-CBW", "15.15")
			p.Press("Tab")
			// READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03.
			p.UntilText(".said", "Blade-like")
			p.Drop(640, 400, File{Name: "flat.png", Bytes: flatPNG(300, 200, true)})
			untilPhotographs(p, 1)

			p.Exec(`location.reload()`)
			awaitFault(p, "beforeunload box") // which the harness answers with Stay
			p.UntilText(".said", "Blade-like")
			p.ClickRole("button", "Out")
			record := p.Download(func() { p.Click("#out-json") })
			if !strings.Contains(string(record.Bytes), "71.01") {
				t.Error("the record that was taken out lacks what was typed")
			}
		})
	}
}

// What is saved is left without a question, and so is an untouched page.
func TestLeavingWithoutAQuestion(t *testing.T) {
	p := Open(t, Laptop)
	p.Click("h1")
	p.Reload()
	p.Until(ready)
	p.Click("#quick")
	p.Fill("#cell-CH", "71.01")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	p.Reload() // a question would be a fault
	p.Until(ready)
	p.Until(`document.querySelector("#cell-CH")?.value === "71.01"`)
}

// clock is a clock that can be turned back, and stays so when the page is loaded
// again.
const clock = `{
	const Real = Date, now = () => Real.now() - Number(sessionStorage.getItem("back") ?? 0);
	globalThis.Date = class extends Real {
		constructor(...parts) { if (parts.length) super(...parts); else super(now()); }
		static now() { return now(); }
	};
}`

// A clock that jumps back, by a little or to before there were such machines,
// loses no change and sets no tooth against itself.
func TestClockTurnedBack(t *testing.T) {
	v := Laptop
	v.Prelude = clock
	p := Open(t, v)
	p.Click("#quick")
	p.Fill("#cell-CH", "40")
	p.Press("Tab")
	p.UntilText("#saving", "Saved")
	for _, step := range []struct{ back, height string }{
		{"7200000", "41.5"}, // two hours, ms
		{"Date.now() - 86400000", "42.5"},
	} {
		p.Exec(`sessionStorage.setItem("back", String(` + step.back + `))`)
		p.Fill("#cell-CH", step.height)
		p.Press("Tab")
		p.follow()
		p.UntilText("#saving", "Saved")
		p.Reload()
		p.Until(ready)
		p.Until(`document.querySelector("#cell-CH")?.value === "` + step.height + `"`)
		if said := p.Text(".notices"); said != "" {
			t.Errorf("with the clock turned back the page complains: %q", said)
		}
	}
	if year := Eval[int](p, `new Date().getFullYear()`); year > 1971 {
		t.Errorf("the clock was not turned back: it shows %d", year)
	}
}

// On a machine six times slower no key is lost and the answer comes.
func TestSlowMachine(t *testing.T) {
	p := Open(t, Laptop)
	do(p, "slowing the machine", func(ctx context.Context, t *chromedp.Target) error {
		_, err := cdp.Call(ctx, t, emulation.SetCPUThrottlingRate, emulation.SetCPUThrottlingRateParams{Rate: 6})
		return err
	})
	p.Click("#quick")
	p.Until(`document.activeElement?.id === "cell-CH"`)
	for _, value := range []string{"71.01", "41.46", "15.15"} {
		p.Type(value)
		p.Press("Tab")
	}
	p.UntilText(".said", "Blade-like")
	if got := []string{p.Value("#cell-CH"), p.Value("#cell-CBL"), p.Value("#cell-CBW")}; strings.Join(got, " ") != "71.01 41.46 15.15" {
		t.Errorf("the cells hold %q", got)
	}
	p.UntilText("#saving", "Saved")
}

// short is a browser that has no room for pictures, nor for copies of them, while
// globalThis.short is set.
const short = `{
	const decode = globalThis.createImageBitmap, context = OffscreenCanvas.prototype.getContext;
	globalThis.createImageBitmap = (...given) => globalThis.short
		? Promise.reject(new DOMException("The ImageBitmap could not be allocated.", "InvalidStateError"))
		: decode(...given);
	OffscreenCanvas.prototype.getContext = function(...given) { return globalThis.short ? null : Reflect.apply(context, this, given) };
}`

// Where there is no memory for a photograph, or for its pixels when something is
// to be found in them, the page says so and stays as it was; it goes on once
// there is some.
func TestNoMemoryForAPhotograph(t *testing.T) {
	file, truth := shootJPEG(t, "HX-1_lateral.jpg", blade, lateralShot, toothphoto.JPEG{})
	v := Laptop
	v.Prelude = short
	p := Open(t, v)
	quickTooth(p, "71.01", "41.46", "15.15")
	p.UntilText(".said", "Blade-like")
	p.Exec(`globalThis.short = true`)
	p.Drop(640, 400, file)
	p.UntilText("#stage", "needs more memory than the browser has left")
	p.Shot("no-memory")
	p.UntilText(".said", "Blade-like")
	p.UntilText("#saving", "Saved")
	p.Exec(`globalThis.short = false`)
	p.Drop(640, 400, file)
	untilPhotographs(p, 1)
	p.UntilText("#saving", "Saved")

	p.Exec(`globalThis.short = true`)
	tool(p, "Scale")
	p.ClickRole("button", "Find the scale bar")
	p.UntilText(".prompt", "needs more memory than the browser has left")
	p.Shot("no-memory-for-pixels")
	p.Exec(`globalThis.short = false`)
	p.ClickRole("button", "Go on by hand")
	setScale(p, truth.Bar)
}

// The machine sleeps in the middle of a walk: the walk goes on after, and the
// record with it.
func TestSleepInTheMiddle(t *testing.T) {
	p := Open(t, Laptop)
	truth := scaledLateral(p)
	tool(p, "Crown")
	point(p, *truth.A)
	pointTwice(p, *truth.G)
	p.follow()
	for _, state := range []page.SetWebLifecycleStateState{page.SetWebLifecycleStateStateFrozen, page.SetWebLifecycleStateStateActive} {
		do(p, "putting the page to sleep or waking it", func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, page.SetWebLifecycleState, page.SetWebLifecycleStateParams{State: state})
			return err
		})
	}
	p.follow()
	pointTwice(p, *truth.B)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
	p.UntilText("#saving", "Saved")
}

// With a pen on the screen scale and crown are taken as with the mouse.
func TestCrownByPen(t *testing.T) {
	p := Open(t, Tablet)
	p.TakePen()
	truth := scaledLateral(p)
	tool(p, "Crown")
	point(p, *truth.A)
	pointTwice(p, *truth.G)
	pointTwice(p, *truth.B)
	p.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	showNumbers(p)
	expect(t, p, "CH", blade.CH, tolerance(blade.CH, truth))
}
