package morph

import (
	"math"
	"strconv"
)

// survey is one tooth taken apart into its independent inputs, with what is
// measured from them at their present setting. Readings are functions of a
// survey; their uncertainty comes from setting the inputs otherwise and
// asking the same functions again, so that what two readings share, such as
// the scale of one photograph, is never counted as two.
type survey struct {
	tooth  *Tooth
	photos []photo
	pieces []*piece
	cards  []*card
	inputs []input
	broken bool // a traced crown is marked broken

	// By place in the table: the typed value, the number counted, and the
	// value that counts, NaN where there is none.
	typed, count, value []float64
	readings            Readings
	plan                [][]way // candidates of each quantity, in order
	counts              []int   // place in plan of the one that counts, or −1
	args                []float64
}

// photo is a view with its scale and its measured pieces, nil where the view
// has none.
type photo struct {
	*View
	name  string // "lateral labial photo"
	scale Scale
	err   error // why there is no scale
	// mm per px at the present setting; where the photograph lies flat on a
	// card, its pieces are in mm already and this is what depth makes of them.
	mm             float64
	card           *card // nil for none
	crown, section *piece
	marks          []*piece // by stretch
}

// piece is a part of a photograph that is measured by itself: a crown, a
// section or a stretch of carina.
type piece struct {
	line, ticks *trace
	measure     func()
	crossed     bool // the line crosses itself
	// What was measured, in px or on a card in mm; only the piece's own kind
	// is filled.
	crown   CrownShape
	section SectionShape
	length  float64 // of a stretch, along the line
	span    float64 // between its first and last tick
	tip     *tip    // of a crown, nil without an estimate that counts
}

// remeasure measures the piece at the present setting of its points.
func (p *piece) remeasure() {
	p.line.place()
	if p.ticks != nil {
		p.ticks.place()
	}
	p.measure()
}

// input is one independent quantity that a person gave: a coordinate, the
// scale of a photograph, a typed value or a count.
type input struct {
	// set puts it z standard uncertainties from where it was given.
	set   func(z float64)
	piece *piece // to be measured anew after set, nil for none
	card  *card  // whose pieces all are to be measured anew after set, nil for none
}

// shrink is the least part of itself that a scale, a typed value or a count is
// let fall to when it is shifted: none of them can be 0 or less.
const shrink = 1e-3

// surveyOf takes a tooth apart and measures its pieces.
func surveyOf(t *Tooth) *survey {
	n := len(table)
	s := &survey{tooth: t, typed: make([]float64, n), count: make([]float64, n), value: make([]float64, n), args: make([]float64, 0, 8)}
	for i := range table {
		s.typed[i], s.count[i], s.value[i] = math.NaN(), math.NaN(), math.NaN()
	}
	s.photos = make([]photo, len(t.Views))
	for i := range t.Views {
		s.addPhoto(i)
	}
	for i, e := range table {
		if v, ok := t.Typed[e.ID]; ok && e.Typable {
			s.typed[i] = v.Value
			s.addPositive(&s.typed[i], v.U)
		}
		if c, ok := t.Counts[e.ID]; ok {
			s.count[i] = c.N
			s.addPositive(&s.count[i], CountU)
		}
	}
	return s
}

// addPositive adds an input that must stay above 0.
func (s *survey) addPositive(at *float64, u float64) {
	home := *at
	if !(u > 0) || !finite(u) || !finite(home) {
		return
	}
	s.inputs = append(s.inputs, input{set: func(z float64) { *at = max(home+z*u, home*shrink) }})
}

func (s *survey) addPhoto(i int) {
	v := &s.tooth.Views[i]
	p := &s.photos[i]
	*p = photo{View: v, name: photoName(v.Role), mm: math.NaN()}
	pointing := v.PointingError().U
	switch p.scale, p.err = v.Scale(); {
	case p.err != nil:
	case v.Flat != nil:
		s.addCard(p, pointing)
	default:
		p.mm = 1 / p.scale.PxPerMM
		s.addPositive(&p.mm, p.mm*p.scale.RelU)
	}
	if c := v.Crown; c != nil && v.Role.Lateral() && len(c.Path) > 0 {
		s.broken = s.broken || c.ApexBroken || c.BaseBroken
		p.crown = crownPiece(c)
		p.crown.tip = tipOf(c)
		p.crown.crossed = Crosses(p.crown.line.home, false)
		s.addPiece(p.crown, p.card, pointing)
		if t := p.crown.tip; t != nil {
			s.inputs = append(s.inputs, input{set: func(z float64) { t.shift = z * t.u }})
		}
	}
	if c := v.Section; c != nil && v.Role.Sectional() && c.Done && len(c.Outline) > 0 {
		p.section = sectionPiece(c)
		p.section.crossed = Crosses(p.section.line.home, true)
		s.addPiece(p.section, p.card, pointing)
	}
	p.marks = make([]*piece, len(v.Stretches))
	for k := range v.Stretches {
		if st := &v.Stretches[k]; st.Done && len(st.Line) > 1 {
			p.marks[k] = stretchPiece(st)
			s.addPiece(p.marks[k], p.card, pointing)
		}
	}
}

