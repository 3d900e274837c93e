package bench

import (
	"fmt"
	"math"
	"strings"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/wasm/tray"
	"gonum.org/v1/gonum/spatial/r2"
)

// knots is about how many points a side of a proposed outline can be taken hold
// of by, so that a correction changes a part of it and not all.
const knots = 7

// findCrown has the picture asked for the crown round a click.
func (w crownWalk) findCrown() Action {
	return Action{"Outline the tooth for me", "o", func() {
		w.ask(search{
			click: "Press inside the crown, well away from its edge.", undo: "take the proposed crown",
			find: crownIn,
			replaces: func() string {
				if len(w.crown().Path) == 0 {
					return ""
				}
				return "A crown is traced here already."
			},
			take: func(v, found *morph.View) {
				c := *found.Crown
				if old := v.Crown; old != nil {
					c.ApexBroken, c.BaseBroken = old.ApexBroken, old.BaseBroken
				}
				v.Crown = &c
			},
		})
	}}
}

func crownIn(s Sight, at r2.Vec) (finding, error) {
	o, err := vision.Silhouette(s.Picture, s.in(at))
	if err != nil {
		return finding{}, err
	}
	l, err := vision.Landmarks(s.Picture, o)
	if err != nil {
		return finding{}, err
	}
	c := l.Crown(tolerance)
	c.Origin = morph.Proposed
	knot(c, knots)
	s.grow(c.Path)
	say := "Is this the crown?"
	var look []string
	if o.Confidence < trusted {
		look = append(look, "its edge all along")
	}
	switch {
	case l.SureA < trusted && l.SureB < trusted:
		look = append(look, "both ends of its base")
	case l.SureA < trusted:
		look = append(look, "A")
	case l.SureB < trusted:
		look = append(look, "B")
	}
	switch {
	case l.Broken:
		say += " The tip looks broken or worn off."
	case l.Apex < trusted:
		look = append(look, "the tip (G)")
	}
	if len(look) > 0 {
		say += " Look at " + strings.Join(look, " and ") + " twice."
	}
	say += " Which side is mesial (A) is a guess."
	return finding{view: morph.View{Crown: c}, say: say, swap: func(v *morph.View) { turnCrown(v.Crown) }}, nil
}

// knot gives each side of a crown more points to take hold of.
func knot(c *morph.Crown, n int) {
	var path morph.Path
	for i, v := range c.Path {
		if i > 0 {
			path = append(path, cut(c.Path[i-1].Vec(), v, n)...)
		} else {
			path = append(path, v)
		}
		if i == c.Apex {
			c.Apex = len(path) - 1
		}
	}
	c.Path = path
}

// cut parts the line from a point to a vertex into about n pieces of even
// length; the line stays what it is.
func cut(from r2.Vec, v morph.Vertex, n int) morph.Path {
	line := append(morph.Path{morph.At(from)}, v).Polyline()
	total := 0.0
	for i := 1; i < len(line); i++ {
		total += distance(line[i-1], line[i])
	}
	var out morph.Path
	var via [][2]float64
	length, from0 := 0.0, 0.0
	for i := 1; i < len(line); i++ {
		length += distance(line[i-1], line[i])
		p := line[i]
		if i == len(line)-1 || length-from0 >= total/float64(n) && total-length > total/float64(2*n) {
			out = append(out, morph.Vertex{X: p.X, Y: p.Y, Via: nilIfEmpty(via)})
			via, from0 = nil, length
			continue
		}
		via = append(via, [2]float64{p.X, p.Y})
	}
	return out
}

// findSection has the picture asked for the section round a click.
func (w sectionWalk) findSection() Action {
	return Action{"Outline the section for me", "o", func() {
		w.ask(search{
			click: "Press inside the section, well away from its edge.", undo: "take the proposed section",
			find: w.sectionIn,
			replaces: func() string {
				if len(w.section().Outline) == 0 {
					return ""
				}
				return "A section is outlined here already."
			},
			take: func(v, found *morph.View) {
				s := *found.Section
				v.Section = &s
			},
		})
	}}
}

