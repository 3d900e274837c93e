package morph_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/spatial/r2"

	"crownbench/morph"
)

// Closed form of central projection: where the lens's axis meets the table, the
// card tells the camera's lean, wherever on the table it lies.
func TestTiltOfCard(t *testing.T) {
	axis := r2.Vec{X: 2000, Y: 1500}
	for name, c := range cameras {
		for _, card := range []*morph.Flat{c.card(-60, -20, 40, 25), c.card(10, 5, 85.6, 53.98)} {
			degrees, u, err := card.Tilt(axis, 1)
			if err != nil {
				t.Fatal(err)
			}
			near(t, name+": tilt", degrees, c.tilt, 1e-4)
			if !(u > 0 && u < 10) {
				t.Errorf("%s: ± %g°", name, u)
			}
		}
	}
}

// The stated ± is that of hands which place the corners with the stated error:
// the root mean square of 400 of them is itself good to 3.5 %.
func TestTiltErrorIsThatOfHands(t *testing.T) {
	c := pinhole{focal: 12000, distance: 600, tilt: 20, toward: 35}
	card, axis := c.card(-20, -10, 60, 40), r2.Vec{X: 2000, Y: 1500}
	_, stated, err := card.Tilt(axis, 1.5)
	if err != nil {
		t.Fatal(err)
	}
	random := rand.New(rand.NewPCG(9, 9))
	var sum float64
	const hands = 400
	for range hands {
		hand := *card
		for i := range hand.Corners {
			hand.Corners[i].X += 1.5 * random.NormFloat64()
			hand.Corners[i].Y += 1.5 * random.NormFloat64()
		}
		got, _, err := hand.Tilt(axis, 1.5)
		if err != nil {
			t.Fatal(err)
		}
		sum += (got - 20) * (got - 20)
	}
	nearRel(t, "RMS error of hands", math.Sqrt(sum/hands), stated, 0.2)
}

func TestTiltRefused(t *testing.T) {
	card := cameras["level"].card(0, 0, 40, 25)
	card.Corners[1], card.Corners[2] = card.Corners[2], card.Corners[1]
	if _, _, err := card.Tilt(r2.Vec{}, 1); err == nil {
		t.Error("crossed corners have a tilt")
	}
}

func BenchmarkTilt(b *testing.B) {
	card := cameras["tilted"].card(0, 0, 40, 25)
	for b.Loop() {
		if _, _, err := card.Tilt(r2.Vec{X: 2000, Y: 1500}, 1); err != nil {
			b.Fatal(err)
		}
	}
}
