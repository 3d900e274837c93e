package main

import (
	"math"
	"slices"
	"sync"

	"crownbench/classify/internal/model"
)

// ballot is how a tooth was voted on by teeth of other animals.
type ballot struct {
	shares []float64 // raw, balance 0
	heads  []float64 // teeth of each class that voted
}

// balanced returns the shares with common classes set back.
func (b ballot) balanced(balance float64) []float64 {
	p := make([]float64, len(b.shares))
	var sum float64
	for c, s := range b.shares {
		if b.heads[c] > 0 {
			p[c] = s * math.Pow(b.heads[c], -balance)
		}
		sum += p[c]
	}
	for c := range p {
		if sum > 0 {
			p[c] /= sum
		} else {
			p[c] = 1 / float64(len(p))
		}
	}
	return p
}

// asGiven stands for queries with whatever the tooth has.
const asGiven model.Pattern = 0

func cut(o model.Observation, p model.Pattern) model.Observation {
	if p == asGiven {
		return o
	}
	return p.Cut(o)
}

// vote asks a fitted task about crowns cut to a pattern. With only, the voters
// are limited to teeth that hold the pattern themselves.
func vote(f fitted, voters []crown, queries []crown, p model.Pattern, classes int, only bool) []ballot {
	crowd := f.crowd
	if only && p != asGiven {
		var holders []crown
		for _, c := range voters {
			if p.Holds(&c.seen) {
				holders = append(holders, c)
			}
		}
		if len(holders) == 0 {
			only = false
		} else {
			crowd = gather(f.space, holders)
			voters = holders
		}
	}
	heads := make([]float64, classes)
	for i := range voters {
		heads[voters[i].class]++
	}
	var sight model.Sight
	point := make([]float64, f.space.Dimensions())
	ballots := make([]ballot, len(queries))
	for i := range queries {
		seen := cut(queries[i].seen, p)
		f.space.Place(point, &seen)
		crowd.Measure(point, model.Nobody, &sight)
		shares := make([]float64, classes)
		crowd.Vote(&sight, shares)
		ballots[i] = ballot{shares, heads}
	}
	return ballots
}

// eachFold runs work for every fold, two at a time.
func eachFold(k int, work func(f int)) {
	var wait sync.WaitGroup
	slots := make(chan struct{}, 2)
	for f := range k {
		wait.Add(1)
		slots <- struct{}{}
		go func() {
			defer func() { <-slots; wait.Done() }()
			work(f)
		}()
	}
	wait.Wait()
}

// outOfFold learns a question k times, each time without one fold, and lets
// the rest vote on that fold's crowns, cut to each pattern.
func outOfFold(q question, fold []int, k int, s setting, patterns []model.Pattern) map[model.Pattern][]ballot {
	all := make(map[model.Pattern][]ballot, len(patterns))
	for _, p := range patterns {
		all[p] = make([]ballot, len(q.crowns))
	}
	eachFold(k, func(f int) {
		train, test, at := split(q.crowns, fold, f)
		if len(test) == 0 {
			return
		}
		fit := learn(train, s)
		for _, p := range patterns {
			for i, b := range vote(fit, train, test, p, len(q.classes), false) {
				all[p][at[i]] = b
			}
		}
	})
	return all
}

// goal scores shares for the choice of a setting: for forms the mean of
// accuracy and balanced accuracy, for clades that of first and first three.
func goal(shares [][]float64, crowns []crown, classes int) float64 {
	s := scoreOf(shares, crowns, classes)
	if classes <= 3 {
		return (s.accuracy + s.balanced) / 2
	}
	return (s.accuracy + s.top3) / 2
}

var balances = []float64{0, 0.25, 0.5, 0.75}

// settings lists what is tried: those that won most often among many.
func settings(classes int) []setting {
	if classes > 3 {
		return []setting{{6, 1e-3}}
	}
	return []setting{{6, 1e-3}, {4, 1e-3}}
}

// choice is what grouped validation within some crowns chose.
type choice struct {
	setting setting
	balance float64
	tilt    float64 // see model.Standings
}

// choose picks setting, balance and tilt by grouped validation within q, and
// returns the out-of-fold ballots of the choice for the given patterns.
func choose(q question, k int, seed uint64, patterns []model.Pattern) (choice, map[model.Pattern][]ballot) {
	fold := folds(q.crowns, k, seed)
	var trials []map[model.Pattern][]ballot
	for _, s := range settings(len(q.classes)) {
		trials = append(trials, outOfFold(q, fold, k, s, patterns))
	}
	c, i := pick(q, settings(len(q.classes)), trials)
	return c, trials[i]
}

// pick chooses among the out-of-fold ballots of each setting, and returns the
// place of the chosen one.
func pick(q question, tried []setting, trials []map[model.Pattern][]ballot) (choice, int) {
	var best choice
	var at int
	bestGoal := math.Inf(-1)
	for i, s := range tried {
		for _, b := range balances {
			if g := goal(rebalance(trials[i][asGiven], b), q.crowns, len(q.classes)); g > bestGoal {
				best, at, bestGoal = choice{setting: s, balance: b}, i, g
			}
		}
	}
	prior := priorOf(q.crowns, len(q.classes))
	best.tilt = pickTilt(q, rebalance(trials[at][asGiven], best.balance), prior)
	return best, at
}

var tilts = []float64{0, 0.25, 0.5, 0.75, 1}

// fewestSingle is the part of teeth that should get a 90 % set of one form.
const fewestSingle = 0.85

