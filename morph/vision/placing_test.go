package vision

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// A closed form: a straight step from one tone to another, each rising evenly
// across it, blurred by a normal distribution (the error function), rounded to
// whole grey levels. The edge lies where it was drawn.
func TestAStepIsPlacedWithinAFractionOfAPixel(t *testing.T) {
	const size = 80
	for _, c := range []struct{ turn, blur, near, far, slope float64 }{
		{0, 0.7, 40, 200, 0}, {0.3, 1, 180, 90, 0}, {1.1, 1.5, 60, 120, 2}, {2, 0.9, 120, 60, -2}, {-0.8, 1.3, 90, 110, 1},
	} {
		sin, cos := math.Sincos(c.turn)
		across := r2.Vec{X: cos, Y: sin}
		middle := r2.Vec{X: 40.3, Y: 39.6}
		pix := make([]uint8, 4*size*size)
		for i := range size * size {
			d := r2.Dot(across, r2.Sub(r2.Vec{X: float64(i%size) + 0.5, Y: float64(i/size) + 0.5}, middle))
			share := 0.5 * (1 + math.Erf(d/(c.blur*math.Sqrt2)))
			v := uint8(math.Round(math.Max(0, math.Min(c.near*(1-share)+c.far*share+c.slope*d, 255))))
			copy(pix[4*i:], []uint8{v, v, v, 255})
		}
		p, err := NewPicture(pix, size, size)
		if err != nil {
			t.Fatal(err)
		}
		// Sought from a line that lies up to 1.5 px beside it and askew.
		var line []r2.Vec
		for k := range 21 {
			s := float64(k - 10)
			line = append(line, r2.Add(middle, r2.Add(r2.Scale(1.5*s, r2.Vec{X: -sin, Y: cos}), r2.Scale(0.15*s, across))))
		}
		e := p.place(line, 1)
		if len(e.points) < 18 {
			t.Errorf("turned %g: %d places", c.turn, len(e.points))
		}
		for i, q := range e.points {
			if off := r2.Dot(across, r2.Sub(q, middle)); math.Abs(off) > 0.25 {
				t.Errorf("turned %g, blurred %g: place %d is %+.2f px off, ±%.2f", c.turn, c.blur, i, off, e.u[i])
			}
		}
	}
}

// A closed form: a polynomial goes through its own points, far from zero too;
// one point that strays does not move the steady fit.
func TestCurveIsItsOwnPolynomial(t *testing.T) {
	var x, y, trust []float64
	for k := range 30 {
		v := 2000 + 3*float64(k)
		x, y, trust = append(x, v), append(y, 5+0.2*(v-2040)-0.01*(v-2040)*(v-2040)), append(trust, 1)
	}
	c := fit(x, y, 2)
	if !c.valid || math.Abs(c.at(2100)-(5+12-36)) > 1e-6 || math.Abs(c.slope(2040)-0.2) > 1e-9 || math.Abs(c.bend()+0.01) > 1e-9 {
		t.Errorf("at 2100 %g, slope at 2040 %g, bend %g", c.at(2100), c.slope(2040), c.bend())
	}
	y[7] += 40
	steady, kept := fitSteady(x, y, trust, 2, 0.1)
	if math.Abs(steady.at(2021)-(5+0.2*(2021-2040)-0.01*19*19)) > 1e-6 || kept > 29.5 {
		t.Errorf("a stray point moves the curve to %g; %g points count", steady.at(2021), kept)
	}
	if fit([]float64{3, 3, 3, 3}, []float64{1, 2, 3, 4}, 1).valid {
		t.Error("points at one place determine no line")
	}
}

// Closed forms: two straight lines meet where their equations say, a parabola and
// a line where the quadratic formula does; lines that are nearer to parallel than
// to square do not come to rest.
func TestCurvesMeetOrSayThatTheyDoNot(t *testing.T) {
	line := func(at0, slope float64) func(float64) float64 {
		return func(x float64) float64 { return at0 + slope*x }
	}
	up, across, met := crossroads(line(3, 0.4), line(-2, -0.8))
	// across = 3 + 0.4 up, up = -2 - 0.8 across.
	if want := (-2 - 0.8*3) / (1 + 0.8*0.4); !met || math.Abs(up-want) > 0.02 || math.Abs(across-(3+0.4*want)) > 0.02 {
		t.Errorf("two lines meet at %g, %g: %v", up, across, met)
	}
	bent := func(x float64) float64 { return 0.01*x*x + 0.1*x }
	up, across, met = crossroads(bent, line(5, 0.2))
	// up = 5 + 0.2 (0.01 up² + 0.1 up)
	if want := (0.98 - math.Sqrt(0.98*0.98-4*0.002*5)) / (2 * 0.002); !met || math.Abs(up-want) > 0.02 || math.Abs(across-bent(want)) > 0.02 {
		t.Errorf("a line and a parabola meet at %g, %g: %v", up, across, met)
	}
	for _, slope := range []float64{1, -1, 1.3} {
		if _, _, met := crossroads(line(1, slope), line(2, 1)); met {
			t.Errorf("lines of slope %g and 1 come to rest", slope)
		}
	}
}

// Closed forms: of points that stray independently of each other the jackknife
// finds what the normal equations do, on average; where a stretch of denticles
// lifts every point of it by as much, it also finds by how much the parabola is
// wrong beyond its end, which the normal equations do not.
func TestAnEdgeIsAsUncertainAsItsPartsDisagree(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 11))
	const n, beyond = 160, -4.0
	var x, even []float64
	for k := range n {
		x, even = append(x, float64(k)), append(even, 1)
	}
	border := func(y []float64) (b border, alone float64) {
		b.curve, _ = fitSteady(x, y, even, 2, 0.25)
		b.seen = 1
		b.x, b.y, b.weight = x, y, even
		plain := fitWeighed(x, y, even, 2)
		return b, plain.u(beyond)
	}
	squares, plain := 0.0, 0.0
	for range 100 {
		y := make([]float64, n)
		for i := range y {
			y[i] = 0.3 * random.NormFloat64()
		}
		b, u := border(y)
		squares, plain = squares+b.unsteady(beyond)*b.unsteady(beyond), plain+u*u
	}
	if ratio := math.Sqrt(squares / plain); ratio < 0.8 || ratio > 1.5 {
		t.Errorf("independent points: %.2f times the uncertainty of least squares", ratio)
	}
	y := make([]float64, n)
	for i := range y {
		y[i] = 0.1 * random.NormFloat64()
		if i >= 60 && i < 100 {
			y[i]++
		}
	}
	b, u := border(y)
	if off := math.Abs(b.at(beyond)); off < 0.3 || b.unsteady(beyond) < off/2 || u > b.unsteady(beyond)/2 {
		t.Errorf("a raised stretch: %.2f off, said to be ±%.2f, ±%.2f by least squares", off, b.unsteady(beyond), u)
	}
}
