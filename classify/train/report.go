package main

import (
	"fmt"
	"strconv"
	"strings"

	"crownbench/classify/internal/model"
)

// common are the queries a user is likely to bring, in words.
var common = []struct {
	pattern model.Pattern
	words   string
}{
	{model.HasCBR | model.HasCH | model.HasDC, "the card's least: CBR, CH, DC"},
	{model.HasCBL | model.HasCBW, "CBL, CBW"},
	{model.HasCBL | model.HasCBW | model.HasCH, "CBL, CBW, CH"},
	{model.HasCBL | model.HasCBW | model.HasCH | model.HasDC, "CBL, CBW, CH, DC"},
	{model.HasCBL | model.HasCBW | model.HasCH | model.HasAL, "CBL, CBW, CH, AL"},
	{model.HasCBL | model.HasCBW | model.HasCH | model.HasAL | model.HasDC, "CBL, CBW, CH, AL, DC"},
	{model.HasCBL | model.HasCBW | model.HasCH | model.HasAL | model.HasDC | model.HasMC, "CBL, CBW, CH, AL, DC, MC"},
}

func reported() []model.Pattern {
	list := []model.Pattern{asGiven}
	for _, c := range common {
		list = append(list, c.pattern)
	}
	return list
}

// report writes the validation in Markdown.
type report struct{ strings.Builder }

func (r *report) line(format string, args ...any) { fmt.Fprintf(r, format+"\n", args...) }

func (r *report) row(cells ...any) {
	for _, c := range cells {
		switch v := c.(type) {
		case float64:
			fmt.Fprintf(r, "| %.3f ", v)
		default:
			fmt.Fprintf(r, "| %v ", v)
		}
	}
	r.line("|")
}

func (r *report) heading(cells ...string) {
	r.line("| %s |", strings.Join(cells, " | "))
	r.line("|%s", strings.Repeat("---|", len(cells)))
}

func (r *report) task(t trial) {
	o := t.patterns[asGiven]
	n := len(t.q.classes)
	s := scoreOf(o.shares, o.crowns, n)
	r.line("\n## %s\n", t.q.name)
	r.line("%d teeth of %d animals, %d classes. Ten folds by animal; setting, balance, tilt, calibration and floors chosen inside the other nine, by %d folds by animal.\n", len(o.crowns), len(animals(o.crowns)), n, innerFolds)
	r.heading("accuracy", "balanced", "among first three", "log loss", "Brier", "calibration error")
	r.row(s.accuracy, s.balanced, s.top3, s.logLoss, s.brier, s.calibration)
	r.line("\nChosen in the ten folds (dimensions, lambda; balance, tilt): %s.\n", chosen(t))

	r.line("Sets by wanted coverage. Coverage by teeth and by animals (each animal's teeth weigh one together).\n")
	r.heading("wanted", "by teeth", "by animals", "mean size", "median size", "one class", "empty", "all classes")
	for level, wanted := range model.Coverages {
		x := setScore(o, level, n)
		r.row(fmt.Sprintf("%.0f %%", wanted*100), x.teeth, x.animals, fmt.Sprintf("%.2f", x.mean), x.median, x.single, x.empty, x.full)
	}
	r.line("\nBy class: recall, and coverage of the sets by teeth.\n")
	r.heading("class", "teeth", "recall", "80 %", "90 %", "95 %")
	for c, name := range t.q.classes {
		teeth, cover := classCoverage(o, c)
		recall := 0.0
		if teeth > 0 {
			recall = float64(s.confusion[strconv.Itoa(c)][strconv.Itoa(c)]) / float64(teeth)
		}
		r.row(name, teeth, recall, cover[0], cover[1], cover[2])
	}
	r.line("\nReliability of the largest share.\n")
	r.heading("share", "teeth", "said", "found")
	for _, b := range reliability(o.shares, o.crowns) {
		if b.teeth > 0 {
			r.row(fmt.Sprintf("%.1f–%.1f", b.low, b.high), b.teeth, b.said, b.found)
		}
	}
	if n <= 3 {
		r.line("\nConfusion: rows true, columns said.\n")
		r.heading(append([]string{""}, t.q.classes...)...)
		for a, name := range t.q.classes {
			cells := []any{name}
			for b := range t.q.classes {
				cells = append(cells, s.confusion[strconv.Itoa(a)][strconv.Itoa(b)])
			}
			r.row(cells...)
		}
	}
	r.line("\nBy what the query has: teeth that hold it, cut to exactly that. \"All vote\": gaps of the published teeth are filled, all of them compared. \"Only holders\": those lacking a measurement stand aside.\n")
	r.heading("query", "teeth", "all vote: accuracy", "balanced", "first three", "only holders: accuracy", "balanced", "first three", "90 % set: covers", "mean size")
	for _, c := range common {
		o := t.patterns[c.pattern]
		if len(o.crowns) == 0 {
			continue
		}
		a := scoreOf(o.shares, o.crowns, n)
		b := scoreOf(o.only, o.crowns, n)
		x := setScore(o, 1, n)
		r.row(c.words, len(o.crowns), a.accuracy, a.balanced, a.top3, b.accuracy, b.balanced, b.top3, x.teeth, fmt.Sprintf("%.2f", x.mean))
	}
}

func chosen(t trial) string {
	count := make(map[string]int)
	var order []string
	for _, c := range t.choices {
		key := fmt.Sprintf("%d, %g; %g, %g", c.setting.rank, c.setting.lambda, c.balance, c.tilt)
		if count[key] == 0 {
			order = append(order, key)
		}
		count[key]++
	}
	for i, key := range order {
		order[i] = fmt.Sprintf("%s (%d×)", key, count[key])
	}
	return strings.Join(order, "; ")
}

type setSummary struct {
	teeth, animals      float64
	mean                float64
	median              int
	single, empty, full float64
}

func setScore(o *outcome, level, classes int) setSummary {
	var s setSummary
	n := float64(len(o.sets))
	teeth := make(map[int]float64)
	for i := range o.crowns {
		teeth[o.crowns[i].individual]++
	}
	sizes := make([]int, classes+1)
	for i, sets := range o.sets {
		set := sets[level]
		sizes[len(set)]++
		s.mean += float64(len(set)) / n
		for _, c := range set {
			if c == o.crowns[i].class {
				s.teeth += 1 / n
				s.animals += 1 / teeth[o.crowns[i].individual] / float64(len(teeth))
			}
		}
	}
	s.single, s.empty, s.full = float64(sizes[1])/n, float64(sizes[0])/n, float64(sizes[classes])/n
	seen := 0
	for size, k := range sizes {
		if seen += k; 2*seen >= len(o.sets) {
			s.median = size
			break
		}
	}
	return s
}

func classCoverage(o *outcome, class int) (teeth int, cover [3]float64) {
	for i, sets := range o.sets {
		if o.crowns[i].class != class {
			continue
		}
		teeth++
		for level, set := range sets {
			for _, c := range set {
				if c == class {
					cover[level]++
				}
			}
		}
	}
	for level := range cover {
		if teeth > 0 {
			cover[level] /= float64(teeth)
		}
	}
	return teeth, cover
}
