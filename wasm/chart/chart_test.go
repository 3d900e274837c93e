package chart_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/r2"
	"gonum.org/v1/gonum/stat/distuv"
	"pgregory.net/rapid"

	"crownbench/wasm/chart"
)

func Example() {
	p := chart.Plot{
		Title: "Two invented teeth",
		X:     chart.Axis{Label: "crown base length", Unit: "mm", Log: true},
		Y:     chart.Axis{Label: "crown height", Unit: "mm", Log: true},
		Marks: []chart.Mark{chart.Points{Name: "teeth", At: []r2.Vec{{X: 10, Y: 20}, {X: 20, Y: 50}}}},
	}
	fmt.Println(strings.Contains(p.Node().String(), "crown height (mm)"))
	fmt.Println(strings.HasPrefix(string(p.Document()), "<?xml"))
	// Output:
	// true
	// true
}

// The rule of 1-2-5: closed form, each list written down by hand.
func TestTicks(t *testing.T) {
	for _, tt := range []struct {
		lo, hi float64
		most   int
		want   string
	}{
		{0, 10, 11, "0 1 2 3 4 5 6 7 8 9 10"},
		{0, 10, 10, "0 2 4 6 8 10"},
		{0, 10, 5, "0 5 10"},
		{0, 1, 6, "0 0.2 0.4 0.6 0.8 1.0"},
		{-1, 1, 5, "−1.0 −0.5 0 0.5 1.0"},
		{0.12, 0.31, 4, "0.15 0.20 0.25 0.30"},
		{3, 4, 3, "3.0 3.5 4.0"},
		{0, 3000000, 4, "0 1e6 2e6 3e6"},
		{0.3, 0.9, 7, "0.3 0.4 0.5 0.6 0.7 0.8 0.9"}, // steps that are no exact binary numbers
		{5, 5, 4, ""},
		{5, 1, 4, ""},
		{math.NaN(), 1, 4, ""},
		{0, math.Inf(1), 4, ""},
		{0, 1, 0, ""},
	} {
		got := labels(chart.Ticks(tt.lo, tt.hi, tt.most))
		if got != tt.want {
			t.Errorf("from %g to %g, at most %d: %q, want %q", tt.lo, tt.hi, tt.most, got, tt.want)
		}
	}
}

func labels(ticks []chart.Tick) string {
	var all []string
	for _, k := range ticks {
		all = append(all, k.Label)
	}
	return strings.Join(all, " ")
}

func TestTicksAreRoundAndInside(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(-1e6, 1e6).Draw(t, "lo")
		span := rapid.Float64Range(1e-3, 1e6).Draw(t, "span")
		most := rapid.IntRange(2, 20).Draw(t, "most")
		ticks := chart.Ticks(lo, lo+span, most)
		if len(ticks) > most {
			t.Fatalf("%d ticks, at most %d were asked for", len(ticks), most)
		}
		for i, k := range ticks {
			if k.Value < lo-1e-9*span-1e-9 || k.Value > lo+span+1e-9*span+1e-9 {
				t.Fatalf("the tick %g lies outside", k.Value)
			}
			if i == 0 {
				continue
			}
			step := k.Value - ticks[i-1].Value
			mantissa := step / math.Pow(10, math.Floor(math.Log10(step)+1e-6))
			if math.Min(math.Abs(mantissa-1), math.Min(math.Abs(mantissa-2), math.Abs(mantissa-5))) > 1e-3 {
				t.Fatalf("a step of %g", step)
			}
		}
	})
}

func TestLogTicks(t *testing.T) {
	for _, tt := range []struct {
		lo, hi       float64
		most         int
		major, minor string
	}{
		{1, 100, 8, "1 2 5 10 20 50 100", "3 4 6 7 8 9 30 40 60 70 80 90"},
		{1, 1000, 5, "1 10 100 1000", "2 3 4 5 6 7 8 9 20 30 40 50 60 70 80 90 200 300 400 500 600 700 800 900"},
		{0.1, 1, 4, "0.1 0.2 0.5 1", "0.3 0.4 0.6 0.7 0.8 0.9"},
		{30, 40, 5, "30 35 40", ""}, // not one of 1, 2, 5
		{0, 10, 5, "", ""},
		{-1, 10, 5, "", ""},
	} {
		major, minor := chart.LogTicks(tt.lo, tt.hi, tt.most)
		var fine []string
		for _, k := range minor {
			fine = append(fine, fmt.Sprint(k.Value))
		}
		if labels(major) != tt.major || strings.Join(fine, " ") != tt.minor {
			t.Errorf("from %g to %g: %q and %q, want %q and %q", tt.lo, tt.hi, labels(major), strings.Join(fine, " "), tt.major, tt.minor)
		}
	}
}