func (w sectionWalk) sectionIn(s Sight, at r2.Vec) (finding, error) {
	proposed, err := vision.SectionAt(s.Picture, s.in(at))
	if err != nil {
		return finding{}, err
	}
	c := proposed.Traced(tolerance)
	c.Origin = morph.Proposed
	n := len(c.Outline)
	var path morph.Path
	ends := [2]int{}
	// The first vertex's Via closes the outline, so its side is cut last.
	for i := range n {
		side := cut(c.Outline[i].Vec(), c.Outline[(i+1)%n], knots)
		if i == n-1 {
			path[0].Via = side[len(side)-1].Via
			side = side[:len(side)-1]
		}
		if i == 0 {
			path = append(path, morph.At(c.Outline[0].Vec()))
		}
		path = append(path, side...)
		if i+1 < n {
			ends[1] = len(path) - 1
		}
	}
	c.Outline, c.Mesial, c.Distal = path, ends[0], ends[1]
	s.grow(c.Outline)
	say := "Is this the section's outer edge all the way round?"
	if proposed.Sure < trusted {
		// Where its enamel is not clear, the crown behind a section or the
		// dentine within is easily taken for it.
		say += " Its enamel was not clear everywhere, so look twice: crown behind it or the dentine inside may have been taken for it."
	}
	if proposed.Axis < trusted {
		say += " It is so round that its long axis is a guess."
	}
	say += " Which end is mesial (M) is a guess."
	if w.view != nil && w.TellsReadings() {
		// Nineteen of twenty lie within two standard uncertainties.
		say += wouldGive(*w.view, c, s.Factor*proposed.ULength/2, s.Factor*proposed.UWidth/2)
	}
	return finding{view: morph.View{Section: c}, say: say, swap: func(v *morph.View) {
		v.Section.Mesial, v.Section.Distal = v.Section.Distal, v.Section.Mesial
	}}, nil
}

// wouldGive says how long and wide a section proposed on a photograph would be,
// in mm where that has a scale, else in px. uLength and uWidth are the standard
// uncertainties that the proposal itself states, photo px; the greater of them,
// with the scale's, and of what placed points would have stands behind the ±.
func wouldGive(v morph.View, c *morph.Section, uLength, uWidth float64) string {
	ids := [2]morph.ID{morph.CBL, morph.CBW}
	if v.Role == morph.MidSection {
		ids = [2]morph.ID{morph.MCL, morph.MCW}
	}
	shape := morph.SectionOf(c.Outline.Polygon(), c.Outline[c.Mesial].Vec(), c.Outline[c.Distal].Vec())
	if !(shape.Length > 0) || !(shape.Width > 0) {
		return ""
	}
	px, u := [2]float64{shape.Length, shape.Width}, [2]float64{uLength, uWidth}
	v.Crown, v.Section, v.Stretches = nil, c, nil
	readings := morph.Read(morph.Tooth{Views: []morph.View{v}})
	scale, err := v.Scale()
	var said [2]string
	for i, id := range ids {
		r := readings.Get(id)
		if err != nil || !r.Known {
			said[i] = tray.FormatNumber(px[i], max(u[i], math.Sqrt2*v.PointingError().U), "px") + "\u00a0px"
			continue
		}
		own := math.Hypot(u[i]*r.Value/px[i], r.Value*scale.RelU)
		said[i] = tray.FormatNumber(r.Value, max(r.U, own), r.Unit) + "\u00a0" + r.Unit
	}
	if v.Role == morph.MidSection {
		return fmt.Sprintf(" It would give MCL %s and MCW %s.", said[0], said[1])
	}
	return fmt.Sprintf(" It would give CBL %s and CBW %s.", said[0], said[1])
}
