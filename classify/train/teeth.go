package main

import (
	"slices"

	"crownbench/classify"
	"crownbench/classify/internal/model"
)

// crown is a reference tooth as the learner sees it.
type crown struct {
	tooth      *classify.Tooth
	seen       model.Observation
	individual int
	class      int
	kind       int // class to be told apart in learning, finer than class
}

// channels are the measures of the model's coordinates, in their order.
var channels = [model.MesialAbsent]classify.Measure{
	classify.CBL, classify.CBW, classify.CH, classify.AL, classify.MCL, classify.MCW, classify.MC, classify.DC,
}

// crowns converts the published teeth; classes are unset.
func crowns() []crown {
	teeth := classify.Published().Teeth()
	number := make(map[string]int)
	list := make([]crown, len(teeth))
	for i := range teeth {
		t := &teeth[i]
		var measured, exact [model.MesialAbsent]float64
		for c, m := range channels {
			measured[c], _ = t.Value(m)
		}
		if _, ok := number[t.Individual]; !ok {
			number[t.Individual] = len(number)
		}
		list[i] = crown{
			tooth:      t,
			seen:       model.Crown(measured, exact, model.State(t.MesialDenticles), model.State(t.DistalDenticles)),
			individual: number[t.Individual],
		}
	}
	return list
}

// hasBasics reports whether a tooth has CBL, CBW and CH, which every published
// figure to compare with asks for.
func (c *crown) hasBasics() bool {
	return c.seen.Has(model.CBL) && c.seen.Has(model.CBW) && c.seen.Has(model.CH)
}

// question is a task before it is learned.
type question struct {
	name    string
	classes []string
	crowns  []crown
}

// fewestOfClade is the number of teeth, with CBL, CBW and CH, that a clade
// needs to be a class.
const fewestOfClade = 10

// ask picks the teeth with the basics that admit accepts, with classes named
// by label, in order when given, else those of at least fewestOfClade teeth in
// alphabetical order.
func ask(name string, all []crown, order []string, label func(*classify.Tooth) string, admit func(*classify.Tooth) bool) question {
	count := make(map[string]int)
	for i := range all {
		if all[i].hasBasics() && admit(all[i].tooth) {
			count[label(all[i].tooth)]++
		}
	}
	if order == nil {
		for class, n := range count {
			if class != "" && n >= fewestOfClade {
				order = append(order, class)
			}
		}
		slices.Sort(order)
	}
	q := question{name: name, classes: order}
	for _, c := range all {
		if !c.hasBasics() || !admit(c.tooth) {
			continue
		}
		if c.class = slices.Index(order, label(c.tooth)); c.class >= 0 {
			c.kind = c.class
			q.crowns = append(q.crowns, c)
		}
	}
	return q
}

// refine gives the crowns kinds: the classes of a name within each class, those
// of fewer than fewestOfClade teeth taken together. A blade-like dromaeosaurid
// and a blade-like allosaurid crown have little in common; a distance that need
// not bring them together tells forms apart better.
func (q question) refine(name func(*classify.Tooth) string) question {
	type pair struct {
		class int
		name  string
	}
	count := make(map[pair]int)
	for _, c := range q.crowns {
		count[pair{c.class, name(c.tooth)}]++
	}
	number := make(map[pair]int)
	for i := range q.crowns {
		c := &q.crowns[i]
		p := pair{c.class, name(c.tooth)}
		if count[p] < fewestOfClade {
			p.name = ""
		}
		if _, ok := number[p]; !ok {
			number[p] = len(number)
		}
		c.kind = number[p]
	}
	return q
}

// questions returns the tasks of the model: the form with the tooth row
// unknown, lateral and mesial; and the clade, the same three ways.
func questions(all []crown) []question {
	form := func(t *classify.Tooth) string { return string(t.Form) }
	clade := func(t *classify.Tooth) string { return t.Clade }
	any := func(*classify.Tooth) bool { return true }
	lateral := func(t *classify.Tooth) bool { return t.Row == classify.Lateral }
	mesial := func(t *classify.Tooth) bool { return t.Row == classify.Mesial }
	bladed := func(t *classify.Tooth) bool { return t.Form != classify.Front }
	return []question{
		ask("form", all, []string{"blade", "robust", "front"}, form, any).refine(clade),
		ask("form lateral", all, []string{"blade", "robust"}, form, bladed).refine(clade),
		ask("form mesial", all, []string{"front", "robust"}, form, mesial).refine(clade),
		ask("clade", all, nil, clade, any),
		ask("clade lateral", all, nil, clade, lateral),
		ask("clade mesial", all, nil, clade, mesial),
	}
}
