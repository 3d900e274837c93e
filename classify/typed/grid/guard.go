package grid

import (
	"strconv"
	"strings"
	"unicode"
)

var lineBreak = strings.NewReplacer("\r\n", "\n", "\r", "\n")

// startsFormula tells whether a text begins as one that a spreadsheet might run:
// with one of = + - @, also in full width, or a tab or line break before which
// it cuts the cell; after any spaces, apostrophes and characters that are not
// shown, some of which spreadsheets drop (LibreOffice drops U+0000).
func startsFormula(text string) bool {
	for _, r := range text {
		switch {
		case strings.ContainsRune("=+-@\uff1d\uff0b\uff0d\uff20\t\r\n", r):
			return true
		case r != '\'' && !unicode.In(r, unicode.Z, unicode.Cc, unicode.Cf):
			return false
		}
	}
	return false
}

// isPlainNumber tells whether a text is digits with at most a sign before and a
// decimal point among them, and no larger than a spreadsheet's number can be (IEEE
// 754 double precision): what it makes of a larger one is not known.
func isPlainNumber(text string) bool {
	const digits = "0123456789"
	if _, err := strconv.ParseFloat(text, 64); err != nil {
		return false
	}
	if text != "" && (text[0] == '+' || text[0] == '-') {
		text = text[1:]
	}
	whole, part, pointed := strings.Cut(text, ".")
	return whole != "" && strings.Trim(whole, digits) == "" && (!pointed || part != "" && strings.Trim(part, digits) == "")
}

// Guard makes a text safe in a spreadsheet. The rule, which can be undone: a
// text that a spreadsheet might take for a formula (startsFormula) and that is
// no plain number gets one apostrophe in front. Line breaks become LF.
func Guard(text string) string {
	if text == "" || harmless(text[0]) && strings.IndexByte(text, '\r') < 0 {
		return text
	}
	text = lineBreak.Replace(text)
	if startsFormula(text) && !isPlainNumber(text) {
		return "'" + text
	}
	return text
}

// harmless tells a first byte that begins no formula; most texts have one.
func harmless(b byte) bool {
	return b >= '0' && b <= '9' || b >= 'A' && b <= 'Z' || b >= 'a' && b <= 'z'
}

// Unguard takes one leading apostrophe away where Guard may have put it, so
// that Unguard(Guard(text)) is text for every text whose line breaks are LF.
func Unguard(text string) string {
	if rest, ok := strings.CutPrefix(text, "'"); ok && startsFormula(rest) {
		return rest
	}
	return text
}
