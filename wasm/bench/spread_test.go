package bench

import (
	"testing"

	"gonum.org/v1/gonum/spatial/r2"
	"pgregory.net/rapid"
)

func TestLabelsMakeRoom(t *testing.T) {
	ls := []Label{
		{At: r2.Vec{X: 100, Y: 50}, Text: "G", Px: 14},
		{At: r2.Vec{X: 105, Y: 55}, Text: "serrated", Px: 14},
		{At: r2.Vec{X: 300, Y: 50}, Text: "A", Px: 14},
	}
	spread(ls)
	if ls[0].At != (r2.Vec{X: 100, Y: 50}) || ls[2].At != (r2.Vec{X: 300, Y: 50}) {
		t.Errorf("labels with room moved: %v", ls)
	}
	if onAny(ls[1], ls[:1]) {
		t.Errorf("two labels still lie on each other: %v", ls)
	}
}

// Labels move up or down by three lines at most, and a label that moved lies on
// none before it.
func TestSpreadMovesLittle(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(0, 12).Draw(t, "n")
		ls := make([]Label, n)
		for i := range ls {
			ls[i] = Label{
				At:   r2.Vec{X: float64(rapid.IntRange(0, 200).Draw(t, "x")), Y: float64(rapid.IntRange(0, 200).Draw(t, "y"))},
				Text: rapid.StringN(1, 10, -1).Draw(t, "text"), Px: 14,
			}
		}
		before := append([]Label(nil), ls...)
		spread(ls)
		for i, l := range ls {
			moved := l.At.Y - before[i].At.Y
			if l.At.X != before[i].At.X || moved > 3*1.2*14+1e-9 || moved < -3*1.2*14-1e-9 {
				t.Fatalf("label %d moved from %v to %v", i, before[i].At, l.At)
			}
			if moved != 0 && onAny(l, ls[:i]) {
				t.Fatalf("label %d moved and still lies on another", i)
			}
		}
	})
}
