package grid

import (
	"regexp"
	"testing"

	"pgregory.net/rapid"
)

// The rule as a regular expression says it, for the standard library to judge by.
var (
	formulaStart = regexp.MustCompile(`^[\p{Z}\p{Cc}\p{Cf}']*[=+\-@\x{FF1D}\x{FF0B}\x{FF0D}\x{FF20}\t\r\n]`)
	plainNumber  = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)
)

func TestFormulasAsRegexpSays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.SampledFrom([]rune("=+-@'\t\n\r \u00a0\u200b\x00\ufeff＝＠1.9a\u2028")), 0, 6, -1)).Draw(t, "text")
		if got, want := startsFormula(text), formulaStart.MatchString(text); got != want {
			t.Errorf("%q may be a formula: %v, the expression says %v", text, got, want)
		}
		if got, want := isPlainNumber(text), plainNumber.MatchString(text); got != want {
			t.Errorf("%q is a plain number: %v, the expression says %v", text, got, want)
		}
	})
}
