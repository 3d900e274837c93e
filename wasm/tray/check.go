package tray

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode/utf8"

	"crownbench/morph"
)

// Limits on one specimen; a record beyond them is refused with a sentence
// that names the limit.
const (
	MaxPhotos   = 40
	MaxVertices = 20000 // on one photograph, points along followed edges included
	MaxText     = 10000 // characters in one text field
	MaxEntries  = 500   // typed values, counts or choices
	MaxPixels   = 1e6   // px, how far a marked point may lie from a picture's corner
	MaxNumber   = 1e9   // of a typed value, a count or a length, in its own unit
	MaxRevision = 1e12
)

// Check tells, in a sentence, what makes a specimen unfit to be kept, or nil.
// It bounds what a damaged or hostile record can bring in: sizes, indices,
// words that the program does not know and numbers that no tooth has.
func (s *Specimen) Check() error {
	if s.ID == "" {
		return fmt.Errorf("the record of %.40q has no identifier", s.Name)
	}
	for _, f := range []named{{"identifier", s.ID}, {"name", s.Name}} {
		if err := f.check(); err != nil {
			return fmt.Errorf("the record of %.40q: %w", s.Name, err)
		}
	}
	for _, f := range Fields {
		if err := f.Check(f.Text(s)); err != nil {
			return fmt.Errorf("the record of %.40q: %w", s.Name, err)
		}
	}
	if s.Revision < 0 || s.Revision > MaxRevision {
		return fmt.Errorf("%.40q gives %d as its number of changes", s.Name, s.Revision)
	}
	if !slices.Contains([]Row{RowUnknown, RowMesial, RowLateral}, s.Row) {
		return fmt.Errorf("%.40q gives the tooth row as %.40q; it is mesial, lateral or left empty", s.Name, s.Row)
	}
	for _, c := range []morph.CarinaState{s.Mesial, s.Distal} {
		if !slices.Contains(carinaStates, c) {
			return fmt.Errorf("%.40q gives the denticles of a carina as %.40q; they are present, absent, not preserved or left empty", s.Name, c)
		}
	}
	if !slices.Contains([]morph.DSDIRule{"", morph.DSDIMid, morph.DSDIMean}, s.DSDI) {
		return fmt.Errorf("%.40q asks for DSDI by %.40q; it is %s or %s", s.Name, s.DSDI, morph.DSDIMid, morph.DSDIMean)
	}
	if !slices.Contains([]morph.CHRRule{"", morph.CHRByLength, morph.CHRByLongAxis}, s.CHR) {
		return fmt.Errorf("%.40q asks for CHR by %.40q; it is %s or %s", s.Name, s.CHR, morph.CHRByLength, morph.CHRByLongAxis)
	}
	if err := s.checkTyped(); err != nil {
		return err
	}
	if len(s.Photos) > MaxPhotos {
		return fmt.Errorf("%.40q has %d photographs; at most %d belong to one specimen", s.Name, len(s.Photos), MaxPhotos)
	}
	seen := map[string]bool{}
	for i := range s.Photos {
		p := &s.Photos[i]
		if p.ID == "" || seen[p.ID] {
			return fmt.Errorf("photograph %d of %.40q has no identifier of its own", i+1, s.Name)
		}
		seen[p.ID] = true
		if err := p.check(); err != nil {
			return fmt.Errorf("photograph %d (%.40q) of %.40q: %w", i+1, p.File, s.Name, err)
		}
	}
	return nil
}

var carinaStates = []morph.CarinaState{
	morph.DenticlesUnknown, morph.DenticlesPresent, morph.DenticlesAbsent, morph.DenticlesNotPreserved,
}

var states = []morph.State{
	morph.MeasuredState, morph.Estimated, morph.Minimum, morph.NotApplicable, morph.Unknown, morph.Absent, morph.NotPreserved,
}

func (s *Specimen) checkTyped() error {
	if n := max(len(s.Typed), len(s.Counts), len(s.Prefer)); n > MaxEntries {
		return fmt.Errorf("%.40q carries %d typed values; at most %d are read", s.Name, n, MaxEntries)
	}
	for id, v := range s.Typed {
		if !within(MaxNumber, v.Value, v.U) || v.U < 0 {
			return fmt.Errorf("%.40s of %.40q is %g ± %g, which is no measurement", id, s.Name, v.Value, v.U)
		}
		if !slices.Contains(states, v.State) {
			return fmt.Errorf("%.40s of %.40q is marked %.40q, a word that is not known", id, s.Name, v.State)
		}
	}
	for id, c := range s.Counts {
		if !within(MaxNumber, c.N, c.LengthMM) || c.N < 0 || c.LengthMM < 0 {
			return fmt.Errorf("the count %.40s of %.40q is %g over %g mm, which is no count", id, s.Name, c.N, c.LengthMM)
		}
	}
	for id, key := range s.Prefer {
		if err := (named{"choice for " + string(id), key}).check(); err != nil {
			return fmt.Errorf("the record of %.40q: %w", s.Name, err)
		}
	}
	return nil
}

// isHash tells whether a text is a SHA-256 in hexadecimal digits.
func isHash(s string) bool { return len(s) == 64 && strings.Trim(s, "0123456789abcdef") == "" }

