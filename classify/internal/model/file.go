package model

import (
	"encoding/json"
	"errors"
	"fmt"
	"math"
)

// Coverages are the shares of teeth that a prediction set is to hold.
var Coverages = [3]float64{0.80, 0.90, 0.95}

// File is a whole model as it is stored: JSON, one object.
type File struct {
	Version   string // of this model, made from its settings and the teeth
	TeethHash string // SHA-256 of the table it was learned from, hexadecimal
	Tasks     []*Task
	Reach     *Reach
}

// Task is one question with its learned space.
type Task struct {
	Name         string
	Classes      []string
	Mean         []float64
	Cov          [][]float64
	Matrix       [][]float64
	ByIndividual float64 // see NewCrowd
	Balance      float64 // see Vote
	Prior        []float64
	Tilt         float64 // see Standings
	Patterns     []Calibration

	standing  []float64 // by class; see Standing
	byPattern []int     // place in Patterns, by pattern, plus one; see Calibration
}

// Calibration is what validation found for queries of one pattern.
type Calibration struct {
	Pattern Pattern
	Teeth   int     // validated
	Power   float64 // see Calibrate
	Mix     float64
	Floor   [3]float64 // a class belongs to the set when its standing is at least this
	Size    [3]float64 // mean size of the set
	Hit     float64    // share of teeth whose first class is right
	// Gain is by how many classes the 90 % set shrinks, on average, when one
	// more thing is known, in the order of Helpers: on the same teeth, with and
	// without it. 0 where the pattern has it already.
	Gain [len(Helpers)]float64
}

// Helpers are the measurements that a query may be asked for.
var Helpers = [...]Pattern{HasCBL, HasCBW, HasCH, HasAL, HasMid, HasMC, HasDC}

// Reach tells how far from the published teeth is far.
type Reach struct {
	Mean     []float64
	Cov      [][]float64
	Matrix   [][]float64
	Patterns []Distances

	byPattern []*Distances // by pattern; nil where none fits
}

// Distances are percentiles 0 to 100 of the distance of a published tooth, cut
// to the pattern, from its ReachNeighbour-th nearest tooth of another animal.
type Distances struct {
	Pattern    Pattern
	Percentile []float64 // at the percentiles of ReachPercentiles
}

// ReachNeighbour is the neighbour whose distance measures reach; the nearest
// alone may be one odd tooth.
const ReachNeighbour = 3

// ReachPercentiles are the stated points of Distances.
var ReachPercentiles = []float64{5, 25, 50, 75, 90, 95, 99}

// Parse reads a model file and checks that its parts fit together.
func Parse(text []byte) (*File, error) {
	f := new(File)
	if err := json.Unmarshal(text, f); err != nil {
		return nil, fmt.Errorf("the model file is not readable: %w", err)
	}
	if f.Reach == nil {
		return nil, errors.New("the model file has no reach")
	}
	if err := checkSpace(f.Reach.Mean, f.Reach.Cov, f.Reach.Matrix); err != nil {
		return nil, fmt.Errorf("the model file's reach: %w", err)
	}
	for _, d := range f.Reach.Patterns {
		if len(d.Percentile) != len(ReachPercentiles) {
			return nil, errors.New("the model file's reach has a row of the wrong length")
		}
	}
	f.Reach.index()
	for _, t := range f.Tasks {
		if t == nil {
			return nil, errors.New("the model file has an empty task")
		}
		if err := checkSpace(t.Mean, t.Cov, t.Matrix); err != nil {
			return nil, fmt.Errorf("the model file's task %q: %w", t.Name, err)
		}
		if len(t.Classes) < 2 || len(t.Classes) > MaxClasses || len(t.Prior) != len(t.Classes) {
			return nil, fmt.Errorf("the model file's task %q has %d classes and %d priors", t.Name, len(t.Classes), len(t.Prior))
		}
		var sum float64
		for _, p := range t.Prior {
			sum += p
		}
		if !(sum > 0) || math.IsInf(sum, 0) {
			return nil, fmt.Errorf("the model file's task %q has no prior", t.Name)
		}
		for i := range t.Prior {
			t.Prior[i] /= sum // what rounding took
		}
		if len(t.Patterns) == 0 {
			return nil, fmt.Errorf("the model file's task %q has no calibration", t.Name)
		}
		t.index()
	}
	return f, nil
}

func checkSpace(mean []float64, cov, matrix [][]float64) error {
	if len(mean) != Coordinates || len(cov) != Coordinates || len(matrix) == 0 {
		return fmt.Errorf("it has a mean of %d, a covariance of %d and a matrix of %d rows", len(mean), len(cov), len(matrix))
	}
	for _, rows := range [][][]float64{cov, matrix} {
		for _, row := range rows {
			if len(row) != Coordinates {
				return fmt.Errorf("it has a row of %d, want %d", len(row), Coordinates)
			}
			for _, v := range row {
				if math.IsNaN(v) || math.IsInf(v, 0) {
					return errors.New("it holds a number that is not finite")
				}
			}
		}
	}
	return nil
}