// What an axis is asked to show at least are its ends.
func TestEndsOfTheAxesAreTheFrame(t *testing.T) {
	for _, log := range []bool{false, true} {
		l := chart.Plot{X: chart.Axis{Min: 1, Max: 100, Log: log}, Y: chart.Axis{Min: 2, Max: 8, Log: log}}.Layout()
		lowLeft, ok := l.At(r2.Vec{X: 1, Y: 2})
		if want := (r2.Vec{X: l.Frame.Min.X, Y: l.Frame.Max.Y}); !ok || far(lowLeft, want) {
			t.Errorf("log %v: lower left corner at %v, the frame's at %v", log, lowLeft, want)
		}
		upRight, ok := l.At(r2.Vec{X: 100, Y: 8})
		if want := (r2.Vec{X: l.Frame.Max.X, Y: l.Frame.Min.Y}); !ok || far(upRight, want) {
			t.Errorf("log %v: upper right corner at %v, the frame's at %v", log, upRight, want)
		}
	}
	// The middle: the mean, or on a logarithmic axis the geometric mean.
	for _, tt := range []struct {
		log  bool
		x, y float64
	}{{false, 50.5, 5}, {true, 10, 4}} {
		l := chart.Plot{X: chart.Axis{Min: 1, Max: 100, Log: tt.log}, Y: chart.Axis{Min: 2, Max: 8, Log: tt.log}}.Layout()
		if got, _ := l.At(r2.Vec{X: tt.x, Y: tt.y}); far(got, r2.Scale(0.5, r2.Add(l.Frame.Min, l.Frame.Max))) {
			t.Errorf("log %v: the middle lies at %v in %v", tt.log, got, l.Frame)
		}
	}
}

func far(a, b r2.Vec) bool { return r2.Norm(r2.Sub(a, b)) > 1e-9 }

// Equal factors are equal lengths on a logarithmic axis; equal differences on
// a linear one, and with Equal in both directions.
func TestSpacing(t *testing.T) {
	l := chart.Plot{X: chart.Axis{Log: true, Min: 0.5, Max: 300}}.Layout()
	x := func(v float64) float64 { p, _ := l.At(r2.Vec{X: v}); return p.X }
	if a, b := x(10)-x(1), x(100)-x(10); math.Abs(a-b) > 1e-9 || a <= 0 {
		t.Errorf("decades of %g and %g px", a, b)
	}
	if a, b := x(2)-x(1), (x(10)-x(1))*math.Log10(2); math.Abs(a-b) > 1e-9 {
		t.Errorf("1 to 2 is %g px, want %g", a, b)
	}
	e := chart.Plot{Equal: true, X: chart.Axis{Min: -3, Max: 3}, Y: chart.Axis{Min: 0, Max: 1}}.Layout()
	o, _ := e.At(r2.Vec{})
	i, _ := e.At(r2.Vec{X: 1, Y: 1})
	if math.Abs((i.X-o.X)-(o.Y-i.Y)) > 1e-9 {
		t.Errorf("a unit is %g px across and %g px up", i.X-o.X, o.Y-i.Y)
	}
}

// The squared distance is the quantile of chi-square with two degrees of
// freedom (gonum's, an independent computation); points with a known covariance
// give a known circle.
func TestEllipse(t *testing.T) {
	// Four points at distance √1.5 on the axes have variances 1 and no covariance.
	a := math.Sqrt(1.5)
	unit := []r2.Vec{{X: a}, {X: -a}, {Y: a}, {Y: -a}}
	for _, coverage := range []float64{0.5, 0.9, 0.95} {
		want := math.Sqrt(distuv.ChiSquared{K: 2}.Quantile(coverage))
		for _, p := range chart.Ellipse(unit, coverage) {
			if math.Abs(r2.Norm(p)-want) > 1e-6 {
				t.Fatalf("coverage %g: a radius of %g, want %g", coverage, r2.Norm(p), want)
			}
		}
	}
	if chart.Ellipse(unit[:2], 0.9) != nil || chart.Ellipse([]r2.Vec{{X: 1}, {X: 1}, {X: 1}}, 0.9) != nil {
		t.Error("an ellipse about too little")
	}
}

