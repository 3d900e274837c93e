//go:build browser

package browsertest

import (
	"context"
	"fmt"
	"testing"
	"time"

	"github.com/chromedp/cdproto/cdp"
	"github.com/chromedp/cdproto/heapprofiler"
	"github.com/chromedp/cdproto/performance"
	"github.com/chromedp/cdproto/runtime"
	"github.com/chromedp/chromedp"
)

// BenchmarkIdle leaves the page alone with a tooth and its photograph on the desk.
// ms-per-s is the processor time that the page's thread takes meanwhile, in every
// second.
func BenchmarkIdle(b *testing.B) {
	const rest = 10 * time.Second
	var spent float64
	for b.Loop() {
		p := Open(b, Laptop)
		do(p, "asking for processor time", func(ctx context.Context, t *chromedp.Target) error {
			_, err := cdp.Call(ctx, t, performance.Enable, performance.EnableParams{TimeDomain: performance.EnableTimeDomainThreadTicks})
			return err
		})
		openDemo(p)
		p.UntilText("#saving", "Saved")
		time.Sleep(3 * time.Second) // thumbnails and glances
		before := threadTime(p)
		time.Sleep(rest)
		spent += threadTime(p) - before
		p.Close()
	}
	b.ReportMetric(1000*spent/rest.Seconds()/float64(b.N), "ms-per-s")
}

// longUse does n commands as fast as the page draws them: another tooth, another
// tool, a new name, undo, redo, a dialog opened and closed.
const longUse = `(async n => {
	let seed = 7;
	const draw = k => (seed = (seed * 1103515245 + 12345) % 2147483648) % k;
	const frame = () => new Promise(done => requestAnimationFrame(done));
	const press = name => [...document.querySelectorAll("button")].find(b => b.textContent.trim() === name && !b.disabled)?.click();
	for (let i = 0; i < n; i++) {
		switch (draw(8)) {
		case 0: case 1: {
			const teeth = document.querySelectorAll("#tray li .pick");
			teeth[draw(teeth.length)]?.click();
			break;
		}
		case 2: press(["Look", "Scale", "Crown", "Section"][draw(4)]); break;
		case 3: case 4: {
			const name = document.querySelector("#name");
			if (name) {
				name.value = "Renamed " + i;
				name.dispatchEvent(new Event("change", {bubbles: true}));
			}
			break;
		}
		case 5: press("Undo"); break;
		case 6: press("Redo"); break;
		case 7:
			press("Help");
			await frame();
			press("Close");
		}
		await frame();
	}
})`

// BenchmarkLongUse works for some thousands of commands, as many as in two hours of
// a person's work, and tells what the page holds of memory after each thousand:
// MB-program of the program, which never gives back what it once had, MB-script of
// the browser's objects after a clearing up.
func BenchmarkLongUse(b *testing.B) {
	const thousands = 5
	for b.Loop() {
		v := Laptop
		v.Prelude = watched
		p := Open(b, v)
		p.patience = 10 * time.Minute
		openDemo(p)
		for k := range thousands {
			p.Exec(longUse + `(1000)`)
			var script float64
			do(p, "clearing up", func(ctx context.Context, t *chromedp.Target) error {
				if _, err := cdp.Call(ctx, t, heapprofiler.CollectGarbage, cdp.Empty{}); err != nil {
					return err
				}
				u, err := cdp.Call(ctx, t, runtime.GetHeapUsage, cdp.Empty{})
				script = u.UsedSize
				return err
			})
			b.ReportMetric(Eval[float64](p, `programMemory.buffer.byteLength`)/1e6, fmt.Sprintf("MB-program-after-%d000", k+1))
			b.ReportMetric(script/1e6, fmt.Sprintf("MB-script-after-%d000", k+1))
		}
		p.Close()
	}
}
