package main

import (
	"fmt"

	"crownbench/classify/internal/model"
)

// splits shows how much a figure owes to the split: the setting most folds
// chose, on the even split and two shuffled ones, beside plain neighbours on
// the very same folds.
func (r *report) splits(trials []trial) {
	r.line("\n## How much the split matters\n")
	r.line("The setting chosen most often, learned anew on other splits into ten folds by animal; shares uncalibrated. Plain neighbours: k = 15 on standardised log CBR, log CHR, log CH, on the same folds.\n")
	r.heading("task", "split", "accuracy", "balanced", "among first three", "plain: accuracy", "plain: balanced")
	for _, t := range trials {
		s, balance := favourite(t)
		for split := range 3 {
			name, fold := "even", evenFolds(t.q.crowns, outerFolds)
			if split > 0 {
				name, fold = fmt.Sprintf("shuffled %d", split), folds(t.q.crowns, outerFolds, uint64(split))
			}
			votes := outOfFold(t.q, fold, outerFolds, s, []model.Pattern{asGiven})[asGiven]
			a := scoreOf(rebalance(votes, balance), t.q.crowns, len(t.q.classes))
			b := plain(t.q, fold, outerFolds)
			r.row(t.q.name, name, a.accuracy, a.balanced, a.top3, b.accuracy, b.balanced)
		}
	}
}

func favourite(t trial) (setting, float64) {
	type pair struct {
		s setting
		b float64
	}
	count := make(map[pair]int)
	var best pair
	for i, s := range t.settings {
		p := pair{s, t.balance[i]}
		if count[p]++; count[p] > count[best] {
			best = p
		}
	}
	return best.s, best.b
}
