package bench

import (
	"math"
	"unicode/utf8"

	"gonum.org/v1/gonum/spatial/r2"
)

// spread moves labels up or down, as little as needed, so that none lies on an
// earlier one. Where it is too crowded for that, a label stays where it is.
func spread(labels []Label) {
	for i := range labels {
		l := &labels[i]
		line := 1.2 * l.Px
		home := l.At
		for _, lines := range []float64{0, 1, -1, 2, -2, 3, -3} {
			l.At = r2.Add(home, r2.Vec{Y: lines * line})
			if !onAny(*l, labels[:i]) {
				break
			}
			l.At = home
		}
	}
}

func onAny(l Label, others []Label) bool {
	for _, o := range others {
		if math.Abs(l.At.X-o.At.X) < halfWidth(l)+halfWidth(o) && math.Abs(l.At.Y-o.At.Y) < 0.59*(l.Px+o.Px) {
			return true
		}
	}
	return false
}

// halfWidth guesses half of what a label's letters take, in device px: about
// 0.6 em each in a bold sans serif.
func halfWidth(l Label) float64 { return 0.3 * l.Px * float64(utf8.RuneCountInString(l.Text)) }
