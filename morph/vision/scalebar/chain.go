package scalebar

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/spatial/r2"
)

// bead is a place that may belong to an even row: the foot of a tick, or the
// middle of a block, with the mark it is of.
type bead struct {
	at r2.Vec
	of mark
}

// chains strings beads together along a direction that each bead gives: from
// every bead to the nearest one ahead of it that may be of the same row. What
// comes out has even gaps and so many beads at least. rest is called at every
// bead.
func chains(rest func(), beads []bead, ahead func(bead) r2.Vec, same func(a, b mark) bool, least int) [][]bead {
	next := make([]int, len(beads))
	before := make([]bool, len(beads))
	for i, a := range beads {
		rest()
		next[i] = -1
		dir := ahead(a)
		nearest := math.Inf(1)
		for k, b := range beads {
			d := r2.Sub(b.at, a.at)
			u, v := r2.Dot(d, dir), math.Abs(r2.Cross(dir, d))
			if k == i || u < 1.5 || u >= nearest || v > 1+0.12*u || u > 8*max(a.of.long, b.of.long) || !same(a.of, b.of) {
				continue
			}
			nearest, next[i] = u, k
		}
		if next[i] >= 0 {
			before[next[i]] = true
		}
	}
	var out [][]bead
	for i := range beads {
		if before[i] {
			continue // within another's chain
		}
		var chain []bead
		for k := i; k >= 0 && len(chain) <= len(beads); k = next[k] {
			chain = append(chain, beads[k])
		}
		out = append(out, evenRuns(chain, least)...)
	}
	return out
}

// unevenGap is how far, relative to a row's spacing, a gap may be from it.
const unevenGap = 0.22

// evenRuns parts a chain where its gaps are not those of an even row.
func evenRuns(chain []bead, least int) [][]bead {
	var out [][]bead
	for start := 0; start+least <= len(chain); {
		gap := r2.Norm(r2.Sub(chain[start+1].at, chain[start].at))
		gaps := []float64{gap}
		end := start + 1
		for end+1 < len(chain) {
			g := r2.Norm(r2.Sub(chain[end+1].at, chain[end].at))
			// A level's own pixels move a mark by a good part of one.
			if math.Abs(g-gap) > unevenGap*gap+1 {
				break
			}
			gaps = append(gaps, g)
			slices.Sort(gaps)
			gap = gaps[len(gaps)/2]
			end++
		}
		if end-start+1 >= least {
			out = append(out, chain[start:end+1])
		}
		start = end
	}
	return out
}
