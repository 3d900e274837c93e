package morph

import (
	"fmt"
	"math"
)

// Keys of candidates that do not come from a photograph; see Candidate.
const (
	TypedKey   = "typed"
	CountedKey = "counted"
	DerivedKey = "derived" // computed from other readings
	EllipseKey = "ellipse" // of the ellipse that stands in for a base section
)

// way is one way to a quantity's value.
type way struct {
	key        string
	how        string
	state      State
	value      func(*survey) float64 // NaN where it gives none
	over       float64               // mm of carina counted
	derived    bool
	model      bool   // rests on an assumed shape: a difference from others is no fault
	void       bool   // states that there is no value
	lacks      string // what is missing when the way gives no value
	problem    string // what is doubtful about it
	impossible bool   // the problem rules the value out
}

// source gives the ways of one kind to a quantity. It may use the readings of
// quantities that stand above it in the table.
type source func(s *survey, id ID) []way

// typed is the value a person typed.
func typed(s *survey, id ID) []way {
	v, ok := s.tooth.Typed[id]
	if !ok {
		return nil
	}
	w := way{key: TypedKey, how: "typed", state: v.State}
	switch v.State {
	case NotApplicable, Unknown, Absent, NotPreserved:
		w.void = true
		return []way{w}
	}
	if !finite(v.Value) {
		w.lacks, w.problem = "needs a number", "What was typed is not a number."
		return []way{w}
	}
	if v.U > v.Value && v.Value > 0 {
		w.problem = fmt.Sprintf("The typed uncertainty %s is larger than the value itself.", figure(v.U))
	}
	place := index[id]
	w.value = func(s *survey) float64 { return s.typed[place] }
	return []way{w}
}

// counted is a number of denticles counted over a length of carina.
func counted(s *survey, id ID) []way {
	c, ok := s.tooth.Counts[id]
	if !ok {
		return nil
	}
	w := way{key: CountedKey, how: fmt.Sprintf("%s denticles over %s mm", figure(c.N), figure(c.LengthMM)), over: c.LengthMM}
	switch {
	case !(c.LengthMM > 0) || !finite(c.LengthMM):
		w.lacks, w.problem = "needs the length counted over", "The length of carina counted over must be above 0 mm."
	case c.N == 0:
		w.lacks, w.problem = "needs a count", "No denticles were counted: if the carina has none, mark its denticles as absent."
	case !(c.N > 0) || !finite(c.N):
		w.lacks, w.problem = "needs a count", "The number of denticles must be above 0."
	}
	place := index[id]
	w.value = func(s *survey) float64 { return Density(s.count[place], c.LengthMM) }
	return []way{w}
}

// carinaState is what is recorded of a carina as a whole.
func carinaState(c Carina) source {
	return func(s *survey, _ ID) []way {
		switch s.carina(c) {
		case DenticlesAbsent:
			return []way{{void: true, state: Absent, how: string(c) + " denticles absent"}}
		case DenticlesNotPreserved:
			return []way{{void: true, state: NotPreserved, how: string(c) + " denticles not preserved"}}
		}
		return nil
	}
}

func (s *survey) carina(c Carina) CarinaState {
	if c == MesialCarina {
		return s.tooth.Mesial
	}
	return s.tooth.Distal
}

// crownNumber is a number of a traced crown in px to a power.
type crownNumber struct {
	power int
	of    func(CrownShape) float64
	base  bool // rests on the base line, so the walk must have reached B
	apex  bool // rests on the apex
	whole bool // means nothing unless the crown is whole
	// lost is the number with the estimated apex for the lost one, nil where
	// that gives none.
	lost func(Triangle) float64
}

var (
	crownCBL  = crownNumber{power: 1, base: true, of: func(c CrownShape) float64 { return c.CBL }}
	crownCH   = crownNumber{power: 1, base: true, apex: true, of: func(c CrownShape) float64 { return c.CH }, lost: func(t Triangle) float64 { return t.CH }}
	crownAL   = crownNumber{power: 1, apex: true, of: func(c CrownShape) float64 { return c.AL }, lost: func(t Triangle) float64 { return t.AL }}
	crownArea = crownNumber{power: 2, base: true, apex: true, of: func(c CrownShape) float64 { return c.Area }}

	crownCurvature = crownNumber{base: true, apex: true, whole: true, of: func(c CrownShape) float64 {
		if !c.CurvatureKnown {
			return math.NaN()
		}
		return c.Curvature
	}}
)

// crowns gives a number of each crown traced in a lateral photograph, labial
// ones first.
func crowns(n crownNumber) source {
	return func(s *survey, _ ID) []way {
		var ways []way
		for _, i := range s.laterals() {
			p := &s.photos[i]
			w := way{key: viewKey(p.View), how: p.Crown.Origin.how("traced") + ", " + p.name, lacks: s.crownLacks(p, n)}
			if n.apex && s.broken {
				w.state = Minimum
			}
			w.value = func(s *survey) float64 {
				p := &s.photos[i]
				return measured(n.of(p.crown.crown), p.mm, n.power)
			}
			w = p.scaled(w, n.power)
			if p.crown.crossed && (n.power == 2 || n.whole) {
				w.problem = join(w.problem, crossedSay(p))
			}
			if n.lost != nil && p.crown.tip != nil {
				ways = append(ways, s.estimated(i, n))
			}
			ways = append(ways, w)
		}
		return ways
	}
}

