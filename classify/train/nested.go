package main

import (
	"crownbench/classify/internal/model"
)

// trial is the honest test of a question: everything that is chosen, fitted or
// calibrated comes from the other nine folds.
type trial struct {
	q        question
	choices  []choice // by outer fold
	patterns map[model.Pattern]*outcome
}

// outcome holds what was predicted for the teeth that hold a pattern.
type outcome struct {
	crowns []crown
	shares [][]float64
	sets   [][3][]int  // classes in the set, by coverage
	only   [][]float64 // shares when only teeth that hold the pattern vote
}

// add calibrates shares and puts them and their sets beside the others.
func (o *outcome) add(shares, prior []float64, tilt float64, c model.Calibration) {
	model.Calibrate(shares, prior, c.Power, c.Mix)
	standing := model.Standings(prior, tilt)
	var sets [3][]int
	stands := make([]float64, len(shares))
	model.Stand(stands, shares, standing)
	for level, floor := range c.Floor {
		for class, v := range stands {
			if v >= floor {
				sets[level] = append(sets[level], class)
			}
		}
	}
	o.shares = append(o.shares, shares)
	o.sets = append(o.sets, sets)
}

const (
	outerFolds = 10
	seed       = 1
)

// innerFolds is by how many folds of the rest a question's choices are made and
// its shares calibrated: as many as for the model itself, so that the metric that
// its sets and shares are calibrated with is as good as the one that answers.
const innerFolds = outerFolds

// test runs the nested validation of q for the given patterns; the first must
// be asGiven.
func test(q question, patterns []model.Pattern) trial {
	t := trial{q: q, patterns: make(map[model.Pattern]*outcome)}
	for _, p := range patterns {
		t.patterns[p] = &outcome{}
	}
	fold := evenFolds(q.crowns, outerFolds)
	for f := range outerFolds {
		train, held, _ := split(q.crowns, fold, f)
		inner := question{q.name, q.classes, train}
		chosen, votes := choose(inner, innerFolds, seed+uint64(f)+100, patterns)
		t.choices = append(t.choices, chosen)
		balance := chosen.balance
		fit := learn(train, chosen.setting)
		prior := priorOf(train, len(q.classes))
		for _, p := range patterns {
			c := calibrate(inner, p, rebalance(votes[p], balance), prior, chosen.tilt)
			all := vote(fit, train, held, p, len(q.classes), false)
			only := vote(fit, train, held, p, len(q.classes), true)
			o := t.patterns[p]
			for i := range held {
				if p != asGiven && !p.Holds(&held[i].seen) {
					continue
				}
				o.crowns = append(o.crowns, held[i])
				o.add(all[i].balanced(balance), prior, chosen.tilt, c)
				o.only = append(o.only, only[i].balanced(balance))
			}
		}
	}
	return t
}

// priorOf returns the parts of the classes among crowns.
func priorOf(crowns []crown, classes int) []float64 {
	prior := make([]float64, classes)
	for i := range crowns {
		prior[crowns[i].class] += 1 / float64(len(crowns))
	}
	return prior
}
