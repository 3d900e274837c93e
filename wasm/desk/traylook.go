package desk

import (
	"cmp"
	"math"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// TrayLook is how the tray is looked through. The zero value lists everything
// in the order in which it came.
type TrayLook struct {
	Search string        // words that must all stand somewhere in the record
	By     TrayOrder     // what the rows are in the order of
	Down   bool          // from the end of that order
	Form   classify.Form // or NotSorted
	Clade  string        // one that the answer does not rule out
	Lacks  morph.ID      // a reading that is not known
	State  TrayState
}

// TrayOrder is what the rows of the tray are in the order of: one of these, or
// the ID of a reading.
type TrayOrder string

const (
	ByArrival TrayOrder = ""
	ByName    TrayOrder = "name"
	ByAnswer  TrayOrder = "answer"
	ByChange  TrayOrder = "changed"
)

// NotSorted stands for the form of teeth that have none.
const NotSorted classify.Form = "none"

// TrayState is how far the work on a tooth is.
type TrayState string

const (
	AnyState     TrayState = ""
	WithoutPhoto TrayState = "no photographs"
	Unscaled     TrayState = "a photograph without scale"
	Untraced     TrayState = "side view not traced"
	Traced       TrayState = "side view traced"
	InDoubt      TrayState = "a reading in doubt"
	Complete     TrayState = "nothing helpful missing"
)

// TrayStates lists the states that a person can look for.
var TrayStates = []TrayState{AnyState, WithoutPhoto, Unscaled, Untraced, Traced, InDoubt, Complete}

// LookFrom is the number of teeth from which looking through them is offered.
const LookFrom = 8

// TrayLook is how the tray is looked through now.
func (d *Desk) TrayLook() TrayLook { return d.look }

// LookThrough changes how the tray is looked through; the list starts at its
// top again.
func (d *Desk) LookThrough(l TrayLook) {
	d.look = l
	d.trayTop = 0
	d.trayTurn++
	d.glanceAll()
	d.outside.Refresh()
}

// Narrowed tells whether the look leaves teeth out.
func (l TrayLook) Narrowed() bool {
	l.By, l.Down = "", false
	l.Search = strings.TrimSpace(l.Search)
	return l != TrayLook{}
}

// asksFindings tells whether the look needs to know what was found of each
// tooth.
func (l TrayLook) asksFindings() bool {
	return l.Form != "" || l.Clade != "" || l.Lacks != "" || l.State == InDoubt || l.State == Complete ||
		l.By != ByArrival && l.By != ByName && l.By != ByChange
}

// TrayRows are the teeth that the tray lists, in order. While the tray is being
// looked through (see Surveying) those not yet looked at are left out where the
// look needs that.
func (d *Desk) TrayRows() []*tray.Specimen {
	l := d.look
	if d.Tray.Len() < LookFrom {
		l = TrayLook{}
	}
	words := strings.Fields(strings.ToLower(l.Search))
	rows := slices.DeleteFunc(d.Tray.Specimens(), func(s *tray.Specimen) bool {
		return !hasWords(s, words) || !l.State.holds(s) || !d.passes(l, s)
	})
	if order := d.order(l.By); order != nil {
		slices.SortStableFunc(rows, order)
	}
	if l.Down {
		slices.Reverse(rows)
	}
	return rows
}

func hasWords(s *tray.Specimen, words []string) bool {
	if len(words) == 0 {
		return true
	}
	texts := []string{s.Name}
	for _, f := range tray.Fields {
		texts = append(texts, f.Text(s))
	}
	for i := range s.Photos {
		texts = append(texts, s.Photos[i].File)
	}
	hay := strings.ToLower(strings.Join(texts, "\n"))
	for _, w := range words {
		if !strings.Contains(hay, w) {
			return false
		}
	}
	return true
}

// holds tells whether a state that shows in the inputs holds; those that need
// findings hold until passes has looked.
func (st TrayState) holds(s *tray.Specimen) bool {
	switch st {
	case WithoutPhoto:
		return len(s.Photos) == 0
	case Unscaled:
		return slices.ContainsFunc(s.Photos, func(p tray.Photo) bool { _, err := p.Scale(); return err != nil })
	case Untraced:
		return slices.ContainsFunc(s.Photos, func(p tray.Photo) bool { return p.Role.Lateral() }) && !traced(s)
	case Traced:
		return traced(s)
	}
	return true
}

func traced(s *tray.Specimen) bool {
	return slices.ContainsFunc(s.Photos, func(p tray.Photo) bool { return p.Role.Lateral() && p.Crown != nil && p.Crown.Done })
}

// glance is what looking through the tray needs of a finding.
type glance struct {
	of      *tray.Specimen // never changes once the tray has handed it out
	form    classify.Form
	clades  []string
	values  []float64 // of morph.Quantities; not a number where unknown
	doubted bool
	lacking bool // a measure that would help is missing
}

func glanceAt(s *tray.Specimen, f tray.Finding) glance {
	g := glance{of: s, form: f.Answer.Form, clades: f.Answer.CladeSet, values: make([]float64, len(morph.Quantities)), lacking: len(f.Answer.Missing) > 0}
	for i, q := range morph.Quantities {
		g.values[i] = math.NaN()
		if r := f.Readings.Get(q.ID); r.Known {
			g.values[i] = r.Value
		}
	}
	g.doubted = slices.ContainsFunc(f.Readings, func(r morph.Reading) bool { return r.Problem != "" })
	return g
}

func (g glance) value(id morph.ID) float64 {
	i := slices.IndexFunc(morph.Quantities, func(q morph.Quantity) bool { return q.ID == id })
	if i < 0 {
		return math.NaN()
	}
	return g.values[i]
}

// glance gives what was found of a tooth as it is now; false when it was not
// looked at yet.
func (d *Desk) glance(s *tray.Specimen) (glance, bool) {
	g, ok := d.glances[s.ID]
	return g, ok && g.of == s && d.glancedHow == d.finder.How()
}

func (d *Desk) passes(l TrayLook, s *tray.Specimen) bool {
	if !l.asksFindings() {
		return true
	}
	g, ok := d.glance(s)
	switch {
	case !ok:
		return false
	case l.Form == NotSorted && g.form != "", l.Form != "" && l.Form != NotSorted && g.form != l.Form:
		return false
	case l.Clade != "" && !slices.Contains(g.clades, l.Clade):
		return false
	case l.Lacks != "" && !math.IsNaN(g.value(l.Lacks)):
		return false
	case l.State == InDoubt && !g.doubted, l.State == Complete && (g.lacking || g.form == ""):
		return false
	}
	return true
}

// order compares two teeth by what the rows are in the order of; nil for the
// order of the tray. What is not known comes last.
func (d *Desk) order(by TrayOrder) func(a, b *tray.Specimen) int {
	switch by {
	case ByArrival:
		return nil
	case ByName:
		return func(a, b *tray.Specimen) int { return byNumberAndName(a.Name, b.Name) }
	case ByChange:
		return func(a, b *tray.Specimen) int { return b.Changed.Compare(a.Changed) }
	case ByAnswer:
		return func(a, b *tray.Specimen) int {
			x, _ := d.glance(a)
			y, _ := d.glance(b)
			return cmp.Compare(rank(x.form), rank(y.form))
		}
	}
	last := math.Inf(1)
	if d.look.Down {
		last = math.Inf(-1)
	}
	value := func(s *tray.Specimen) float64 {
		g, ok := d.glance(s)
		if !ok {
			return last
		}
		if v := g.value(morph.ID(by)); !math.IsNaN(v) {
			return v
		}
		return last
	}
	return func(a, b *tray.Specimen) int { return cmp.Compare(value(a), value(b)) }
}

func rank(f classify.Form) int {
	if i := slices.Index(classify.Forms(), f); i >= 0 {
		return i
	}
	return len(classify.Forms())
}

// byNumberAndName compares names as a person lists them: "T 9" before "T 10".
func byNumberAndName(a, b string) int {
	a, b = strings.ToLower(a), strings.ToLower(b)
	for a != "" && b != "" {
		x, y := run(a), run(b)
		a, b = a[len(x):], b[len(y):]
		if isDigit(x[0]) && isDigit(y[0]) {
			p, q := strings.TrimLeft(x, "0"), strings.TrimLeft(y, "0")
			if c := cmp.Or(cmp.Compare(len(p), len(q)), strings.Compare(p, q)); c != 0 {
				return c
			}
		}
		if c := strings.Compare(x, y); c != 0 {
			return c
		}
	}
	return cmp.Compare(len(a), len(b))
}

// run is the digits, or what are none, that a text begins with.
func run(s string) string {
	for i := range len(s) {
		if isDigit(s[i]) != isDigit(s[0]) {
			return s[:i]
		}
	}
	return s
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