// Space returns the task's space.
func (t *Task) Space() *Space {
	return &Space{Gauss: Gauss{Mean: t.Mean, Cov: t.Cov}, Matrix: t.Matrix}
}

// Standings returns the standing of every class at a share of one: its prior to
// the power -tilt. Measured in standings, rare classes enter a set at smaller
// shares than common ones: at all equal shares with tilt 0, when the share grows
// by the same factor over the prior with tilt 1.
func Standings(prior []float64, tilt float64) []float64 {
	standing := make([]float64, len(prior))
	for c, p := range prior {
		standing[c] = 1
		if p > 0 {
			standing[c] = math.Pow(p, -tilt)
		}
	}
	return standing
}

// likely is the share from which a class is never ruled out while another is
// named: nobody would call a tooth one thing when it is the other in one case of
// three.
const likely = 1.0 / 3

// Stand writes into dst how each class stands for its place in a set: its share
// times what Standings gives for it, or more where a class with no larger share
// stands higher. So a set never holds a class and leaves out a likelier one.
// A class with a third of the shares stands as high as the highest.
func Stand(dst, shares, standing []float64) {
	// From the smallest share to the largest, each class stands at least as high
	// as all before it; equal shares stand equally high.
	var few [32]int
	rising := few[:0]
	for c, s := range shares {
		at := len(rising)
		rising = append(rising, c)
		for ; at > 0 && shares[rising[at-1]] > s; at-- {
			rising[at] = rising[at-1]
		}
		rising[at] = c
	}
	highest := 0.0
	for from := 0; from < len(rising); {
		to, share := from, shares[rising[from]]
		for ; to < len(rising) && (to == from || shares[rising[to]] == share); to++ {
			if s := share * standing[rising[to]]; s > highest {
				highest = s
			}
		}
		for ; from < to; from++ {
			dst[rising[from]] = highest
		}
	}
	for c, s := range shares {
		if s >= likely {
			dst[c] = highest
		}
	}
}

// Stand writes into dst how each class stands at these shares.
func (t *Task) Stand(dst, shares []float64) { Stand(dst, shares, t.standing) }

// index looks up beforehand what Calibration and Stand are asked for.
func (t *Task) index() {
	t.standing = Standings(t.Prior, t.Tilt)
	t.byPattern = make([]int, combinations)
	for p := range Pattern(combinations) {
		for i := range t.Patterns {
			c := &t.Patterns[i]
			if c.Pattern == p {
				t.byPattern[p] = i + 1
				break
			}
			if best := t.byPattern[p]; p.Contains(c.Pattern) && (best == 0 || c.Hit > t.Patterns[best-1].Hit) {
				t.byPattern[p] = i + 1
			}
		}
	}
}

// Calibration returns the calibration of the largest validated pattern that p
// contains, so that what was not validated is not counted on; nil when there is
// none.
func (t *Task) Calibration(p Pattern) *Calibration {
	if i := t.byPattern[p]; i > 0 {
		return &t.Patterns[i-1]
	}
	return nil
}

// Space returns the space reach is measured in.
func (r *Reach) Space() *Space {
	return &Space{Gauss: Gauss{Mean: r.Mean, Cov: r.Cov}, Matrix: r.Matrix}
}

// index looks up beforehand what Percentile is asked for.
func (r *Reach) index() {
	r.byPattern = make([]*Distances, combinations)
	for p := range Pattern(combinations) {
		for i := range r.Patterns {
			d := &r.Patterns[i]
			if best := r.byPattern[p]; d.Pattern == p || p.Contains(d.Pattern) && (best == nil || best.Pattern != p && d.Pattern > best.Pattern) {
				r.byPattern[p] = d
			}
		}
	}
}

// Percentile returns how large a distance is among those of the published
// teeth cut to pattern p, or to the largest part of it that was measured, from
// 0 to 100, interpolated between the stated points. Beyond the last point it
// returns a value between 99 and 100 that only says "beyond".
func (r *Reach) Percentile(p Pattern, distance float64) (percentile float64, ok bool) {
	d := r.byPattern[p]
	if d == nil {
		return 0, false
	}
	lowD, lowP := 0.0, 0.0
	for i, at := range d.Percentile {
		if distance <= at {
			if at == lowD {
				return ReachPercentiles[i], true
			}
			return lowP + (ReachPercentiles[i]-lowP)*(distance-lowD)/(at-lowD), true
		}
		lowD, lowP = at, ReachPercentiles[i]
	}
	return 100 - (100-lowP)*lowD/math.Max(distance, lowD), true
}