func TestHull(t *testing.T) {
	square := []r2.Vec{{}, {X: 2}, {X: 2, Y: 2}, {Y: 2}}
	inside := []r2.Vec{{X: 1, Y: 1}, {X: 1}, {X: 2, Y: 1}, {X: 0.5, Y: 1.9}}
	if diff := cmp.Diff(square, chart.Hull(append(inside, square...))); diff != "" {
		t.Errorf("hull of a square (-want +got):\n%s", diff)
	}
	if h := chart.Hull([]r2.Vec{{X: 1, Y: 1}, {X: 2, Y: 2}, {X: 3, Y: 3}}); h != nil {
		t.Errorf("points in a line have the hull %v", h)
	}
}

// All points lie on one side of each edge of their hull.
func TestHullHoldsItsPoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := rapid.SliceOfN(pointOn(rapid.IntRange(-20, 20)), 3, 40).Draw(t, "points")
		h := chart.Hull(points)
		for i, a := range h {
			b := h[(i+1)%len(h)]
			for _, p := range points {
				if r2.Cross(r2.Sub(b, a), r2.Sub(p, a)) < 0 {
					t.Fatalf("%v lies outside %v", p, h)
				}
			}
		}
	})
}

func pointOn(c *rapid.Generator[int]) *rapid.Generator[r2.Vec] {
	return rapid.Custom(func(t *rapid.T) r2.Vec {
		return r2.Vec{X: float64(c.Draw(t, "x")), Y: float64(c.Draw(t, "y"))}
	})
}

// Any numbers at all: most of them ordinary, some not.
func anyNumber() *rapid.Generator[float64] {
	return rapid.OneOf(
		rapid.Float64Range(-100, 100),
		rapid.Float64(),
		rapid.SampledFrom([]float64{0, 1, -1, math.NaN(), math.Inf(1), math.Inf(-1), math.MaxFloat64, -math.MaxFloat64, math.SmallestNonzeroFloat64, 1e-308, 1e15, 1e15 + 1}),
	)
}

func anyPoint() *rapid.Generator[r2.Vec] {
	return rapid.Custom(func(t *rapid.T) r2.Vec {
		return r2.Vec{X: anyNumber().Draw(t, "x"), Y: anyNumber().Draw(t, "y")}
	})
}

func hostile() *rapid.Generator[string] {
	return rapid.OneOf(rapid.String(), rapid.SampledFrom([]string{
		"", "</svg><script>alert(1)</script>", "]]>", "<!--", `" onload="x`, "a & b", "\x00\x1b", "\xff\xfe", "</title>", strings.Repeat("very long ", 60),
	}))
}

func anyPlot() *rapid.Generator[chart.Plot] {
	return rapid.Custom(func(t *rapid.T) chart.Plot {
		axis := func(name string) chart.Axis {
			return chart.Axis{
				Label: hostile().Draw(t, name), Unit: hostile().Draw(t, name+" unit"), Log: rapid.Bool().Draw(t, name+" log"),
				Min: anyNumber().Draw(t, name+" min"), Max: anyNumber().Draw(t, name+" max"),
			}
		}
		points := func(name string) []r2.Vec { return rapid.SliceOfN(anyPoint(), 0, 12).Draw(t, name) }
		number := func(name string) float64 { return anyNumber().Draw(t, name) }
		group := rapid.Custom(func(t *rapid.T) chart.Group { return chart.Group(rapid.IntRange(-3, 12).Draw(t, "group")) })
		name := func() string { return hostile().Draw(t, "name") }
		return chart.Plot{
			Title: hostile().Draw(t, "title"), Desc: hostile().Draw(t, "desc"), X: axis("x"), Y: axis("y"),
			Equal: rapid.Bool().Draw(t, "equal"), Bare: rapid.Bool().Draw(t, "bare"),
			Marks: []chart.Mark{
				chart.Band{Name: name(), Low: number("low"), High: number("high"), Upright: rapid.Bool().Draw(t, "upright")},
				chart.Points{Name: name(), Group: group.Draw(t, "g"), At: points("points"), Faint: rapid.Bool().Draw(t, "faint")},
				chart.Outline{Name: name(), Group: group.Draw(t, "g"), At: points("hull")},
				chart.Outline{Name: name(), Group: group.Draw(t, "g"), At: points("ellipse"), Coverage: 0.9},
				chart.Line{Name: name(), At: points("line")},
				chart.Level{Name: name(), At: number("level"), Text: name()},
				chart.Columns{Name: name(), Edges: []float64{number("e"), number("e"), number("e")}, Heights: []float64{number("h"), number("h")}},
				chart.Ring{At: anyPoint().Draw(t, "ring"), Text: name()},
				chart.Spot{Name: name(), Text: name(), At: anyPoint().Draw(t, "spot"), U: anyPoint().Draw(t, "u")},
			},
		}
	})
}

