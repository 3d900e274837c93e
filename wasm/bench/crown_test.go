package bench_test

import (
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
	"github.com/google/go-cmp/cmp"
)

func at(points ...[2]float64) morph.Path {
	var p morph.Path
	for _, q := range points {
		p = append(p, morph.Vertex{X: q[0], Y: q[1]})
	}
	return p
}

// The walk of most tests, A → G → B, in photo px.
var (
	base    = [2]float64{100, 700}
	up      = [2]float64{200, 400}
	apex    = [2]float64{500, 100}
	down    = [2]float64{520, 400}
	distal  = [2]float64{400, 700}
	traced  = at(base, up, apex, down, distal)
	aCrown  = morph.Crown{Path: traced, Apex: 2, Done: true}
	noPoint = morph.Unset
)

// walked is a stand on which that crown was traced by clicks.
func walked(t *testing.T) *stand {
	s := newStand(t)
	s.bench.SetTool(bench.Crown)
	s.click(base[0], base[1])
	s.click(up[0], up[1])
	s.double(apex[0], apex[1])
	s.click(down[0], down[1])
	s.double(distal[0], distal[1])
	return s
}

func TestCrownWalk(t *testing.T) {
	for _, test := range []struct {
		name string
		do   func(*stand)
		want *morph.Crown
		says int // refusals
	}{
		{
			name: "double-clicks mark apex and end",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.double(500, 100)
				s.click(520, 400)
				s.double(400, 700)
			},
			want: &aCrown,
		},
		{
			name: "Enter marks apex and end",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.click(500, 100)
				s.key("Enter")
				s.click(520, 400)
				s.click(400, 700)
				s.key("Enter")
			},
			want: &aCrown,
		},
		{
			name: "actions mark apex and end",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.click(500, 100)
				s.act("This is the apex (G)")
				s.click(520, 400)
				s.click(400, 700)
				s.act("End at the distal base (B)")
			},
			want: &aCrown,
		},
		{
			name: "letters of actions mark apex and end",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.click(500, 100)
				s.key("g")
				s.click(520, 400)
				s.click(400, 700)
				s.key("b")
			},
			want: &aCrown,
		},
		{
			name: "ended without an apex: the point farthest from the middle of the base",
			do: func(s *stand) {
				for _, v := range traced {
					s.click(v.X, v.Y)
				}
				s.act("End at the distal base (B)")
			},
			want: &aCrown,
		},
		{
			name: "a double-click puts one point",
			do:   func(s *stand) { s.click(100, 700); s.double(500, 100) },
			want: &morph.Crown{Path: at(base, apex), Apex: 1},
		},
		{
			name: "three clicks in one place are a double-click",
			do: func(s *stand) {
				s.click(100, 700)
				s.double(500, 100)
				s.now += 120 * time.Millisecond
				s.event(bench.Down, 500, 101)
				s.event(bench.Up, 500, 101)
			},
			want: &morph.Crown{Path: at(base, apex), Apex: 1},
		},
		{
			name: "two slow clicks in one place choose the point",
			do:   func(s *stand) { s.click(100, 700); s.click(500, 100); s.click(501, 100) },
			want: &morph.Crown{Path: at(base, apex), Apex: noPoint},
		},
		{
			name: "two quick clicks apart are two points",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.now -= 900 * time.Millisecond
				s.click(220, 380)
			},
			want: &morph.Crown{Path: at(base, up, [2]float64{220, 380}), Apex: noPoint},
		},
		{
			name: "a double-click on the newest point means that point",
			do:   func(s *stand) { s.click(100, 700); s.click(500, 100); s.double(500, 100) },
			want: &morph.Crown{Path: at(base, apex), Apex: 1},
		},
		{
			name: "a double-click on an older point means nothing",
			do:   func(s *stand) { s.click(100, 700); s.click(200, 400); s.click(500, 100); s.double(200, 400) },
			want: &morph.Crown{Path: at(base, up, apex), Apex: noPoint},
		},
		{
			name: "A cannot be the apex",
			do:   func(s *stand) { s.double(100, 700) },
			want: &morph.Crown{Path: at(base), Apex: noPoint},
			says: 1,
		},
		{
			name: "G cannot be B",
			do:   func(s *stand) { s.click(100, 700); s.click(200, 400); s.double(500, 100); s.key("Enter") },
			want: &morph.Crown{Path: at(base, up, apex), Apex: 2},
			says: 1,
		},
		{
			name: "a click is where the button went down",
			do: func(s *stand) {
				s.now += time.Second
				s.event(bench.Down, 100.25, 700.75)
				s.event(bench.Move, 102, 702)
				s.event(bench.Up, 103, 702.5)
			},
			want: &morph.Crown{Path: at([2]float64{100.25, 700.75}), Apex: noPoint},
		},
		{
			name: "a drag on an empty place moves the photo and puts nothing",
			do: func(s *stand) {
				s.click(100, 700)
				s.drag([2]float64{300, 300}, [2]float64{350, 320})
			},
			want: &morph.Crown{Path: at(base), Apex: noPoint},
		},
		{
			name: "a click beside the photo is refused",
			do:   func(s *stand) { s.click(500, -18) },
			says: 1,
		},
		{
			name: "a click just off the edge is on it",
			do:   func(s *stand) { s.click(500, -5) },
			want: &morph.Crown{Path: at([2]float64{500, 0}), Apex: noPoint},
		},
		{
			name: "a second button puts nothing",
			do: func(s *stand) {
				s.bench.Pointer(bench.PointerEvent{Kind: bench.Down, ID: 1, X: 300, Y: 300, Button: 2})
				s.bench.Pointer(bench.PointerEvent{Kind: bench.Up, ID: 1, X: 300, Y: 300, Button: 2})
			},
		},
		{
			name: "the Look tool puts nothing",
			do:   func(s *stand) { s.bench.SetTool(bench.Look); s.double(300, 300); s.key("Enter", "Delete") },
		},
		{
			name: "start again",
			do:   func(s *stand) { s.click(100, 700); s.click(200, 400); s.act("Start again"); s.click(500, 100) },
			want: &morph.Crown{Path: at(apex), Apex: noPoint},
		},
		{
			name: "Backspace takes the newest point, selected or not",
			do: func(s *stand) {
				s.click(100, 700)
				s.click(200, 400)
				s.click(500, 100)
				s.key("Backspace", "Backspace")
			},
			want: &morph.Crown{Path: at(base), Apex: noPoint},
		},
		{
			name: "taking the only point takes the crown",
			do:   func(s *stand) { s.click(100, 700); s.key("Delete") },
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := newStand(t)
			s.bench.SetTool(bench.Crown)
			test.do(s)
			if d := cmp.Diff(test.want, s.view().Crown); d != "" {
				t.Errorf("crown (-want +got):\n%s", d)
			}
			if len(s.said) != test.says {
				t.Errorf("said %q, want %d sentences", s.said, test.says)
			}
		})
	}
}

