package main

import (
	"fmt"
	"math/rand/v2"

	"crownbench/classify/internal/model"
)

// curveParts are the parts of the animals that the learner is given, to show
// what more teeth would bring.
var curveParts = []float64{0.25, 0.5, 0.75, 1}

// curve learns a question from a part of the animals of the other nine folds
// only, on the first shuffled split, and scores all teeth.
func curve(q question, s setting, balance, part float64) (teeth float64, sc score) {
	fold := folds(q.crowns, outerFolds, repeatSeeds[0])
	list := animals(q.crowns)
	rnd := rand.New(rand.NewPCG(repeatSeeds[0], 22))
	rnd.Shuffle(len(list), func(i, j int) { list[i], list[j] = list[j], list[i] })
	kept := make(map[int]bool)
	for _, a := range list[:int(part*float64(len(list)))] {
		kept[a.individual] = true
	}
	shares := make([][]float64, len(q.crowns))
	used := make([]int, outerFolds)
	eachFold(outerFolds, func(f int) {
		all, test, at := split(q.crowns, fold, f)
		var train []crown
		for _, c := range all {
			if kept[c.individual] {
				train = append(train, c)
			}
		}
		used[f] = len(train)
		fit := learn(train, s)
		for i, b := range vote(fit, train, test, asGiven, len(q.classes), false) {
			shares[at[i]] = b.balanced(balance)
		}
	})
	for _, n := range used {
		teeth += float64(n) / outerFolds
	}
	return teeth, scoreOf(shares, q.crowns, len(q.classes))
}

// curves writes how the figures grow with the teeth learned from.
func (r *report) curves(f *model.File, trials []trial) {
	r.line("\n## What more teeth bring\n")
	r.line("The first shuffled split, learned from a part of the animals outside each fold; shares uncalibrated, balance as in the model.\n")
	r.heading("task", "animals", "teeth learned from", "accuracy", "balanced", "among first three")
	for _, t := range trials {
		for _, task := range f.Tasks {
			if task.Name != t.q.name {
				continue
			}
			for _, part := range curveParts {
				teeth, s := curve(t.q, favourite(t), task.Balance, part)
				r.row(t.q.name, fmt.Sprintf("%.0f %%", 100*part), fmt.Sprintf("%.0f", teeth), s.accuracy, s.balanced, s.top3)
			}
		}
	}
}