// Whatever is plotted under whatever names, what has a place lies in the
// frame, the numbers are numbers, and an XML reader takes the file.
func TestAnythingCanBePlotted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPlot().Draw(t, "plot")
		l := p.Layout()
		if !(l.Frame.Min.X < l.Frame.Max.X) || !(l.Frame.Min.Y < l.Frame.Max.Y) {
			t.Fatalf("the frame is %v", l.Frame)
		}
		for _, mark := range p.Marks {
			points, ok := mark.(chart.Points)
			if !ok {
				continue
			}
			for _, v := range points.At {
				at, ok := l.At(v)
				drawable := !math.IsNaN(v.X) && !math.IsInf(v.X, 0) && !math.IsNaN(v.Y) && !math.IsInf(v.Y, 0) &&
					(!p.X.Log || v.X > 0) && (!p.Y.Log || v.Y > 0)
				if ok != drawable {
					t.Fatalf("%v has a place: %v, want %v", v, ok, drawable)
				}
				const speck = 1e-6
				if ok && !(at.X >= l.Frame.Min.X-speck && at.X <= l.Frame.Max.X+speck && at.Y >= l.Frame.Min.Y-speck && at.Y <= l.Frame.Max.Y+speck) {
					t.Fatalf("%v lies at %v, outside of %v", v, at, l.Frame)
				}
			}
		}
		wellFormed(t, p.Document())
	})
}

// wellFormed reads the file with the standard library's XML reader, and checks
// that nothing but SVG's own plain elements is in it, and that places are
// numbers.
func wellFormed(t interface{ Fatalf(string, ...any) }, doc []byte) {
	d := xml.NewDecoder(bytes.NewReader(doc))
	known := map[string]bool{"svg": true, "title": true, "desc": true, "style": true, "g": true, "path": true, "rect": true, "circle": true, "text": true}
	titles := 0
	for {
		token, err := d.Token()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			t.Fatalf("not well-formed: %v in\n%s", err, doc)
		}
		if e, ok := token.(xml.StartElement); ok {
			if !known[e.Name.Local] || e.Name.Space != "http://www.w3.org/2000/svg" {
				t.Fatalf("the element %v", e.Name)
			}
			if e.Name.Local == "title" {
				titles++
			}
			for _, a := range e.Attr {
				if strings.HasPrefix(a.Name.Local, "on") {
					t.Fatalf("the attribute %v", a.Name)
				}
				if strings.Contains(a.Value, "NaN") || strings.Contains(a.Value, "Inf") {
					t.Fatalf("%s is %q", a.Name.Local, a.Value)
				}
			}
		}
	}
	if titles != 1 {
		t.Fatalf("%d titles", titles)
	}
}

// Relative luminance and contrast as in the Web Content Accessibility
// Guidelines 2.2 (from memory); 3 to 1 is what they ask of graphics. The papers
// are those of the page's style, light and dark.
func TestColoursStandOut(t *testing.T) {
	for g := chart.Own; g < 5; g++ {
		c := g.Colour()
		for _, paper := range []string{"#fbf9f5", "#ffffff"} {
			if r := contrast(c.Light, paper); r < 3 {
				t.Errorf("group %d: %s on %s has a contrast of %.2f", g, c.Light, paper, r)
			}
		}
		for _, paper := range []string{"#23211e", "#2b2926"} {
			if r := contrast(c.Dark, paper); r < 3 {
				t.Errorf("group %d: %s on %s has a contrast of %.2f", g, c.Dark, paper, r)
			}
		}
	}
}

