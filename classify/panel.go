package classify

import (
	_ "embed"
	"math"
	"slices"
	"sync"

	"crownbench/classify/internal/model"
)

//go:embed model.json
var modelFile []byte

// learned returns the model that the program carries, read at the first call.
var learned = sync.OnceValue(func() *model.File {
	f, err := model.Parse(modelFile)
	if err != nil {
		panic("model.json: " + err.Error())
	}
	return f
})

// panel is the part of a sample that answers one question, placed in the space
// learned for it.
type panel struct {
	task  *model.Task
	space *model.Space
	teeth []*Tooth
	crowd *model.Crowd
	// animal numbers the individuals of teeth, as crowd knows them.
	animal map[string]int
	work   sync.Pool // of *workspace
}

// workspace is memory for one look at a panel.
type workspace struct {
	point, squares, shares []float64
}

// observe returns what the model sees of a crown.
func observe(v *values, u *values, mesial, distal DenticleState) model.Observation {
	var measured, error [model.MesialAbsent]float64
	for c, i := range compared {
		measured[c] = v[i]
		if u != nil {
			error[c] = u[i]
		}
	}
	o := model.Crown(measured, error, model.State(mesial), model.State(distal))
	for _, r := range []struct{ channel, ratio, over int }{
		{model.CBR, iCBR, model.CBW}, {model.CHR, iCHR, model.CH},
	} {
		if v[r.ratio] > 0 && !(o.Has(r.over) && o.Has(model.CBL)) {
			var ur float64
			if u != nil {
				ur = u[r.ratio]
			}
			log, variance := model.Log(v[r.ratio], ur)
			o.Set(r.channel, log, variance)
		}
	}
	return o
}

// observation of a reference tooth.
func (t *Tooth) observation() model.Observation {
	return observe(&t.values, nil, t.MesialDenticles, t.DistalDenticles)
}

// hasBasics reports whether a tooth has CBL, CBW and CH. Others of the table
// are not compared: too much of their place would be guessed.
func (t *Tooth) hasBasics() bool {
	return t.values[iCBL] > 0 && t.values[iCBW] > 0 && t.values[iCH] > 0
}

// question names a task of the model by what is asked and the tooth row.
func question(what string, row ToothRow) string {
	switch row {
	case Lateral:
		return what + " lateral"
	case Mesial:
		return what + " mesial"
	}
	return what
}

// panel returns the panel for a task, built once.
func (r *Reference) panel(name string) *panel {
	r.mu.Lock()
	defer r.mu.Unlock()
	if p, ok := r.panels[name]; ok {
		return p
	}
	i := slices.IndexFunc(learned().Tasks, func(t *model.Task) bool { return t.Name == name })
	task := learned().Tasks[i]
	p := &panel{task: task, space: task.Space()}
	var class []int
	for i := range r.teeth {
		t := &r.teeth[i]
		if c := classOf(t, name, task.Classes); c >= 0 && t.hasBasics() {
			p.teeth = append(p.teeth, t)
			class = append(class, c)
		}
	}
	p.gather(class, len(task.Classes), task.ByIndividual)
	if r.panels == nil {
		r.panels = make(map[string]*panel)
	}
	r.panels[name] = p
	return p
}

// classOf returns the class that tooth t has in a task, or -1 when it has no
// part in it.
func classOf(t *Tooth, name string, classes []string) int {
	switch name {
	case "form mesial", "clade mesial":
		if t.Row != Mesial {
			return -1
		}
	case "clade lateral":
		if t.Row != Lateral {
			return -1
		}
	}
	switch name {
	case "form", "form lateral", "form mesial":
		return slices.Index(classes, string(t.Form))
	}
	return slices.Index(classes, t.Clade)
}

// deep returns the panel that reach is measured in: every tooth of the sample,
// gaps filled.
func (r *Reference) deep() *panel {
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.deeps == nil {
		p := &panel{space: learned().Reach.Space()}
		for i := range r.teeth {
			p.teeth = append(p.teeth, &r.teeth[i])
		}
		p.gather(make([]int, len(p.teeth)), 1, 0)
		r.deeps = p
	}
	return r.deeps
}

