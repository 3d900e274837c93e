package cell

import (
	"regexp"
	"strconv"
	"strings"
)

var (
	// formulaStart is how a text begins that a spreadsheet might run: one of
	// = + - @, also in full width, or a tab or line break before which it cuts
	// the cell; after any spaces and apostrophes.
	formulaStart = regexp.MustCompile(`^[\s\v\x{85}\p{Z}'\x{FEFF}]*[=+\-@\x{FF1D}\x{FF0B}\x{FF0D}\x{FF20}\t\r\n]`)
	plainNumber  = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)
	lineBreak    = strings.NewReplacer("\r\n", "\n", "\r", "\n")
)

// Text makes a text safe in a spreadsheet. The rule, which Read undoes: a text
// that begins with one of = + - @ (also in full width), a tab or a line break,
// after any spaces and apostrophes, and that is no plain number, gets one
// apostrophe in front. So whoever reads the table takes one leading apostrophe
// away where what follows it begins like that, and has the text as it was.
//
// Line breaks become LF, as any reader of CSV gives them back.
func Text(text string) string {
	text = lineBreak.Replace(text)
	if formulaStart.MatchString(text) && !plainNumber.MatchString(text) {
		return "'" + text
	}
	return text
}

// Read gives the text that Text made the cell of, with its line breaks as LF.
func Read(cell string) string {
	if rest, ok := strings.CutPrefix(cell, "'"); ok && formulaStart.MatchString(rest) {
		return rest
	}
	return cell
}

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
