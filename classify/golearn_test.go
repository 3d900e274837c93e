//go:build cgo

package classify

import (
	"hash/fnv"
	"testing"
	"time"

	golearn "github.com/sjwhitworth/golearn/base"
	"github.com/sjwhitworth/golearn/knn"

	"crownbench/classify/internal/model"
)

// halves parts the blade-like and robust teeth with CBL, CBW and CH in two, by
// individual, as points in the learned space with labels.
func halves() (train, test [][]float64, trainLabel, testLabel []string) {
	p := Published().panel("form lateral")
	for i, t := range p.teeth {
		h := fnv.New32a()
		h.Write([]byte(t.Individual))
		if h.Sum32()%2 == 0 {
			train, trainLabel = append(train, p.crowd.Point(i)), append(trainLabel, string(t.Form))
		} else {
			test, testLabel = append(test, p.crowd.Point(i)), append(testLabel, string(t.Form))
		}
	}
	return train, test, trainLabel, testLabel
}

// instances puts points into a golearn data grid.
func instances(points [][]float64, label []string) *golearn.DenseInstances {
	grid := golearn.NewDenseInstances()
	specs := make([]golearn.AttributeSpec, len(points[0]))
	for j := range specs {
		specs[j] = grid.AddAttribute(golearn.NewFloatAttribute(string(rune('a' + j))))
	}
	class := golearn.NewCategoricalAttribute()
	class.SetName("form")
	classSpec := grid.AddAttribute(class)
	if err := grid.AddClassAttribute(class); err != nil {
		panic(err)
	}
	if err := grid.Extend(len(points)); err != nil {
		panic(err)
	}
	for i, p := range points {
		for j, x := range p {
			grid.Set(specs[j], i, golearn.PackFloatToBytes(x))
		}
		grid.Set(classSpec, i, class.GetSysValFromString(label[i]))
	}
	return grid
}

// golearn's nearest neighbours are the outside reference for the search and
// the vote. It settles ties by chance, so queries whose k-th and next
// neighbour are equally far are left out; with two classes and an odd k no
// vote can tie.
func TestAgreesWithGolearn(t *testing.T) {
	train, test, trainLabel, testLabel := halves()
	if len(train) < 300 || len(test) < 300 {
		t.Fatalf("halves of %d and %d teeth", len(train), len(test))
	}
	ours := crowdOf(train)
	var sight model.Sight
	for _, k := range []int{1, 5, 15} {
		their := knn.NewKnnClassifier("euclidean", "linear", k)
		if err := their.Fit(instances(train, trainLabel)); err != nil {
			t.Fatal(err)
		}
		predicted, err := their.Predict(instances(test, testLabel))
		if err != nil {
			t.Fatal(err)
		}
		compared := 0
		for i, q := range test {
			near := ours.Look(q, k+1, model.Nobody, &sight)
			if near[k-1].Square == near[k].Square {
				continue
			}
			compared++
			if got, want := majority(near[:k], trainLabel), golearn.GetClass(predicted, i); got != want {
				t.Errorf("k = %d, test tooth %d: %s, golearn %s", k, i, got, want)
			}
		}
		if compared < len(test)*9/10 {
			t.Errorf("k = %d: only %d of %d teeth free of ties", k, compared, len(test))
		}
	}
}

// 15 neighbours and their majority for every tooth of one half, golearn and
// ours by turns, so that both meet the same machine.
func BenchmarkGolearnKNN(b *testing.B) {
	train, test, trainLabel, testLabel := halves()
	their := knn.NewKnnClassifier("euclidean", "linear", 15)
	if err := their.Fit(instances(train, trainLabel)); err != nil {
		b.Fatal(err)
	}
	queries := instances(test, testLabel)
	ours := crowdOf(train)
	var sight model.Sight
	var theirTime, ourTime time.Duration
	for b.Loop() {
		began := time.Now()
		if _, err := their.Predict(queries); err != nil {
			b.Fatal(err)
		}
		between := time.Now()
		for _, q := range test {
			majority(ours.Look(q, 15, model.Nobody, &sight), trainLabel)
		}
		theirTime += between.Sub(began)
		ourTime += time.Since(between)
	}
	each := float64(b.N * len(test))
	b.ReportMetric(float64(theirTime.Nanoseconds())/each, "golearn-ns/query")
	b.ReportMetric(float64(ourTime.Nanoseconds())/each, "ours-ns/query")
	b.ReportMetric(float64(theirTime)/float64(ourTime), "times-faster")
}
