package main

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/sjwhitworth/golearn/evaluation"
	"pgregory.net/rapid"

	"crownbench/classify/internal/model"
)

// The confusion of the ratio rule on published crowns (CALC from the table of
// Hendrickx and others 2024): [[717,116],[44,194]] has accuracy 0.850607,
// balanced accuracy 0.837935, predictive values 0.625806 and 0.942181.
func TestScoresOfAConfusion(t *testing.T) {
	var crowns []crown
	var shares [][]float64
	add := func(n, truth, said int) {
		for range n {
			p := []float64{0, 0}
			p[said] = 1
			crowns = append(crowns, crown{class: truth})
			shares = append(shares, p)
		}
	}
	add(717, 0, 0)
	add(116, 0, 1)
	add(44, 1, 0)
	add(194, 1, 1)
	s := scoreOf(shares, crowns, 2)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"accuracy", s.accuracy, 0.850607},
		{"balanced accuracy", s.balanced, 0.837935},
		{"positive predictive value", evaluation.GetPrecision("1", s.confusion), 0.625806},
		{"negative predictive value", evaluation.GetPrecision("0", s.confusion), 0.942181},
	} {
		if math.Abs(c.got-c.want) > 1e-6 {
			t.Errorf("%s %.6f, want %.6f", c.name, c.got, c.want)
		}
	}
}

// Two teeth, said 0.7 and right, said 0.6 and wrong (CALC): Brier sum 2·0.3² +
// 2·0.6², half of it per tooth; log loss -(ln 0.7 + ln 0.4)/2; calibration error
// (0.3 + 0.6)/2.
func TestScoresByHand(t *testing.T) {
	s := scoreOf([][]float64{{0.7, 0.3}, {0.6, 0.4}}, []crown{{class: 0}, {class: 1}}, 2)
	for _, c := range []struct {
		name      string
		got, want float64
	}{
		{"Brier", s.brier, 0.45},
		{"log loss", s.logLoss, -(math.Log(0.7) + math.Log(0.4)) / 2},
		{"calibration error", s.calibration, 0.45},
	} {
		if math.Abs(c.got-c.want) > 1e-12 {
			t.Errorf("%s %.6f, want %.6f", c.name, c.got, c.want)
		}
	}
}

// No animal may be in two folds, whichever way they are dealt.
func TestFoldsKeepAnimalsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var crowns []crown
		for _, id := range rapid.SliceOfN(rapid.IntRange(0, 20), 1, 100).Draw(t, "individuals") {
			crowns = append(crowns, crown{individual: id})
		}
		k := rapid.IntRange(2, 10).Draw(t, "k")
		for _, fold := range [][]int{folds(crowns, k, 3), evenFolds(crowns, k)} {
			of := make(map[int]int)
			for i, f := range fold {
				if f < 0 || f >= k {
					t.Fatalf("fold %d of %d", f, k)
				}
				id := crowns[i].individual
				if g, ok := of[id]; ok && g != f {
					t.Fatalf("animal %d is in folds %d and %d", id, g, f)
				}
				of[id] = f
			}
		}
	})
}

// The published table's questions have the sizes that the figures to beat were
// computed on.
func TestQuestionsHaveThePublishedSizes(t *testing.T) {
	want := map[string][2]int{"form": {1095, 3}, "form lateral": {939, 2}, "clade": {1264, 18}}
	for _, q := range questions(crowns()) {
		if w, ok := want[q.name]; ok && (len(q.crowns) != w[0] || len(q.classes) != w[1]) {
			t.Errorf("%s: %d teeth in %d classes, want %v", q.name, len(q.crowns), len(q.classes), w)
		}
	}
}

// Rosenbrock's valley has its floor at (1, 1) (closed form).
func TestDescentFindsTheFloor(t *testing.T) {
	x := []float64{-1.2, 1}
	descend(func(x, g []float64) float64 {
		a, b := 1-x[0], x[1]-x[0]*x[0]
		g[0] = -2*a - 400*x[0]*b
		g[1] = 200 * b
		return a*a + 100*b*b
	}, x, 200)
	if math.Abs(x[0]-1) > 1e-4 || math.Abs(x[1]-1) > 1e-4 {
		t.Errorf("stopped at %v", x)
	}
}

