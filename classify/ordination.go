package classify

import (
	"errors"
	"fmt"
	"math"

	"gonum.org/v1/gonum/floats"

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
	a := &Axes{Mean: columnMeans(points)}
	d := len(points[0])
	covariance := square(d)
	diff := make([]float64, d)
	for _, p := range points {
		for j, v := range p {
			diff[j] = v - a.Mean[j]
		}
		addOuter(covariance, 1/float64(len(points)-1), diff)
	}
	principal, ok := eigen(covariance)
	if !ok {
		return nil, errors.New("the principal axes could not be computed")
	}
	for _, x := range principal[:min(d, len(points))] {
		a.Weight = append(a.Weight, upright(x.vector))
		a.Spread = append(a.Spread, max(0, x.value))
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
	within, between := square(d), square(d)
	diff := make([]float64, d)
	for i, p := range points {
		for j, v := range p {
			diff[j] = v - mean[class[i]][j]
		}
		addOuter(within, 1/(n-float64(classes)), diff)
	}
	for c := range mean {
		for j := range d {
			diff[j] = mean[c][j] - a.Mean[j]
		}
		addOuter(between, heads[c]/float64(classes-1), diff)
	}
	// The points are turned and stretched until they vary by 1 within classes in
	// every direction. What separates the classes best then are the principal
	// axes of their means.
	round, ok := eigen(within)
	if !ok {
		return nil, errors.New("the discriminant axes could not be computed")
	}
	if round[d-1].value <= leastSpread*round[0].value {
		return nil, errors.New("the points do not vary within classes in every direction")
	}
	for _, x := range round {
		floats.Scale(1/math.Sqrt(x.value), x.vector)
	}
	white := square(d)
	for k, x := range round {
		for j, row := range between {
			diff[j] = floats.Dot(row, x.vector)
		}
		for l := range k + 1 {
			white[k][l] = floats.Dot(diff, round[l].vector)
			white[l][k] = white[k][l]
		}
	}
	best, ok := eigen(white)
	if !ok {
		return nil, errors.New("the discriminant axes could not be computed")
	}
	for _, x := range best[:min(classes-1, d)] {
		w := make([]float64, d)
		for k, v := range x.vector {
			floats.AddScaled(w, v, round[k].vector)
		}
		a.Weight = append(a.Weight, upright(w))
		a.Spread = append(a.Spread, x.value)
	}
	return a, nil
}

// leastSpread is the variance within classes in the direction where it is least,
// as a part of that where it is most, below which rounding decides: some thousand
// times the precision of a float64.
const leastSpread = 1e-12

// square returns a matrix of zeros.
func square(d int) [][]float64 {
	m := make([][]float64, d)
	for i := range m {
		m[i] = make([]float64, d)
	}
	return m
}

// addOuter adds w·x·xᵀ to a matrix.
func addOuter(m [][]float64, w float64, x []float64) {
	for i, v := range x {
		floats.AddScaled(m[i], w*v, x)
	}
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