// pickTilt returns the tilt with the best 90 % sets: of clades, the smallest on
// average; of forms, those that cover the worst covered form best while enough
// of them name one form alone.
func pickTilt(q question, shares [][]float64, prior []float64) float64 {
	var tilt float64
	best := math.Inf(-1)
	for _, t := range tilts {
		c := calibrate(q, asGiven, shares, prior, t)
		worth := -c.Size[1]
		if len(q.classes) <= 3 {
			single, least := formSets(q, shares, prior, t, c)
			worth = single - 1
			if single >= fewestSingle {
				worth = least
			}
		}
		if worth > best {
			tilt, best = t, worth
		}
	}
	return tilt
}

// formSets returns the part of 90 % sets of one class and the least part of a
// class's teeth that they cover.
func formSets(q question, shares [][]float64, prior []float64, tilt float64, c model.Calibration) (single, least float64) {
	o := &outcome{crowns: q.crowns}
	for _, s := range shares {
		o.add(append([]float64(nil), s...), prior, tilt, c)
	}
	least = 1
	for class := range q.classes {
		if teeth, cover := classCoverage(o, class); teeth > 0 {
			least = min(least, cover[1])
		}
	}
	return setScore(o, 1, len(q.classes)).single, least
}

func rebalance(votes []ballot, balance float64) [][]float64 {
	shares := make([][]float64, len(votes))
	for i, b := range votes {
		shares[i] = b.balanced(balance)
	}
	return shares
}

// fewestToCalibrate is the number of teeth that must hold a pattern for it to
// be calibrated on them alone; rarer patterns are calibrated on all teeth, cut
// to it as far as they go.
const fewestToCalibrate = 150

// calibrate fits what model.Calibration holds on out-of-fold shares.
func calibrate(q question, p model.Pattern, shares [][]float64, prior []float64, tilt float64) model.Calibration {
	rows := holders(q.crowns, p)
	c := model.Calibration{Pattern: p, Teeth: len(rows)}
	c.Power, c.Mix = sharpness(q, rows, shares, prior)
	standing := model.Standings(prior, tilt)
	final := make([][]float64, len(rows)) // standings
	truth := make([]float64, len(rows))
	animals := make([]float64, len(rows)) // every animal weighs the same
	single := make([]float64, len(rows))  // every tooth does
	teeth := make(map[int]float64)
	for _, i := range rows {
		teeth[q.crowns[i].individual]++
	}
	for n, i := range rows {
		final[n] = append([]float64(nil), shares[i]...)
		model.Calibrate(final[n], prior, c.Power, c.Mix)
		if largest(final[n]) == q.crowns[i].class {
			c.Hit += 1 / float64(len(rows))
		}
		shares := slices.Clone(final[n])
		model.Stand(final[n], shares, standing)
		truth[n] = final[n][q.crowns[i].class]
		animals[n] = 1 / teeth[q.crowns[i].individual]
		single[n] = 1
	}
	for level, coverage := range model.Coverages {
		// The promise is meant for the next animal and for the next tooth.
		c.Floor[level] = min(
			conformalFloor(truth, animals, float64(len(teeth)), coverage),
			conformalFloor(truth, single, float64(len(teeth)), coverage))
		for _, s := range final {
			for _, v := range s {
				if v >= c.Floor[level] {
					c.Size[level] += 1 / float64(len(rows))
				}
			}
		}
	}
	return c
}

// sharpness returns the power and the mix of the prior that make the shares of
// rows truest (log loss).
func sharpness(q question, rows []int, shares [][]float64, prior []float64) (bestPower, bestMix float64) {
	best := math.Inf(1)
	sharp := make([]float64, len(prior))
	for _, power := range []float64{0.5, 0.6, 0.7, 0.8, 0.9, 1, 1.1, 1.25} {
		var own, base []float64
		for _, i := range rows {
			var sum float64
			for c, s := range shares[i] {
				sharp[c] = 0
				if s > 0 {
					sharp[c] = math.Pow(s, power)
				}
				sum += sharp[c]
			}
			class := q.crowns[i].class
			own, base = append(own, sharp[class]/sum), append(base, prior[class])
		}
		for _, mix := range []float64{0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.15} {
			var loss float64
			for n := range own {
				loss -= math.Log((1-mix)*own[n] + mix*base[n])
			}
			if loss < best {
				best, bestPower, bestMix = loss, power, mix
			}
		}
	}
	return bestPower, bestMix
}

// holders returns the crowns a pattern is calibrated on.
func holders(crowns []crown, p model.Pattern) []int {
	var rows []int
	for i := range crowns {
		if p == asGiven || p.Holds(&crowns[i].seen) {
			rows = append(rows, i)
		}
	}
	if len(rows) >= min(fewestToCalibrate, len(crowns)/2) {
		return rows
	}
	rows = rows[:0]
	for i := range crowns {
		rows = append(rows, i)
	}
	return rows
}

// conformalFloor returns the share that the true classes of the wanted part of
// teeth reach, with the correction for n animals that split conformal
// prediction asks (Vovk, Gammerman & Shafer 2005).
func conformalFloor(truth, weight []float64, n, coverage float64) float64 {
	order := make([]int, len(truth))
	for i := range order {
		order[i] = i
	}
	sortBy(order, func(i int) float64 { return truth[i] })
	var all float64
	for _, w := range weight {
		all += w
	}
	below := ((1-coverage)*(n+1) - 1) / n * all
	if below < 0 {
		return 0 // so few animals cannot promise it
	}
	for _, i := range order {
		if below -= weight[i]; below < 0 {
			return truth[i]
		}
	}
	return 0
}
