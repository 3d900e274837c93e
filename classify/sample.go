package classify

import (
	"math"

	"gonum.org/v1/gonum/stat"
)

// task is what a sample is to answer.
type task uint8

const (
	forForm  task = iota // teeth that carry a form label
	forClade             // all teeth
)

// sampleKey says which teeth of a reference are compared, and in what.
type sampleKey struct {
	task     task
	row      ToothRow // RowUnknown admits every row
	features featureSet
}

// sample is the part of a reference that has certain features, standardised
// over itself and ready to be searched.
type sample struct {
	teeth    []*Tooth
	features []feature
	mean, sd []float64
	cloud    cloud
}

// admits reports whether tooth t belongs to the sample of key k.
func (k sampleKey) admits(t *Tooth) bool {
	if k.task == forForm && t.Form == "" {
		return false
	}
	if k.row != RowUnknown && t.Row != k.row {
		return false
	}
	return featuresOf(&t.values).contains(k.features)
}

// sample returns the teeth that k admits, searchable. It is built once.
func (r *Reference) sample(k sampleKey) *sample {
	r.mu.Lock()
	defer r.mu.Unlock()
	s, ok := r.samples[k]
	if !ok {
		s = newSample(r.teeth, k)
		r.samples[k] = s
	}
	return s
}

func newSample(teeth []Tooth, k sampleKey) *sample {
	s := &sample{features: k.features.list()}
	for i := range teeth {
		if k.admits(&teeth[i]) {
			s.teeth = append(s.teeth, &teeth[i])
		}
	}
	points := make([][]float64, len(s.teeth))
	for i, t := range s.teeth {
		points[i] = raw(&t.values, s.features)
	}
	s.mean, s.sd = standard(points, len(s.features))
	for _, p := range points {
		s.standardise(p)
	}
	s.cloud = newCloud(points)
	return s
}

// point returns v in the sample's coordinates; v must suffice for all its
// features.
func (s *sample) point(v *values) []float64 {
	p := raw(v, s.features)
	s.standardise(p)
	return p
}

func (s *sample) standardise(p []float64) {
	for i := range p {
		p[i] = (p[i] - s.mean[i]) / s.sd[i]
	}
}

func raw(v *values, features []feature) []float64 {
	p := make([]float64, len(features))
	for i, f := range features {
		p[i], _ = f.of(v)
	}
	return p
}

// standard returns mean and standard deviation of each of n coordinates. A
// coordinate that does not vary gets a deviation of one, so that it counts
// for nothing.
func standard(points [][]float64, n int) (mean, sd []float64) {
	mean, sd = make([]float64, n), make([]float64, n)
	column := make([]float64, len(points))
	for j := range n {
		for i, p := range points {
			column[i] = p[j]
		}
		mean[j], sd[j] = stat.MeanStdDev(column, nil)
		if !(sd[j] > 0) || math.IsInf(sd[j], 0) {
			sd[j] = 1
		}
	}
	return mean, sd
}
