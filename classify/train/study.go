package main

import (
	"cmp"
	"math"
	"slices"

	"gonum.org/v1/gonum/stat"

	"crownbench/classify"
	"crownbench/classify/internal/model"
)

// studyResult is an accuracy over five folds: mean and standard deviation.
type studyResult struct{ mean, sd float64 }

// studySeeds are the shuffles of the study's split that are averaged over.
var studySeeds = []uint64{1, 2, 3}

// study compares with Marques and others 2025 on their classes and their way
// of splitting (five folds by class, through animals): their neighbours, and
// ours on the same folds. For ours each tooth counts as its own animal, as the
// split has it.
func study(all []crown) (q question, theirs, ours []studyResult) {
	q = ask("study", all, nil, func(t *classify.Tooth) string { return t.StudyClass }, func(t *classify.Tooth) bool { return t.StudyClass != "" })
	for i := range q.crowns {
		q.crowns[i].individual = i
	}
	const k = 5
	for _, s := range studySeeds {
		fold := classFolds(q.crowns, len(q.classes), k, s)
		var a, b []float64
		votes := outOfFold(q, fold, k, setting{rank: 8, lambda: 1e-4}, []model.Pattern{asGiven})[asGiven]
		for f := range k {
			train, test, at := split(q.crowns, fold, f)
			a = append(a, studyNeighbours(train, test))
			hits := 0.0
			for n, i := range at {
				if largest(votes[i].balanced(0)) == test[n].class {
					hits++
				}
			}
			b = append(b, hits/float64(len(test)))
		}
		theirs = append(theirs, summary(a))
		ours = append(ours, summary(b))
	}
	return q, theirs, ours
}

func summary(x []float64) studyResult {
	mean, sd := stat.PopMeanStdDev(x, nil)
	return studyResult{mean, sd}
}

// studyNeighbours is the study's best neighbour model: k = 5 on CBL, CBW, CBR,
// CHR, DC, 5/DC and CH, each less its median and divided by its interquartile
// range.
func studyNeighbours(train, test []crown) float64 {
	features := func(c *crown) []float64 {
		v := func(m classify.Measure) float64 { x, _ := c.tooth.Value(m); return x }
		return []float64{v(classify.CBL), v(classify.CBW), v(classify.CBR), v(classify.CHR), v(classify.DC), 5 / v(classify.DC), v(classify.CH)}
	}
	points := make([][]float64, len(train))
	for i := range train {
		points[i] = features(&train[i])
	}
	middle, spread := make([]float64, len(points[0])), make([]float64, len(points[0]))
	column := make([]float64, len(points))
	for j := range middle {
		for i, p := range points {
			column[i] = p[j]
		}
		slices.Sort(column)
		middle[j] = stat.Quantile(0.5, stat.LinInterp, column, nil)
		spread[j] = stat.Quantile(0.75, stat.LinInterp, column, nil) - stat.Quantile(0.25, stat.LinInterp, column, nil)
	}
	return neighbourAccuracy(train, test, points, features, middle, spread, 5)
}

// neighbourAccuracy is the rate of a plain majority of k, classes with equal
// votes settled by the nearer tooth.
func neighbourAccuracy(train, test []crown, points [][]float64, features func(*crown) []float64, middle, spread []float64, k int) float64 {
	hits := 0.0
	for _, c := range plainNeighbours(train, test, points, features, middle, spread, k) {
		if c {
			hits++
		}
	}
	return hits / float64(len(test))
}

func plainNeighbours(train, test []crown, points [][]float64, features func(*crown) []float64, middle, spread []float64, k int) []bool {
	right := make([]bool, len(test))
	for i, c := range plainVotes(train, test, points, features, middle, spread, k) {
		right[i] = c == test[i].class
	}
	return right
}

func plainVotes(train, test []crown, points [][]float64, features func(*crown) []float64, middle, spread []float64, k int) []int {
	scaled := func(p []float64) []float64 {
		z := make([]float64, len(p))
		for j := range p {
			z[j] = (p[j] - middle[j]) / spread[j]
		}
		return z
	}
	placed := make([][]float64, len(points))
	for i, p := range points {
		placed[i] = scaled(p)
	}
	votes := make([]int, len(test))
	for n := range test {
		q := scaled(features(&test[n]))
		hits := make([]model.Hit, len(placed))
		for i, p := range placed {
			var sum float64
			for j := range p {
				sum += (p[j] - q[j]) * (p[j] - q[j])
			}
			hits[i] = model.Hit{Row: i, Square: sum}
		}
		slices.SortFunc(hits, model.CompareHits)
		count := make(map[int]int)
		for _, h := range hits[:k] {
			count[train[h.Row].class]++
		}
		best := train[hits[0].Row].class
		for _, h := range hits[:k] {
			if c := train[h.Row].class; cmp.Compare(count[c], count[best]) > 0 {
				best = c
			}
		}
		votes[n] = best
	}
	return votes
}

// plain is the figure to beat on forms: k = 15 on standardised log CBR, log
// CHR and log CH, on the same folds.
func plain(q question, fold []int, k int) score {
	shares := make([][]float64, len(q.crowns))
	features := func(c *crown) []float64 {
		v := c.seen.Value
		return []float64{v[model.CBW] - v[model.CBL], v[model.CH] - v[model.CBL], v[model.CH]}
	}
	for f := range k {
		train, test, at := split(q.crowns, fold, f)
		points := make([][]float64, len(train))
		for i := range train {
			points[i] = features(&train[i])
		}
		mean, sd := make([]float64, 3), make([]float64, 3)
		column := make([]float64, len(points))
		for j := range mean {
			for i, p := range points {
				column[i] = p[j]
			}
			mean[j], sd[j] = stat.MeanStdDev(column, nil)
		}
		for n, c := range plainVotes(train, test, points, features, mean, sd, 15) {
			shares[at[n]] = make([]float64, len(q.classes))
			shares[at[n]][c] = 1
		}
	}
	s := scoreOf(shares, q.crowns, len(q.classes))
	s.logLoss, s.brier, s.calibration = math.NaN(), math.NaN(), math.NaN()
	return s
}
