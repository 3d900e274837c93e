package classify

import (
	"cmp"
	"math"
	"math/rand/v2"
	"slices"

	"gonum.org/v1/gonum/spatial/vptree"
)

// hit is a point found near a query: its row and its Euclidean distance.
type hit struct {
	row      int
	distance float64
}

// compareHits settles which of two hits comes first: the nearer one, and of
// two equally near ones that of the earlier row. Reference rows stand in order
// of id, so the rule reads: nearest first, then by id.
func compareHits(a, b hit) int {
	return cmp.Or(cmp.Compare(a.distance, b.distance), cmp.Compare(a.row, b.row))
}

// cloud is a set of points of equal dimension, searchable for neighbours.
type cloud struct {
	tree *vptree.Tree
	size int
}

// place is a point of a cloud with the rows that lie there. Rows at the same
// point share one place because the tree, when it sets its vantage point
// aside, may take away another point at distance zero instead.
type place struct {
	vptree.Point
	rows []int
}

// Distance returns the Euclidean distance to another place.
func (p *place) Distance(c vptree.Comparable) float64 {
	return p.Point.Distance(c.(*place).Point)
}

// newCloud returns the points as a searchable cloud; their order gives the
// rows of later hits. All points must have the same length and be finite.
func newCloud(points [][]float64) cloud {
	order := make([]int, len(points))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(a, b int) int {
		return cmp.Or(slices.Compare(points[a], points[b]), cmp.Compare(a, b))
	})
	var places []vptree.Comparable
	var last *place
	for _, row := range order {
		if last != nil && slices.Equal(last.Point, points[row]) {
			last.rows = append(last.rows, row)
			continue
		}
		last = &place{Point: points[row], rows: []int{row}}
		places = append(places, last)
	}
	// A fixed source: the tree's shape has no bearing on what it finds, but
	// equal work for equal input keeps benchmarks comparable.
	tree, err := vptree.New(places, 16, rand.NewPCG(1, 2))
	if err != nil {
		panic("classify: a point at infinity in the comparison sample: " + err.Error())
	}
	return cloud{tree: tree, size: len(points)}
}

// nearest returns the k nearest points to q in the order of compareHits, or
// all of them when the cloud is smaller than k.
func (c cloud) nearest(q []float64, k int) []hit {
	k = min(k, c.size)
	if k <= 0 {
		return nil
	}
	keep := &nearestKeeper{most: k, hits: make([]hit, 0, k)}
	c.tree.NearestSet(keep, &place{Point: q})
	return keep.hits
}

// nearestKeeper keeps the first hits in the order of compareHits, sorted. The
// tree's own keeper settles ties by the order of the search.
type nearestKeeper struct {
	most int
	hits []hit
}

func (k *nearestKeeper) Keep(c vptree.ComparableDist) {
	for _, row := range c.Comparable.(*place).rows {
		h := hit{row: row, distance: c.Dist}
		if len(k.hits) == k.most {
			if compareHits(h, k.hits[k.most-1]) >= 0 {
				return // the rows of a place ascend, so none that follow is better
			}
			k.hits = k.hits[:k.most-1]
		}
		at, _ := slices.BinarySearchFunc(k.hits, h, compareHits)
		k.hits = slices.Insert(k.hits, at, h)
	}
}

// nowhere stands in for the farthest hit; the tree asks only that it is one.
var nowhere vptree.Comparable = &place{}

// Max returns the distance within which a better hit can still lie. It is a
// hair wider than the farthest hit so that rounding in the tree's bounds never
// hides a point at exactly that distance.
func (k *nearestKeeper) Max() vptree.ComparableDist {
	if len(k.hits) < k.most {
		return vptree.ComparableDist{Comparable: nowhere, Dist: math.Inf(1)}
	}
	return vptree.ComparableDist{Comparable: nowhere, Dist: k.hits[k.most-1].distance*(1+1e-9) + 1e-300}
}

// The rest of what the tree asks of a keeper. The hits are in order already.
func (k *nearestKeeper) Len() int           { return len(k.hits) }
func (k *nearestKeeper) Less(i, j int) bool { return compareHits(k.hits[i], k.hits[j]) > 0 }
func (k *nearestKeeper) Swap(i, j int)      { k.hits[i], k.hits[j] = k.hits[j], k.hits[i] }
func (k *nearestKeeper) Push(any)           {}
func (k *nearestKeeper) Pop() any           { return nil }
