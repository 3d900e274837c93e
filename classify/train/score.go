package main

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"github.com/sjwhitworth/golearn/evaluation"
)

// score sums up shares against the true classes.
type score struct {
	accuracy, balanced, top3 float64
	logLoss, brier           float64
	calibration              float64 // expected calibration error of the largest share, ten bins
	confusion                evaluation.ConfusionMatrix
}

func scoreOf(shares [][]float64, crowns []crown, classes int) score {
	m := make(evaluation.ConfusionMatrix)
	for c := range classes {
		m[strconv.Itoa(c)] = make(map[string]int)
	}
	var s score
	n := float64(len(shares))
	for i, p := range shares {
		truth := crowns[i].class
		m[strconv.Itoa(truth)][strconv.Itoa(largest(p))]++
		ahead := 0
		for c, v := range p {
			if v > p[truth] || v == p[truth] && c < truth {
				ahead++
			}
			hit := 0.0
			if c == truth {
				hit = 1
			}
			s.brier += (v - hit) * (v - hit) / n
		}
		if ahead < 3 {
			s.top3 += 1 / n
		}
		s.logLoss -= math.Log(math.Max(p[truth], 1e-6)) / n
	}
	for c := range classes { // a class without teeth has no recall
		if len(m[strconv.Itoa(c)]) == 0 {
			delete(m, strconv.Itoa(c))
		}
	}
	s.accuracy = evaluation.GetAccuracy(m)
	s.balanced = evaluation.GetMacroRecall(m)
	s.confusion = m
	for _, b := range reliability(shares, crowns) {
		s.calibration += float64(b.teeth) / n * math.Abs(b.said-b.found)
	}
	return s
}

// bin is a range of largest shares: what was said on average, and how often it
// was so.
type bin struct {
	low, high   float64
	teeth       int
	said, found float64
}

func reliability(shares [][]float64, crowns []crown) []bin {
	bins := make([]bin, 10)
	for i, p := range shares {
		c := largest(p)
		b := &bins[min(int(p[c]*10), 9)]
		b.teeth++
		b.said += p[c]
		if c == crowns[i].class {
			b.found++
		}
	}
	for i := range bins {
		b := &bins[i]
		b.low, b.high = float64(i)/10, float64(i+1)/10
		if b.teeth > 0 {
			b.said /= float64(b.teeth)
			b.found /= float64(b.teeth)
		}
	}
	return bins
}

// largest returns the class with the largest share, the first of equal ones.
func largest(p []float64) int {
	best := 0
	for c := range p {
		if p[c] > p[best] {
			best = c
		}
	}
	return best
}

func sortBy(order []int, key func(int) float64) {
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(key(a), key(b)) })
}
