package bench_test

import (
	"math"
	"testing"

	"crownbench/morph"
	"crownbench/morph/vision"
	"crownbench/testdata/toothphoto"
	"crownbench/wasm/bench"

	"gonum.org/v1/gonum/spatial/r2"
)

// off gives how far, at most, points lie from a line.
func off(points [][2]float64, line []r2.Vec) (most float64) {
	for _, p := range points {
		q, least := r2.Vec{X: p[0], Y: p[1]}, math.Inf(1)
		for i := 1; i < len(line); i++ {
			d := r2.Sub(line[i], line[i-1])
			at := min(max(r2.Dot(r2.Sub(q, line[i-1]), d)/max(r2.Norm2(d), 1e-9), 0), 1)
			least = min(least, r2.Norm(r2.Sub(q, r2.Add(line[i-1], r2.Scale(at, d)))))
		}
		most = max(most, least)
	}
	return most
}

// smooth is a tooth without denticles.
func smooth() toothphoto.Tooth {
	t := drawn
	t.Name, t.Mesial, t.Distal = "HX-3", toothphoto.Row{}, toothphoto.Row{}
	return t
}

func TestLinesFollowTheEdge(t *testing.T) {
	s, truth := standWith(t, toothphoto.LateralLabial, smooth(), true)
	s.bench.FollowEdge(true)
	s.bench.SetTool(bench.Crown)
	walk, g := truth.PlainOutline, truth.PlainApex
	from, to := walk[g/6], walk[g*2/6]
	s.click(from.X, from.Y)
	s.event(bench.Move, to.X, to.Y)
	if line := s.bench.Scene().Strokes; line[len(line)-1].Dash != bench.Solid || len(line[len(line)-1].Points) < 4 {
		t.Errorf("the line under the pointer does not follow the edge: %+v", line[len(line)-1])
	}
	s.click(to.X, to.Y)
	p := s.view().Crown.Path
	if len(p[1].Via) < 3 || off(p[1].Via, walk) > 1 {
		t.Errorf("%d points along the edge, %.1f px off at most", len(p[1].Via), off(p[1].Via, walk))
	}

	// Across the ground there is no edge.
	s.click(60, 60)
	if via := s.view().Crown.Path[2].Via; len(via) > 0 && off(via, walk) < 3 {
		t.Errorf("a line to bare ground follows the tooth: %v", via)
	}
	s.undo()

	// Held, the Shift key makes a line straight.
	s.bench.Pointer(bench.PointerEvent{Kind: bench.Move, ID: 1, X: walk[g].X + margin, Y: walk[g].Y + margin, Shift: true})
	if line := s.bench.Scene().Strokes; line[len(line)-1].Dash != bench.Dotted {
		t.Error("with Shift held the line under the pointer still follows")
	}
	s.now += 2e9
	for _, kind := range []bench.PointerKind{bench.Down, bench.Up} {
		s.bench.Pointer(bench.PointerEvent{Kind: kind, ID: 1, X: walk[g].X + margin, Y: walk[g].Y + margin, Shift: true, Time: s.now})
	}
	if p := s.view().Crown.Path; len(p) != 3 || len(p[2].Via) > 0 {
		t.Error("with Shift held the line is not straight")
	}

	// A point that is moved takes the followed line with it.
	s.drag([2]float64{to.X, to.Y}, [2]float64{walk[g*3/6].X, walk[g*3/6].Y})
	if p := s.view().Crown.Path; len(p[1].Via) < 3 || off(p[1].Via, walk) > 1 {
		t.Errorf("a point that was moved has no edge leading to it: %d points, %.1f px off", len(p[1].Via), off(p[1].Via, walk))
	}

	s.bench.FollowEdge(false)
	q := walk[g+10]
	s.click(q.X, q.Y)
	if p := s.view().Crown.Path; len(p[len(p)-1].Via) > 0 {
		t.Error("switched off, lines still follow")
	}
}

// The outline of a section is closed along the edge too.
func TestSectionClosesAlongTheEdge(t *testing.T) {
	s, truth := standWith(t, toothphoto.Basal, smooth(), true)
	s.bench.FollowEdge(true)
	s.bench.SetTool(bench.Section)
	n := len(truth.Section)
	for i := range 4 {
		s.click(truth.Section[n*i/4].X, truth.Section[n*i/4].Y)
	}
	s.key("c")
	c := s.view().Section
	if c == nil || !c.Done {
		t.Fatal("the outline is not closed")
	}
	for i, v := range c.Outline {
		if len(v.Via) < 3 || off(v.Via, truth.Section) > 1 {
			t.Errorf("side %d: %d points, %.1f px off", i, len(v.Via), off(v.Via, truth.Section))
		}
	}
}

// BenchmarkFollow is what a move of the pointer costs while a line follows it.
func BenchmarkFollow(b *testing.B) {
	for _, size := range []struct {
		name string
		wide int
	}{{"1MP", 1200}, {"24MP", 5700}} {
		img, truth, err := toothphoto.Render(drawn, toothphoto.Shot{
			View: toothphoto.LateralLabial, Width: size.wide, Height: size.wide * 3 / 4, LightFrom: 315, Blur: 0.7, Noise: 1.5, Seed: 5,
		})
		if err != nil {
			b.Fatal(err)
		}
		p, err := vision.PictureOf(img)
		if err != nil {
			b.Fatal(err)
		}
		s := standOf(b, morph.View{ID: "p1", Role: morph.LateralLabial}, truth.Width, truth.Height)
		s.sight = &bench.Sight{Picture: p, Factor: 1}
		s.bench.FollowEdge(true)
		s.bench.SetTool(bench.Crown)
		walk, g := truth.PlainOutline, truth.PlainApex
		s.click(walk[0].X, walk[0].Y)
		b.Run(size.name, func(b *testing.B) {
			for i := 0; b.Loop(); i++ {
				at := walk[g/4+i%(g/4)]
				s.event(bench.Move, at.X, at.Y)
			}
		})
	}
}
