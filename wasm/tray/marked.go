package tray

import "crownbench/morph"

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
