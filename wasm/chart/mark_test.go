package chart_test

import (
	"fmt"
	"math"
	"strconv"
	"strings"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/wasm/chart"
	m "crownbench/wasm/markup"
)

// all gives the elements of a tag and class ("" for any) in a drawing.
func all(n *m.Node, tag, class string) []*m.Node {
	var found []*m.Node
	if n.Tag == tag && (class == "" || strings.Contains(" "+n.Attrs["class"]+" ", " "+class+" ")) {
		found = append(found, n)
	}
	for _, c := range n.Children {
		found = append(found, all(c, tag, class)...)
	}
	return found
}

// numbers reads the numbers of path data or an attribute.
func numbers(t *testing.T, s string) []float64 {
	t.Helper()
	var ns []float64
	for _, f := range strings.FieldsFunc(s, func(r rune) bool { return !strings.ContainsRune("0123456789.-", r) }) {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatalf("%q in %q: %v", f, s, err)
		}
		ns = append(ns, v)
	}
	return ns
}

func near(a, b float64) bool { return math.Abs(a-b) < 0.011 } // px are written to hundredths

// Limits of agreement as they are usually drawn: the band lies between the
// places of its values, the level at its own (closed form: linear axes).
func TestBandAndLevel(t *testing.T) {
	p := chart.Plot{
		Width: 400, Height: 300, X: chart.Axis{Min: 0, Max: 10}, Y: chart.Axis{Min: -2, Max: 2},
		Marks: []chart.Mark{chart.Band{Low: -1, High: 1}, chart.Level{At: 0.5, Dashed: true}},
	}
	l := p.Layout()
	f := l.Frame
	up := func(v float64) float64 { return f.Max.Y - (v+2)/4*(f.Max.Y-f.Min.Y) }
	band := all(p.Node(), "rect", "band")
	if len(band) != 1 {
		t.Fatalf("%d bands", len(band))
	}
	y, h := numbers(t, band[0].Attrs["y"])[0], numbers(t, band[0].Attrs["height"])[0]
	if !near(y, up(1)) || !near(y+h, up(-1)) {
		t.Errorf("the band lies from %g to %g, want %g to %g", y, y+h, up(1), up(-1))
	}
	for _, path := range all(p.Node(), "path", "") {
		if path.Attrs["stroke-dasharray"] == "" {
			continue
		}
		if d := numbers(t, path.Attrs["d"]); !near(d[0], f.Min.X) || !near(d[1], up(0.5)) || !near(d[2], f.Max.X) {
			t.Errorf("the level is drawn as %s", path.Attrs["d"])
		}
		return
	}
	t.Error("there is no level")
}

// Bars of a histogram stand on zero, as wide as their classes and as high as
// their counts.
func TestColumns(t *testing.T) {
	p := chart.Plot{X: chart.Axis{Min: 0, Max: 4}, Y: chart.Axis{Min: 0, Max: 8}, Marks: []chart.Mark{
		chart.Columns{Edges: []float64{1, 2, 4}, Heights: []float64{8, 2}},
	}}
	f := p.Layout().Frame
	across := func(v float64) float64 { return f.Min.X + v/4*(f.Max.X-f.Min.X) }
	up := func(v float64) float64 { return f.Max.Y - v/8*(f.Max.Y-f.Min.Y) }
	for _, path := range all(p.Node(), "path", "filled") {
		got := numbers(t, path.Attrs["d"])
		want := []float64{across(1), up(0), up(8), across(2), up(0), across(2), up(0), up(2), across(4), up(0)}
		for i := range want {
			if len(got) != len(want) || !near(got[i], want[i]) {
				t.Fatalf("drawn %v, want %v", got, want)
			}
		}
		return
	}
	t.Error("there are no columns")
}

