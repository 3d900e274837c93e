package bench

import (
	"errors"
	"fmt"
	"slices"

	"crownbench/morph"
	"crownbench/morph/vision/ripple"
	"gonum.org/v1/gonum/spatial/r2"
)

// pxPerMM gives the photo's scale, 0 without one.
func (b *Bench) pxPerMM() float64 {
	sc, err := morph.ScaleOf(b.view.Bars, b.view.Pointing)
	if err != nil {
		return 0
	}
	return sc.PxPerMM
}

// findDenticles has the picture asked for the denticles along the selected
// stretch, or, while none is, along the traced crown. Nothing is offered where
// neither is there.
func (w denticleWalk) findDenticles() (Action, bool) {
	s := w.stretch()
	switch {
	case w.alone:
	case s != nil && s.Done && !s.Serrated:
		return Action{"Propose denticles", "o", func() { w.ask(w.onStretch(w.row)) }}, true
	case s == nil && w.side(w.next.carina) != nil && !w.next.serrated:
		return Action{fmt.Sprintf("Propose denticles of the %s carina", w.next.carina), "o", func() { w.ask(w.onCrown(w.next.carina)) }}, true
	}
	return Action{}, false
}

// onStretch searches along a stretch that was laid by hand.
func (w denticleWalk) onStretch(i int) search {
	s := *w.stretch()
	options := ripple.Options{PxPerMM: w.pxPerMM(), Third: s.Third}
	ticks := func() int {
		if i >= len(w.view.Stretches) {
			return 0
		}
		return len(w.view.Stretches[i].Ticks)
	}
	return search{
		undo: "take the proposed denticles",
		find: func(sight Sight, _ r2.Vec) (finding, error) {
			parts, err := denticlesIn(sight, s.Line.Polyline(), options, s.Carina)
			if err != nil {
				return finding{}, err
			}
			found := parts[0]
			return finding{
				view: morph.View{Stretches: []morph.Stretch{found.stretch}},
				say:  fmt.Sprintf("Are these the denticles? %s", found),
			}, nil
		},
		replaces: func() string {
			if n := ticks(); n > 0 {
				return fmt.Sprintf("%d denticles are marked here already.", n)
			}
			return ""
		},
		take: func(v, found *morph.View) {
			if i < len(v.Stretches) && !v.Stretches[i].Serrated {
				v.Stretches[i].Ticks = slices.Clone(found.Stretches[0].Ticks)
				v.Stretches[i].Origin = morph.Proposed
			}
		},
	}
}

// onCrown searches along an edge of the traced crown. What is found becomes
// stretches of their own beside those that are there.
func (w denticleWalk) onCrown(c morph.Carina) search {
	options := ripple.Options{PxPerMM: w.pxPerMM(), FromApex: c == morph.DistalCarina}
	line := w.side(c)
	tooth := centroid(w.view.Crown.Path)
	options.Tooth = &tooth
	return search{
		undo: "take the proposed denticles",
		find: func(sight Sight, _ r2.Vec) (finding, error) {
			parts, err := denticlesIn(sight, line, options, c)
			if err != nil {
				return finding{}, err
			}
			f := finding{say: "Are these the denticles?"}
			for _, p := range parts {
				f.view.Stretches = append(f.view.Stretches, p.stretch)
				f.say += fmt.Sprintf(" %s third: %s", upperFirst(string(p.stretch.Third)), p)
			}
			return f, nil
		},
		replaces: func() string { return "" },
		take: func(v, found *morph.View) {
			v.Stretches = append(v.Stretches, found.Stretches...)
		},
	}
}

// side gives the edge of the traced crown that carries a carina, photo px: from
// the base up for the mesial one, from the apex down for the distal one.
func (w denticleWalk) side(c morph.Carina) []r2.Vec {
	if w.view == nil || w.view.Crown == nil {
		return nil
	}
	crown := w.view.Crown
	if !crown.Done || crown.Apex < 1 || crown.Apex >= len(crown.Path)-1 {
		return nil
	}
	if c == morph.MesialCarina {
		return crown.Path[:crown.Apex+1].Polyline()
	}
	return crown.Path[crown.Apex:].Polyline()
}

// part is what is proposed for a third of a carina.
type part struct {
	stretch morph.Stretch // photo px
	share   float64
}

// plain is the share of an edge's ripple, explained by one spacing, from which
// on a row is plain to see; see ripple.Part.
const plain = 0.8

func (p part) String() string {
	sure := "even and clear."
	if p.share < plain {
		sure = "faint: look at each."
	}
	return fmt.Sprintf("%d, %s", len(p.stretch.Ticks), sure)
}

// denticlesIn gives what the picture proposes along a line in photo px: one part
// at least, or a sentence.
func denticlesIn(s Sight, line []r2.Vec, o ripple.Options, c morph.Carina) ([]part, error) {
	in := slices.Clone(line)
	for i := range in {
		in[i] = s.in(in[i])
	}
	o.PxPerMM /= s.Factor
	if o.Tooth != nil {
		tooth := s.in(*o.Tooth)
		o.Tooth = &tooth
	}
	row, err := ripple.Find(s.Picture, in, o)
	if err != nil {
		return nil, err
	}
	var out []part
	why := ""
	for _, p := range row.Parts {
		if len(p.Ticks) < 2 {
			why = p.Problem
			continue
		}
		st := p.Stretch(c)
		st.Origin = morph.Proposed
		st.Line, st.Ticks = s.grow(st.Line), s.grow(st.Ticks)
		out = append(out, part{st, p.Share})
	}
	if len(out) == 0 {
		return nil, errors.New(why)
	}
	return out, nil
}
