package tray

import (
	"math"
	"strconv"
	"strings"

	"crownbench/morph"
)

// NotKnown stands where a reading has no value and no mark.
const NotKnown = "—"

// FormatValue writes a reading's value as a table shows it, without its unit:
// rounded by its standard uncertainty, which is given with two significant
// digits, and with the trade's mark of its state.
//
//	45.46 ± 0.12   ~38   >24.6   ?   /   absent   not preserved   —
//
// A value without an uncertainty keeps the decimals that its unit usually has,
// less trailing zeros. The decimal mark is a point. ParseNumber reads the
// result back, but for NotKnown.
func FormatValue(r morph.Reading) string {
	switch r.State {
	case morph.NotApplicable:
		return "/"
	case morph.Absent, morph.NotPreserved:
		return string(r.State)
	case morph.Unknown:
		return "?"
	}
	if !r.Known || !within(math.MaxFloat64, r.Value) {
		return NotKnown
	}
	mark := ""
	switch r.State {
	case morph.Estimated:
		mark = "~"
	case morph.Minimum:
		mark = ">"
	}
	return mark + FormatNumber(r.Value, r.U, r.Unit)
}

// FormatReading is FormatValue followed by the unit, where there is a number.
func FormatReading(r morph.Reading) string {
	text := FormatValue(r)
	if !strings.ContainsAny(text, "0123456789") {
		return text
	}
	switch r.Unit {
	case "", "°":
		return text + r.Unit
	}
	return text + " " + r.Unit
}

// FormatNumber writes a value of the given unit as FormatValue does, with
// " ± " and the standard uncertainty u when that is above 0.
func FormatNumber(value, u float64, unit string) string {
	if !(u > 0) || math.IsInf(u, 0) {
		return trimZeros(fixed(value, usualDecimals(value, unit)))
	}
	decimals := decimalsOfTwo(u)
	return fixed(value, decimals) + " ± " + fixed(u, decimals)
}

// FormatInterval writes the two ends of an interval with the decimals that a
// value with the standard uncertainty u has: "45.23 to 45.69".
func FormatInterval(low, high, u float64) string {
	decimals := decimalsOfTwo(u)
	return fixed(low, decimals) + " to " + fixed(high, decimals)
}

// decimalsOfTwo is the number of decimals with which u shows two significant
// digits, after rounding; negative for tens and above.
func decimalsOfTwo(u float64) int {
	_, exp, _ := strings.Cut(strconv.FormatFloat(u, 'e', 1, 64), "e")
	e, _ := strconv.Atoi(exp)
	return min(1-e, mostDecimals)
}

// usualDecimals is how many decimals a value of a unit is given with when
// nothing says how sure it is: callipers read hundredths of a millimetre,
// tables print ratios to three places. Small values keep three significant
// digits.
func usualDecimals(value float64, unit string) int {
	usual := 3 // ratios
	switch unit {
	case "mm":
		usual = 2
	case "°", "per 5 mm", "mm²", "mm³", "mm⁴":
		usual = 1
	}
	if value == 0 {
		return usual
	}
	return min(max(usual, 2-int(math.Floor(math.Log10(math.Abs(value))))), mostDecimals)
}

// mostDecimals keeps a meaningless uncertainty from filling the page.
const mostDecimals = 12

// fixed writes a number with so many decimals, or rounded to tens, hundreds …
// when they are negative.
func fixed(v float64, decimals int) string {
	if decimals < 0 {
		p := math.Pow10(-decimals)
		v, decimals = math.Round(v/p)*p, 0
	}
	text := strconv.FormatFloat(v, 'f', decimals, 64)
	if strings.Trim(text, "-0.") == "" {
		text = strings.TrimPrefix(text, "-") // no "-0"
	}
	return text
}

func trimZeros(s string) string {
	if strings.Contains(s, ".") {
		s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	}
	return s
}
