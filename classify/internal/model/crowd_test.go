package model

import (
	"math"
	"math/rand/v2"
	"slices"
	"strconv"
	"testing"

	"github.com/google/go-cmp/cmp"
	"gonum.org/v1/gonum/spatial/kdtree"
	"pgregory.net/rapid"
)

// crowd puts points of one class and of animals of their own in a crowd.
func crowd(points [][]float64) *Crowd {
	individual := make([]int, len(points))
	for i := range individual {
		individual[i] = i
	}
	return NewCrowd(points, make([]int, len(points)), individual, 0, 0)
}

// bruteForce is the reference for Crowd.Look: every distance, sorted.
func bruteForce(points [][]float64, q []float64, k int) []Hit {
	hits := make([]Hit, len(points))
	for i, p := range points {
		var sum float64
		for j := range p {
			d := q[j] - p[j]
			sum += d * d
		}
		hits[i] = Hit{i, sum}
	}
	slices.SortFunc(hits, CompareHits)
	return hits[:min(k, len(hits))]
}

// Coordinates on a coarse grid make equal distances and equal points common.
func points(t *rapid.T) (points [][]float64, q []float64) {
	dim := rapid.IntRange(1, 12).Draw(t, "dimensions") // every way to part them into passes
	coordinate := rapid.OneOf(
		rapid.Map(rapid.IntRange(-3, 3), func(i int) float64 { return float64(i) / 2 }),
		rapid.Float64Range(-2, 2),
	)
	point := rapid.SliceOfN(coordinate, dim, dim)
	return rapid.SliceOfN(point, 1, 120).Draw(t, "points"), point.Draw(t, "query")
}

func TestLookAgreesWithBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, q := points(t)
		k := rapid.IntRange(0, 130).Draw(t, "k")
		got := crowd(points).Look(q, k, Nobody, new(Sight))
		want := bruteForce(points, q, k)
		if diff := cmp.Diff(want, got); diff != "" {
			t.Fatalf("differs from brute force (-want +got):\n%s", diff)
		}
		if diff := cmp.Diff(want, crowd(points).Near(nil, q, k, Nobody, rapid.IntRange(0, len(points)-1).Draw(t, "first"))); k > 0 && diff != "" {
			t.Fatalf("Near differs from brute force (-want +got):\n%s", diff)
		}
	})
}

// No tooth of a block is nearer than the block's bound, however far off the
// crowd, however small its blocks, and in a block of equal teeth.
func TestBoundsHold(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, q := points(t)
		offset := rapid.SampledFrom([]float64{0, 1, -1e3, 1e6}).Draw(t, "offset")
		scale := rapid.SampledFrom([]float64{0, 1e-9, 1e-3, 1, 1e3}).Draw(t, "scale")
		for _, p := range append(points, q) {
			for j := range p {
				p[j] = offset + scale*p[j]
			}
		}
		for j := range q {
			q[j] += rapid.SampledFrom([]float64{0, 0, 1e-9, 1}).Draw(t, "away")
		}
		c, s := crowd(points), new(Sight)
		c.Measure(q, Nobody, s)
		bounds := c.bounds(nil, q)
		for block, least := range s.blocks[:c.blocks()] {
			if bounds[block] > least {
				t.Fatalf("block %d: a tooth at %v, none expected below %v", block, least, bounds[block])
			}
		}
	})
}

// The votes written down without blocks: weights after NewCrowd's own words, the
// standard library's exponential.
func TestVoteAgreesWithPlainSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, q := points(t)
		n := len(points)
		classes := rapid.SampledFrom([]int{1, 2, 18, MaxClasses}).Draw(t, "classes")
		class := rapid.SliceOfN(rapid.IntRange(0, classes-1), n, n).Draw(t, "class")
		individual := rapid.SliceOfN(rapid.IntRange(0, 9), n, n).Draw(t, "individual")
		exclude := rapid.IntRange(Nobody, 9).Draw(t, "exclude")
		const byIndividual = 0.5
		teeth, squares, least := map[int]float64{}, make([]float64, n), math.Inf(1)
		for i, p := range points {
			teeth[individual[i]]++
			for j := range p {
				squares[i] += (q[j] - p[j]) * (q[j] - p[j])
			}
			if individual[i] != exclude {
				least = min(least, squares[i])
			}
		}
		want, sum := make([]float64, classes), 0.0
		for i, square := range squares {
			if individual[i] != exclude && square-least < reachOfKernel {
				vote := math.Pow(teeth[individual[i]], -byIndividual) * math.Exp(least-square)
				want[class[i]] += vote
				sum += vote
			}
		}
		var s Sight
		c := NewCrowd(points, class, individual, byIndividual, 0)
		c.Measure(q, exclude, &s)
		got := make([]float64, classes)
		c.Vote(&s, got)
		for i := range want {
			want[i] /= sum
			if sum == 0 { // nobody is left to vote
				want[i] = 1 / float64(classes)
			}
			if math.Abs(got[i]-want[i]) > 2*1.3e-9 { // as the kernel is
				t.Fatalf("class %d has %g, plainly %g", i, got[i], want[i])
			}
		}
	})
}

// gonum's k-d tree is the outside reference; of neighbours it agrees on the
// distances, ties being settled by its own order.
func TestLookAgreesWithKDTree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		points, q := points(t)
		k := rapid.IntRange(1, len(points)).Draw(t, "k")
		var list kdtree.Points
		for _, p := range points {
			list = append(list, slices.Clone(p))
		}
		keep := kdtree.NewNKeeper(k)
		kdtree.New(list, false).NearestSet(keep, kdtree.Point(q))
		var want []float64
		for _, c := range keep.Heap {
			if c.Comparable != nil {
				want = append(want, c.Dist)
			}
		}
		slices.Sort(want)
		got := crowd(points).Look(q, k, Nobody, new(Sight))
		for i, h := range got {
			if math.Abs(h.Square-want[i]) > 1e-12 {
				t.Fatalf("neighbour %d at %g, k-d tree %g", i, h.Square, want[i])
			}
		}
	})
}

