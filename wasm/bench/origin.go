package bench

import (
	"slices"

	"crownbench/morph"
)

// markEdited notes that what was proposed and taken has been changed by hand
// since: now is was after one more change.
func markEdited(was, now *morph.View) {
	if a, z := was.Crown, now.Crown; a != nil && z != nil && !equal(a.Path, z.Path) {
		edited(a.Origin, &z.Origin)
		if a.Tip != nil && z.Tip != nil && *a.Tip == *z.Tip {
			z.Tip = nil // it came of edges that have changed
		}
	}
	if a, z := was.Section, now.Section; a != nil && z != nil && !equal(a.Outline, z.Outline) {
		edited(a.Origin, &z.Origin)
	}
	if len(was.Bars) == len(now.Bars) {
		for i, a := range was.Bars {
			z := &now.Bars[i]
			if !equal(morph.Path{a.From, a.To}, morph.Path{z.From, z.To}) {
				edited(a.Origin, &z.Origin)
			}
		}
	}
	if len(was.Stretches) == len(now.Stretches) {
		for i, a := range was.Stretches {
			if z := &now.Stretches[i]; !equal(a.Ticks, z.Ticks) {
				edited(a.Origin, &z.Origin)
			}
		}
	}
}

// edited changes an origin that says "proposed" and said so before.
func edited(was morph.Origin, now *morph.Origin) {
	if was == morph.Proposed && *now == morph.Proposed {
		*now = morph.Edited
	}
}

func equal(p, q morph.Path) bool {
	return slices.EqualFunc(p, q, func(a, b morph.Vertex) bool {
		return a.X == b.X && a.Y == b.Y && slices.Equal(a.Via, b.Via)
	})
}
