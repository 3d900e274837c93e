package ripple_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/morph/vision/ripple"
	"crownbench/testdata/toothphoto"
)

// trial is one photograph of an invented crown whose distal carina is read.
type trial struct {
	tooth toothphoto.Tooth
	shot  toothphoto.Shot
	pitch float64 // px of a denticle in the middle of the row
	worn  bool
	rough bool // the line follows every denticle instead of cutting through
	jit   *rand.Rand
}

// draw makes a trial: denticles of pitch px, 8 to 28 per 5 mm, on any ground, at
// any rotation.
func draw(pitch float64, worn bool, seed uint64) trial {
	r := rand.New(rand.NewPCG(seed, 17))
	between := func(lo, hi float64) float64 { return lo + (hi-lo)*r.Float64() }
	mid := between(8, 28)
	perMM := pitch * mid / 5
	denticles := between(42, 70)
	if pitch > 15 {
		denticles = between(26, 34)
	}
	ch := denticles * 5 / mid
	t := trial{pitch: pitch, worn: worn, rough: r.IntN(3) == 0, jit: r}
	t.tooth = toothphoto.Tooth{
		Name: "invented", CH: ch, CBL: ch * between(0.42, 0.55), Palette: r.Uint64N(16),
		MesialBow: between(0.06, 0.13), DistalBow: between(-0.06, 0.01), TipRadius: 0.012 * ch,
		Distal: toothphoto.Row{Mid: mid, Apical: mid * between(0.92, 1.1), Basal: mid * between(1, 1.18)},
	}
	t.tooth.CBW = 0.5 * t.tooth.CBL
	t.tooth.AL = ch * between(1.06, 1.14)
	if worn {
		t.tooth.Distal.WornFrom = between(0.66, 0.72)
		t.tooth.Distal.WornTo = 1
	}
	size := int(1.5 * t.tooth.AL * perMM)
	t.shot = toothphoto.Shot{
		View: toothphoto.LateralLabial, Width: max(320, size), Height: max(320, size), PxPerMM: perMM,
		Rotation: between(0, 360), Mirrored: r.IntN(2) == 0, Tilt: between(-4, 4),
		Background: []toothphoto.Background{toothphoto.Grey, toothphoto.Sand, toothphoto.Card, toothphoto.Velvet, toothphoto.Paper}[r.IntN(5)],
		LightFrom:  between(0, 360), Blur: between(0.5, 1.1), Noise: between(0.5, 3), Cracks: r.IntN(4), Seed: seed,
	}
	return t
}

// read renders the trial and looks for its row along a line that a hand laid
// from the apex to the base.
func (t trial) read(tb testing.TB) (ripple.Row, toothphoto.Truth, error) {
	tb.Helper()
	img, truth, err := toothphoto.Render(t.tooth, t.shot)
	if err != nil {
		tb.Fatal(err)
	}
	p, err := vision.PictureOf(img)
	if err != nil {
		tb.Fatal(err)
	}
	tooth := r2.Scale(1.0/3, r2.Add(*truth.A, r2.Add(*truth.G, *truth.B)))
	row, err := ripple.Find(p, t.line(truth), ripple.Options{PxPerMM: truth.PxPerMM, FromApex: true, Tooth: &tooth})
	return row, truth, err
}

func (t trial) line(truth toothphoto.Truth) []r2.Vec {
	line := truth.PlainOutline[truth.PlainApex:]
	if t.rough {
		return truth.Outline[truth.Apex:]
	}
	// Eleven points, each a px off.
	out := []r2.Vec{}
	for i := range 11 {
		p := line[i*(len(line)-1)/10]
		out = append(out, r2.Vec{X: p.X + t.jit.NormFloat64()*0.7, Y: p.Y + t.jit.NormFloat64()*0.7})
	}
	return out
}

func (t trial) String() string {
	return fmt.Sprintf("%.3g px, %s, blur %.2f, noise %.1f, turned %.0f°, worn %v", t.pitch, t.shot.Background, t.shot.Blur, t.shot.Noise, t.shot.Rotation, t.worn)
}

// tally gathers what a grid of trials came to.
type tally struct {
	refused        int // photographs without a row
	worn           int // worn thirds that were counted all the same
	thirds, missed int // counted; there, but not counted
	off            []float64
	held           int
}

func (a *tally) add(row ripple.Row, truth toothphoto.Truth, err error) {
	if err != nil {
		a.refused++
		return
	}
	m := truth.Measurements.Distal
	for _, p := range row.Parts {
		want := map[morph.Third]toothphoto.DensityTruth{morph.Basal: m.Basal, morph.Mid: m.Mid, morph.Apical: m.Apical}[p.Third]
		switch {
		case !want.Present || !want.Preserved:
			if p.Third == morph.Apical && p.Per5mm > 0 {
				a.worn++
			}
		case p.Per5mm == 0:
			a.missed++
		default:
			a.thirds++
			a.off = append(a.off, p.Per5mm/want.Per5mm-1)
			if math.Abs(p.Per5mm-want.Per5mm) <= 1.96*p.U {
				a.held++
			}
		}
	}
}

// within is the share of counted thirds whose density is off by no more.
func (a *tally) within(share float64) float64 {
	n := 0
	for _, v := range a.off {
		if math.Abs(v) <= share {
			n++
		}
	}
	return float64(n) / float64(max(1, len(a.off)))
}

func (a *tally) quantile(q float64) float64 {
	v := make([]float64, len(a.off))
	for i := range v {
		v[i] = math.Abs(a.off[i])
	}
	slices.Sort(v)
	if len(v) == 0 {
		return 0
	}
	return v[int(q*float64(len(v)-1))]
}

var pitches = []float64{4, 5, 6.5, 9, 14, 24} // px

// BenchmarkErrors prints what a grid of seeded photographs comes to: how many
// rows of so many were found, how far off the densities of their thirds are, and
// how often ± 1.96 u holds the truth.
func BenchmarkErrors(b *testing.B) {
	const photos = 24
	for _, worn := range []bool{false, true} {
		for _, pitch := range pitches {
			b.Run(fmt.Sprintf("pitch=%gpx/worn=%v", pitch, worn), func(b *testing.B) {
				var a tally
				for range b.N {
					a = tally{}
					for seed := range uint64(photos) {
						t := draw(pitch, worn, 1000*uint64(pitch*10)+seed)
						row, truth, err := t.read(b)
						a.add(row, truth, err)
					}
				}
				b.ReportMetric(100*float64(a.refused)/photos, "%refused")
				b.ReportMetric(100*float64(a.missed)/float64(max(1, a.thirds+a.missed)), "%missed")
				b.ReportMetric(100*a.quantile(0.5), "%off-median")
				b.ReportMetric(100*a.quantile(0.95), "%off-95th")
				b.ReportMetric(100*a.within(0.03), "%within-3%")
				b.ReportMetric(float64(a.worn), "worn-counted")
				b.ReportMetric(100*float64(a.held)/float64(max(1, a.thirds)), "%held")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}