// The gradient of a tooth's log share against finite differences.
func TestTugIsTheGradient(t *testing.T) {
	const n, tooth, w = 12, 5, 0.7
	for _, rank := range []int{2, 4, 6} {
		rnd := rand.New(rand.NewPCG(4, 4))
		crowns := make([]crown, n)
		for i := range crowns {
			crowns[i] = crown{kind: i % 3, individual: i / 2}
		}
		f := newField(crowns, rank)
		for i := range f.vote {
			f.vote[i] = 0.5 + rnd.Float64()
		}
		for i := range f.placed {
			f.placed[i] = rnd.NormFloat64()
		}
		f.tug(tooth, w)
		pull := slices.Clone(f.pull)
		for i := range f.placed {
			const h = 1e-5
			at := f.placed[i]
			f.placed[i] = at + h
			up := f.tug(tooth, w)
			f.placed[i] = at - h
			down := f.tug(tooth, w)
			f.placed[i] = at
			if want := w * (up - down) / (2 * h); math.Abs(pull[i]-want) > 1e-5 {
				t.Errorf("rank %d, coordinate %d: %.8f, differences give %.8f", rank, i, pull[i], want)
			}
		}
	}
}

// Ten animals of one tooth, true shares 0.1 … 1.0, wanted 80 %: of eleven
// places for the next one, at most two may lie below, so one of the ten stays
// out, which leaves 0.2 as the least share that belongs (CALC, split conformal
// prediction).
func TestConformalFloorByHand(t *testing.T) {
	truth, weight := make([]float64, 10), make([]float64, 10)
	for i := range truth {
		truth[i], weight[i] = float64(i+1)/10, 1
	}
	if got := conformalFloor(truth, weight, 10, 0.80); got != 0.2 {
		t.Errorf("floor %g, want 0.2", got)
	}
	if got := conformalFloor(truth, weight, 10, 0.95); got != 0 {
		t.Errorf("floor %g for a coverage that ten animals cannot promise, want 0", got)
	}
}

// Whitened crowns have unit covariance: W·Cov·Wᵀ = 1.
func TestWhitening(t *testing.T) {
	g := fitGauss(crowns())
	w := whitening(g)
	const d = model.Coordinates
	for a := range d {
		for b := range d {
			var sum float64
			for i := range d {
				for j := range d {
					sum += w[a][i] * g.Cov[i][j] * w[b][j]
				}
			}
			want := 0.0
			if a == b {
				want = 1
			}
			if math.Abs(sum-want) > 1e-6 {
				t.Errorf("element %d, %d: %g, want %g", a, b, sum, want)
			}
		}
	}
}

// Without gaps the fitted distribution is the sample's own mean and covariance,
// but for the ridge; with gaps in one of two lines that repeat each other, the
// gaps are filled along the line.
func TestGaussFillsAlongTheLine(t *testing.T) {
	var crowns []crown
	rnd := rand.New(rand.NewPCG(9, 9))
	for i := range 400 {
		x := rnd.NormFloat64()
		var c crown
		for j := range model.Coordinates {
			c.seen.Set(j, rnd.NormFloat64(), 0)
		}
		c.seen.Set(model.CBL, x, 0)
		c.seen.Set(model.CH, 2*x+1, 0)
		if i%2 == 0 {
			c.seen = c.seen.Without(model.CH)
		}
		crowns = append(crowns, c)
	}
	g := fitGauss(crowns)
	var o model.Observation
	o.Set(model.CBL, 0.8, 0)
	x := g.Fill(&o, g.Gain(&o))
	if got := g.Mean[model.CH] + x[model.CH]; math.Abs(got-2.6) > 0.06 {
		t.Errorf("CH filled as %.3f, the line gives 2.6", got)
	}
}

// Kinds divide classes: two crowns of one kind are of one class, and every kind
// but the one that gathers the rest of its class has the teeth to be one.
func TestKindsDivideClasses(t *testing.T) {
	for _, q := range questions(crowns()) {
		class, name, teeth := make(map[int]int), make(map[int]string), make(map[int]int)
		mixed := make(map[int]bool)
		for _, c := range q.crowns {
			if known, ok := class[c.kind]; ok && known != c.class {
				t.Fatalf("%s: kind %d is of classes %d and %d", q.name, c.kind, known, c.class)
			}
			if n, ok := name[c.kind]; ok && n != c.tooth.Clade {
				mixed[c.kind] = true
			}
			class[c.kind], name[c.kind] = c.class, c.tooth.Clade
			teeth[c.kind]++
		}
		if len(q.classes) <= 3 && len(class) <= len(q.classes) {
			t.Errorf("%s: %d kinds of %d classes", q.name, len(class), len(q.classes))
		}
		pooled := make(map[int]bool)
		for kind, n := range teeth {
			if n >= fewestOfClade && !mixed[kind] {
				continue
			}
			if pooled[class[kind]] {
				t.Errorf("%s: class %d has two kinds of too few teeth", q.name, class[kind])
			}
			pooled[class[kind]] = true
		}
	}
}
