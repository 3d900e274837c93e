package vision

// network finds the cheapest way to part a grid of nodes into those that
// belong to the source and those that belong to the sink: a minimum cut, by
// growing two search trees (Boykov & Kolmogorov 2004, IEEE Trans. Pattern Anal.
// Mach. Intell. 26: 1124–1137). Capacities are whole numbers, so that the
// answer is the same on every machine.
type network struct {
	first  []int32 // of each node: its first arc, or -1
	next   []int32 // of each arc: the next arc of the same node, or -1
	head   []int32 // of each arc: where it leads; arcs 2k and 2k+1 are a pair
	room   []int32 // of each arc: what may still flow along it
	tie    []int32 // of each node: > 0 what may flow in from the source, < 0 out to the sink
	parent []int32 // of each node: its arc toward the root of its tree
	sink   []bool  // whether the node is in the sink's tree
	stamp  []int32 // when dist was known
	dist   []int32 // to the root
	time   int32
	queue  []int32 // active nodes
	active []bool
	orphan []int32
	rest   func() // called now and then
}

const (
	free     = -1 // a node in no tree
	terminal = -2 // a node right below a root
	orphaned = -3
)

func newNetwork(nodes, arcs int) *network {
	n := &network{
		first: make([]int32, nodes), tie: make([]int32, nodes), parent: make([]int32, nodes),
		sink: make([]bool, nodes), stamp: make([]int32, nodes), dist: make([]int32, nodes), active: make([]bool, nodes),
		next: make([]int32, 0, 2*arcs), head: make([]int32, 0, 2*arcs), room: make([]int32, 0, 2*arcs),
	}
	for i := range n.first {
		n.first[i] = -1
	}
	return n
}

// join makes parting a from b cost so much.
func (n *network) join(a, b, cost int32) {
	k := int32(len(n.head))
	n.head = append(n.head, b, a)
	n.room = append(n.room, cost, cost)
	n.next = append(n.next, n.first[a], n.first[b])
	n.first[a], n.first[b] = k, k+1
}

// restEvery is how many nodes are looked at between two rests: few ms.
const restEvery = 1024

// cut parts the nodes and tells of each whether it is the source's.
func (n *network) cut() []bool {
	for i, t := range n.tie {
		n.parent[i] = free
		if t != 0 {
			n.sink[i] = t < 0
			n.parent[i] = terminal
			n.dist[i] = 1
			n.wake(int32(i))
		}
	}
	for turn := 0; len(n.queue) > 0; turn++ {
		if turn%restEvery == 0 && n.rest != nil {
			n.rest()
		}
		i := n.queue[0]
		if n.parent[i] == free {
			n.queue, n.active[i] = n.queue[1:], false
			continue
		}
		bridge := n.grow(i)
		if bridge < 0 {
			n.queue, n.active[i] = n.queue[1:], false
			continue
		}
		n.time++
		n.augment(bridge)
		n.adopt()
	}
	out := make([]bool, len(n.tie))
	for i := range out {
		out[i] = n.parent[i] != free && !n.sink[i]
	}
	return out
}

func (n *network) wake(i int32) {
	if !n.active[i] {
		n.active[i] = true
		n.queue = append(n.queue, i)
	}
}

// grow takes free neighbours of i into its tree until it meets the other tree;
// then it gives the arc from the source's tree to the sink's, else -1.
func (n *network) grow(i int32) int32 {
	for a := n.first[i]; a >= 0; a = n.next[a] {
		along := a
		if n.sink[i] {
			along = a ^ 1
		}
		if n.room[along] == 0 {
			continue
		}
		j := n.head[a]
		switch {
		case n.parent[j] == free:
			n.sink[j] = n.sink[i]
			n.parent[j] = a ^ 1
			n.stamp[j], n.dist[j] = n.stamp[i], n.dist[i]+1
			n.wake(j)
		case n.sink[j] != n.sink[i]:
			return along
		case n.stamp[j] <= n.stamp[i] && n.dist[j] > n.dist[i]:
			n.parent[j] = a ^ 1
			n.stamp[j], n.dist[j] = n.stamp[i], n.dist[i]+1
		}
	}
	return -1
}

// augment sends what fits from the source over the bridge to the sink.
func (n *network) augment(bridge int32) {
	flow := n.room[bridge]
	i := n.head[bridge^1]
	for n.parent[i] != terminal {
		flow = min(flow, n.room[n.parent[i]^1])
		i = n.head[n.parent[i]]
	}
	flow = min(flow, n.tie[i])
	i = n.head[bridge]
	for n.parent[i] != terminal {
		flow = min(flow, n.room[n.parent[i]])
		i = n.head[n.parent[i]]
	}
	flow = min(flow, -n.tie[i])

	n.room[bridge] -= flow
	n.room[bridge^1] += flow
	i = n.head[bridge^1]
	for n.parent[i] != terminal {
		a := n.parent[i]
		n.room[a] += flow
		n.room[a^1] -= flow
		if n.room[a^1] == 0 {
			n.lose(i)
		}
		i = n.head[a]
	}
	n.tie[i] -= flow
	if n.tie[i] == 0 {
		n.lose(i)
	}
	i = n.head[bridge]
	for n.parent[i] != terminal {
		a := n.parent[i]
		n.room[a] -= flow
		n.room[a^1] += flow
		if n.room[a] == 0 {
			n.lose(i)
		}
		i = n.head[a]
	}
	n.tie[i] += flow
	if n.tie[i] == 0 {
		n.lose(i)
	}
}

func (n *network) lose(i int32) {
	n.parent[i] = orphaned
	n.orphan = append(n.orphan, i)
}

// adopt finds a new parent for every orphan, or frees it.
func (n *network) adopt() {
	for len(n.orphan) > 0 {
		i := n.orphan[len(n.orphan)-1]
		n.orphan = n.orphan[:len(n.orphan)-1]
		best, near := int32(free), int32(1<<30)
		for a := n.first[i]; a >= 0; a = n.next[a] {
			from := a ^ 1 // flow from the neighbour to i in the source's tree
			if n.sink[i] {
				from = a
			}
			j := n.head[a]
			if n.room[from] == 0 || n.parent[j] == free || n.sink[j] != n.sink[i] {
				continue
			}
			if d := n.depth(j); d < near {
				best, near = a, d
			}
		}
		n.parent[i] = best
		if best != free {
			n.stamp[i], n.dist[i] = n.time, near+1
			continue
		}
		for a := n.first[i]; a >= 0; a = n.next[a] {
			j := n.head[a]
			if n.parent[j] == free || n.sink[j] != n.sink[i] {
				continue
			}
			from := a ^ 1
			if n.sink[i] {
				from = a
			}
			if n.room[from] > 0 {
				n.wake(j)
			}
			if p := n.parent[j]; p >= 0 && n.head[p] == i {
				n.lose(j)
			}
		}
	}
}

// depth is how far a node is from its root, or more than any depth when the
// way there is broken.
func (n *network) depth(j int32) int32 {
	const lost = 1 << 30
	d, i := int32(0), j
	for {
		if n.stamp[i] == n.time {
			d += n.dist[i]
			break
		}
		p := n.parent[i]
		d++
		if p == terminal {
			n.stamp[i], n.dist[i] = n.time, 1
			break
		}
		if p < 0 {
			return lost
		}
		i = n.head[p]
	}
	out := d
	for i = j; n.stamp[i] != n.time; i = n.head[n.parent[i]] {
		n.stamp[i], n.dist[i] = n.time, d
		d--
	}
	return out
}