func (p *Photo) check() error {
	for _, f := range []named{
		{"identifier", p.ID}, {"file name", p.File}, {"media type", p.MIME}, {"date", p.Taken}, {"device", p.Device},
		{"creator", p.Creator}, {"licence", p.License},
	} {
		if err := f.check(); err != nil {
			return err
		}
	}
	// The hash becomes a key and a file name: nothing else may stand in it.
	if p.Hash != "" && !isHash(p.Hash) {
		return fmt.Errorf("its SHA-256 is %.80q; 64 hexadecimal digits are expected", p.Hash)
	}
	if p.Bytes < 0 || p.Width < 0 || p.Height < 0 || p.Width > MaxPixels || p.Height > MaxPixels {
		return fmt.Errorf("it is said to hold %d bytes and %d × %d px", p.Bytes, p.Width, p.Height)
	}
	return checkView(&p.View)
}

func checkView(v *morph.View) error {
	if !slices.Contains(morph.Roles, v.Role) {
		return fmt.Errorf("its role %.40q is not known", v.Role)
	}
	n := len(v.Bars) + len(v.Stretches) + len(v.Repeats)
	bad := !within(MaxPixels, v.Pointing) || v.Pointing < 0
	count := func(p []morph.Vertex) {
		for _, q := range p {
			n += 1 + len(q.Via)
			bad = bad || !within(MaxPixels, q.X, q.Y)
			for _, w := range q.Via {
				bad = bad || !within(MaxPixels, w[0], w[1])
			}
		}
	}
	for _, b := range v.Bars {
		count([]morph.Vertex{b.From, b.To})
		bad = bad || !within(MaxNumber, b.Length, b.ULength) || b.Length < 0 || b.ULength < 0
		if _, ok := b.Unit.In(); !ok {
			return fmt.Errorf("the unit of its scale bar is %.40q; it is mm, cm or in", b.Unit)
		}
	}
	for _, r := range v.Repeats {
		count(r)
	}
	if f := v.Flat; f != nil {
		count(f.Corners[:])
		bad = bad || !within(MaxNumber, f.Width, f.Height, f.USide) || f.Width < 0 || f.Height < 0 || f.USide < 0
		if _, ok := f.Unit.In(); !ok {
			return fmt.Errorf("the unit of its card is %.40q; it is mm, cm or in", f.Unit)
		}
	}
	if d := v.Depth; d != nil {
		bad = bad || !within(MaxNumber, d.Offset, d.UOffset, d.Distance, d.UDistance) ||
			d.UOffset < 0 || d.Distance < 0 || d.UDistance < 0
	}
	if c := v.Crown; c != nil {
		count(c.Path)
		if t := c.Tip; t != nil {
			bad = bad || !within(MaxPixels, t.X, t.Y, t.U) || t.U < 0
		}
		if c.Apex < morph.Unset || c.Apex >= len(c.Path) {
			return fmt.Errorf("its crown's apex is point %d of %d", c.Apex+1, len(c.Path))
		}
	}
	if s := v.Section; s != nil {
		count(s.Outline)
		for _, end := range []int{s.Mesial, s.Distal} {
			if end < morph.Unset || end >= len(s.Outline) {
				return fmt.Errorf("its section's end is point %d of %d", end+1, len(s.Outline))
			}
		}
	}
	for _, st := range v.Stretches {
		count(st.Line)
		count(st.Ticks)
		if st.Carina != morph.MesialCarina && st.Carina != morph.DistalCarina {
			return fmt.Errorf("denticles are marked on the carina %.40q; it is mesial or distal", st.Carina)
		}
		if !slices.Contains([]morph.Third{"", morph.Apical, morph.Mid, morph.Basal}, st.Third) {
			return fmt.Errorf("denticles are marked on the third %.40q; it is apical, mid or basal", st.Third)
		}
	}
	for _, o := range origins(v) {
		if !o.Known() {
			return fmt.Errorf("a trace came about in a way that is not known: %.40q", o)
		}
	}
	if bad {
		return fmt.Errorf("a marked point or length is no number that a photograph can have")
	}
	if n > MaxVertices {
		return fmt.Errorf("it carries %d marked points; at most %d are read", n, MaxVertices)
	}
	return nil
}

// named is a text with the name by which a sentence calls it.
type named struct{ name, text string }

func (f named) check() error {
	if !utf8.ValidString(f.text) {
		return fmt.Errorf("its %.40s is not valid text (UTF-8)", f.name)
	}
	if utf8.RuneCountInString(f.text) > MaxText {
		return fmt.Errorf("its %.40s is longer than %d characters", f.name, MaxText)
	}
	return nil
}

// within tells whether all numbers are finite and no larger than limit.
func within(limit float64, xs ...float64) bool {
	for _, x := range xs {
		if !(math.Abs(x) <= limit) {
			return false
		}
	}
	return true
}

// origins lists how each trace of a photograph came about.
func origins(v *morph.View) (all []morph.Origin) {
	if v.Crown != nil {
		all = append(all, v.Crown.Origin)
	}
	if v.Section != nil {
		all = append(all, v.Section.Origin)
	}
	for _, b := range v.Bars {
		all = append(all, b.Origin)
	}
	for _, st := range v.Stretches {
		all = append(all, st.Origin)
	}
	return all
}
