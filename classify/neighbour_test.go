package classify

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"gonum.org/v1/gonum/floats"
)

// bruteForce is the reference for cloud.nearest: every distance, sorted.
func bruteForce(points [][]float64, q []float64, k int) []hit {
	hits := make([]hit, len(points))
	for i, p := range points {
		hits[i] = hit{row: i, distance: euclid(q, p)}
	}
	slices.SortFunc(hits, compareHits)
	return hits[:min(k, len(hits))]
}

// euclid sums in the order the tree does, so that ties stay ties.
func euclid(a, b []float64) float64 {
	var sum float64
	for i := range a {
		d := a[i] - b[i]
		sum += d * d
	}
	return math.Sqrt(sum)
}

// Coordinates on a coarse grid make equal distances and equal points common.
func TestNearestAgreesWithBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		dim := rapid.IntRange(1, 5).Draw(t, "dimensions")
		coordinate := rapid.OneOf(
			rapid.Map(rapid.IntRange(-3, 3), func(i int) float64 { return float64(i) / 2 }),
			rapid.Float64Range(-2, 2),
		)
		point := rapid.SliceOfN(coordinate, dim, dim)
		points := rapid.SliceOfN(point, 1, 120).Draw(t, "points")
		q := point.Draw(t, "query")
		k := rapid.IntRange(1, 130).Draw(t, "k")

		got := newCloud(points).nearest(q, k)
		if diff := cmp.Diff(bruteForce(points, q, k), got, cmp.AllowUnexported(hit{})); diff != "" {
			t.Fatalf("nearest differs from brute force (-want +got):\n%s", diff)
		}
	})
}

func TestNearestOfNothing(t *testing.T) {
	if got := newCloud(nil).nearest([]float64{1}, 5); len(got) != 0 {
		t.Errorf("%d hits in an empty cloud", len(got))
	}
	if got := newCloud([][]float64{{1}}).nearest([]float64{1}, 0); len(got) != 0 {
		t.Errorf("%d hits for k = 0", len(got))
	}
}

// Worked by hand (CALC): A at (0,0) (1,0) (0,1), B at (4,4) (5,4) (4,5), query
// (2, 2.2); k = 3 gives A two to one, and with k = 5 weighted by 1/d A has
// 0.640298.
func TestNeighboursByHand(t *testing.T) {
	points := [][]float64{{0, 0}, {1, 0}, {0, 1}, {4, 4}, {5, 4}, {4, 5}}
	label := []string{"A", "A", "A", "B", "B", "B"}
	hits := newCloud(points).nearest([]float64{2, 2.2}, 6)

	want := map[string][]float64{
		"A": {2.332381, 2.416609, 2.973214},
		"B": {2.690725, 3.440930, 3.498571},
	}
	got := make(map[string][]float64)
	for _, h := range hits {
		got[label[h.row]] = append(got[label[h.row]], h.distance)
	}
	for l, distances := range want {
		if !floats.EqualApprox(got[l], distances, 1e-6) {
			t.Errorf("%s: distances %.6f, want %.6f", l, got[l], distances)
		}
	}
	if l := majority(hits[:3], label); l != "A" {
		t.Errorf("k = 3: %s, want A", l)
	}
	var a, all float64
	for _, h := range hits[:5] {
		all += 1 / h.distance
		if label[h.row] == "A" {
			a += 1 / h.distance
		}
	}
	if math.Abs(a/all-0.640298) > 1e-6 {
		t.Errorf("share of A with weights 1/d: %.6f, want 0.640298", a/all)
	}
}

// majority returns the label that most hits carry, of equally frequent ones
// the first in the alphabet, as the programs do that the counts come from.
func majority(hits []hit, label []string) string {
	count := make(map[string]int)
	for _, h := range hits {
		count[label[h.row]]++
	}
	best := ""
	for l, n := range count {
		if best == "" || n > count[best] || n == count[best] && l < best {
			best = l
		}
	}
	return best
}

func BenchmarkNearest(b *testing.B) {
	for _, dim := range []int{3, 5, 7} {
		points := make([][]float64, 1334)
		rnd := rand.New(rand.NewPCG(1, 1))
		for i := range points {
			points[i] = make([]float64, dim)
			for j := range points[i] {
				points[i][j] = rnd.NormFloat64()
			}
		}
		c := newCloud(points)
		b.Run("tree/"+string(rune('0'+dim))+"D", func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				c.nearest(points[i%len(points)], 15)
			}
		})
		b.Run("brute force/"+string(rune('0'+dim))+"D", func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				bruteForce(points, points[i%len(points)], 15)
			}
		})
	}
}
