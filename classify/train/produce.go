package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"slices"

	"crownbench/classify/internal/model"
)

// produce learns a question from all its crowns and calibrates every pattern
// out of fold.
func produce(q question) *model.Task {
	patterns := model.Patterns()
	chosen, votes := choose(q, outerFolds, seed, append([]model.Pattern{asGiven}, patterns...))
	fit := learn(q.crowns, chosen.setting)
	prior := priorOf(q.crowns, len(q.classes))
	t := &model.Task{
		Name: q.name, Classes: q.classes,
		Mean: fit.space.Mean, Cov: fit.space.Cov, Matrix: fit.space.Matrix,
		ByIndividual: byIndividual, Balance: chosen.balance, Prior: prior, Tilt: chosen.tilt,
	}
	for _, p := range patterns {
		c := calibrate(q, p, rebalance(votes[p], chosen.balance), prior, chosen.tilt)
		for i, helper := range model.Helpers {
			c.Gain[i] = gain(q, p, p.With(helper), votes, chosen, prior, c)
		}
		t.Patterns = append(t.Patterns, c)
	}
	return t
}

// gain returns by how much the mean 90 % set shrinks from pattern p to pattern
// with, on the teeth that hold the latter. It is 0 where the two are one, or
// where fewer than 50 teeth hold it.
func gain(q question, p, with model.Pattern, votes map[model.Pattern][]ballot, chosen choice, prior []float64, c model.Calibration) float64 {
	if p == with {
		return 0
	}
	var rows []int
	for i := range q.crowns {
		if with.Holds(&q.crowns[i].seen) {
			rows = append(rows, i)
		}
	}
	if len(rows) < 50 {
		return 0
	}
	standing := model.Standings(prior, chosen.tilt)
	mean := func(p model.Pattern) float64 {
		var shares [][]float64
		truth, weight := make([]float64, len(rows)), make([]float64, len(rows))
		for n, i := range rows {
			s := votes[p][i].balanced(chosen.balance)
			model.Calibrate(s, prior, c.Power, c.Mix)
			stands := make([]float64, len(s))
			model.Stand(stands, s, standing)
			shares = append(shares, stands)
			truth[n], weight[n] = stands[q.crowns[i].class], 1
		}
		floor := conformalFloor(truth, weight, float64(len(rows)), 0.90)
		size := 0.0
		for _, s := range shares {
			for _, v := range s {
				if v >= floor {
					size += 1 / float64(len(rows))
				}
			}
		}
		return size
	}
	return mean(p) - mean(with)
}

// reach measures, for every pattern, how far published teeth lie from those of
// other animals. The space is whitened: distances are in standard deviations
// along every axis of the crowns' own variation.
func reach(all []crown) *model.Reach {
	gauss := fitGauss(all)
	r := &model.Reach{Mean: gauss.Mean, Cov: gauss.Cov, Matrix: whitening(gauss)}
	space := r.Space()
	crowd := gather(space, all)
	point := make([]float64, space.Dimensions())
	for _, p := range model.Patterns() {
		var distances []float64
		for _, i := range holders(all, p) {
			seen := p.Cut(all[i].seen)
			space.Place(point, &seen)
			near := crowd.Near(nil, point, model.ReachNeighbour, all[i].individual, i)
			distances = append(distances, math.Sqrt(near[len(near)-1].Square))
		}
		slices.Sort(distances)
		d := model.Distances{Pattern: p}
		for _, q := range model.ReachPercentiles {
			d.Percentile = append(d.Percentile, distances[int(math.Ceil(q/100*float64(len(distances))))-1])
		}
		r.Patterns = append(r.Patterns, d)
	}
	return r
}

// whitening returns a matrix W with W·Cov·Wᵀ = 1: the inverse of the lower
// Cholesky factor.
func whitening(g model.Gauss) [][]float64 {
	const d = model.Coordinates
	lower := square(d)
	for i := range d {
		for j := 0; j <= i; j++ {
			sum := g.Cov[i][j]
			for k := range j {
				sum -= lower[i][k] * lower[j][k]
			}
			if i == j {
				lower[i][i] = math.Sqrt(sum)
			} else {
				lower[i][j] = sum / lower[j][j]
			}
		}
	}
	w := square(d)
	for c := range d {
		for i := range d {
			sum := 0.0
			if i == c {
				sum = 1
			}
			for k := range i {
				sum -= lower[i][k] * w[k][c]
			}
			w[i][c] = sum / lower[i][i]
		}
	}
	return w
}

// write stores the model, its numbers rounded so that the file
// is small and the same on every machine that rounds alike.
func write(path string, f *model.File) error {
	for _, t := range f.Tasks {
		roundAll(t.Mean, t.Prior)
		roundAll(t.Cov...)
		roundAll(t.Matrix...)
		for i := range t.Patterns {
			c := &t.Patterns[i]
			roundTo(4, c.Floor[:], c.Size[:])
			roundTo(2, c.Gain[:])
			c.Hit = round(c.Hit, 4)
		}
	}
	roundAll(f.Reach.Mean)
	roundAll(f.Reach.Cov...)
	roundAll(f.Reach.Matrix...)
	for _, d := range f.Reach.Patterns {
		roundTo(4, d.Percentile)
	}
	text, err := json.Marshal(f)
	if err != nil {
		return err
	}
	sum := sha256.Sum256(text)
	f.Version = hex.EncodeToString(sum[:4])
	if text, err = json.Marshal(f); err != nil {
		return err
	}
	if err := os.WriteFile(path, append(text, '\n'), 0o644); err != nil {
		return fmt.Errorf("writing the model: %w", err)
	}
	return nil
}

func roundAll(rows ...[]float64) { roundTo(6, rows...) }

func roundTo(digits int, rows ...[]float64) {
	for _, row := range rows {
		for i := range row {
			row[i] = round(row[i], digits)
		}
	}
}

// round keeps so many significant digits.
func round(v float64, digits int) float64 {
	if v == 0 {
		return 0
	}
	scale := math.Pow(10, float64(digits-1)-math.Floor(math.Log10(math.Abs(v))))
	return math.Round(v*scale) / scale
}
