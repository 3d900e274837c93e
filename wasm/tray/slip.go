package tray

import (
	"cmp"
	"fmt"
	"maps"
	"slices"

	"crownbench/classify"
)

// Slip is a single mistake that would explain why a tooth lies outside of
// everything known: with it mended, the tooth lies within.
type Slip struct {
	Words string // as a clause: "CBW is 15.15 mm rather than 151.5 mm"
	reach float64
}

// slipLengths are the lengths that a person may give in a wrong unit.
var slipLengths = []classify.Measure{classify.CBL, classify.CBW, classify.CH, classify.AL}

// slipFactors turn the usual wrong units into mm: cm taken for mm and the other
// way round, a decimal mark in the wrong place, inches.
var slipFactors = []float64{10, 0.1, 25.4}

// slipReach is the percentile that a mended tooth must stay below to count as
// lying within.
const slipReach = 90

// slips gives the mistakes that explain why q lies outside, at most two, those
// that bring the tooth nearest first: one length, all lengths, or length and
// width exchanged.
func slips(teeth *classify.Reference, q classify.Query) []Slip {
	var found []Slip
	try := func(words string, values map[classify.Measure]float64) {
		mended := q
		mended.Values = values
		for m, v := range values {
			if classify.CheckValue(m, v) != nil {
				return
			}
		}
		a := teeth.Sort(mended, classify.Options{Brief: true})
		if !a.Reach.Outside && a.Reach.Percentile < slipReach {
			found = append(found, Slip{words, a.Reach.Percentile})
		}
	}
	given := 0
	for _, m := range slipLengths {
		if q.Values[m] > 0 {
			given++
		}
	}
	for _, factor := range slipFactors {
		all := maps.Clone(q.Values)
		for _, m := range slipLengths {
			v := q.Values[m]
			if v == 0 {
				continue
			}
			all[m] = v * factor
			one := maps.Clone(q.Values)
			one[m] = v * factor
			if given > 1 {
				try(fmt.Sprintf("%s is %.6g mm rather than %.6g mm", m, v*factor, v), one)
			}
		}
		if given > 0 {
			try(map[float64]string{10: "the lengths were given in cm", 0.1: "the lengths are ten times too long", 25.4: "the lengths were given in inches"}[factor], all)
		}
	}
	if l, w := q.Values[classify.CBL], q.Values[classify.CBW]; l > 0 && w > 0 {
		turned := maps.Clone(q.Values)
		turned[classify.CBL], turned[classify.CBW] = w, l
		try("CBL and CBW are exchanged", turned)
	}
	return nearestSlips(found)
}

// slipsTold bounds how many guesses are worth a person's time.
const slipsTold = 2

func nearestSlips(found []Slip) []Slip {
	slices.SortStableFunc(found, func(a, b Slip) int { return cmp.Compare(a.reach, b.reach) })
	return found[:min(len(found), slipsTold)]
}
