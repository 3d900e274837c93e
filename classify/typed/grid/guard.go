package grid

import (
	"regexp"
	"strings"
)

var (
	// formulaStart is how a text begins that a spreadsheet might run: one of
	// = + - @, also in full width, or a tab or line break before which it cuts
	// the cell; after any spaces, apostrophes and characters that are not
	// shown, some of which spreadsheets drop (LibreOffice drops U+0000).
	formulaStart = regexp.MustCompile(`^[\p{Z}\p{Cc}\p{Cf}']*[=+\-@\x{FF1D}\x{FF0B}\x{FF0D}\x{FF20}\t\r\n]`)
	plainNumber  = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)
	lineBreak    = strings.NewReplacer("\r\n", "\n", "\r", "\n")
)

// Guard makes a text safe in a spreadsheet. The rule, which can be undone: a
// text that a spreadsheet might take for a formula (formulaStart) and that is
// no plain number gets one apostrophe in front. Line breaks become LF.
func Guard(text string) string {
	if text == "" || harmless(text[0]) && strings.IndexByte(text, '\r') < 0 {
		return text
	}
	text = lineBreak.Replace(text)
	if formulaStart.MatchString(text) && !plainNumber.MatchString(text) {
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
	if rest, ok := strings.CutPrefix(text, "'"); ok && formulaStart.MatchString(rest) {
		return rest
	}
	return text
}
