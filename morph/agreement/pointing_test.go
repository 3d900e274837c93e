package agreement_test

import (
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/morph/agreement"
)

func marked(shift func() float64) morph.View {
	at := func(x, y float64) morph.Vertex { return morph.Vertex{X: x + shift(), Y: y + shift()} }
	return morph.View{
		Bars:    []morph.Bar{{From: at(100, 900), To: at(500, 900), Length: 10, Unit: morph.Millimetre}},
		Crown:   &morph.Crown{Path: morph.Path{at(300, 700), at(320, 400), at(500, 100), at(550, 400), at(600, 700)}, Apex: 2, Done: true},
		Section: &morph.Section{Outline: morph.Path{at(0, 0), at(50, 30), at(100, 0), at(50, -30)}, Mesial: 0, Distal: 2, Done: true},
	}
}

// CALC: a landmark placed at x and x + 2 has the sum of squares 2 over two
// coordinates, SD 1; the others do not move.
func TestPointingByHand(t *testing.T) {
	still := func() float64 { return 0 }
	a, b := marked(still), marked(still)
	b.Crown.Path[2].X += 2
	b.Bars[0].From, b.Bars[0].To = b.Bars[0].To, b.Bars[0].From // read from the other end
	p, err := agreement.PointingOf([][]morph.View{{a, b}})
	if err != nil {
		t.Fatal(err)
	}
	if len(p.Kinds) != len(agreement.Landmarks) || p.All.Points != 7 || p.All.DF != 14 {
		t.Fatalf("%+v", p)
	}
	for _, k := range p.Kinds {
		want := 0.0
		if k.Kind == agreement.Apex {
			want = 1
		}
		near(t, string(k.Kind), k.SD, want, 1e-12)
	}
	near(t, "all", p.All.SD, math.Sqrt(2.0/14), 1e-12)
}

// A hand that errs by a known SD along each axis, many times over (seeded): the
// intervals hold it as often as they say.
func TestPointingHoldsTheTruth(t *testing.T) {
	const (
		truth = 1.7
		hands = 1000
	)
	held := 0
	var mean float64
	for seed := range uint64(hands) {
		r := rand.New(rand.NewPCG(seed, 7))
		shift := func() float64 { return truth * r.NormFloat64() }
		p, err := agreement.PointingOf([][]morph.View{{marked(shift), marked(shift)}, {marked(shift), marked(shift), marked(shift)}})
		if err != nil {
			t.Fatal(err)
		}
		mean += p.All.SD * p.All.SD / hands
		if p.All.In.Holds(truth) {
			held++
		}
	}
	near(t, "mean square", mean, truth*truth, 0.1)
	if held < hands*90/100 || held > hands*99/100 {
		t.Errorf("the interval holds the truth %d times of %d", held, hands)
	}
}

func TestPointingRefuses(t *testing.T) {
	still := func() float64 { return 0 }
	turned, lost := marked(still), marked(still)
	c := turned.Crown
	for i, j := 0, len(c.Path)-1; i < j; i, j = i+1, j-1 {
		c.Path[i], c.Path[j] = c.Path[j], c.Path[i]
	}
	lost.Crown.Path[0].X = math.NaN()
	for name, c := range map[string]struct {
		repeats [][]morph.View
		says    string
	}{
		"nothing":         {nil, "placed twice"},
		"one pass":        {[][]morph.View{{marked(still)}}, "placed twice"},
		"empty passes":    {[][]morph.View{{{}, {}}}, "placed twice"},
		"the other way":   {[][]morph.View{{marked(still), turned}}, "Photograph 1: the crown was traced from its other end"},
		"without a place": {[][]morph.View{{marked(still), lost}}, "no position"},
	} {
		if _, err := agreement.PointingOf(c.repeats); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
}
