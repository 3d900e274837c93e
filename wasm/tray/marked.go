package tray

import (
	"slices"

	"crownbench/morph"
)

// Marked tells whether the photograph has given what its role is for: with a
// scale, a crown traced, a section outlined with both its ends, or denticles
// that can be counted.
func (p *Photo) Marked() bool {
	if !p.Scaled() {
		return false
	}
	switch {
	case p.Role.Lateral():
		return p.Crown != nil && p.Crown.Done
	case p.Role.Sectional():
		return p.Section != nil && p.Section.Done && p.Section.Mesial != morph.Unset && p.Section.Distal != morph.Unset
	}
	for _, st := range p.Stretches {
		if len(st.Ticks) > 1 {
			return true
		}
	}
	return false
}

// Spare tells whether a photograph of the specimen need not be marked: it is a
// side view without a traced crown, and another side view has one. One crown is
// enough for every reading of the side.
func (s *Specimen) Spare(p *Photo) bool {
	if !p.Role.Lateral() || p.Marked() {
		return false
	}
	return slices.ContainsFunc(s.Photos, func(q Photo) bool { return q.Role.Lateral() && q.Marked() })
}
