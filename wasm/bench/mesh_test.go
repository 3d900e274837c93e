package bench

import (
	"image/color"
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

// ink gives the integral of opacity over a mesh's triangles, in device px²:
// opacity is linear within a triangle, so that is its area times the mean of
// its corners.
func ink(meshes []Mesh) (sum float64) {
	for _, m := range meshes {
		for i := 0; i < len(m.Indices); i += 3 {
			a, b, c := m.Vertices[m.Indices[i]], m.Vertices[m.Indices[i+1]], m.Vertices[m.Indices[i+2]]
			area := math.Abs(float64(b.DstX-a.DstX)*float64(c.DstY-a.DstY)-float64(b.DstY-a.DstY)*float64(c.DstX-a.DstX)) / 2
			sum += area * float64(a.ColorA+b.ColorA+c.ColorA) / 3
		}
	}
	return sum
}

func drawn(width float64, points ...r2.Vec) []Mesh {
	var p pen
	p.reset(1)
	p.ribbon(points, width, color.NRGBA{0xff, 0xff, 0xff, 0xff})
	return p.meshes[:p.n]
}

func close32(t *rapid.T, what string, got, want float64) {
	t.Helper()
	if d := math.Abs(got - want); !(d <= 2e-4*want) { // 32-bit coordinates
		t.Fatalf("%s is %g, want %g", what, got, want)
	}
}

// A straight line of length l and width w puts down l·w of ink, and half a
// feather more at each end. Thin lines are faint rather than absent.
func TestStraightRibbon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		from := r2.Vec{X: Even(t, 0, 500, "x"), Y: Even(t, 0, 500, "y")}
		length := Even(t, 5, 800, "length")
		sin, cos := math.Sincos(Even(t, 0, 7, "angle"))
		width := Even(t, 1, 12, "width")
		to := r2.Add(from, r2.Vec{X: length * cos, Y: length * sin})
		close32(t, "ink", ink(drawn(width, from, to)), width*(length+feather))
		close32(t, "ink of a line half a px wide", ink(drawn(0.5, from, to)), 0.5*(length+feather))
	})
}

// A closed line without sharp corners puts down its perimeter times its width:
// what its miters add outside they take away inside.
func TestClosedRibbon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := EvenInt(t, 4, 60, "corners")
		radius := Even(t, 20, 300, "radius")
		width := Even(t, 1, 8, "width")
		ring := polygon(r2.Vec{X: 300, Y: 300}, radius, n, Even(t, 0, 7, "turn"))
		ring = append(ring, ring[0])
		perimeter := 2 * float64(n) * radius * math.Sin(math.Pi/float64(n))
		close32(t, "ink", ink(drawn(width, ring...)), perimeter*width)
	})
}

// Any line at all gives triangles that a draw call takes, no farther from the
// line than its width; points that have no place drop out.
func TestAnyRibbon(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		coordinate := func(label string) float64 {
			if odd := []float64{0, 0, 1e-9, 10, math.NaN(), math.Inf(1)}; EvenInt(t, 0, 2, "odd") == 0 {
				return odd[EvenInt(t, 0, len(odd)-1, label)]
			}
			return Even(t, -50, 50, label)
		}
		var points, line []r2.Vec
		for range EvenInt(t, 0, 12, "points") {
			p := r2.Vec{X: coordinate("x"), Y: coordinate("y")}
			points = append(points, p)
			if finite(p.X, p.Y) {
				line = append(line, p)
			}
		}
		width := Even(t, 0.1, 6, "width")
		limit := (width/2 + feather) / miterLeast
		for _, m := range drawn(width, points...) {
			checkMesh(t, m)
			for _, v := range m.Vertices {
				at := r2.Vec{X: float64(v.DstX), Y: float64(v.DstY)}
				far := math.Inf(1)
				for i := 1; i < len(line); i++ {
					far = min(far, distance(onSegment(line[i-1], line[i], at), at))
				}
				if far > limit*1.001 {
					t.Fatalf("%v lies %g off the line, more than %g", at, far, limit)
				}
			}
		}
	})
}