func TestCrownCorrected(t *testing.T) {
	for _, test := range []struct {
		name string
		do   func(*stand)
		want morph.Crown
	}{
		{
			name: "a handle is dragged without a jump",
			// Taken hold of 3 px beside its middle, it stays so.
			do:   func(s *stand) { s.drag([2]float64{203, 400}, [2]float64{210, 400}, [2]float64{253, 450}) },
			want: morph.Crown{Path: at(base, [2]float64{250, 450}, apex, down, distal), Apex: 2, Done: true},
		},
		{
			name: "a click on a handle moves nothing",
			do:   func(s *stand) { s.click(203, 401) },
			want: aCrown,
		},
		{
			name: "a click on the line adds a point there",
			do:   func(s *stand) { s.click(150, 550) },
			want: morph.Crown{Path: at(base, [2]float64{150, 550}, up, apex, down, distal), Apex: 3, Done: true},
		},
		{
			name: "a drag on the line adds a point and moves it",
			do:   func(s *stand) { s.drag([2]float64{510, 250}, [2]float64{530, 250}, [2]float64{560, 260}) },
			want: morph.Crown{Path: at(base, up, apex, [2]float64{560, 260}, down, distal), Apex: 2, Done: true},
		},
		{
			name: "a click elsewhere adds nothing",
			do:   func(s *stand) { s.click(800, 600) },
			want: aCrown,
		},
		{
			name: "a double-click on the line adds one point",
			do:   func(s *stand) { s.double(150, 550) },
			want: morph.Crown{Path: at(base, [2]float64{150, 550}, up, apex, down, distal), Apex: 3, Done: true},
		},
		{
			name: "another apex",
			do:   func(s *stand) { s.click(520, 400); s.act("Make this point the apex (G)") },
			want: morph.Crown{Path: traced, Apex: 3, Done: true},
		},
		{
			name: "a point is taken away and G stays with its point",
			do:   func(s *stand) { s.click(200, 400); s.act("Remove this point") },
			want: morph.Crown{Path: at(base, apex, down, distal), Apex: 1, Done: true},
		},
		{
			name: "G is taken away and the farthest point follows",
			do:   func(s *stand) { s.click(500, 100); s.key("Delete") },
			want: morph.Crown{Path: at(base, up, down, distal), Apex: 2, Done: true},
		},
		{
			name: "A is taken away and its neighbour follows",
			do:   func(s *stand) { s.click(100, 700); s.key("Delete") },
			want: morph.Crown{Path: at(up, apex, down, distal), Apex: 1, Done: true},
		},
		{
			name: "with B and all of the distal edge gone the walk goes on from G",
			do: func(s *stand) {
				for range 3 {
					s.key("Escape", "[", "Delete") // the last point
				}
				s.click(600, 200)
			},
			want: morph.Crown{Path: at(base, up, [2]float64{600, 200}), Apex: noPoint},
		},
		{
			name: "swap mesial and distal",
			do:   func(s *stand) { s.click(200, 400); s.act("Swap mesial and distal"); s.key("ArrowUp") },
			want: morph.Crown{Path: at(distal, down, apex, [2]float64{200, 399}, base), Apex: 2, Done: true},
		},
		{
			name: "a drag beyond the photo ends at its edge",
			do:   func(s *stand) { s.drag([2]float64{500, 100}, [2]float64{500, 50}, [2]float64{1500, -500}) },
			want: morph.Crown{Path: at(base, up, [2]float64{1000, 0}, down, distal), Apex: 2, Done: true},
		},
		{
			name: "Escape in a drag takes it back",
			do: func(s *stand) {
				s.event(bench.Down, 500, 100)
				s.event(bench.Move, 600, 100)
				s.key("Escape")
				s.event(bench.Move, 700, 100)
				s.event(bench.Up, 700, 100)
			},
			want: aCrown,
		},
		{
			name: "a pointer taken away by the browser leaves the point where it is",
			do: func(s *stand) {
				s.event(bench.Down, 500, 100)
				s.event(bench.Move, 600, 100)
				s.event(bench.Cancel, 600, 100)
				s.event(bench.Move, 700, 100)
			},
			want: morph.Crown{Path: at(base, up, [2]float64{600, 100}, down, distal), Apex: 2, Done: true},
		},
		{
			name: "arrow keys move the selected point by 1, 10 and 0.1 px",
			do: func(s *stand) {
				s.click(500, 100)
				s.bench.Key(bench.KeyEvent{Key: "ArrowRight"})
				s.bench.Key(bench.KeyEvent{Key: "ArrowRight", Shift: true})
				s.bench.Key(bench.KeyEvent{Key: "ArrowDown", Alt: true})
			},
			want: morph.Crown{Path: at(base, up, [2]float64{511, 100.1}, down, distal), Apex: 2, Done: true},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			s := walked(t)
			test.do(s)
			if d := cmp.Diff(&test.want, s.view().Crown); d != "" {
				t.Errorf("crown (-want +got):\n%s", d)
			}
		})
	}
}

