package classify

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/mat"

	"crownbench/classify/internal/model"
)

// Axes are directions through a cloud of points, for a map: a point's
// coordinate on axis k is the sum of Weight[k][j]·(x[j] - Mean[j]).
type Axes struct {
	Mean   []float64
	Weight [][]float64
	// Spread is the variance along each axis for principal components, and the
	// ratio of between- to within-class variance for discriminant axes.
	Spread []float64
}

// Project returns the first two coordinates, or one when there is one axis.
func (a *Axes) Project(x []float64) []float64 {
	p := make([]float64, min(2, len(a.Weight)))
	for k := range p {
		for j, w := range a.Weight[k] {
			p[k] += w * (x[j] - a.Mean[j])
		}
	}
	return p
}

// PrincipalAxes returns the principal components of points (rows) from their
// covariance matrix, the largest variance first. The largest weight of each
// axis is made positive, so that maps do not flip. The error says when there
// are too few points or the decomposition fails.
func PrincipalAxes(points [][]float64) (*Axes, error) {
	if len(points) < 2 {
		return nil, fmt.Errorf("principal axes need two points or more, there are %d", len(points))
	}
	// The eigenvectors of the covariance matrix rather than the singular
	// vectors of the points: the discriminant axes need the one decomposition
	// anyway, and the other would add some 80 kB to what a visit transfers.
	a := &Axes{Mean: columnMeans(points)}
	d := len(points[0])
	covariance := mat.NewSymDense(d, nil)
	diff := mat.NewVecDense(d, nil)
	for _, p := range points {
		for j, v := range p {
			diff.SetVec(j, v-a.Mean[j])
		}
		covariance.SymRankOne(covariance, 1/float64(len(points)-1), diff)
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(covariance, true) {
		return nil, errors.New("the principal axes could not be computed")
	}
	values := eigen.Values(nil)
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	for k := range min(d, len(points)) {
		at := d - 1 - k // the eigenvalues ascend
		a.Weight = append(a.Weight, upright(mat.Col(nil, at, &vectors)))
		a.Spread = append(a.Spread, max(0, values[at]))
	}
	return a, nil
}

// DiscriminantAxes returns the linear discriminant axes of points (rows) with
// classes numbered from 0, the best separating first, scaled so that the
// pooled within-class variance along each is 1 (divisor: points less classes).
// The error says when a class is empty or the points do not vary in some
// direction within classes.
func DiscriminantAxes(points [][]float64, class []int, classes int) (*Axes, error) {
	if len(points) <= classes || classes < 2 {
		return nil, fmt.Errorf("discriminant axes need two classes and more points than classes, there are %d points in %d", len(points), classes)
	}
	n, d := float64(len(points)), len(points[0])
	heads := make([]float64, classes)
	mean := make([][]float64, classes)
	for c := range mean {
		mean[c] = make([]float64, d)
	}
	for i, p := range points {
		heads[class[i]]++
		for j, v := range p {
			mean[class[i]][j] += v
		}
	}
	for c := range mean {
		if heads[c] == 0 {
			return nil, fmt.Errorf("class %d has no points", c)
		}
		for j := range mean[c] {
			mean[c][j] /= heads[c]
		}
	}
	a := &Axes{Mean: columnMeans(points)}
	within, between := mat.NewSymDense(d, nil), mat.NewSymDense(d, nil)
	diff := mat.NewVecDense(d, nil)
	for i, p := range points {
		for j, v := range p {
			diff.SetVec(j, v-mean[class[i]][j])
		}
		within.SymRankOne(within, 1/(n-float64(classes)), diff)
	}
	for c := range mean {
		for j := range d {
			diff.SetVec(j, mean[c][j]-a.Mean[j])
		}
		between.SymRankOne(between, heads[c]/float64(classes-1), diff)
	}
	var chol mat.Cholesky
	if !chol.Factorize(within) {
		return nil, errors.New("the points do not vary within classes in every direction")
	}
	var lower, inverse mat.TriDense
	chol.LTo(&lower)
	if err := inverse.InverseTri(&lower); err != nil {
		return nil, errors.New("the points hardly vary within classes in some direction")
	}
	var white mat.Dense
	white.Mul(&inverse, between)
	white.Mul(&white, inverse.T())
	sym := mat.NewSymDense(d, nil)
	for i := range d {
		for j := i; j < d; j++ {
			sym.SetSym(i, j, (white.At(i, j)+white.At(j, i))/2)
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(sym, true) {
		return nil, errors.New("the discriminant axes could not be computed")
	}
	values := eigen.Values(nil)
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	for k := range min(classes-1, d) {
		at := d - 1 - k
		w := make([]float64, d)
		for j := range d {
			for i := range d {
				w[j] += vectors.At(i, at) * inverse.At(i, j)
			}
		}
		a.Weight = append(a.Weight, upright(w))
		a.Spread = append(a.Spread, values[at])
	}
	return a, nil
}

// upright turns an axis so that its largest weight is positive.
func upright(w []float64) []float64 {
	most := 0
	for j := range w {
		if math.Abs(w[j]) > math.Abs(w[most]) {
			most = j
		}
	}
	if w[most] < 0 {
		for j := range w {
			w[j] = -w[j]
		}
	}
	return w
}

func columnMeans(points [][]float64) []float64 {
	mean := make([]float64, len(points[0]))
	for _, p := range points {
		for j, v := range p {
			mean[j] += v / float64(len(points))
		}
	}
	return mean
}

// Map is the sample laid out in two dimensions.
type Map struct {
	Axes   *Axes
	Names  [2]string // what an axis mostly holds, in words
	Teeth  []*Tooth  // with CBL, CBW and CH
	Points [][]float64
	// Loadings are the parts of the measures in each axis.
	Loadings [2][]Loading
	sample   *Reference
}

// mapCoordinates are those a map is drawn in: the carina states are left out,
// being none of the crown's shape.
const mapCoordinates = model.MesialAbsent

// PrincipalMap lays out the sample on its first two principal components of
// log measurements, gaps filled.
func (r *Reference) PrincipalMap() (*Map, error) {
	teeth, points := r.filled()
	axes, err := PrincipalAxes(points)
	if err != nil {
		return nil, err
	}
	return newMap(r, axes, teeth, points), nil
}

// DiscriminantMap lays out the sample on the first two discriminant axes of the
// forms; teeth without a form are shown too.
func (r *Reference) DiscriminantMap() (*Map, error) {
	teeth, points := r.filled()
	var known [][]float64
	var class []int
	for i, t := range teeth {
		for c, f := range Forms() {
			if t.Form == f {
				known, class = append(known, points[i]), append(class, c)
			}
		}
	}
	axes, err := DiscriminantAxes(known, class, len(Forms()))
	if err != nil {
		return nil, err
	}
	return newMap(r, axes, teeth, points), nil
}

func newMap(r *Reference, axes *Axes, teeth []*Tooth, points [][]float64) *Map {
	m := &Map{Axes: axes, Teeth: teeth, Loadings: loadingsOf(axes, points), sample: r}
	for _, p := range points {
		m.Points = append(m.Points, axes.Project(p))
	}
	for k := range m.Names {
		m.Names[k] = axisName(axes.Weight[k])
	}
	return m
}

// axisName names an axis by the measures that weigh at least half as much on it
// as the heaviest.
func axisName(w []float64) string {
	most := 0.0
	for _, v := range w {
		most = max(most, math.Abs(v))
	}
	name := ""
	for j, v := range w {
		if math.Abs(v) < most/2 {
			continue
		}
		sign := "+"
		if v < 0 {
			sign = "−"
		}
		if name != "" {
			name += " "
		}
		name += sign + "log " + string(measures[compared[j]].id)
	}
	return name
}

// filled returns the teeth with the basics as points, gaps filled by
// expectation.
func (r *Reference) filled() ([]*Tooth, [][]float64) {
	var teeth []*Tooth
	var points [][]float64
	gauss := learned().Reach.Space().Gauss
	for i := range r.teeth {
		t := &r.teeth[i]
		if !t.hasBasics() {
			continue
		}
		seen := t.observation()
		teeth = append(teeth, t)
		points = append(points, fill(&gauss, &seen))
	}
	return teeth, points
}

func fill(g *model.Gauss, o *model.Observation) []float64 {
	x := g.Fill(o, g.Gain(o))
	p := make([]float64, mapCoordinates)
	for j := range p {
		p[j] = g.Mean[j] + x[j]
	}
	return p
}

// Place returns where a query lies on the map, and false when it has nothing to
// place it by.
func (m *Map) Place(q Query) ([]float64, bool) {
	v, u, _ := q.usable()
	seen := observe(&v, &u, stateOf(q.Mesial, v[iMA], v[iMC], v[iMB]), stateOf(q.Distal, v[iDA], v[iDC], v[iDB]))
	if seen.Pattern() == 0 {
		return nil, false
	}
	gauss := learned().Reach.Space().Gauss
	return m.Axes.Project(fill(&gauss, &seen)), true
}
