package shape_test

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph/shape"
)

// CALC: of the square of side 2 every odd harmonic is a circle of radius
// 8√2/(π²n²), the mean squared distance from its centre 1 + 1/3; so the first n
// carry 96/π⁴ · Σ 1/k⁴ over odd k ≤ n.
func TestPowerOfSquare(t *testing.T) {
	o := outline(t, 60, square()...)
	near(t, "power", o.Power, 4.0/3, 1e-12)
	sum := 0.0
	for n := 1; n <= 60; n++ {
		if n%2 == 1 {
			sum += 1 / math.Pow(float64(n), 4)
		}
		near(t, "share", o.Share(n), 96/math.Pow(math.Pi, 4)*sum, 1e-9)
	}
	// The sums above: 0.98552, 0.99768 with 3, 0.99926 with 5.
	for share, want := range map[float64]int{0.9: 1, 0.99: 3, 0.999: 5, 1.5: 60} {
		if got := shape.Enough(share, o); got != want {
			t.Errorf("%g of the power: %d harmonics, want %d", share, got, want)
		}
	}
	// A circle needs one; beside the square both need what the square needs.
	if got := shape.Enough(0.999, outline(t, 60, ellipse(1, 1, 720)...), o); got != 5 {
		t.Errorf("circle and square need %d harmonics, want 5", got)
	}
}

// crown is a curved crown on its base, A at the origin, as a closed polygon.
func crown(lean float64) []r2.Vec {
	var p []r2.Vec
	for i := range 200 {
		x := float64(i) / 199
		y := 2 * math.Sin(math.Pi*x)
		p = append(p, r2.Vec{X: x + lean*y*y, Y: y})
	}
	return p
}

// By definition place and size make no difference to an anchored form, but turn
// does; the half-axis grows with the outline.
func TestAnchoredForgetsPlaceAndSizeOnly(t *testing.T) {
	var moved, turned []r2.Vec
	turn := r2.NewRotation(0.3, r2.Vec{})
	for _, p := range crown(0.1) {
		moved = append(moved, r2.Vec{X: 7*p.X - 40, Y: 7*p.Y + 3})
		turned = append(turned, turn.Rotate(p))
	}
	f, size, err := outline(t, 20, crown(0.1)...).Anchored()
	if err != nil {
		t.Fatal(err)
	}
	g, large, err := outline(t, 20, moved...).Anchored()
	if err != nil {
		t.Fatal(err)
	}
	h, _, err := outline(t, 20, turned...).Anchored()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "distance when moved and enlarged", f.Distance(g), 0, 1e-12)
	near(t, "ratio of sizes", large/size, 7, 1e-12)
	if d := f.Distance(h); d < 0.1 {
		t.Errorf("turned by 0.3 rad it is %g away", d)
	}
}

// CALC: the first harmonic of a circle is the circle. Any other outline is held
// to Form, which finds the axis by Kuhl & Giardina's angle.
func TestAnchoredSize(t *testing.T) {
	_, size, err := outline(t, 3, ellipse(5, 5, 2000)...).Anchored()
	if err != nil {
		t.Fatal(err)
	}
	near(t, "half-axis of a circle", size, 5, 1e-4)
	o := outline(t, 12, crown(0.2)...)
	f, size, err := o.Anchored()
	if err != nil {
		t.Fatal(err)
	}
	free, err := o.Form()
	if err != nil {
		t.Fatal(err)
	}
	for k := range f { // the power of a harmonic feels neither turn nor start
		p := func(h shape.Harmonic) float64 { return h.A*h.A + h.B*h.B + h.C*h.C + h.D*h.D }
		near(t, "power of a harmonic", p(f[k]), p(free[k]), 1e-12)
	}
}

// The distance by coefficients is the one between points of equal length along
// the two polygons, measured point by point.
func TestAnchoredDistanceByPoints(t *testing.T) {
	a, b := outline(t, 300, crown(0)...), outline(t, 300, crown(0.15)...)
	f, sa, _ := a.Anchored()
	g, sb, _ := b.Anchored()
	sum := 0.0
	const n = 5000
	p, q := along(crown(0), n), along(crown(0.15), n)
	cp, cq := mean(p), mean(q)
	for i := range p {
		sum += r2.Norm2(r2.Sub(r2.Scale(1/sa, r2.Sub(p[i], cp)), r2.Scale(1/sb, r2.Sub(q[i], cq))))
	}
	near(t, "distance", f.Distance(g), math.Sqrt(sum/n), 1e-4)
}

// along gives n points at even lengths round a closed polygon from its start.
func along(ring []r2.Vec, n int) []r2.Vec {
	total := 0.0
	for i, p := range ring {
		total += r2.Norm(r2.Sub(ring[(i+1)%len(ring)], p))
	}
	var out []r2.Vec
	i, passed := 0, 0.0
	for k := range n {
		want := total * float64(k) / float64(n)
		for {
			p, q := ring[i], ring[(i+1)%len(ring)]
			d := r2.Norm(r2.Sub(q, p))
			if passed+d >= want {
				out = append(out, r2.Add(p, r2.Scale((want-passed)/d, r2.Sub(q, p))))
				break
			}
			passed += d
			i++
		}
	}
	return out
}

func mean(points []r2.Vec) r2.Vec {
	var m r2.Vec
	for _, p := range points {
		m = r2.Add(m, r2.Scale(1/float64(len(points)), p))
	}
	return m
}

func TestAnchoredRefusals(t *testing.T) {
	if _, _, err := (shape.Outline{}).Anchored(); err == nil {
		t.Error("an outline without harmonics has a form")
	}
	if _, _, err := (shape.Outline{Harmonics: make([]shape.Harmonic, 3)}).Anchored(); err == nil {
		t.Error("an outline of nothing has a form")
	}
}