func crossedSay(p *photo) string {
	return "The outline on the " + p.name + " crosses itself: put its points in order."
}

// crownLacks tells what a trace lacks for a number.
func (s *survey) crownLacks(p *photo, n crownNumber) string {
	c := p.Crown
	switch {
	case n.apex && (c.Apex <= 0 || c.Apex >= len(c.Path) || c.Done && c.Apex == len(c.Path)-1):
		return "needs the apex (G) on the " + p.name
	case n.base && !c.Done:
		return "needs the outline finished at B on the " + p.name
	case n.whole && s.broken:
		return "not known of a broken crown"
	}
	return ""
}

// laterals lists the photographs with a crown, labial ones first.
func (s *survey) laterals() []int {
	var labial, rest []int
	for i := range s.photos {
		switch p := &s.photos[i]; {
		case p.crown == nil:
		case p.Role == LateralLabial:
			labial = append(labial, i)
		default:
			rest = append(rest, i)
		}
	}
	return append(labial, rest...)
}

// sectionNumber is a number of an outlined section in px to a power.
type sectionNumber struct {
	power int
	of    func(SectionShape) float64
	ends  bool // rests on the section's mesial and distal ends
}

var (
	sectionLength = sectionNumber{1, func(s SectionShape) float64 { return s.Length }, true}
	sectionWidth  = sectionNumber{1, func(s SectionShape) float64 { return s.Width }, true}
	sectionArea   = sectionNumber{2, func(s SectionShape) float64 { return s.Area }, false}
	sectionIMD    = sectionNumber{4, func(s SectionShape) float64 { return s.IMD }, true}
	sectionILL    = sectionNumber{4, func(s SectionShape) float64 { return s.ILL }, true}
	sectionZMD    = sectionNumber{3, func(s SectionShape) float64 { return s.ZMD }, true}
	sectionZLL    = sectionNumber{3, func(s SectionShape) float64 { return s.ZLL }, true}
	sectionZRatio = sectionNumber{0, func(s SectionShape) float64 { return s.ZMD / s.ZLL }, true}
	sectionWide   = sectionNumber{0, func(s SectionShape) float64 { return s.Width / s.Length }, true}
)

// sections gives a number of each section outlined in a photograph of a role.
func sections(role Role, n sectionNumber) source {
	return func(s *survey, _ ID) []way {
		var ways []way
		for i := range s.photos {
			p := &s.photos[i]
			if p.Role != role || p.Section == nil {
				continue
			}
			w := way{key: viewKey(p.View), how: p.Section.Origin.how("outlined") + ", " + p.name}
			switch c := p.Section; {
			case p.section == nil:
				w.lacks = "needs the section closed on the " + p.name
			case n.ends && !c.ended():
				w.lacks = "needs the section's mesial and distal ends on the " + p.name
			}
			w.value = func(s *survey) float64 {
				p := &s.photos[i]
				return measured(n.of(p.section.section), p.mm, n.power)
			}
			w = p.scaled(w, n.power)
			if p.section != nil && p.section.crossed {
				w.problem = join(w.problem, crossedSay(p))
			}
			ways = append(ways, w)
		}
		return ways
	}
}

// sectionRatio is width over length of one section, which needs no scale. A
// section that both of the ratio's lengths already come from is left out.
func sectionRatio(role Role, width, length ID) source {
	of := sections(role, sectionWide)
	return func(s *survey, id ID) []way { return s.without(of(s, id), width, length) }
}

// crownRatio is CH / CBL of one traced crown, which needs no scale.
func crownRatio(s *survey, id ID) []way {
	if s.tooth.CHR == CHRByLongAxis {
		return nil
	}
	of := crowns(crownNumber{base: true, apex: true, of: func(c CrownShape) float64 { return c.CH / c.CBL }})
	return s.without(of(s, id), CH, CBL)
}

// without leaves out the ways by which both quantities are already known.
func (s *survey) without(ways []way, a, b ID) []way {
	var kept []way
	for _, w := range ways {
		if s.reading(a).Key != w.key || s.reading(b).Key != w.key {
			kept = append(kept, w)
		}
	}
	return kept
}