// The bars of the point that a plot is about end at value ± u, on a
// logarithmic axis too; where value - u is not above zero, at the frame.
func TestBarsOfASpot(t *testing.T) {
	p := chart.Plot{X: chart.Axis{Log: true, Min: 1, Max: 100}, Y: chart.Axis{Log: true, Min: 1, Max: 100}, Marks: []chart.Mark{
		chart.Spot{At: r2.Vec{X: 10, Y: 10}, U: r2.Vec{X: 5, Y: 20}},
	}}
	l := p.Layout()
	bars := all(p.Node(), "path", "bars")
	if len(bars) != 1 {
		t.Fatalf("%d sets of bars", len(bars))
	}
	from, _ := l.At(r2.Vec{X: 5, Y: 10})
	to, _ := l.At(r2.Vec{X: 15, Y: 10})
	top, _ := l.At(r2.Vec{X: 10, Y: 30})
	// M x y v8 m0 -4 H x … then the upright one: M x y h8 m-4 0 V y …
	d := numbers(t, bars[0].Attrs["d"])
	if !near(d[0], from.X) || !near(d[5], to.X) {
		t.Errorf("across from %g to %g, want %g to %g", d[0], d[5], from.X, to.X)
	}
	if !near(d[10], l.Frame.Max.Y) || !near(d[14], top.Y) {
		t.Errorf("up from %g to %g, want %g to %g in %s", d[10], d[14], l.Frame.Max.Y, top.Y, bars[0].Attrs["d"])
	}
}

// No two of the first ten groups look alike, and no two of the first five have
// the same shape or the same colour: either alone tells them apart.
func TestGroupsLookDifferent(t *testing.T) {
	looks, shapes, colours := map[string]chart.Group{}, map[string]chart.Group{}, map[string]chart.Group{}
	for g := chart.Group(0); g < 10; g++ {
		p := chart.Plot{Marks: []chart.Mark{chart.Points{Group: g, At: []r2.Vec{{X: 1, Y: 1}}}}}
		path := all(p.Node(), "path", "points")[0]
		shape, colour := path.Attrs["d"], path.Attrs["stroke"]
		if other, taken := looks[shape+colour]; taken {
			t.Errorf("groups %d and %d look alike", other, g)
		}
		looks[shape+colour] = g
		if g >= 5 {
			continue
		}
		if other, taken := shapes[shape]; taken {
			t.Errorf("groups %d and %d have one shape", other, g)
		}
		if other, taken := colours[colour]; taken {
			t.Errorf("groups %d and %d have one colour", other, g)
		}
		shapes[shape], colours[colour] = g, g
	}
}

// The key names each group once, within the picture, and nothing lies on
// anything else there.
func TestKey(t *testing.T) {
	p := chart.Plot{Width: 300, Height: 300}
	at := []r2.Vec{{X: 1, Y: 2}, {X: 2, Y: 1}, {X: 3, Y: 3}}
	for g := range chart.Group(6) {
		name := fmt.Sprintf("group number %d", g)
		p.Marks = append(p.Marks, chart.Points{Name: name, Group: g, At: at}, chart.Outline{Name: name, Group: g, At: at})
	}
	f := p.Layout().Frame
	seen := map[string]int{}
	type place struct{ x, y float64 }
	taken := map[place]bool{}
	for _, text := range all(p.Node(), "text", "") {
		name := text.PlainText()
		if !strings.HasPrefix(name, "group") {
			continue
		}
		seen[name]++
		q := place{numbers(t, text.Attrs["x"])[0], numbers(t, text.Attrs["y"])[0]}
		if taken[q] || q.x < 0 || q.x > 300-60 || q.y < 0 || q.y > f.Min.Y {
			t.Errorf("%s stands at %v, the frame begins at %v", name, q, f.Min)
		}
		taken[q] = true
	}
	for g := range 6 {
		if name := fmt.Sprintf("group number %d", g); seen[name] != 1 {
			t.Errorf("%s stands %d times in the key", name, seen[name])
		}
	}
}
