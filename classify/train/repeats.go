package main

import (
	"fmt"
	"math"

	"gonum.org/v1/gonum/stat"

	"crownbench/classify/internal/model"
)

// repeatSeeds are the shuffled splits that the headline figures are averaged
// over, so that no lucky split is the one reported.
var repeatSeeds = []uint64{1, 2, 3, 4, 5}

// repeat is one shuffled split of a question into ten folds, and plain
// neighbours on the same folds.
type repeat struct {
	outcome *outcome
	plain   score
}

// repeats tests a question on shuffled splits. The setting is the one that most
// folds of the nested test chose; balance, tilt, calibration and floors of a
// fold come from the out-of-fold shares of the other nine.
func repeats(t trial) []repeat {
	var list []repeat
	s := favourite(t)
	for _, seed := range repeatSeeds {
		fold := folds(t.q.crowns, outerFolds, seed)
		votes := outOfFold(t.q, fold, outerFolds, s, []model.Pattern{asGiven})[asGiven]
		o := &outcome{}
		for f := range outerFolds {
			rest := question{name: t.q.name, classes: t.q.classes}
			var ballots []ballot
			for i, c := range t.q.crowns {
				if fold[i] != f {
					rest.crowns, ballots = append(rest.crowns, c), append(ballots, votes[i])
				}
			}
			chosen, _ := pick(rest, []setting{s}, []map[model.Pattern][]ballot{{asGiven: ballots}})
			prior := priorOf(rest.crowns, len(rest.classes))
			c := calibrate(rest, asGiven, rebalance(ballots, chosen.balance), prior, chosen.tilt)
			for i, held := range t.q.crowns {
				if fold[i] == f {
					o.crowns = append(o.crowns, held)
					o.add(votes[i].balanced(chosen.balance), prior, chosen.tilt, c)
				}
			}
		}
		list = append(list, repeat{o, plain(t.q, fold, outerFolds)})
	}
	return list
}

func favourite(t trial) setting {
	count := make(map[setting]int)
	var best setting
	for _, c := range t.choices {
		if count[c.setting]++; count[c.setting] > count[best] {
			best = c.setting
		}
	}
	return best
}

// figure is a measure of an outcome.
type figure func(o *outcome, classes int) float64

var (
	accuracy    figure = func(o *outcome, n int) float64 { return scoreOf(o.shares, o.crowns, n).accuracy }
	balanced    figure = func(o *outcome, n int) float64 { return scoreOf(o.shares, o.crowns, n).balanced }
	topThree    figure = func(o *outcome, n int) float64 { return scoreOf(o.shares, o.crowns, n).top3 }
	calibration figure = func(o *outcome, n int) float64 { return scoreOf(o.shares, o.crowns, n).calibration }
	covers      figure = func(o *outcome, n int) float64 { return setScore(o, 1, n).teeth }
	single      figure = func(o *outcome, n int) float64 { return setScore(o, 1, n).single }
	medianSize  figure = func(o *outcome, n int) float64 { return float64(setScore(o, 1, n).median) }
	meanSize    figure = func(o *outcome, n int) float64 { return setScore(o, 1, n).mean }
	leastClass  figure = func(o *outcome, n int) float64 {
		least := math.Inf(1)
		for c := range n {
			if teeth, cover := classCoverage(o, c); teeth > 0 {
				least = min(least, cover[1])
			}
		}
		return least
	}
)

// over writes the mean and standard deviation of a figure over the splits.
func over(list []repeat, f figure, classes int) string {
	x := make([]float64, len(list))
	for i := range list {
		x[i] = f(list[i].outcome, classes)
	}
	mean, sd := stat.MeanStdDev(x, nil)
	return fmt.Sprintf("%.3f ± %.3f", mean, sd)
}

// splits lists every split by itself.
func (r *report) splits(trials []trial, repeated [][]repeat) {
	r.line("\n## How much the split matters\n")
	r.line("Each of the shuffled splits by itself. Plain neighbours: k = 15 on standardised log CBR, log CHR, log CH, on the same folds.\n")
	r.heading("task", "shuffle", "accuracy", "balanced", "among first three", "90 % set covers", "worst covered class", "set of one class", "mean size", "plain: accuracy", "plain: balanced")
	for i, t := range trials {
		n := len(t.q.classes)
		for k, x := range repeated[i] {
			o := x.outcome
			r.row(t.q.name, repeatSeeds[k], accuracy(o, n), balanced(o, n), topThree(o, n), covers(o, n), leastClass(o, n), single(o, n), fmt.Sprintf("%.2f", meanSize(o, n)), x.plain.accuracy, x.plain.balanced)
		}
	}
}