// corner gives an angle of the triangle A-B-G. One crown's own triangle leads,
// because its angles need no scale, unless a length that counts was typed or
// preferred from elsewhere: then the three lengths that count lead.
func corner(of func(Angles) float64) source {
	own := crowns(crownNumber{base: true, apex: true, whole: true, of: func(c CrownShape) float64 {
		if !(c.CBL > 0 && c.AL > 0 && c.CH > 0) {
			return math.NaN()
		}
		return of(c.Triangle.angles())
	}})
	three := formula("angle of CBL, AL and CH", func(x []float64) float64 {
		return of(Triangle{CBL: x[0], AL: x[1], CH: x[2]}.angles())
	}, either(CBL), either(AL), either(CH))
	return func(s *survey, id ID) []way {
		traced, lengths := own(s, id), three(s, id)
		if w := &lengths[0]; w.lacks == "" && !w.void {
			t := Triangle{CBL: s.reading(CBL).Value, AL: s.reading(AL).Value, CH: s.reading(CH).Value}
			if err := t.Check(); err != nil {
				w.problem, w.impossible = err.Error(), true
			}
		}
		key, ok := s.triangleView()
		if !ok && s.chosenByHand(CBL, AL, CH) {
			return append(lengths, traced...)
		}
		for i, w := range traced {
			if w.key == key {
				traced[0], traced[i] = traced[i], traced[0]
			}
		}
		return append(traced, lengths...)
	}
}

// triangleView names the crown that both CH and AL come from, where CBL was
// neither typed nor preferred from another place.
func (s *survey) triangleView() (key string, ok bool) {
	cbl, al, ch := s.reading(CBL), s.reading(AL), s.reading(CH)
	if !ch.Known || !al.Known || ch.Key != al.Key || ch.Key == TypedKey {
		return "", false
	}
	return ch.Key, cbl.Key == ch.Key || !s.chosenByHand(CBL)
}

// chosenByHand tells whether any of the quantities counts because a person
// typed it or preferred one of its candidates.
func (s *survey) chosenByHand(ids ...ID) bool {
	for _, id := range ids {
		r := s.reading(id)
		if r.Known && (r.Key == TypedKey || r.Key != "" && s.tooth.Prefer[id] == r.Key) {
			return true
		}
	}
	return false
}

// serrated is the length of each stretch marked as the serrated part of a
// carina.
func serrated(c Carina) source {
	return func(s *survey, _ ID) []way {
		var ways []way
		s.stretches(func(i, k int, p *photo, st *Stretch) {
			if st.Carina != c || !st.Serrated {
				return
			}
			w := way{key: stretchKey(p.View, k), how: "marked, " + p.name}
			if s.broken {
				w.state = Minimum
			}
			if p.marks[k] == nil {
				w.lacks = "needs the serrated stretch finished on the " + p.name
			}
			w.value = func(s *survey) float64 { return measured(s.photos[i].marks[k].length, s.photos[i].mm, 1) }
			ways = append(ways, p.scaled(w, 1))
		})
		return ways
	}
}

// ticks is the density of each stretch of a carina on which denticles were
// ticked: the ticks less one, over the length between the first and the last.
func ticks(c Carina, third Third) source {
	return func(s *survey, _ ID) []way {
		var ways []way
		s.stretches(func(i, k int, p *photo, st *Stretch) {
			if st.Carina != c || st.Third != third || st.Serrated {
				return
			}
			w := way{key: stretchKey(p.View, k)}
			n := float64(len(st.Ticks) - 1)
			switch {
			case p.marks[k] == nil:
				w.lacks = "needs the stretch finished on the " + p.name
			case n < 1:
				w.lacks = "needs at least two ticks on the " + p.name
			}
			w = p.scaled(w, 1)
			if w.lacks == "" {
				w.over = p.marks[k].span * p.mm
				w.how = fmt.Sprintf("%d ticks over %s mm, %s", len(st.Ticks), figure(w.over), p.name)
				if say := unevenTicks(p.marks[k]); say != "" && w.problem == "" {
					w.problem = say
				}
			}
			w.value = func(s *survey) float64 { return Density(n, measured(s.photos[i].marks[k].span, s.photos[i].mm, 1)) }
			ways = append(ways, w)
		})
		return ways
	}
}

func (s *survey) stretches(visit func(i, k int, p *photo, st *Stretch)) {
	for i := range s.photos {
		p := &s.photos[i]
		for k := range p.Stretches {
			visit(i, k, p, &p.Stretches[k])
		}
	}
}

// scaled completes a way to a number of one photograph in length to a power:
// unless that is 0, it needs the photograph's scale.
func (p *photo) scaled(w way, power int) way {
	if power == 0 || w.lacks != "" {
		return w
	}
	switch {
	case p.err == ErrNoBar:
		w.lacks = "needs a scale on the " + p.name
	case p.err != nil:
		w.lacks, w.problem = "needs a scale on the "+p.name, p.err.Error()
	case p.scale.Spread > scaleSpread:
		w.problem = fmt.Sprintf("The readings of the scale bar on the %s differ by %.0f %%.", p.name, 100*p.scale.Spread)
	}
	return w
}

// scaleSpread is the relative difference between readings of the scale bar of
// one photograph that is worth a word.
const scaleSpread = 0.03

// measured gives a number of px to a power in mm to that power. A length or an
// area of 0 is none, for its points coincide, and so is one without bound, for
// a point of it lies nowhere.
func measured(px, mm float64, power int) float64 {
	if power > 0 && !(px > 0 && px < math.MaxFloat64) {
		return math.NaN()
	}
	for ; power > 0; power-- {
		px *= mm
	}
	return px
}
