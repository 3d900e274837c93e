package morph_test

import (
	"math"
	"strconv"
	"testing"

	"crownbench/morph"
)

// inventedTooth is a blade-like tooth made up for tests: a lateral photo with a
// crown of the given numbers of vertices and of Via points between them, a
// basal photo with a section of 32 vertices, and ticks on the distal carina,
// all at 80 px per mm.
func inventedTooth(vertices, via, ticks int) morph.Tooth {
	const px = 80.0
	bar := []morph.Bar{{To: morph.Vertex{X: 10 * px}, Length: 10, Unit: morph.Millimetre}}
	// Mesial edge: half of the vertices from A(0,0) to G(26,44); distal edge
	// back to B(22,0). In mm, y up.
	edge := func(f float64) (x, y float64) {
		if f < 0.5 {
			u := 2 * f
			return 26 * (0.3*u + 0.7*u*u), 44 * u
		}
		u := 2 * (1 - f)
		return 22 + 4*u*u, 44 * u
	}
	at := func(f float64) (x, y float64) {
		x, y = edge(f)
		return 500 + px*x, 4500 - px*y
	}
	var crown morph.Crown
	for i := range vertices {
		f := float64(i) / float64(vertices-1)
		x, y := at(f)
		v := morph.Vertex{X: x, Y: y}
		if i > 0 {
			n := via / (vertices - 1)
			for k := range n {
				x, y := at((float64(i-1) + float64(k+1)/float64(n+1)) / float64(vertices-1))
				v.Via = append(v.Via, [2]float64{x, y})
			}
		}
		crown.Path = append(crown.Path, v)
	}
	// The vertex nearest to the tip is G itself.
	crown.Apex, crown.Done = vertices/2, true
	x, y := at(0.5)
	crown.Path[crown.Apex].X, crown.Path[crown.Apex].Y = x, y

	section := morph.Section{Done: true, Mesial: 0, Distal: 16}
	for i := range 32 {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / 32)
		half := 5.5 * (1 + 0.15*cos) // labial, the more convex face; thicker mesially
		if sin < 0 {
			half = 4.5 * (1 + 0.15*cos)
		}
		section.Outline = append(section.Outline, morph.Vertex{X: 2000 - 11*px*cos, Y: 1500 + half*px*sin})
	}
	stretch := morph.Stretch{Carina: morph.DistalCarina, Third: morph.Mid, Done: true,
		Line: morph.Path{{X: 500, Y: 500}, {X: 800, Y: 520}, {X: 1200, Y: 560}}}
	for i := range ticks {
		stretch.Ticks = append(stretch.Ticks, morph.Vertex{X: 510 + 600*float64(i)/float64(ticks), Y: 515})
	}
	return morph.Tooth{Views: []morph.View{
		{ID: "lateral", Role: morph.LateralLabial, Bars: bar, Crown: &crown},
		{ID: "basal", Role: morph.BasalView, Bars: bar, Section: &section},
		{ID: "distal", Role: morph.DistalView, Bars: bar, Stretches: []morph.Stretch{stretch}},
	}}
}

func BenchmarkRead(b *testing.B) {
	for _, via := range []int{0, 2000} {
		tooth := inventedTooth(40, via, 30)
		b.Run("via="+strconv.Itoa(via), func(b *testing.B) {
			for b.Loop() {
				morph.Read(tooth)
			}
		})
	}
	b.Run("typed", func(b *testing.B) {
		tooth := morph.Tooth{Typed: map[morph.ID]morph.Typed{
			morph.CBL: {Value: 22.6, U: 0.1}, morph.CBW: {Value: 11.2, U: 0.1}, morph.CH: {Value: 46.1, U: 0.1}, morph.AL: {Value: 50.8, U: 0.1}}}
		for b.Loop() {
			morph.Read(tooth)
		}
	})
}

func BenchmarkResample(b *testing.B) {
	for _, via := range []int{0, 2000} {
		tooth := inventedTooth(40, via, 30)
		b.Run("draws=2000/via="+strconv.Itoa(via), func(b *testing.B) {
			for b.Loop() {
				morph.Resample(tooth, 2000, 1)
			}
		})
	}
}
