package tray

import (
	"errors"
	"fmt"
	"math"
	"strconv"
	"strings"
	"unicode"
	"unicode/utf8"

	"crownbench/morph"
)

// MaxCell is the length in bytes of the longest cell that ParseNumber reads.
const MaxCell = 200

// ParseNumber reads what a person types into a cell, or pastes into it from a
// published table: a number with its uncertainty and the trade's marks.
//
//	45.46  45,46            a decimal point or a decimal comma
//	45.46 ± 0.12            with a standard uncertainty; also "+/- 0.12"
//	4.546 cm                in cm or in (inches); mm may be written
//	~38  28.05*             about, estimated
//	>24.6                   a minimum: the part is broken
//	?  /  absent            unknown, not applicable, recorded as absent
//	not preserved           lost to wear or breakage
//
// The value and u, its standard uncertainty (0 when not given), are in mm
// where the cell names a unit of length, and otherwise as they were typed. A
// mark without a number gives 0.
//
// A single comma or point is the decimal mark, wherever it stands: thousands
// are never grouped. The error is a sentence that quotes what is not
// understood; value and u are then 0.
func ParseNumber(s string) (value, u float64, state morph.State, err error) {
	c, err := parseCell(s)
	if err != nil {
		return 0, 0, morph.MeasuredState, err
	}
	return c.value, c.u, c.state, nil
}

// ParseTyped reads the cell of a quantity as ParseNumber does, and refuses a
// unit of length where the quantity is no length.
func ParseTyped(q morph.Quantity, s string) (morph.Typed, error) {
	c, err := parseCell(s)
	if err != nil {
		return morph.Typed{}, err
	}
	if c.unit != "" && q.Unit != "mm" {
		in := "a plain number"
		if q.Unit != "" {
			in = "given " + q.Unit
		}
		return morph.Typed{}, fmt.Errorf("%q is a length, and %s is %s; leave out the %s", excerpt(s), q.ID, in, c.unit)
	}
	return morph.Typed{Value: c.value, U: c.u, State: c.state}, nil
}

// ParsePlain reads a number and its uncertainty where neither a unit nor a mark
// belongs: a count, or a length whose unit is chosen beside it.
func ParsePlain(s string) (value, u float64, err error) {
	c, err := parseCell(s)
	switch {
	case err != nil:
		return 0, 0, err
	case c.unit != "":
		return 0, 0, fmt.Errorf("%q names a unit; write the number alone", excerpt(s))
	case c.state != morph.MeasuredState:
		return 0, 0, fmt.Errorf("%q is marked as %s; a plain number is expected here", excerpt(s), c.state)
	}
	return c.value, c.u, nil
}

type cell struct {
	value, u float64
	state    morph.State
	unit     morph.Unit // that was named, "" without
}

var errEmpty = errors.New("nothing was typed; a number such as 22.6 or 22.6 ± 0.2 is expected")

func parseCell(s string) (cell, error) {
	var c cell
	if len(s) > MaxCell {
		return c, fmt.Errorf("the text is longer than %d characters; a number such as 22.6 ± 0.2 is expected", MaxCell)
	}
	rest := strings.TrimFunc(s, blank)
	switch strings.ToLower(strings.Join(strings.FieldsFunc(rest, blank), " ")) {
	case "":
		return c, errEmpty
	case "?":
		c.state = morph.Unknown
	case "/":
		c.state = morph.NotApplicable
	case "absent":
		c.state = morph.Absent
	case "not preserved":
		c.state = morph.NotPreserved
	}
	if c.state != morph.MeasuredState {
		return c, nil
	}

	rest, mark, err := cutMark(rest)
	if err != nil {
		return cell{}, err
	}
	c.state = mark
	number, spread, stated := cutSpread(rest)
	n, err := parseLength(number)
	if err != nil {
		return cell{}, err
	}
	c.value = n.mm()
	if stated {
		w, err := parseLength(spread)
		if err != nil {
			return cell{}, fmt.Errorf("after the ±: %w", err)
		}
		if w.unit == "" {
			w.unit = n.unit
		}
		if n.unit == "" { // "22.6 ± 0.2 mm": the unit is that of both
			n.unit = w.unit
			c.value = n.mm()
		}
		c.u = w.mm()
	}
	c.unit = n.unit
	if c.value > MaxNumber || c.u > MaxNumber {
		return cell{}, fmt.Errorf("%q is larger than anything that is measured on a tooth", excerpt(s))
	}
	return c, nil
}

