package vision

import (
	"testing"

	"pgregory.net/rapid"
)

// The reference is every way to part the nodes, tried one by one.
func TestCutIsTheCheapest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nodes := rapid.IntRange(1, 9).Draw(t, "nodes")
		type arc struct{ a, b, cost int32 }
		var arcs []arc
		net := newNetwork(nodes, 20)
		ties := make([]int32, nodes)
		for i := range nodes {
			ties[i] = int32(rapid.IntRange(-20, 20).Draw(t, "tie"))
			net.tie[i] = ties[i]
		}
		for range rapid.IntRange(0, 20).Draw(t, "arcs") {
			a := arc{int32(rapid.IntRange(0, nodes-1).Draw(t, "a")), int32(rapid.IntRange(0, nodes-1).Draw(t, "b")), int32(rapid.IntRange(0, 15).Draw(t, "cost"))}
			if a.a != a.b {
				arcs = append(arcs, a)
				net.join(a.a, a.b, a.cost)
			}
		}
		cost := func(source func(i int32) bool) int32 {
			sum := int32(0)
			for i, v := range ties {
				if s := source(int32(i)); v > 0 && !s {
					sum += v
				} else if v < 0 && s {
					sum -= v
				}
			}
			for _, a := range arcs {
				if source(a.a) != source(a.b) {
					sum += a.cost
				}
			}
			return sum
		}
		least := int32(1 << 30)
		for set := range 1 << nodes {
			least = min(least, cost(func(i int32) bool { return set>>i&1 == 1 }))
		}
		part := net.cut()
		if got := cost(func(i int32) bool { return part[i] }); got != least {
			t.Fatalf("the cut costs %d, the cheapest %d", got, least)
		}
	})
}

// Two discs joined by a bar: the passage is as wide as the bar.
func TestNeckOfADumbbell(t *testing.T) {
	m := newMask(120, 60)
	for y := range 60 {
		for x := range 120 {
			left, right := (x-30)*(x-30)+(y-30)*(y-30), (x-90)*(x-90)+(y-30)*(y-30)
			m.on[y*120+x] = left < 20*20 || right < 20*20 || x > 30 && x < 90 && y >= 25 && y < 35
		}
	}
	if n := m.neck(); n < 0.2 || n > 0.3 {
		t.Errorf("the neck is %.2f of the parts' width, want about 10 of 40", n)
	}
	for i := range m.on {
		m.on[i] = i%120 < 50 && m.on[i]
	}
	if n := m.neck(); n != 1 {
		t.Errorf("one part has a neck of %.2f", n)
	}
}
