package bench_test

import (
	"errors"
	"fmt"
	"time"

	"crownbench/morph"
	"crownbench/wasm/bench"
)

// plain is the least a host can be: it keeps one photo's marks and shows each
// change.
type plain struct {
	bench *bench.Bench
	view  *morph.View
}

func (p *plain) Edit(label, merge string, edit func(*morph.View)) {
	next := *p.view // its parts are this example's alone
	edit(&next)
	p.view = &next
	p.bench.Show(p.view, 600, 400)
	fmt.Println("·", label)
}
func (p *plain) Redraw() {}
func (p *plain) See(then func(bench.Sight, error)) {
	then(bench.Sight{}, errors.New("no pixels here"))
}
func (p *plain) Beside(work func(rest func())) { work(func() {}) }
func (p *plain) Say(sentence string)           { fmt.Println(sentence) }

// A crown is traced in one walk: A, up the mesial edge, a double-click at G,
// down the distal edge, a double-click at B.
//
//	   G
//	  / \
//	 /   |
//	A    B
func Example() {
	host := &plain{view: &morph.View{ID: "lateral", Role: morph.LateralLabial}}
	b := bench.New(host)
	host.bench = b
	b.Resize(640, 440, 1) // the photo fits with a margin of 20 px
	b.Show(host.view, 600, 400)
	b.SetTool(bench.Crown)

	var now time.Duration
	click := func(x, y float64, times int) {
		now += time.Second
		for range times {
			now += 100 * time.Millisecond
			b.Pointer(bench.PointerEvent{Kind: bench.Down, X: x + 20, Y: y + 20, Time: now})
			b.Pointer(bench.PointerEvent{Kind: bench.Up, X: x + 20, Y: y + 20, Time: now})
		}
	}
	fmt.Println(b.Prompt().Text)
	click(200, 350, 1)
	click(230, 200, 1)
	fmt.Println(b.Prompt().Text)
	click(300, 50, 2)
	fmt.Println(b.Prompt().Text)
	click(330, 350, 2)
	fmt.Println(b.Prompt().Text)

	c := host.view.Crown
	fmt.Println("G is point", c.Apex+1, "of", len(c.Path), "at", c.Path[c.Apex].Vec())
	// Output:
	// Mark the mesial end of the crown base (A), or have it outlined for you.
	// · mark the mesial base (A)
	// · add a point of the crown
	// Mark points up the mesial edge; press twice on the apex (G).
	// · add a point of the crown
	// · mark the apex (G)
	// Mark points down the distal edge; press twice on the distal end of the crown base (B).
	// · add a point of the crown
	// · end at the distal base (B)
	// The crown is traced. Drag a point to correct it, press the line to add one.
	// G is point 3 of 4 at {300 50}
}
