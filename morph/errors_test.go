package morph_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"crownbench/morph"
)

// BenchmarkErrors prints what a grid of cameras comes to: how far off the
// lengths of a crown beside a card are when corners and points are placed by a
// hand, how far a bar across the same card would be off, and how often
// Resample's 95 % interval holds the truth.
func BenchmarkErrors(b *testing.B) {
	for _, tilt := range []float64{0, 5, 10, 20, 30} {
		for _, focal := range []float64{6000, 12000} {
			b.Run(fmt.Sprintf("tilt=%g°/focal=%gpx", tilt, focal), func(b *testing.B) {
				var off, barOff []float64
				held := 0
				for range b.N {
					off, barOff, held = nil, nil, 0
					random := rand.New(rand.NewPCG(uint64(focal), uint64(tilt)))
					for range hands {
						c := pinhole{focal: focal, distance: 600, tilt: tilt, toward: 360 * random.Float64(), roll: 360 * random.Float64()}
						tooth := handled(c.tooth(0), random)
						d := morph.Resample(tooth, 400, 1)
						if low, high, ok := d.Interval(morph.CH, 0.95); ok && low <= trueCH && trueCH <= high {
							held++
						}
						off = append(off, math.Abs(morph.Read(tooth).Get(morph.CH).Value/trueCH-1))
						v := &tooth.Views[0]
						v.Bars = []morph.Bar{{From: v.Flat.Corners[0], To: v.Flat.Corners[1], Length: v.Flat.Width, Unit: morph.Millimetre}}
						v.Flat = nil
						barOff = append(barOff, math.Abs(morph.Read(tooth).Get(morph.CH).Value/trueCH-1))
					}
				}
				slices.Sort(off)
				slices.Sort(barOff)
				b.ReportMetric(100*off[hands/2], "%off-median")
				b.ReportMetric(100*off[hands*95/100], "%off-95th")
				b.ReportMetric(100*barOff[hands/2], "%bar-median")
				b.ReportMetric(100*float64(held)/hands, "%held")
				b.ReportMetric(0, "ns/op")
			})
		}
	}
}

// hands is how many hands measure each photograph of the grid; trueCH is the
// crown height of pinhole.tooth in mm.
const (
	hands  = 400
	trueCH = 71.01
)