// Points along a followed edge stay with the stretch of line they belong to.
func TestFollowedEdge(t *testing.T) {
	via := func(p ...[2]float64) [][2]float64 { return p }
	followed := func() morph.Crown {
		p := at([2]float64{100, 700}, [2]float64{200, 400}, [2]float64{500, 100}, [2]float64{400, 700})
		p[1].Via = via([2]float64{120, 600}, [2]float64{160, 500})
		p[2].Via = via([2]float64{300, 250})
		return morph.Crown{Path: p, Apex: 2, Done: true}
	}
	for _, test := range []struct {
		name string
		do   func(*stand)
		want func(*morph.Crown)
	}{
		{
			name: "swapped, the line is the same from its other end",
			do:   func(s *stand) { s.act("Swap mesial and distal") },
			want: func(c *morph.Crown) {
				c.Path = at([2]float64{400, 700}, [2]float64{500, 100}, [2]float64{200, 400}, [2]float64{100, 700})
				c.Path[2].Via = via([2]float64{300, 250})
				c.Path[3].Via = via([2]float64{160, 500}, [2]float64{120, 600})
				c.Apex = 1
			},
		},
		{
			name: "a point put into it shares its points out",
			do:   func(s *stand) { s.click(140, 550) },
			want: func(c *morph.Crown) {
				c.Path = at([2]float64{100, 700}, [2]float64{140, 550}, [2]float64{200, 400}, [2]float64{500, 100}, [2]float64{400, 700})
				c.Path[1].Via = via([2]float64{120, 600})
				c.Path[2].Via = via([2]float64{160, 500})
				c.Path[3].Via = via([2]float64{300, 250})
				c.Apex = 3
			},
		},
		{
			name: "a moved point lets go of both sides",
			do:   func(s *stand) { s.click(200, 400); s.key("ArrowLeft") },
			want: func(c *morph.Crown) {
				c.Path = at([2]float64{100, 700}, [2]float64{199, 400}, [2]float64{500, 100}, [2]float64{400, 700})
			},
		},
		{
			name: "a point taken away leaves a straight line",
			do:   func(s *stand) { s.click(200, 400); s.key("Delete") },
			want: func(c *morph.Crown) {
				c.Path = at([2]float64{100, 700}, [2]float64{500, 100}, [2]float64{400, 700})
				c.Apex = 1
			},
		},
	} {
		t.Run(test.name, func(t *testing.T) {
			c := followed()
			s := standOf(t, morph.View{ID: "p1", Role: morph.LateralLabial, Crown: &c}, 1000, 800)
			s.bench.SetTool(bench.Crown)
			test.do(s)
			want := followed()
			test.want(&want)
			if d := cmp.Diff(&want, s.view().Crown); d != "" {
				t.Errorf("crown (-want +got):\n%s", d)
			}
		})
	}
}

