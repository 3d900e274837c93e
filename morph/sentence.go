package morph

import (
	"math"
	"strconv"
	"strings"
)

// figure writes a number for a sentence, in about three significant digits.
func figure(v float64) string {
	switch a := math.Abs(v); {
	case math.IsNaN(v):
		return "no number"
	case math.IsInf(v, 0):
		return "infinity"
	case a != 0 && (a < 0.001 || a >= 1e7):
		return strconv.FormatFloat(v, 'g', 3, 64)
	case a >= 1000:
		return strconv.FormatFloat(v, 'f', 0, 64)
	}
	s := strconv.FormatFloat(v, 'g', 4, 64)
	return s
}

// list joins words as a sentence does: "CBL, AL and CH".
func list(words []string) string {
	if len(words) < 2 {
		return strings.Join(words, "")
	}
	return strings.Join(words[:len(words)-1], ", ") + " and " + words[len(words)-1]
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
