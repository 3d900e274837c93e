package lesson

import (
	"slices"

	"crownbench/morph/agreement"
)

// Naming is how the class named the teeth.
type Naming struct {
	Choices []string
	// Counts tells, by tooth and choice, how many students chose it.
	Counts [][]int
	// Truth is the right choice by tooth, −1 where the key does not say.
	Truth []int
	// Confusion counts, by right choice and chosen one, over all teeth whose
	// right choice is known.
	Confusion [][]int
	Right, Of int
	// WithKey is agreement with the key, Among that between students.
	WithKey    agreement.Kappa
	WithKeyWhy string
	Among      agreement.Kappa
	AmongWhy   string
}

func namingOf(k *Key, students []*reviewed) *Naming {
	choices := k.Lesson.Choices
	n := &Naming{Choices: choices, Counts: square(len(k.Teeth), len(choices)), Confusion: square(len(choices), len(choices))}
	for _, t := range k.Teeth {
		n.Truth = append(n.Truth, slices.Index(choices, t.Truth))
	}
	var tables [][][]int
	for _, s := range students {
		table := square(len(choices), len(choices))
		judged := false
		for tooth, choice := range s.named {
			n.Counts[tooth][choice]++
			truth := n.Truth[tooth]
			if truth < 0 {
				continue
			}
			judged = true
			table[truth][choice]++
			n.Confusion[truth][choice]++
			n.Of++
			if truth == choice {
				n.Right++
			}
		}
		if judged {
			tables = append(tables, table)
		}
	}
	n.WithKey, n.WithKeyWhy = said(agreement.KappaWithKey(tables))
	n.Among, n.AmongWhy = said(agreement.FleissKappa(n.Counts))
	return n
}

func square(rows, columns int) [][]int {
	m := make([][]int, rows)
	for i := range m {
		m[i] = make([]int, columns)
	}
	return m
}
