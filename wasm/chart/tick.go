package chart

import (
	"math"
	"strconv"
	"strings"
)

// Tick is a place on an axis. A minor one has no label.
type Tick struct {
	Value float64
	Label string
}

// Ticks returns round values from lo to hi, a step of 1, 2 or 5 times a power
// of ten apart, the step being the smallest that gives at most as many as
// asked for. There are none when lo is not below hi.
func Ticks(lo, hi float64, most int) []Tick {
	half := hi/2 - lo/2
	if !(half > 0) || math.IsInf(half, 0) || most < 1 {
		return nil
	}
	power := math.Floor(math.Log10(half) + math.Log10(2) - math.Log10(float64(most)))
	for {
		for _, of := range []float64{1, 2, 5} {
			first, last := count(lo, of, power, math.Ceil), count(hi, of, power, math.Floor)
			if last-first >= float64(most) {
				continue
			}
			var ticks []Tick
			for k := first; k <= last; k++ {
				v := round(k*of, power)
				ticks = append(ticks, Tick{v, label(v, power)})
			}
			return ticks
		}
		power++
	}
}

// count is how many steps of `of` times ten to a power a value is from zero,
// rounded; a value that misses a step by rounding alone counts as on it.
func count(v, of, power float64, rounded func(float64) float64) float64 {
	k := v / (of * math.Pow(10, power))
	if near := math.Round(k); math.Abs(k-near) < 1e-9 {
		return near
	}
	return rounded(k)
}

// round is n times ten to a power. Powers below 1 are not exact; a quotient of
// whole numbers is the nearest there is.
func round(n, power float64) float64 {
	if power < 0 && power >= -300 {
		return n / math.Pow10(int(-power))
	}
	return n * math.Pow10(int(power))
}

// label writes a tick with the decimals that its step of ten to a power needs.
func label(v, power float64) string {
	text := strconv.FormatFloat(v, 'f', int(max(0, -power)), 64)
	if a := math.Abs(v); v != 0 && (a >= 1e6 || a < 1e-4) {
		text = strconv.FormatFloat(v, 'g', 4, 64)
		text = strings.NewReplacer("e+0", "e", "e-0", "e-", "e+", "e").Replace(text)
	}
	if strings.Trim(text, "-0.") == "" {
		return "0"
	}
	return strings.Replace(text, "-", "−", 1)
}

// LogTicks returns the ticks of a logarithmic axis from lo to hi, both above
// zero: the labelled ones at 1, 2 and 5 times the powers of ten, or at the
// powers alone where those are many, and minor ones at the other whole
// multiples. Where the axis is too short for two of those, the labelled ones
// are those of a linear axis.
func LogTicks(lo, hi float64, most int) (major, minor []Tick) {
	if !(lo > 0) || !(hi > lo) || math.IsInf(hi, 0) || most < 1 {
		return nil, nil
	}
	first, last := int(math.Floor(math.Log10(lo))), int(math.Ceil(math.Log10(hi)))
	within := func(v float64) bool { return v >= lo*(1-1e-9) && v <= hi*(1+1e-9) }
	// With more decades than labels, every so many-th decade has one.
	every := max(1, (last-first)/most)
	var fine []Tick
	for p := first; p <= last; p++ {
		for of := 1; of <= 9; of++ {
			v := round(float64(of), float64(p))
			if !within(v) {
				continue
			}
			t := Tick{v, label(v, float64(p))}
			switch {
			case of == 1 && (p-first)%every == 0:
				major = append(major, t)
				fine = append(fine, t)
			case of == 2 || of == 5:
				fine = append(fine, t)
				minor = append(minor, Tick{Value: v})
			case every == 1 || of == 1:
				minor = append(minor, Tick{Value: v})
			}
		}
	}
	if every > 1 {
		minor = nil
	}
	if len(fine) <= most && every == 1 {
		major = fine
		minor = without(minor, major)
	}
	if len(major) < 2 {
		major = Ticks(lo, hi, most)
		minor = nil
	}
	return major, minor
}

func without(all, some []Tick) []Tick {
	taken := make(map[float64]bool, len(some))
	for _, t := range some {
		taken[t.Value] = true
	}
	var rest []Tick
	for _, t := range all {
		if !taken[t.Value] {
			rest = append(rest, t)
		}
	}
	return rest
}