// cutMark takes the trade's marks off a number.
func cutMark(s string) (rest string, state morph.State, err error) {
	var about, minimum bool
	rest = s
	for rest != "" {
		r, size := utf8.DecodeRuneInString(rest)
		switch r {
		case '~', '≈':
			about = true
		case '>', '≥':
			minimum = true
		case '<', '≤':
			return "", "", fmt.Errorf("%q gives a greatest value; only a least one can be kept, as in >24.6", excerpt(s))
		default:
			size = 0
		}
		if size == 0 {
			break
		}
		rest = strings.TrimLeftFunc(rest[size:], blank)
	}
	for strings.HasSuffix(rest, "*") {
		rest, about = strings.TrimRightFunc(rest[:len(rest)-1], blank), true
	}
	switch {
	case about && minimum:
		return "", "", errors.New("the value is marked both as a minimum (>) and as an estimate (~ or *); keep one of the marks")
	case about:
		state = morph.Estimated
	case minimum:
		state = morph.Minimum
	}
	return rest, state, nil
}

// cutSpread parts a number from the uncertainty that follows it.
func cutSpread(s string) (number, spread string, found bool) {
	for _, sign := range []string{"±", "+/-", "+/−", "+-", "+−"} {
		if number, spread, found = strings.Cut(s, sign); found {
			return strings.TrimFunc(number, blank), strings.TrimFunc(spread, blank), true
		}
	}
	return s, "", false
}

// length is a plain number with the unit of length that stood after it.
type length struct {
	number float64
	unit   morph.Unit
}

func (l length) mm() float64 {
	mm, _ := l.unit.In()
	return l.number * mm
}

// units are the endings that are understood, the longer before the shorter.
var units = []struct {
	ending string
	unit   morph.Unit
}{
	{"mm", morph.Millimetre}, {"cm", morph.Centimetre}, {"inches", morph.Inch}, {"inch", morph.Inch}, {"in", morph.Inch},
}

func parseLength(s string) (length, error) {
	var l length
	number := s
	for _, u := range units {
		if n := len(s) - len(u.ending); n >= 0 && strings.EqualFold(s[n:], u.ending) {
			number, l.unit = strings.TrimRightFunc(s[:n], blank), u.unit
			break
		}
	}
	var err error
	l.number, err = parseDecimal(number)
	return l, err
}

// parseDecimal reads digits with at most one decimal mark.
func parseDecimal(s string) (float64, error) {
	if s == "" {
		return 0, errors.New("there is no number; one such as 22.6 or 22.6 ± 0.2 is expected")
	}
	digits, marks, gaps := 0, 0, 0
	for i, r := range s {
		switch {
		case r >= '0' && r <= '9':
			digits++
		case r == '.' || r == ',':
			marks++
		case i > 0 && (blank(r) || r == '\'' || r == '’'):
			gaps++
		case i == 0 && (r == '-' || r == '−'):
			return 0, fmt.Errorf("%q is below zero, which no measurement of a tooth is", excerpt(s))
		default:
			return 0, fmt.Errorf("%q is not a number; one such as 22.6, 22.6 ± 0.2, ~22 or >22 is expected", excerpt(s))
		}
	}
	switch {
	case digits == 0:
		return 0, fmt.Errorf("%q has no digits; a number such as 22.6 is expected", excerpt(s))
	case marks > 1 || gaps > 0:
		return 0, fmt.Errorf("%q groups digits or holds two numbers; write one number without spaces, with one decimal point or comma at most", excerpt(s))
	}
	v, err := strconv.ParseFloat(strings.Replace(s, ",", ".", 1), 64)
	if err != nil || math.IsInf(v, 0) { // the form was checked: only the size is left
		return 0, fmt.Errorf("%q is too large a number", excerpt(s))
	}
	return v, nil
}

// blank tells the spaces that keyboards and spreadsheets put around numbers.
func blank(r rune) bool { return unicode.IsSpace(r) || r == '\u2007' || r == '\u202f' || r == '\ufeff' }

// excerpt shortens what is quoted in a sentence.
func excerpt(s string) string {
	const most = 40
	if r := []rune(s); len(r) > most {
		return string(r[:most]) + "…"
	}
	return s
}
