package classify

import (
	"math"
	"slices"
	"testing"
)

// Eigenvalues of the covariance matrix (CALC, R's iris).
func TestPrincipalAxesOfIris(t *testing.T) {
	points, _ := openData(t, "testdata/iris.csv")
	axes, err := PrincipalAxes(points)
	if err != nil {
		t.Fatal(err)
	}
	for k, want := range []float64{4.228242, 0.242671, 0.078210, 0.023835} {
		if math.Abs(axes.Spread[k]-want) > 1e-6 {
			t.Errorf("eigenvalue %d: %.6f, want %.6f", k+1, axes.Spread[k], want)
		}
	}
}

// numbered turns labels into classes from 0 in alphabetical order.
func numbered(label []string) (class []int, classes int) {
	names := slices.Compact(slices.Sorted(slices.Values(label)))
	for _, l := range label {
		class = append(class, slices.Index(names, l))
	}
	return class, len(names)
}

// nearestMean names a point by the nearest class mean on discriminant axes,
// less twice the log of the class's part of the sample: linear discriminant
// analysis.
func nearestMean(axes *Axes, train [][]float64, class []int, classes int, q []float64) int {
	coordinate := func(x []float64) []float64 {
		p := make([]float64, len(axes.Weight))
		for k, w := range axes.Weight {
			for j := range w {
				p[k] += w[j] * (x[j] - axes.Mean[j])
			}
		}
		return p
	}
	mean := make([][]float64, classes)
	heads := make([]float64, classes)
	for i, x := range train {
		if mean[class[i]] == nil {
			mean[class[i]] = make([]float64, len(axes.Weight))
		}
		heads[class[i]]++
		for k, v := range coordinate(x) {
			mean[class[i]][k] += v
		}
	}
	p := coordinate(q)
	best, nearest := 0, math.Inf(1)
	for c := range mean {
		var d float64
		for k := range p {
			d += (p[k] - mean[c][k]/heads[c]) * (p[k] - mean[c][k]/heads[c])
		}
		d -= 2 * math.Log(heads[c]/float64(len(train)))
		if d < nearest {
			best, nearest = c, d
		}
	}
	return best
}

// Published coefficients and counts (CALC, R 4.2.2 and scikit-learn 1.2.1):
// iris LD1 and its share of the trace; 3 errors by resubstitution and 3 leaving
// one out, so accuracy 0.98 and, with even margins, kappa 0.97.
func TestDiscriminantAxesOfIris(t *testing.T) {
	points, label := openData(t, "testdata/iris.csv")
	class, classes := numbered(label)
	axes, err := DiscriminantAxes(points, class, classes)
	if err != nil {
		t.Fatal(err)
	}
	for j, want := range []float64{0.8293776, 1.5344731, 2.2012117, 2.8104603} {
		if got := math.Abs(axes.Weight[0][j]); math.Abs(got-want) > 1e-6 {
			t.Errorf("|LD1| of column %d: %.7f, want %.7f", j+1, got, want)
		}
	}
	if got := axes.Spread[0] / (axes.Spread[0] + axes.Spread[1]); math.Abs(got-0.9912126) > 1e-7 {
		t.Errorf("LD1 has %.7f of the trace, want 0.9912126", got)
	}
	errors := 0
	for i, p := range points {
		if nearestMean(axes, points, class, classes, p) != class[i] {
			errors++
		}
	}
	if errors != 3 {
		t.Errorf("resubstitution: %d errors, want 3", errors)
	}
	table := leaveOneOutTable(t, points, class, classes)
	agree, n := 0.0, float64(len(points))
	chance := 0.0
	for a := range table {
		agree += table[a][a]
		var row, column float64
		for b := range table {
			row += table[a][b]
			column += table[b][a]
		}
		chance += row * column / n / n
	}
	if agree != 147 {
		t.Errorf("leaving one out: %g of 150 right, want 147", agree)
	}
	if kappa := (agree/n - chance) / (1 - chance); math.Abs(kappa-0.97) > 1e-9 {
		t.Errorf("kappa %.6f, want 0.97", kappa)
	}
}

func leaveOneOutTable(t *testing.T, points [][]float64, class []int, classes int) [][]float64 {
	t.Helper()
	table := make([][]float64, classes)
	for c := range table {
		table[c] = make([]float64, classes)
	}
	for i, q := range points {
		train := slices.Delete(slices.Clone(points), i, i+1)
		known := slices.Delete(slices.Clone(class), i, i+1)
		axes, err := DiscriminantAxes(train, known, classes)
		if err != nil {
			t.Fatal(err)
		}
		table[class[i]][nearestMean(axes, train, known, classes, q)]++
	}
	return table
}

// Leave-one-out on wine: 2 errors of 178, the published 98.9 % (READ and CALC).
func TestDiscriminantAxesOfWine(t *testing.T) {
	points, label := openData(t, "testdata/wine.csv")
	class, classes := numbered(label)
	table := leaveOneOutTable(t, points, class, classes)
	right := 0.0
	for c := range table {
		right += table[c][c]
	}
	if wrong := float64(len(points)) - right; wrong != 2 {
		t.Errorf("%g errors of 178, want 2", wrong)
	}
}

func TestAxesRefuseTooLittle(t *testing.T) {
	if _, err := PrincipalAxes([][]float64{{1, 2}}); err == nil {
		t.Error("principal axes of one point")
	}
	if _, err := DiscriminantAxes([][]float64{{1}, {2}}, []int{0, 1}, 2); err == nil {
		t.Error("discriminant axes of two points in two classes")
	}
	if _, err := DiscriminantAxes([][]float64{{1, 1}, {1, 1}, {2, 2}, {2, 2}}, []int{0, 0, 1, 1}, 2); err == nil {
		t.Error("discriminant axes without variation within classes")
	}
	if _, err := DiscriminantAxes([][]float64{{1}, {2}, {3}}, []int{0, 0, 0}, 2); err == nil {
		t.Error("discriminant axes with an empty class")
	}
}

// A published tooth typed in full lies where the map has it.
func TestMapPlacesAPublishedTooth(t *testing.T) {
	for name, draw := range map[string]func() (*Map, error){
		"principal": Published().PrincipalMap, "discriminant": Published().DiscriminantMap,
	} {
		m, err := draw()
		if err != nil {
			t.Fatal(err)
		}
		if len(m.Teeth) != len(m.Points) || len(m.Teeth) != 1266 {
			t.Errorf("%s: %d teeth, %d points; 1266 have CBL, CBW and CH", name, len(m.Teeth), len(m.Points))
		}
		for i := 0; i < len(m.Teeth); i += 97 {
			tooth := m.Teeth[i]
			q := Query{Values: tooth.Values(), Mesial: tooth.MesialDenticles, Distal: tooth.DistalDenticles}
			p, ok := m.Place(q)
			if !ok || math.Hypot(p[0]-m.Points[i][0], p[1]-m.Points[i][1]) > 1e-6 {
				t.Errorf("%s: %s placed at %v, drawn at %v", name, tooth.ID, p, m.Points[i])
			}
		}
		if _, ok := m.Place(Query{}); ok {
			t.Errorf("%s: nothing was placed", name)
		}
	}
}