func TestLookLeavesOutAnAnimal(t *testing.T) {
	c := NewCrowd([][]float64{{0}, {1}, {2}, {3}}, []int{0, 0, 1, 1}, []int{7, 7, 8, 9}, 0.5, 0)
	var s Sight
	got := c.Look([]float64{0}, 2, 7, &s)
	if diff := cmp.Diff([]Hit{{2, 4}, {3, 9}}, got); diff != "" {
		t.Error(diff)
	}
	shares := make([]float64, 2)
	if c.Vote(&s, shares); shares[0] != 0 {
		t.Errorf("the animal's own teeth have a share of %g", shares[0])
	}
}

// Worked by hand (CALC): A at (0,0) (1,0) (0,1), B at (4,4) (5,4) (4,5), query
// (2, 2.2).
func TestDistancesByHand(t *testing.T) {
	c := crowd([][]float64{{0, 0}, {1, 0}, {0, 1}, {4, 4}, {5, 4}, {4, 5}})
	want := []Hit{{2, 2.332381}, {1, 2.416609}, {3, 2.690725}, {0, 2.973214}, {5, 3.440930}, {4, 3.498571}}
	for i, h := range c.Look([]float64{2, 2.2}, 6, Nobody, new(Sight)) {
		if h.Row != want[i].Row || math.Abs(math.Sqrt(h.Square)-want[i].Square) > 1e-6 {
			t.Errorf("neighbour %d: row %d at %.6f, want row %d at %.6f", i, h.Row, math.Sqrt(h.Square), want[i].Row, want[i].Square)
		}
	}
}

// Two teeth of A at squared distance 0 and ln 2, one of B at ln 4: votes 1 +
// 1/2 against 1/4, so A has 6/7; with full balance each class is divided by its
// teeth, 3/4 against 1/4 (CALC).
func TestVoteByHand(t *testing.T) {
	points, class := [][]float64{{0}, {math.Sqrt(math.Ln2)}, {math.Sqrt(2 * math.Ln2)}}, []int{0, 0, 1}
	c := NewCrowd(points, class, []int{0, 1, 2}, 0.5, 0)
	shares := make([]float64, 2)
	vote := func() {
		var s Sight
		c.Measure([]float64{0}, Nobody, &s)
		c.Vote(&s, shares)
	}
	vote()
	if math.Abs(shares[0]-6.0/7) > 1e-9 {
		t.Errorf("share of A %g, want 6/7", shares[0])
	}
	c = NewCrowd(points, class, []int{0, 1, 2}, 0.5, 1)
	vote()
	if math.Abs(shares[0]-3.0/4) > 1e-9 {
		t.Errorf("balanced share of A %g, want 3/4", shares[0])
	}
	// Four teeth of one animal have the voice of two.
	c = NewCrowd([][]float64{{0}, {0}, {0}, {0}, {0}}, []int{0, 0, 0, 0, 1}, []int{0, 0, 0, 0, 1}, 0.5, 0)
	vote()
	if math.Abs(shares[0]-2.0/3) > 1e-12 {
		t.Errorf("share of the animal with four teeth %g, want 2/3", shares[0])
	}
}

// 0.8 and 0.2 squared are 0.64 and 0.04, that is 16/17 and 1/17; a tenth of an
// even prior brings 16/17 to 0.9·16/17 + 0.05 (CALC).
func TestCalibrateByHand(t *testing.T) {
	shares := []float64{0.8, 0.2}
	Calibrate(shares, []float64{0.5, 0.5}, 2, 0.1)
	if want := 0.9*16/17 + 0.05; math.Abs(shares[0]-want) > 1e-12 || math.Abs(shares[0]+shares[1]-1) > 1e-12 {
		t.Errorf("shares %v, want %g", shares, want)
	}
}

func BenchmarkLook(b *testing.B) {
	for _, dim := range []int{4, 6, 10} {
		points := make([][]float64, 1264)
		rnd := rand.New(rand.NewPCG(1, 1))
		for i := range points {
			points[i] = make([]float64, dim)
			for j := range points[i] {
				points[i][j] = rnd.NormFloat64()
			}
		}
		name := strconv.Itoa(dim) + "D"
		c := crowd(points)
		var s Sight
		b.Run("every distance/"+name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				c.Look(points[i%len(points)], 15, Nobody, &s)
			}
		})
		var list kdtree.Points
		for _, p := range points {
			list = append(list, slices.Clone(p))
		}
		tree := kdtree.New(list, false)
		b.Run("k-d tree/"+name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				tree.NearestSet(kdtree.NewNKeeper(15), kdtree.Point(points[i%len(points)]))
			}
		})
	}
}

// The standard library's exponential is the reference.
func TestKernelIsTheExponential(t *testing.T) {
	for d := 0.0; d < reachOfKernel; d += 1.0 / 1000 {
		if got, want := kernel(d), math.Exp(-d); math.Abs(got/want-1) > 1.3e-9 {
			t.Fatalf("kernel(%g) = %g, want %g", d, got, want)
		}
	}
	for _, d := range []float64{reachOfKernel, math.Nextafter(reachOfKernel, 17), 33, 1e9, 1e200, math.Inf(1)} {
		if got := kernel(d); got != 0 {
			t.Errorf("kernel(%g) = %g; beyond reach nothing is to be left", d, got)
		}
	}
}
