package tray

import (
	"crownbench/classify"
	"crownbench/morph"
)

// Build is what a crown could bear as a beam, set on the scale of the published
// crowns between a knife and a spike. It is no part of the sorting.
type Build struct {
	// Ellipse has the base as an ellipse of CBL and CBW, as the published
	// crowns on the scale have it.
	Ellipse classify.Strength
	// Along and Across are the strength indices in mm² against bending along
	// the jaw and sideways: of the traced base section where Traced, else of
	// the ellipse. Spike is the place of their ratio on the scale, 0 to 1.
	Along, Across float64
	Spike         float64
	Traced        bool
}

// Build gives the build that a tooth's readings show; false where CBL, CBW or
// CH is missing, a minimum or impossible.
func (f Finding) Build() (Build, bool) {
	var l [3]float64
	for i, id := range []morph.ID{morph.CBL, morph.CBW, morph.CH} {
		r := f.Readings.Get(id)
		if !usable(r) {
			return Build{}, false
		}
		l[i] = r.Value
	}
	s, err := classify.StrengthOf(l[0], l[1], l[2])
	if err != nil {
		return Build{}, false
	}
	b := Build{Ellipse: s, Along: s.Mesiodistal, Across: s.Labiolingual, Spike: s.Spike}
	z, along, across := f.Readings.Get(morph.ZMD), f.Readings.Get(morph.SMD), f.Readings.Get(morph.SLL)
	if z.Known && z.Key != morph.EllipseKey && usable(along) && usable(across) && along.Value > 0 {
		b.Along, b.Across, b.Traced = along.Value, across.Value, true
		b.Spike = classify.EvennessPercentile(b.Across/b.Along) / 100
	}
	return b, true
}