type fataler interface {
	Helper()
	Fatalf(string, ...any)
}

func checkMesh(t fataler, m Mesh) {
	t.Helper()
	if len(m.Vertices) > maxVertices || len(m.Indices)%3 != 0 {
		t.Fatalf("%d vertices, %d indices", len(m.Vertices), len(m.Indices))
	}
	for _, i := range m.Indices {
		if int(i) >= len(m.Vertices) {
			t.Fatalf("index %d of %d vertices", i, len(m.Vertices))
		}
	}
	for _, v := range m.Vertices {
		if x := float64(v.DstX + v.DstY + v.ColorA); math.IsNaN(x) || math.IsInf(x, 0) {
			t.Fatalf("vertex %+v", v)
		}
	}
}

// A line too long for one draw call is cut, and its pieces meet.
func TestLongRibbon(t *testing.T) {
	var points []r2.Vec
	for i := range 30000 {
		points = append(points, r2.Vec{X: float64(i) / 10, Y: 100 + 20*math.Sin(float64(i)/500)})
	}
	meshes := drawn(3, points...)
	if len(meshes) < 2 {
		t.Fatalf("%d meshes for %d points", len(meshes), len(points))
	}
	length := 0.0
	for i := 1; i < len(points); i++ {
		length += distance(points[i-1], points[i])
	}
	for _, m := range meshes {
		checkMesh(t, m)
	}
	// Each piece ends with half a feather at both ends.
	if got, want := ink(meshes), 3*length; math.Abs(got-want) > 3*feather*10 {
		t.Errorf("ink %g, want about %g", got, want)
	}
}

// Dashes are as long as asked, and stay in place when the line's beginning is
// cut off.
func TestDashes(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points := []r2.Vec{{}}
		for range EvenInt(t, 1, 10, "points") {
			last := points[len(points)-1]
			sin, cos := math.Sincos(Even(t, 0, 7, "way"))
			step := Even(t, 0.5, 60, "step")
			points = append(points, r2.Add(last, r2.Vec{X: step * cos, Y: step * sin}))
		}
		on, off := Even(t, 1, 20, "on"), Even(t, 1, 20, "off")
		start := Even(t, 0, 100, "start")
		var got, total float64
		dashes(points, start, on, off, func(part []r2.Vec) {
			for i := 1; i < len(part); i++ {
				got += distance(part[i-1], part[i])
			}
		})
		for i := 1; i < len(points); i++ {
			total += distance(points[i-1], points[i])
		}
		// Inked length of a line from its beginning to s, in closed form.
		inked := func(s float64) float64 {
			n := math.Floor(s / (on + off))
			return n*on + min(s-n*(on+off), on)
		}
		if want := inked(start+total) - inked(start); math.Abs(got-want) > 1e-6 {
			t.Fatalf("%g px of dashes, want %g", got, want)
		}
	})
}

// A filled polygon puts down the ink of a frustum: its opacity is 1 up to its
// inner corners and 0 at its outer ones.
func TestFill(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := EvenInt(t, 3, 30, "corners")
		radius := Even(t, 3, 40, "radius")
		var p pen
		p.reset(1)
		p.fill(r2.Vec{X: 50, Y: 50}, polygon(r2.Vec{}, 1, n, 0.3), radius, color.NRGBA{A: 0xff})
		soft := feather / 2 / math.Cos(math.Pi/float64(n))
		a, b := radius-soft, radius+soft
		unit := float64(n) / 2 * math.Sin(2*math.Pi/float64(n))
		close32(t, "ink", ink(p.meshes[:p.n]), unit*(a*a+a*b+b*b)/3)
	})
}

