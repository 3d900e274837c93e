package main

import (
	"cmp"
	"math/rand/v2"
	"slices"
)

// folds parts crowns into k folds so that no animal is in two: fold[i] is that
// of crown i. Animals are shuffled by seed and dealt out in turn.
func folds(crowns []crown, k int, seed uint64) []int {
	animals := animals(crowns)
	rnd := rand.New(rand.NewPCG(seed, 20))
	rnd.Shuffle(len(animals), func(i, j int) { animals[i], animals[j] = animals[j], animals[i] })
	of := make(map[int]int)
	for i, a := range animals {
		of[a.individual] = i % k
	}
	return assign(crowns, of)
}

// evenFolds deals animals, the best known first, each to the fold that has the
// fewest teeth so far, so that folds are equally large.
func evenFolds(crowns []crown, k int) []int {
	animals := animals(crowns)
	slices.SortStableFunc(animals, func(a, b animal) int { return cmp.Compare(b.teeth, a.teeth) })
	load := make([]int, k)
	of := make(map[int]int)
	for _, a := range animals {
		least := 0
		for i := range load {
			if load[i] < load[least] {
				least = i
			}
		}
		load[least] += a.teeth
		of[a.individual] = least
	}
	return assign(crowns, of)
}

type animal struct{ individual, teeth int }

// animals lists the individuals in the order of their first tooth.
func animals(crowns []crown) []animal {
	place := make(map[int]int)
	var list []animal
	for i := range crowns {
		id := crowns[i].individual
		if _, ok := place[id]; !ok {
			place[id] = len(list)
			list = append(list, animal{individual: id})
		}
		list[place[id]].teeth++
	}
	return list
}

func assign(crowns []crown, of map[int]int) []int {
	fold := make([]int, len(crowns))
	for i := range crowns {
		fold[i] = of[crowns[i].individual]
	}
	return fold
}

// classFolds parts crowns into k folds with the classes equally spread, through
// animals: the split of the 2025 study, kept only to compare with it.
func classFolds(crowns []crown, classes, k int, seed uint64) []int {
	rnd := rand.New(rand.NewPCG(seed, 21))
	fold := make([]int, len(crowns))
	next := 0
	for c := range classes {
		var members []int
		for i := range crowns {
			if crowns[i].class == c {
				members = append(members, i)
			}
		}
		rnd.Shuffle(len(members), func(i, j int) { members[i], members[j] = members[j], members[i] })
		for _, i := range members {
			fold[i] = next % k
			next++
		}
	}
	return fold
}

// split returns the crowns outside and inside fold f, and the places of the
// latter.
func split(crowns []crown, fold []int, f int) (train, test []crown, at []int) {
	for i := range crowns {
		if fold[i] == f {
			test = append(test, crowns[i])
			at = append(at, i)
		} else {
			train = append(train, crowns[i])
		}
	}
	return train, test, at
}
