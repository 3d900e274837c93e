package panel

import (
	"fmt"
	"strconv"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// number writes a value as a person would type it.
func number(v float64) string { return strconv.FormatFloat(v, 'g', 6, 64) }

// marks are the trade's signs for the states of a typed value.
var marks = map[morph.State]string{
	morph.Estimated: "~", morph.Minimum: ">", morph.NotApplicable: "/", morph.Unknown: "?", morph.Absent: "absent",
}

// typedWords writes a typed value as it can be typed again.
func typedWords(t morph.Typed) string {
	switch t.State {
	case morph.NotApplicable, morph.Unknown, morph.Absent:
		return marks[t.State]
	case morph.NotPreserved:
		return ""
	}
	text := marks[t.State] + number(t.Value)
	if t.U > 0 {
		text += " ± " + number(t.U)
	}
	return text
}

// candidateWords writes one of the values that a quantity could have.
func candidateWords(q morph.Quantity, c morph.Candidate) string {
	return tray.FormatReading(morph.Reading{Quantity: q, Known: true, Value: c.Value, U: c.U, State: c.State})
}

// scaleWords writes a scale with its standard uncertainty.
func scaleWords(s morph.Scale) string {
	text := tray.FormatNumber(s.PxPerMM, s.RelU*s.PxPerMM, "")
	return text + " px/mm"
}

// thousands writes a count with its thousands set apart.
func thousands(n int) string {
	if n < 1000 {
		return strconv.Itoa(n)
	}
	return fmt.Sprintf("%s,%03d", thousands(n/1000), n%1000)
}

// number3 writes a value with three digits that mean something, never in
// powers of ten.
func number3(v float64) string {
	switch {
	case v >= 100:
		return strconv.FormatFloat(v, 'f', 0, 64)
	case v >= 10:
		return strconv.FormatFloat(v, 'f', 1, 64)
	default:
		return strconv.FormatFloat(v, 'f', 2, 64)
	}
}