// gather places the panel's teeth.
func (p *panel) gather(class []int, classes int, byIndividual float64) {
	points := make([][]float64, len(p.teeth))
	individual := make([]int, len(p.teeth))
	p.animal = make(map[string]int)
	for i, t := range p.teeth {
		seen := t.observation()
		points[i] = make([]float64, p.space.Dimensions())
		p.space.Place(points[i], &seen)
		if _, ok := p.animal[t.Individual]; !ok {
			p.animal[t.Individual] = len(p.animal)
		}
		individual[i] = p.animal[t.Individual]
	}
	p.crowd = model.NewCrowd(points, class, individual, classes, byIndividual)
	p.work.New = func() any {
		return &workspace{
			point:   make([]float64, p.space.Dimensions()),
			squares: make([]float64, len(p.teeth)),
			shares:  make([]float64, classes),
		}
	}
}

// verdict is what a panel says of an observation.
type verdict struct {
	shares      []float64 // calibrated, by class of the task
	near        []Neighbour
	calibration model.Calibration
}

// without is the number of the animal whose teeth take no part.
func (p *panel) without(individual string) int {
	if n, ok := p.animal[individual]; ok && individual != "" {
		return n
	}
	return model.Nobody
}

// ask returns the panel's verdict with the k nearest teeth, those of one animal
// left out.
func (p *panel) ask(o *model.Observation, individual string, k int) verdict {
	w := p.work.Get().(*workspace)
	defer p.work.Put(w)
	p.space.Place(w.point, o)
	hits := p.crowd.Look(w.point, max(k, 1), p.without(individual), w.squares)
	shares := make([]float64, len(p.task.Classes))
	p.crowd.Vote(w.squares, hits[0].Square, p.task.Balance, shares)
	c, _ := p.task.Calibration(o.Pattern())
	if c.Power > 0 {
		model.Calibrate(shares, p.task.Prior, c.Power, c.Mix)
	}
	v := verdict{shares: shares, calibration: c}
	for _, h := range hits[:min(k, len(hits))] {
		v.near = append(v.near, Neighbour{Tooth: p.teeth[h.Row], Distance: math.Sqrt(h.Square)})
	}
	return v
}

// set returns the classes whose share reaches the floor of a coverage level.
func (v *verdict) set(level int) []int {
	var set []int
	for c, s := range v.shares {
		if s >= v.calibration.Floor[level] {
			set = append(set, c)
		}
	}
	return set
}

// Reach says how far a tooth lies from the published ones, in what was
// measured of it.
type Reach struct {
	// Distance is that to the third nearest published tooth, in standard
	// deviations along every axis of variation of the published crowns.
	Distance float64
	// Percentile is the part, in percent, of published teeth, cut to the same
	// measurements, that lie nearer to the teeth of other animals.
	Percentile float64
	// Outside is set beyond the 99th percentile: no name is given there.
	Outside bool
}

const outermost = 99 // percentile beyond which no name is given

func (r *Reference) reach(o *model.Observation, individual string) Reach {
	p := r.deep()
	w := p.work.Get().(*workspace)
	defer p.work.Put(w)
	p.space.Place(w.point, o)
	hits := p.crowd.Near(w.point, model.ReachNeighbour, p.without(individual))
	d := math.Sqrt(hits[len(hits)-1].Square)
	percentile, ok := learned().Reach.Percentile(reachPattern(o.Pattern()), d)
	return Reach{Distance: d, Percentile: percentile, Outside: ok && percentile > outermost}
}

// reachPattern returns p, or the part of it that reach was validated on.
func reachPattern(p model.Pattern) model.Pattern {
	best := model.Pattern(0)
	for _, d := range learned().Reach.Patterns {
		if d.Pattern == p {
			return p
		}
		if p.Contains(d.Pattern) && d.Pattern > best {
			best = d.Pattern
		}
	}
	return best
}
