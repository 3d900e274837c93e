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
	rows  []int // places of teeth in the sample
	crowd *model.Crowd
	// animal numbers the individuals of teeth, as crowd knows them.
	animal    map[string]int
	continent []string  // of the teeth
	work      sync.Pool // of *workspace
}

// workspace is memory for one look at a panel and what came of it.
type workspace struct {
	point, shares, standing []float64
	counts, order, held     []int
	rows                    []model.Hit
	sight                   model.Sight
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
			p.teeth, p.rows = append(p.teeth, t), append(p.rows, i)
			class = append(class, c)
		}
	}
	p.gather(class, len(task.Classes), task.ByIndividual, task.Balance)
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
		p.gather(make([]int, len(p.teeth)), 1, 0, 0)
		r.deeps = p
	}
	return r.deeps
}

// gather places the panel's teeth.
func (p *panel) gather(class []int, classes int, byIndividual, balance float64) {
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
		p.continent = append(p.continent, Continent(t.Country))
	}
	p.crowd = model.NewCrowd(points, class, individual, byIndividual, balance)
	p.work.New = func() any {
		return &workspace{
			point:    make([]float64, p.space.Dimensions()),
			shares:   make([]float64, classes),
			standing: make([]float64, classes),
			counts:   make([]int, classes),
		}
	}
}

// verdict is what a panel says of an observation. But for near it lies in the
// workspace that it was asked with, and is good until that is used again.
type verdict struct {
	task        *model.Task
	shares      []float64 // calibrated, by class of the task
	order       []int     // classes, the largest share first, the first of equal ones first
	near        []Neighbour
	rows        []model.Hit // near, as rows of the panel
	counts      []int       // of near, by class
	calibration *model.Calibration
	work        *workspace
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
func (p *panel) ask(w *workspace, o *model.Observation, individual string, k int) verdict {
	v := verdict{task: p.task, shares: w.shares, counts: w.counts, work: w}
	v.calibration = p.share(o, p.without(individual), w, v.shares)
	w.order = falling(w.order[:0], v.shares)
	w.rows = w.sight.Closest(w.rows[:0], k)
	v.order, v.rows = w.order, w.rows
	v.near = make([]Neighbour, len(v.rows))
	clear(v.counts)
	for i, h := range v.rows {
		v.near[i] = Neighbour{Tooth: p.teeth[h.Row], Distance: math.Sqrt(h.Square)}
		v.counts[p.crowd.Class(h.Row)]++
	}
	return v
}

// share writes the calibrated shares of the classes and leaves a sight of the
// teeth in the workspace. Teeth of the excluded individual
// have no say.
func (p *panel) share(o *model.Observation, exclude int, w *workspace, shares []float64) *model.Calibration {
	p.space.Place(w.point, o)
	p.crowd.Measure(w.point, exclude, &w.sight)
	p.crowd.Vote(&w.sight, shares)
	c := p.task.Calibration(o.Pattern())
	if c != nil {
		model.Calibrate(shares, p.task.Prior, c.Power, c.Mix)
	}
	return c
}

// set returns the classes whose standing reaches the floor of a coverage level,
// the largest share first, the first class of equal ones.
func (v *verdict) set(level int) []int {
	floor := 0.0
	if v.calibration != nil {
		floor = v.calibration.Floor[level]
	}
	v.task.Stand(v.work.standing, v.shares)
	held := v.work.held[:0]
	for _, c := range v.order {
		if v.work.standing[c] >= floor {
			held = append(held, c)
		}
	}
	v.work.held = held
	return held
}

// falling appends to order, which must be empty, the places of shares, the
// largest first, the first of equal ones first.
func falling(order []int, shares []float64) []int {
	for c, s := range shares {
		at := len(order)
		order = append(order, c)
		for ; at > 0 && shares[order[at-1]] < s; at-- {
			order[at] = order[at-1]
		}
		order[at] = c
	}
	return order
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

// reach measures how far o lies from every tooth of the sample, those of one
// animal left out. near, as rows of another panel, are where to begin.
func (r *Reference) reach(o *model.Observation, individual string, of *panel, near []model.Hit) Reach {
	p := r.deep()
	w := p.work.Get().(*workspace)
	defer p.work.Put(w)
	p.space.Place(w.point, o)
	var found [model.ReachNeighbour]model.Hit
	first := 0
	if len(near) > 0 {
		first = of.rows[near[0].Row]
	}
	hits := p.crowd.Near(found[:0], w.point, model.ReachNeighbour, p.without(individual), first)
	d := math.Sqrt(hits[len(hits)-1].Square)
	percentile, ok := learned().Reach.Percentile(o.Pattern(), d)
	return Reach{Distance: d, Percentile: percentile, Outside: ok && percentile > outermost}
}
