package main

import "crownbench/classify/internal/model"

// compose puts the report together.
func compose(f *model.File, trials []trial, all []crown, tell func(string)) string {
	r := new(report)
	r.line("# How far the sorting can be trusted")
	r.line("\nWritten by `go run ./classify/train`; do not edit. Model %s, learned from the teeth with SHA-256 %.8s….", f.Version, f.TeethHash)
	r.line("\nAll figures are for animals that the learner had not seen: ten folds, all teeth of an animal in one fold, the best known animals dealt out first so that folds are equally large. Whatever is chosen, fitted or calibrated comes from the other nine folds. The tooth row is used only by the tasks that carry its name. The shape of the method (logs, gaps filled from a normal distribution, neighbourhood components, a vote weighted by distance) was itself found on these teeth, so the figures flatter it a little.")

	r.line("\n## At a glance\n")
	r.heading("what", "measured", "plain neighbours, same folds", "aim")
	for _, t := range trials {
		o := t.patterns[asGiven]
		n := len(t.q.classes)
		s := scoreOf(o.shares, o.crowns, n)
		base := plain(t.q, evenFolds(t.q.crowns, outerFolds), outerFolds)
		sets := setScore(o, 1, n)
		switch t.q.name {
		case "form":
			r.row("three forms, accuracy", s.accuracy, base.accuracy, "0.866")
			r.row("three forms, balanced", s.balanced, base.balanced, "0.775")
			r.row("three forms, calibration error", s.calibration, "", "≤ 0.04")
			r.row("three forms, 90 % set covers", sets.teeth, "", "0.88–0.93")
			r.row("three forms, 90 % set of one form", sets.single, "", "≥ 0.85")
		case "form lateral":
			r.row("blade or robust, accuracy", s.accuracy, base.accuracy, "0.958")
			r.row("blade or robust, balanced", s.balanced, base.balanced, "0.948")
			r.row("blade or robust, calibration error", s.calibration, "", "≤ 0.04")
			r.row("blade or robust, 90 % set covers", sets.teeth, "", "0.88–0.93")
			r.row("blade or robust, 90 % set of one form", sets.single, "", "≥ 0.85")
		case "clade":
			r.row("18 clades, first", s.accuracy, base.accuracy, "0.595")
			r.row("18 clades, among first three", s.top3, "", "0.76")
			r.row("18 clades, 90 % set covers", sets.teeth, "", "0.88–0.93")
			r.row("18 clades, 90 % set, median size", sets.median, "", "≤ 6")
		}
	}
	q, theirs, ours := study(all)
	tell("study compared")
	for i := range theirs {
		r.row("study's classes, shuffle "+string(rune('1'+i)), ours[i].mean, theirs[i].mean, "0.72; published 0.699 ± 0.015")
	}
	for _, t := range trials {
		r.task(t)
	}
	r.splits([]trial{trials[0], trials[1], trials[3]})
	tell("splits compared")

	r.line("\n## The 2025 study's classes\n")
	r.line("%d teeth, %d classes, five folds with classes spread evenly, through animals, which flatters every method; kept to compare. Published: 0.699 ± 0.015 for neighbours with robust scaling, 0.723 ± 0.025 for the best model (Marques and others 2025). Mean ± standard deviation over folds.\n", len(q.crowns), len(q.classes))
	r.heading("shuffle", "the study's neighbours, k = 5", "learned distance")
	for i := range theirs {
		r.line("| %d | %.3f ± %.3f | %.3f ± %.3f |", studySeeds[i], theirs[i].mean, theirs[i].sd, ours[i].mean, ours[i].sd)
	}
	r.line("%s", limits)
	return r.String()
}

const limits = `
## What limits it

- Animals, not teeth, are the sample. A few skulls give dozens of teeth, and where one of them falls moves every figure by a percent or two, as the table of splits shows.
- Which measurements a tooth has goes with who measured it, and that with the animal. Figures "as given" profit from it a little; those by query, where all teeth are cut to the same measurements, do not.
- Forms are labels of whole dentitions. The last teeth of a robust jaw and the first of a blade-toothed one are what their neighbours say, not what their label says.
- Where an aim for the forms is missed, it is by less than the splits differ. Front teeth are what three forms lose most on: nearly half of the misses are front crowns called something else.
- Clades known from very few animals cannot be found once those are held out. None of the 41 teeth of Basalmost Theropoda and Basal Coelurosauria is in its 90 % set, so the sets must hold nearly 93 % of the rest, and that makes them wider than the aim: seven clades instead of six.
- Sets keep their coverage over all teeth, not in every class: rare clades are covered less, as their tables show.
`