func contrast(a, b string) float64 {
	la, lb := luminance(a), luminance(b)
	return (math.Max(la, lb) + 0.05) / (math.Min(la, lb) + 0.05)
}

func luminance(hex string) float64 {
	var r, g, b uint8
	fmt.Sscanf(hex, "#%02x%02x%02x", &r, &g, &b)
	linear := func(v uint8) float64 {
		if s := float64(v) / 255; s > 0.04045 {
			return math.Pow((s+0.055)/1.055, 2.4)
		} else {
			return s / 12.92
		}
	}
	return 0.2126*linear(r) + 0.7152*linear(g) + 0.0722*linear(b)
}

func TestNearest(t *testing.T) {
	points := []r2.Vec{{X: 0}, {X: 10}, {X: 10}, {X: 30}}
	for _, tt := range []struct {
		x, within float64
		want      int
	}{{1, 5, 0}, {11, 5, 2}, {20.1, 50, 3}, {20, 5, -1}} {
		if got := chart.Nearest(points, r2.Vec{X: tt.x}, tt.within); got != tt.want {
			t.Errorf("nearest to %g within %g: %d, want %d", tt.x, tt.within, got, tt.want)
		}
	}
}

func TestTowards(t *testing.T) {
	//     3
	//   2 0 1·1·1
	//     4        5 (far right, well below)
	points := []r2.Vec{{}, {X: 10}, {X: 10}, {X: 10}, {X: -10}, {Y: -10}, {Y: 10}, {X: 20, Y: 100}}
	for _, tt := range []struct {
		from int
		d    chart.Direction
		want int
	}{
		{0, chart.Right, 1}, {1, chart.Right, 2}, {2, chart.Right, 3}, {3, chart.Right, 7}, {7, chart.Right, -1},
		{3, chart.Left, 2}, {1, chart.Left, 0}, {0, chart.Left, 4}, {0, chart.Up, 5}, {0, chart.Down, 6},
		{4, chart.Left, -1}, {-1, chart.Left, -1}, {99, chart.Left, -1},
	} {
		if got := chart.Towards(points, tt.from, tt.d); got != tt.want {
			t.Errorf("from %d in direction %d: %d, want %d", tt.from, tt.d, got, tt.want)
		}
	}
}

// A step goes the way that was asked for, and there is one wherever there is a
// point on that side.
func TestTowardsKeepsItsWay(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := rapid.SliceOfN(pointOn(rapid.IntRange(-4, 4)), 1, 30).Draw(t, "points")
		from := rapid.IntRange(0, len(points)-1).Draw(t, "from")
		d := chart.Direction(rapid.IntRange(0, 3).Draw(t, "direction"))
		ahead := func(i int) float64 {
			v := r2.Sub(points[i], points[from])
			return map[chart.Direction]float64{chart.Left: -v.X, chart.Right: v.X, chart.Up: -v.Y, chart.Down: v.Y}[d]
		}
		got := chart.Towards(points, from, d)
		if got >= 0 && points[got] != points[from] && ahead(got) <= 0 {
			t.Fatalf("went from %v to %v", points[from], points[got])
		}
		for i := range points {
			if ahead(i) > 0 && got < 0 {
				t.Fatalf("there is %v, yet nowhere to go", points[i])
			}
		}
		// Walking one way comes to an end.
		seen := map[int]bool{}
		for at := from; at >= 0; at = chart.Towards(points, at, d) {
			if seen[at] {
				t.Fatal("the walk goes round in circles")
			}
			seen[at] = true
		}
	})
}

func BenchmarkNode(b *testing.B) {
	for _, n := range []int{100, 1264} {
		b.Run(fmt.Sprint(n, " points"), func(b *testing.B) {
			at := make([]r2.Vec, n)
			for i := range at {
				at[i] = r2.Vec{X: 1 + float64(i%37), Y: 1 + float64(i%53)}
			}
			p := chart.Plot{X: chart.Axis{Log: true}, Y: chart.Axis{Log: true}, Marks: []chart.Mark{chart.Points{At: at}, chart.Outline{At: at, Coverage: 0.9}}}
			for b.Loop() {
				p.Node()
			}
		})
	}
}