// addCard lays what is measured in a photograph onto its card. The card's
// corners are inputs that all of the photograph's lengths share; what they do to
// two lengths alike cancels in their ratio.
func (s *survey) addCard(p *photo, pointing float64) {
	factor, relU, _ := p.Depth.correction() // the scale would have refused it
	p.mm = factor
	s.addPositive(&p.mm, factor*relU)
	p.card = newCard(p.Flat, pointing)
	s.cards = append(s.cards, p.card)
	for _, set := range p.card.inputs() {
		s.inputs = append(s.inputs, input{set: set, card: p.card})
	}
}

func (s *survey) addPiece(p *piece, on *card, pointing float64) {
	p.line.card = on
	if p.ticks != nil {
		p.ticks.card = on
	}
	if on != nil {
		on.pieces = append(on.pieces, p)
	}
	p.remeasure()
	s.pieces = append(s.pieces, p)
	for _, t := range []*trace{p.line, p.ticks} {
		if t == nil {
			continue
		}
		for i := range t.shift {
			d := &t.shift[i]
			s.inputs = append(s.inputs,
				input{piece: p, set: func(z float64) { d.X = z * pointing }},
				input{piece: p, set: func(z float64) { d.Y = z * pointing }})
		}
	}
}

func crownPiece(c *Crown) *piece {
	p := &piece{line: traceOf(c.Path, false)}
	last := len(c.Path) - 1
	apex := c.Apex
	switch {
	case c.Done && apex > 0 && apex < last:
		p.measure = func() { p.crown = CrownOf(p.line.points, p.line.at[apex]) }
	case c.Done:
		p.measure = func() { p.crown = CrownShape{Triangle: Triangle{CBL: distance(p.line.vertex(0), p.line.vertex(last))}} }
	case apex > 0 && apex <= last:
		p.measure = func() { p.crown = CrownShape{Triangle: Triangle{AL: distance(p.line.vertex(0), p.line.vertex(apex))}} }
	default:
		p.measure = func() {}
	}
	return p
}

func sectionPiece(c *Section) *piece {
	p := &piece{line: traceOf(c.Outline, true)}
	if c.ended() {
		p.measure = func() { p.section = SectionOf(p.line.points, p.line.vertex(c.Mesial), p.line.vertex(c.Distal)) }
	} else {
		p.measure = func() { p.section = SectionShape{Bending: Bending{Area: Area(p.line.points)}} }
	}
	return p
}

func stretchPiece(st *Stretch) *piece {
	// A tick stands alone: Via points that it may carry are not ticks.
	alone := make(Path, len(st.Ticks))
	for i, t := range st.Ticks {
		alone[i] = At(t.Vec())
	}
	p := &piece{line: traceOf(st.Line, false), ticks: traceOf(alone, false)}
	p.measure = func() {
		p.length = arcLength(p.line.points)
		p.span = tickSpan(p.line.points, p.ticks.points)
	}
	return p
}

// photoName names a photograph in a sentence.
func photoName(r Role) string {
	if r == "" {
		return "photo"
	}
	return string(r) + " photo"
}

// viewKey and stretchKey name candidates; see Candidate.
func viewKey(v *View) string { return "view:" + v.ID }

func stretchKey(v *View, i int) string { return viewKey(v) + "#" + strconv.Itoa(i) }

// evaluate asks every way of the plan again at the present setting of the
// inputs and writes the candidates' values in order to out.
func (s *survey) evaluate(out []float64) {
	k := 0
	for i, ways := range s.plan {
		for j := range ways {
			out[k] = ways[j].value(s)
			if j == s.counts[i] {
				s.value[i] = out[k]
			}
			k++
		}
	}
}
