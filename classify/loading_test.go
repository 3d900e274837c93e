package classify

import (
	"math"
	"testing"

	"gonum.org/v1/gonum/stat"
)

// Closed form: weights of a principal component have the length 1, and a
// measure's correlation with it is weight · √variance / standard deviation of
// the measure's log.
func TestLoadingsOfPrincipalAxes(t *testing.T) {
	m, err := Published().PrincipalMap()
	if err != nil {
		t.Fatal(err)
	}
	_, points := Published().filled()
	for k, loadings := range m.Loadings {
		length := 0.0
		for j, l := range loadings {
			length += l.Weight * l.Weight
			column := make([]float64, len(points))
			for i, p := range points {
				column[i] = p[j]
			}
			want := l.Weight * math.Sqrt(m.Axes.Spread[k]) / stat.StdDev(column, nil)
			if math.Abs(l.Correlation-want) > 1e-9 {
				t.Errorf("axis %d, %s: correlation %.6f, want %.6f", k+1, l.Measure, l.Correlation, want)
			}
		}
		if math.Abs(length-1) > 1e-9 {
			t.Errorf("axis %d: weights of length %.9f, want 1", k+1, length)
		}
	}
}

// Shares of all axes make the whole; with three forms there are two
// discriminant axes.
func TestSharesOfAxes(t *testing.T) {
	m, err := Published().DiscriminantMap()
	if err != nil {
		t.Fatal(err)
	}
	if got := m.Share(0) + m.Share(1); math.Abs(got-1) > 1e-12 || m.Share(0) < m.Share(1) {
		t.Errorf("shares %.3f and %.3f", m.Share(0), m.Share(1))
	}
	p, err := Published().PrincipalMap()
	if err != nil {
		t.Fatal(err)
	}
	if got, want := p.Share(0)/p.Share(1), p.Axes.Spread[0]/p.Axes.Spread[1]; math.Abs(got-want) > 1e-9*want || p.Share(0)+p.Share(1) >= 1 {
		t.Errorf("shares %.3f and %.3f of spreads %v", p.Share(0), p.Share(1), p.Axes.Spread)
	}
}
