package chart

import "math"

// Axis is one of a plot's two directions.
type Axis struct {
	Label string // what is measured, such as "crown height"
	Unit  string // such as "mm"; "" for plain numbers
	Log   bool   // decimal logarithm; values not above zero are left out
	// Min and Max are what the axis shows at least, in its unit; data beyond
	// them stretch it. With both 0 the axis is as long as the data, and a
	// little longer at either end.
	Min, Max float64
}

// title is the axis' label with its unit.
func (a Axis) title() string {
	if a.Unit == "" {
		return a.Label
	}
	return a.Label + " (" + a.Unit + ")"
}

// extent is what an axis has to hold, in its own measure: the values, or their
// logs. It is empty while lo is above hi.
type extent struct {
	log    bool
	lo, hi float64
}

func newExtent(log bool) extent { return extent{log: log, lo: math.Inf(1), hi: math.Inf(-1)} }

// of turns a value into the axis' own measure; false when it has no place there.
func (e extent) of(v float64) (float64, bool) {
	if e.log {
		if !(v > 0) {
			return 0, false
		}
		v = math.Log10(v)
	}
	return v, !math.IsNaN(v) && !math.IsInf(v, 0)
}

func (e *extent) add(t float64) { e.lo, e.hi = min(e.lo, t), max(e.hi, t) }

// include adds a value, where it has a place.
func (e *extent) include(v float64) {
	if t, ok := e.of(v); ok {
		e.add(t)
	}
}

// Room left beyond the data at either end, as a part of their span; and the
// part of the largest value below which a span is rounding rather than data.
const (
	room  = 0.04
	grain = 1e-12
)

// scale maps an axis' own measure to px.
type scale struct {
	extent
	from, to float64 // px of lo and hi
}

// settle chooses the ends of an axis from what it has to hold.
func (a Axis) settle(e extent) extent {
	asked := newExtent(a.Log)
	if a.Min < a.Max {
		asked.include(a.Min)
		asked.include(a.Max)
	}
	fixedLo, fixedHi := asked.lo <= e.lo, asked.hi >= e.hi
	e.lo, e.hi = min(e.lo, asked.lo), max(e.hi, asked.hi)
	if e.lo > e.hi { // nothing at all
		e.lo, e.hi = 0, 1
		return e
	}
	half := e.hi/2 - e.lo/2 // the whole might not be finite
	size := max(math.Abs(e.lo), math.Abs(e.hi))
	pad := 2 * room * half
	if half <= grain*size || half < math.SmallestNonzeroFloat64*(1<<60) {
		fixedLo, fixedHi = false, false
		if pad = size / 10; pad < 1e-9 {
			pad = 1
		}
		if a.Log {
			pad = 0.1
		}
	}
	if !fixedLo {
		e.lo = max(e.lo-pad, -math.MaxFloat64)
	}
	if !fixedHi {
		e.hi = min(e.hi+pad, math.MaxFloat64)
	}
	return e
}

// px is where a value of the axis' own measure lies.
func (s scale) px(t float64) float64 {
	f := (t/2 - s.lo/2) / (s.hi/2 - s.lo/2)
	return s.from + f*(s.to-s.from)
}

// at is where a value lies; false when it has no place on the axis.
func (s scale) at(v float64) (float64, bool) {
	t, ok := s.of(v)
	if !ok {
		return 0, false
	}
	return s.px(t), true
}
