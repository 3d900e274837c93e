//go:build browser

package browsertest

import (
	"testing"
	"time"

	"crownbench/testdata/toothphoto"
)

// watched keeps the program's memory and the longest task of the page within
// reach of a test.
const watched = `
const real = WebAssembly.instantiateStreaming;
WebAssembly.instantiateStreaming = async (...given) => {
  const made = await real(...given);
  window.programMemory = made.instance.exports.mem;
  return made;
};
window.longest = 0;
window.tasks = [];
new PerformanceObserver(list => {
  for (const task of list.getEntries()) {
    window.longest = Math.max(window.longest, task.duration);
    window.tasks.push(Math.round(task.duration));
  }
}).observe({ type: "longtask" });`

// BenchmarkPixels is a photograph of 24 megapixels whose pixels the program needs,
// since an outline is asked for: what that takes of time and memory. A page has
// the browser's own picture besides, once its size, and halved copies of it, a
// third of that at most; "times its size" is all of it over the size of the
// picture as RGBA.
func BenchmarkPixels(b *testing.B) {
	shot := assistLateral
	shot.Width, shot.Height, shot.PxPerMM = 6000, 4000, 42
	file, truth := shootJPEG(b, "HX-1_lateral.jpg", blade, shot, toothphoto.JPEG{})
	size := 4 * float64(shot.Width) * float64(shot.Height)
	for b.Loop() {
		view := Laptop
		view.Prelude = watched
		p := Open(b, view)
		dropped := time.Now()
		p.Drop(640, 400, file)
		untilPhotographs(p, 1)
		b.ReportMetric(time.Since(dropped).Seconds(), "s-to-visible")
		before := Eval[float64](p, `programMemory.buffer.byteLength`)
		p.Exec(`longest = 0, tasks = []`)
		p.ClickRole("button", "Find the scale bar")
		began := time.Now()
		p.UntilWithin(60*time.Second, `document.activeElement?.id === "cell-bar"`)
		b.ReportMetric(time.Since(began).Seconds(), "s-to-bar")
		b.ReportMetric(Eval[float64](p, `longest`), "ms-longest-task-bar")
		b.Logf("tasks of more than 50 ms while the pixels were read and the bar was found: %s ms", Eval[string](p, `tasks.join(", ")`))
		h := &hand{Page: p}
		h.press("button", "Crown")
		p.Exec(`longest = 0`)
		began = time.Now()
		h.press("button", "Outline the tooth for me")
		h.on(middle(truth.PlainOutline))
		p.UntilWithin(60*time.Second, `[...document.querySelectorAll(".prompt button")].some(b => b.textContent === "Take it")`)
		b.ReportMetric(time.Since(began).Seconds(), "s-to-crown")
		b.ReportMetric(Eval[float64](p, `longest`), "ms-longest-task-crown")
		after := Eval[float64](p, `programMemory.buffer.byteLength`)
		b.ReportMetric(before/1e6, "MB-before")
		b.ReportMetric(after/1e6, "MB-program")
		b.ReportMetric((after+size*4/3)/size, "times-its-size")
		p.Close()
	}
}
