package vision

import (
	"image"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
)

// onGravel draws what inside tells, of one tone with a little noise, on grains of
// tones as far apart as those of sand and of the same mean, in the light that
// falls there.
func onGravel(t *testing.T, size, grain int, inside func(q r2.Vec) bool, light func(q r2.Vec) float64) *Picture {
	t.Helper()
	r := rand.New(rand.NewPCG(5, 9))
	across := size/grain + 1
	tone := make([]float64, across*across)
	for i := range tone {
		tone[i] = 60 + 120*r.Float64()
	}
	pix := make([]uint8, 4*size*size)
	for i := range size * size {
		x, y := i%size, i/size
		q := r2.Vec{X: float64(x) + 0.5, Y: float64(y) + 0.5}
		v := light(q) * tone[y/grain*across+x/grain]
		if inside(q) {
			v = 120
		}
		v += 3 * r.NormFloat64()
		w := uint8(math.Max(0, math.Min(math.Round(v), 255)))
		copy(pix[4*i:], []uint8{w, w, w, 255})
	}
	p, err := NewPicture(pix, size, size)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func even(r2.Vec) float64 { return 1 }

// A closed form: a disc among grains of which the mean tone is the disc's own.
func TestADiscIsPartedFromGravelOfItsOwnTone(t *testing.T) {
	const size, radius = 360, 110.0
	middle := r2.Vec{X: size / 2, Y: size / 2}
	p := onGravel(t, size, 4, func(q r2.Vec) bool { return r2.Norm(r2.Sub(q, middle)) < radius }, even)
	for _, start := range []float64{radius - 4, radius + 4} {
		var line []r2.Vec
		for k := range 600 { // clockwise as one sees it
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / 600)
			line = append(line, r2.Add(middle, r2.Scale(start, r2.Vec{X: cos, Y: sin})))
		}
		mean, worst := 0.0, 0.0
		e := p.Level(0).lay(line, true, 6).divide(grainStiffness)
		for _, q := range e.points {
			off := r2.Norm(r2.Sub(q, middle)) - radius
			mean += off / float64(len(e.points))
			worst = math.Max(worst, math.Abs(off))
		}
		if math.Abs(mean) > 0.5 || worst > 3 {
			t.Errorf("from %g px: the radius is %+.2f px off, at worst %.1f px", start-radius, mean, worst)
		}
	}
}

// A closed form: half of the light is missing in a disc beside the thing; what
// lies in that shade is ground.
func TestGravelInTheShadeIsNoTooth(t *testing.T) {
	const size, radius = 300, 70.0
	middle, shade := r2.Vec{X: 140, Y: 150}, r2.Vec{X: 170, Y: 150}
	in := func(q, m r2.Vec) bool { return r2.Norm(r2.Sub(q, m)) < radius }
	p := onGravel(t, size, 3, func(q r2.Vec) bool { return in(q, middle) }, func(q r2.Vec) float64 {
		if in(q, shade) {
			return 0.5
		}
		return 1
	})
	f := newField(p.Level(0))
	if f.uneven == nil {
		t.Fatal("the ground is not taken for grainy")
	}
	both := newMask(f.w, f.h)
	for i := range both.on {
		q := r2.Vec{X: float64(i%f.w) + 0.5, Y: float64(i/f.w) + 0.5}
		both.on[i] = in(q, middle) || in(q, shade)
	}
	m := f.peel(both).component(image.Pt(140, 150), 0)
	if m == nil {
		t.Fatal("nothing is left")
	}
	if got, want := float64(m.count()), math.Pi*radius*radius; math.Abs(got/want-1) > 0.12 {
		t.Errorf("%.0f px are left of the disc and its shade, want %.0f", got, want)
	}
	var own, wrong []r2.Vec
	for k := range 400 {
		sin, cos := math.Sincos(2 * math.Pi * float64(k) / 400)
		own = append(own, r2.Add(middle, r2.Vec{X: radius * cos, Y: radius * sin}))
		wrong = append(wrong, r2.Add(middle, r2.Vec{X: (radius - 20) * cos, Y: (radius - 20) * sin}))
	}
	if got := quantile(f.parts(own), 0.1); got < 0.9 {
		t.Errorf("the disc's own outline parts grain from smoothness to %.2f", got)
	}
	if got := quantile(f.parts(wrong), 0.5); got > 0.3 {
		t.Errorf("a line within the disc parts grain from smoothness to %.2f", got)
	}
}

// A closed form: two straight edges meet in a point; the outline stops short of
// it, or goes on into the grains.
func TestATipAmongGrainsIsCarriedOn(t *testing.T) {
	const size = 420
	tip, half := r2.Vec{X: 210.4, Y: 60.7}, 0.26 // radians
	inside := func(q r2.Vec) bool {
		d := r2.Sub(q, tip)
		return d.Y > 0 && d.Y < 300 && math.Abs(d.X) < d.Y*math.Tan(half)
	}
	p := onGravel(t, size, 3, inside, even)
	for _, short := range []float64{15, 6, -8} {
		high := math.Max(short, 1)
		w := func(y float64) float64 { return y * math.Tan(half) }
		corners := []r2.Vec{
			r2.Add(tip, r2.Vec{X: w(high), Y: short}), r2.Add(tip, r2.Vec{X: w(300), Y: 300}),
			r2.Add(tip, r2.Vec{X: -w(300), Y: 300}), r2.Add(tip, r2.Vec{X: -w(high), Y: short}),
		}
		s, err := standUp(resample(corners, true, 1))
		if err != nil {
			t.Fatal(err)
		}
		s.grainy = true
		got, ok := s.carry(p)
		if !ok {
			t.Errorf("short by %g px: the tip is not seen", short)
			continue
		}
		if d := r2.Sub(got.at, tip); math.Abs(d.Y) > 2*got.along || math.Abs(d.Y) > 5 || math.Abs(d.X) > 3 {
			t.Errorf("short by %g px: the tip lies %+.1f px along and %+.1f across from the truth, ±%.1f, ±%.1f", short, d.Y, d.X, got.along, got.across)
		}
	}
}
