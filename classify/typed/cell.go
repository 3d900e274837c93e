package typed

import (
	"math"
	"strconv"
	"strings"
	"unicode"

	"crownbench/classify"
)

// Mark is how a published table marks a value.
type Mark uint8

const (
	Measured      Mark = iota // no mark
	Estimated                 // ~ or *
	Minimum                   // > : the crown is broken
	Unknown                   // ?
	NotApplicable             // /
	Absent                    // denticles: a character of the tooth
	NotPreserved              // denticles: lost
)

// marks in words, as a column of standings has them.
var marks = map[string]Mark{
	"measured": Measured, "estimated": Estimated, "minimum": Minimum, "unknown": Unknown,
	"not applicable": NotApplicable, "absent": Absent, "not preserved": NotPreserved,
}

// numbered tells whether a value with this mark has a number.
func (m Mark) numbered() bool { return m <= Minimum }

// Value is what a row says of one measure.
type Value struct {
	Measure classify.Measure
	Number  float64 // mm, per 5 mm, or a ratio; 0 with a mark that has no number
	U       float64 // its standard uncertainty, 0 when not given
	Mark    Mark
}

// empty tells whether a cell says that there is nothing to say.
func empty(cell string) bool {
	switch cell {
	case "-", "–", "—":
		return true
	}
	return strings.EqualFold(cell, "NA") || strings.EqualFold(cell, "n/a")
}

// unsaid tells whether a cell that holds a word says nothing by one of the
// trade's marks.
func unsaid(cell string) bool { return empty(cell) || cell == "?" || cell == "/" }

// trim takes away spaces and the marks of direction that copying leaves around
// a cell.
func trim(cell string) string {
	return strings.TrimFunc(cell, func(r rune) bool {
		return unicode.IsSpace(r) || r == '\u200e' || r == '\u200f' || r == '\ufeff' || r == '\u200b'
	})
}

// readValue reads the cell of a reading; want is what was expected when it
// cannot be read.
func (c Column) readValue(cell string) (v Value, want string) {
	v.Measure = c.Measure
	if n, ok := decimal(cell); ok { // as most cells are
		v.Number = n * factors[c.Unit]
		return v, c.check(v)
	}
	counts := c.Measure.Unit() == "per 5 mm"
	switch word := strings.ToLower(cell); {
	case word == "?":
		v.Mark = Unknown
		return v, ""
	case word == "/":
		v.Mark = NotApplicable
		return v, ""
	case word == "absent" && counts:
		v.Mark = Absent
		return v, ""
	case word == "not preserved" && counts:
		v.Mark = NotPreserved
		return v, ""
	}
	number, mark := cutMark(cell)
	v.Mark = mark
	number, spread, spreads := cutSpread(number)
	factor, own := factors[c.Unit], false
	if spreads {
		spread, factor, own = c.cutUnit(spread, factor)
	}
	number, f, named := c.cutUnit(number, factor)
	if named && !own {
		factor = f // "2.05 cm ± 0.01": the unit is that of both
	}
	n, ok := decimal(number)
	if !ok {
		return v, c.wanted("a number")
	}
	v.Number = n * f
	if spreads {
		u, ok := decimal(spread)
		if !ok || u < 0 || math.IsInf(u*factor, 0) {
			return v, "a number, ± and its standard uncertainty"
		}
		v.U = u * factor
	}
	return v, c.check(v)
}

func (c Column) check(v Value) (want string) {
	if classify.CheckValue(c.Measure, v.Number) != nil {
		return c.wanted("a number above zero that a tooth can have")
	}
	return ""
}

// wanted adds what else a count of denticles may say.
func (c Column) wanted(number string) string {
	if c.Measure.Unit() == "per 5 mm" {
		return number + ", or the word absent"
	}
	return number
}

// readUncertainty reads the cell of an uncertainty.
func (c Column) readUncertainty(cell string) (u float64, want string) {
	u, ok := decimal(cell)
	if u *= factors[c.Unit]; !ok || u < 0 || math.IsInf(u, 0) {
		return 0, "an uncertainty of zero or more"
	}
	return u, ""
}

// cutMark takes the mark off a number. A number with two different ones is left
// as it is, and is then no number.
func cutMark(s string) (rest string, mark Mark) {
	rest = s
	for _, sign := range []struct {
		text string
		mark Mark
	}{{">", Minimum}, {"≥", Minimum}, {"~", Estimated}, {"≈", Estimated}} {
		if r, ok := strings.CutPrefix(s, sign.text); ok {
			rest, mark = r, sign.mark
			break
		}
	}
	if r, ok := strings.CutSuffix(rest, "*"); ok && mark != Minimum {
		rest, mark = r, Estimated
	}
	return trim(rest), mark
}

// cutSpread parts a number from the uncertainty that follows it.
func cutSpread(s string) (number, spread string, found bool) {
	for _, sign := range []string{"±", "+/-"} {
		if number, spread, found = strings.Cut(s, sign); found {
			return trim(number), trim(spread), true
		}
	}
	return s, "", false
}

// cutUnit takes a unit of length off a number of a length, and returns the
// factor that it stands for, or the one given when there is none.
func (c Column) cutUnit(s string, factor float64) (rest string, _ float64, own bool) {
	if c.Measure.Unit() != "mm" {
		return s, factor, false
	}
	for _, u := range []Unit{Millimetre, Centimetre, Inch} {
		if n := len(s) - len(u); n > 0 && strings.EqualFold(s[n:], string(u)) {
			return trim(s[:n]), factors[u], true
		}
	}
	return s, factor, false
}

// decimal reads a number with a decimal point or comma. Groups of thousands, and
// the words that strconv takes for numbers, are refused.
func decimal(s string) (float64, bool) {
	comma := false
	for i := range len(s) {
		switch c := s[i]; {
		case c >= '0' && c <= '9', c == '.', c == '-', c == '+', c == 'e', c == 'E':
		case c == ',' && !comma:
			comma = true
		default:
			return 0, false
		}
	}
	if comma {
		if strings.Contains(s, ".") {
			return 0, false
		}
		s = strings.Replace(s, ",", ".", 1)
	}
	v, err := strconv.ParseFloat(s, 64)
	return v, err == nil
}
