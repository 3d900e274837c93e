package agreement

import (
	"errors"
	"fmt"
	"math"

	"crownbench/morph"
	"gonum.org/v1/gonum/spatial/r2"
)

// Landmark is a kind of point that a person places on a photograph.
type Landmark string

const (
	BarEnd     Landmark = "scale bar end"
	MesialBase Landmark = "mesial base point A"
	Apex       Landmark = "apex G"
	DistalBase Landmark = "distal base point B"
	SectionEnd Landmark = "section end"
)

// Landmarks lists the kinds in the order in which a page shows them.
var Landmarks = []Landmark{BarEnd, MesialBase, Apex, DistalBase, SectionEnd}

// Placing is how well a person places one kind of landmark, or all together.
type Placing struct {
	Kind   Landmark // "" for all kinds together
	Points int      // landmarks that were placed at least twice
	DF     int      // coordinates placed again
	// SD is the standard deviation of a placed point along x and along y, in
	// px, which is what morph.View.Pointing takes.
	SD float64
	In Interval
}

// Pointing is how well a person points, from photographs marked again.
type Pointing struct {
	All   Placing
	Kinds []Placing // of the kinds that were repeated, in the order of Landmarks
}

// PointingOf tells how well a person points from photographs that were marked
// more than once: each element of repeats holds the marks of one photograph,
// pass by pass. What one pass lacks is left out of that pass only. Vertices of
// an outline between its landmarks are not compared, since nobody means to
// place them at the same point again.
//
// A scale bar may be read from either end. The error is a sentence: a crown or
// a section that was traced from its other end in a later pass, points that
// have no position, or nothing that was placed twice.
func PointingOf(repeats [][]morph.View) (Pointing, error) {
	sum := map[Landmark]*Placing{}
	for _, k := range Landmarks {
		sum[k] = &Placing{Kind: k}
	}
	for i, passes := range repeats {
		places, err := placesOf(passes)
		if err != nil {
			return Pointing{}, fmt.Errorf("Photograph %d: %w", i+1, err)
		}
		for at, points := range places {
			sum[at.kind].add(points)
		}
	}
	var p Pointing
	for _, k := range Landmarks {
		if s := sum[k]; s.DF > 0 {
			p.All.Points += s.Points
			p.All.DF += s.DF
			p.All.SD += s.SD
			s.settle()
			p.Kinds = append(p.Kinds, *s)
		}
	}
	if p.All.DF == 0 {
		return Pointing{}, errors.New("No point was placed twice: mark the same photographs again to tell how well you point.")
	}
	p.All.settle()
	if !finite(p.All.SD, p.All.In.High) {
		return Pointing{}, errTooLarge
	}
	return p, nil
}

// landmark is one landmark of one photograph.
type landmark struct {
	kind Landmark
	n    int // among those of its kind
}

func placesOf(passes []morph.View) (map[landmark][]r2.Vec, error) {
	places := map[landmark][]r2.Vec{}
	pair := func(what string, a, b landmark, p, q r2.Vec, either bool) error {
		if !finite(p.X, p.Y, q.X, q.Y) {
			return errors.New("a marked point has no position.")
		}
		if first, second := places[a], places[b]; len(first) > 0 && len(second) > 0 {
			here := apart(first[0], p) + apart(second[0], q)
			if there := apart(first[0], q) + apart(second[0], p); there < here {
				if !either {
					return fmt.Errorf("the %s was traced from its other end in a later pass; trace it the same way.", what)
				}
				p, q = q, p
			}
		}
		places[a], places[b] = append(places[a], p), append(places[b], q)
		return nil
	}
	for _, v := range passes {
		for i, b := range v.Bars {
			if err := pair("scale bar", landmark{BarEnd, 2 * i}, landmark{BarEnd, 2*i + 1}, b.From.Vec(), b.To.Vec(), true); err != nil {
				return nil, err
			}
		}
		if c := v.Crown; c != nil && len(c.Path) > 1 && c.Done {
			last := len(c.Path) - 1
			if err := pair("crown", landmark{MesialBase, 0}, landmark{DistalBase, 0}, c.Path[0].Vec(), c.Path[last].Vec(), false); err != nil {
				return nil, err
			}
			if c.Apex > 0 && c.Apex < last {
				g := c.Path[c.Apex].Vec()
				if !finite(g.X, g.Y) {
					return nil, errors.New("a marked point has no position.")
				}
				places[landmark{Apex, 0}] = append(places[landmark{Apex, 0}], g)
			}
		}
		if s := v.Section; s != nil && s.Done && within(s.Mesial, s.Outline) && within(s.Distal, s.Outline) {
			if err := pair("section", landmark{SectionEnd, 0}, landmark{SectionEnd, 1}, s.Outline[s.Mesial].Vec(), s.Outline[s.Distal].Vec(), false); err != nil {
				return nil, err
			}
		}
	}
	return places, nil
}

func within(i int, p morph.Path) bool { return i >= 0 && i < len(p) }

func apart(p, q r2.Vec) float64 { return math.Hypot(p.X-q.X, p.Y-q.Y) }

// add takes in the places of one landmark; SD is the sum of squares until
// settle.
func (p *Placing) add(points []r2.Vec) {
	if len(points) < 2 {
		return
	}
	var mean r2.Vec
	for _, q := range points {
		mean = r2.Add(mean, r2.Scale(1/float64(len(points)), q))
	}
	for _, q := range points {
		d := apart(q, mean)
		p.SD += d * d
	}
	p.Points++
	p.DF += 2 * (len(points) - 1)
}

func (p *Placing) settle() {
	p.SD, p.In = rootOf(square{1, p.SD / float64(p.DF), float64(p.DF)})
}

// Placed is a landmark at its place on a photograph, in px.
type Placed struct {
	Kind Landmark
	At   r2.Vec
}

// PlacesOf lists the landmarks that one view has, kinds in the order of
// Landmarks. A view with a point that has no position gives none.
func PlacesOf(v morph.View) []Placed {
	places, err := placesOf([]morph.View{v})
	if err != nil {
		return nil
	}
	var out []Placed
	for _, k := range Landmarks {
		for n := 0; ; n++ {
			at, ok := places[landmark{k, n}]
			if !ok {
				break
			}
			out = append(out, Placed{k, at[0]})
		}
	}
	return out
}
