//go:build firefox

package firefoxtest

import (
	"bytes"
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"
	"time"

	"crownbench/testdata/toothphoto"

	"gonum.org/v1/gonum/spatial/r2"
)

// A published tooth, typed: sorted, and there again after a reload. Without WebGL
// a photograph cannot be drawn; the page says so and goes on.
func TestTypedToothWithoutWebGL(t *testing.T) {
	w := Hidden(t)
	w.Click("#quick")
	w.Until(`document.activeElement?.id === "cell-CH"`)
	// READ Hendrickx et al. 2024, table: Carcharodontosaurus SGM Din-1 mx03, a
	// lateral crown of a blade-toothed clade; CBR and CHR as printed there.
	w.Type("71.01" + Tab + "41.46" + Tab + "15.15" + Tab)
	w.UntilText(".said", "Blade-like")
	expect(w, "CBR", 0.365412, 0.0006)
	expect(w, "CHR", 1.712735, 0.0006)
	w.Shot("firefox-typed")
	w.UntilText("#saving", "Saved")
	w.Reload()
	w.UntilText(".said", "Blade-like")

	file, _ := shoot(t)
	w.Drop("HX-1_lateral.jpg", file)
	w.UntilText("#stage", "WebGL 2")
	w.Shot("firefox-without-webgl")
	w.UntilText(".said", "Blade-like")
}

// A photograph, dropped: scale, crown, readings, sheet, and all of it there again
// after a reload. Truth is the generator's exact geometry.
func TestPhotographJob(t *testing.T) {
	w := Shown(t)
	file, truth := shoot(t)
	w.Drop("HX-1_lateral.jpg", file)
	w.Until(shown)
	tool(w, "Scale")
	point(w, truth.Bar.Ends[0], 1)
	point(w, truth.Bar.Ends[1], 1)
	w.Fill("#cell-bar", strconv.FormatFloat(truth.Bar.Length, 'g', -1, 64))
	w.Type(Enter)
	w.Until(`/px\/mm/.test(document.querySelector("#scale-value")?.textContent)`)

	tool(w, "Crown")
	walk, g := truth.PlainOutline, truth.PlainApex
	for i := range 4 {
		point(w, walk[g*i/4], 1)
	}
	point(w, *truth.G, 2)
	for i := 1; i < 4; i++ {
		point(w, walk[g+(len(walk)-1-g)*i/4], 1)
	}
	point(w, *truth.B, 2)
	w.Until(`/✓/.test(document.querySelector(".tools button:nth-child(3)").textContent)`)
	w.Type("0")
	w.follow()
	w.Shot("firefox-crown")
	readings := func() {
		m := truth.Measurements
		for _, c := range []struct {
			id         string
			want, room float64
		}{
			{"CH", m.CH, max(0.01*m.CH, 1.5/truth.PxPerMM)}, {"AL", m.AL, max(0.01*m.AL, 1.5/truth.PxPerMM)},
			{"CBL", m.CBL, max(0.01*m.CBL, 1.5/truth.PxPerMM)}, {"CMA", m.CMA, 1}, {"CAA", m.CAA, 1}, {"CDA", m.CDA, 1},
		} {
			expect(w, c.id, c.want, c.room)
		}
	}
	readings()
	w.UntilText("#saving", "Saved")
	w.Reload()
	w.Until(shown)
	readings()

	if said := Eval[string](w, `document.querySelector(".notices").innerText`); said != "" {
		t.Errorf("unasked, the page says %q", said)
	}
	w.Click(`.right button:nth-of-type(3)`)
	w.Until(`document.querySelectorAll(".paper svg image").length > 0`)
	w.UntilText(".paper", "Crown")
	w.follow()
	w.Shot("firefox-sheet")
	w.Click("#sheet-close")
}

// shown is true once the one photograph lies on the bench.
const shown = `document.querySelectorAll(".photos button").length === 2 && document.querySelector("canvas").dataset.place && !document.querySelector("#stage .card")`

// shoot renders a side view of an invented blade.
func shoot(t *testing.T) ([]byte, toothphoto.Truth) {
	t.Helper()
	img, truth, err := toothphoto.Render(toothphoto.Tooth{
		Name: "HX-1", CBL: 24.2, CBW: 10.6, CH: 47.5, AL: 53.4, MCW: 8.2, MesialBow: 0.09, DistalBow: -0.02, MesialSkew: 0.1, Root: 14, Palette: 2,
	}, toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: 1600, Height: 1200, PxPerMM: 13, Rotation: 24, X: 0.42, Y: 0.45, Background: toothphoto.Card,
		LightFrom: 315, Blur: 0.7, Noise: 1.2, Bar: toothphoto.ScaleBar{Length: 50, X: 0.72, Y: 0.9}, Seed: 21,
	})
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := toothphoto.EncodeJPEG(&b, img, toothphoto.JPEG{}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes(), truth
}

// tool takes up one of the bench's tools by its place among them.
func tool(w *Window, name string) {
	w.t.Helper()
	n := map[string]int{"Look": 1, "Scale": 2, "Crown": 3, "Section": 4, "Denticles": 5}[name]
	w.Click(fmt.Sprintf(".tools button:nth-child(%d)", n))
	w.follow()
}

// point zooms in on a point of the photograph, in px of it, and clicks there.
func point(w *Window, q r2.Vec, times int) {
	w.t.Helper()
	w.Type("0")
	for range 40 {
		w.follow()
		var scale, x, y float64
		text := Eval[string](w, `document.querySelector("canvas").dataset.place ?? ""`)
		if _, err := fmt.Sscan(text, &scale, &x, &y); err != nil {
			w.t.Fatalf("the canvas does not say where the photograph lies: %q", text)
		}
		if scale >= 2 { // CSS px a photo px, where a careful person points
			w.ClickAt(scale*q.X+x, scale*q.Y+y, times)
			return
		}
		w.Wheel(scale*q.X+x, scale*q.Y+y, -240)
	}
	w.t.Fatalf("the wheel does not zoom in on %v", q)
}

// expect waits until the page shows a reading within room of what is wanted.
func expect(w *Window, id string, want, room float64) {
	w.t.Helper()
	var got string
	for range 100 {
		got = Eval[string](w, fmt.Sprintf(`document.querySelector('tr[data-reading="%s"] .value')?.textContent ?? ""`, id))
		number, _, _ := strings.Cut(strings.TrimLeft(got, "~>"), " ")
		if v, err := strconv.ParseFloat(strings.TrimSuffix(number, "°"), 64); err == nil && math.Abs(v-want) <= room {
			return
		}
		time.Sleep(50 * time.Millisecond)
	}
	w.t.Errorf("%s is %q in the page; the truth is %.4g ± %.2g", id, got, want, room)
}
