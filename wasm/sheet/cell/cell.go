package cell

import (
	"strconv"

	"crownbench/classify/typed/grid"
)

// Text makes a text safe in a spreadsheet. The rule, which Read undoes: a text
// that begins with one of = + - @ (also in full width), a tab or a line break,
// after any spaces, control and format characters (categories Z, Cc and Cf of
// Unicode) and apostrophes, and that is no plain number, gets one apostrophe in
// front. So whoever reads the table takes one leading apostrophe away where
// what follows it begins like that, and has the text as it was.
//
// Line breaks of every kind become LF; our tables write each as CR LF.
func Text(text string) string { return grid.Guard(text) }

// Read gives the text that Text made the cell of, with its line breaks as LF.
func Read(cell string) string { return grid.Unguard(cell) }

// Number writes a number with a decimal point and no exponent, so that reading
// it gives the same number.
func Number(v float64) string { return strconv.FormatFloat(v, 'f', -1, 64) }

// Uncertainty writes a number with six significant digits: it comes from
// differences of readings, and further digits of it would be noise.
func Uncertainty(u float64) string {
	if rounded, err := strconv.ParseFloat(strconv.FormatFloat(u, 'g', 6, 64), 64); err == nil {
		u = rounded
	}
	return Number(u)
}