func TestMarksAreDrawn(t *testing.T) {
	for shape := Dot; shape <= Ring; shape++ {
		var p pen
		s := Scene{Ratio: 2, Marks: []Mark{{At: r2.Vec{X: 100, Y: 100}, Shape: shape}}}
		meshes := p.draw(&s, light)
		if ink(meshes) < 30 {
			t.Errorf("shape %d puts down %g px² of ink", shape, ink(meshes))
		}
		for _, m := range meshes {
			checkMesh(t, m)
			for _, v := range m.Vertices {
				if math.Hypot(float64(v.DstX)-100, float64(v.DstY)-100) > 40 {
					t.Errorf("shape %d reaches %v, %v", shape, v.DstX, v.DstY)
				}
			}
		}
	}
}

// Broken-up, thin and quiet lines put down less ink than a whole one: by their
// part that is dashed, their width and their strength.
func TestLineStyles(t *testing.T) {
	drawn := func(s Stroke) float64 {
		s.Points = []r2.Vec{{X: 10, Y: 50}, {X: 1210, Y: 50}} // 100 dashes and gaps of 12
		var p pen
		return ink(p.draw(&Scene{Ratio: 1, Strokes: []Stroke{s}}, light))
	}
	whole := drawn(Stroke{})
	// A halo of opacity 0xc0 and 2·1.3 px wider than the core, 1.8 px wide.
	const a = 0xc0 / 255.0
	if want := 1201 * (a*(coreWidth+2*haloWidth) + coreWidth); math.Abs(whole-want) > 1e-3*want {
		t.Errorf("a line puts down %g, want %g", whole, want)
	}
	if got, want := drawn(Stroke{Thin: true})/whole, (a*(thinWidth+2*haloWidth)+thinWidth)/(a*(coreWidth+2*haloWidth)+coreWidth); math.Abs(got-want) > 1e-3 {
		t.Errorf("a thin line puts down %g of a whole one, want %g", got, want)
	}
	// Opacities are whole 255ths.
	if got := drawn(Stroke{Quiet: true}) / whole; math.Abs(got-quietAlpha) > 0.01 {
		t.Errorf("a quiet line puts down %g of a whole one, want %g", got, quietAlpha)
	}
	// Each dash has half a feather at both ends.
	if got, want := drawn(Stroke{Dash: Dashed})/whole, (dashOn+feather)/(dashOn+dashOff); math.Abs(got-want) > 1e-2 {
		t.Errorf("a dashed line puts down %g of a whole one, want %g", got, want)
	}
	if got, want := drawn(Stroke{Dash: Dotted})/whole, (dotOn+feather)/(dotOn+dotOff); math.Abs(got-want) > 1e-2 {
		t.Errorf("a dotted line puts down %g of a whole one, want %g", got, want)
	}
}

// What is drawn in the magnifier stays in its frame, but for the frame's own
// line, and its crosshair leaves the point itself free.
func TestLensMeshes(t *testing.T) {
	m := &Magnifier{Frame: r2.Box{Min: r2.Vec{X: 100, Y: 100}, Max: r2.Vec{X: 268, Y: 268}}, Centre: r2.Vec{X: 184, Y: 184}}
	m.Strokes = []Stroke{{Points: []r2.Vec{{X: 100, Y: 120}, {X: 268, Y: 240}}, Thin: true}}
	var p pen
	for _, mesh := range p.drawLens(m, 1) {
		checkMesh(t, mesh)
		for _, v := range mesh.Vertices {
			x, y := float64(v.DstX), float64(v.DstY)
			if x < 95 || y < 95 || x > 273 || y > 273 {
				t.Errorf("drawn at %g, %g", x, y)
			}
		}
	}
	m.Strokes = nil
	for _, mesh := range p.drawLens(m, 1) {
		for _, v := range mesh.Vertices {
			if math.Hypot(float64(v.DstX)-184, float64(v.DstY)-184) < 3 {
				t.Errorf("the point is covered at %g, %g", v.DstX, v.DstY)
			}
		}
	}
}