// One drag is one step to undo, and so are the steps of an arrow key held; two
// drags are two.
func TestUndoneTogether(t *testing.T) {
	s := walked(t)
	s.drag([2]float64{500, 100}, [2]float64{520, 100}, [2]float64{540, 100}, [2]float64{560, 100})
	s.drag([2]float64{560, 100}, [2]float64{580, 100}, [2]float64{600, 120})
	s.drag([2]float64{150, 550}, [2]float64{120, 550}, [2]float64{100, 540})
	s.key("ArrowUp", "ArrowUp", "ArrowUp")
	s.click(600, 120)
	s.key("ArrowUp")

	apexAt := func() morph.Vertex { c := s.view().Crown; return c.Path[c.Apex] }
	for i, want := range []struct {
		points int
		apex   morph.Vertex
	}{
		{6, morph.Vertex{X: 600, Y: 119}},
		{6, morph.Vertex{X: 600, Y: 120}}, // the second nudge
		{6, morph.Vertex{X: 600, Y: 120}}, // the first, of another point
		{5, morph.Vertex{X: 600, Y: 120}}, // the point put into the line and dragged on
		{5, morph.Vertex{X: 560, Y: 100}}, // the second drag
		{5, morph.Vertex{X: 500, Y: 100}}, // the first
	} {
		if i > 0 {
			s.undo()
		}
		if got := apexAt(); len(s.view().Crown.Path) != want.points || !cmp.Equal(got, want.apex) {
			t.Fatalf("after %d undos: %d points, apex %v; want %d, %v", i, len(s.view().Crown.Path), got, want.points, want.apex)
		}
	}
}

// A walk that was left goes on from the record alone.
func TestWalkGoesOn(t *testing.T) {
	s := newStand(t)
	s.bench.SetTool(bench.Crown)
	s.click(base[0], base[1])
	s.click(up[0], up[1])
	s.double(apex[0], apex[1])
	prompt := s.bench.Prompt().Text

	again := standOf(t, *s.view(), 1000, 800)
	again.bench.SetTool(bench.Crown)
	if got := again.bench.Prompt().Text; got != prompt {
		t.Errorf("after a reload the prompt is %q, before it was %q", got, prompt)
	}
	again.click(down[0], down[1])
	again.double(distal[0], distal[1])
	if d := cmp.Diff(&aCrown, again.view().Crown); d != "" {
		t.Errorf("crown (-want +got):\n%s", d)
	}
	if got := again.bench.Progress(bench.Crown); got != bench.Complete {
		t.Errorf("progress %v, want Complete", got)
	}
	for again.tray.CanUndo() != "add" {
		again.undo()
	}
	if got := again.bench.Progress(bench.Crown); got != bench.UnderWay {
		t.Errorf("with the rest undone progress is %v, want UnderWay", got)
	}
}
