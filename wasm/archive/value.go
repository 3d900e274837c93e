package archive

import (
	"math"
	"strconv"
	"time"

	"crownbench/morph"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// value writes a number, or nothing when it is not finite.
func value(v float64) string {
	if math.IsNaN(v) || math.IsInf(v, 0) {
		return ""
	}
	return cell.Number(v)
}

// spread writes an uncertainty, or nothing when it is not stated.
func spread(u float64) string {
	if !(u > 0) || math.IsInf(u, 0) {
		return ""
	}
	return cell.Uncertainty(u)
}

// length writes a length above 0, or nothing.
func length(v float64) string {
	if v <= 0 {
		return ""
	}
	return value(v)
}

// count writes a whole number above 0, or nothing.
func count(n int) string {
	if n <= 0 {
		return ""
	}
	return strconv.Itoa(n)
}

// moment writes a time in UTC, to the second, or nothing when there is none.
func moment(t time.Time) string {
	if t.IsZero() {
		return ""
	}
	return t.UTC().Format(time.RFC3339)
}

// told are the readings of which anything is known.
func told(f tray.Finding) []morph.Reading {
	var out []morph.Reading
	for _, r := range f.Readings {
		if r.Known || r.State != morph.MeasuredState || r.Problem != "" {
			out = append(out, r)
		}
	}
	return out
}

// state is a reading's state in a word, "" when nothing is said of it.
func state(r morph.Reading) string {
	if r.State == morph.MeasuredState && r.Known {
		return "measured"
	}
	return string(r.State)
}

// how is how a reading that holds was got.
func how(r morph.Reading) string {
	if !r.Known && r.State == morph.MeasuredState {
		return ""
	}
	return r.How
}
