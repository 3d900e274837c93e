package desk

import (
	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/bench"
	"crownbench/wasm/tray"
)

// Way is how a person gets at a measurement: what to do, in words for a button,
// and what takes them there.
type Way struct {
	Words string
	Go    func()
}

// WayTo gives the way to a measurement of the specimen on the desk: to the
// photograph that shows it where there is one, else to a photograph that would;
// for a tooth without photographs to the cell that takes the number.
func (d *Desk) WayTo(x classify.Measure) Way {
	s := d.Specimen()
	if s == nil {
		return Way{}
	}
	if len(s.Photos) == 0 {
		return Way{"Type " + string(x), func() { d.goToCell(x) }}
	}
	roles, tool, mark := sight(x)
	for _, r := range roles {
		for i := range s.Photos {
			if p := &s.Photos[i]; p.Role == r {
				return Way{mark, func() { d.goToPhoto(p, tool, x) }}
			}
		}
	}
	return Way{"Add a " + viewWords[roles[0]] + " photograph", func() { d.PickPhotosOf(roles[0]) }}
}

// viewWords name a view before the word photograph.
var viewWords = map[morph.Role]string{
	morph.LateralLabial: "side (lateral)", morph.LateralLingual: "lingual side", morph.BasalView: "basal", morph.MidSection: "mid-crown section",
	morph.MesialView: "mesial carina", morph.DistalView: "distal carina",
}

// sight tells which views show a measurement, the usual one first, and what is
// marked there.
func sight(x classify.Measure) (roles []morph.Role, tool bench.Tool, mark string) {
	side := []morph.Role{morph.LateralLabial, morph.LateralLingual}
	switch x {
	case classify.CBW, classify.CBR:
		roles, tool = []morph.Role{morph.BasalView}, bench.Section
	case classify.MCL, classify.MCW:
		roles, tool = []morph.Role{morph.MidSection}, bench.Section
	case classify.MA, classify.MC, classify.MB:
		roles, tool = append([]morph.Role{morph.MesialView}, side...), bench.Denticles
	case classify.DA, classify.DC, classify.DB:
		roles, tool = append([]morph.Role{morph.DistalView}, side...), bench.Denticles
	default:
		roles, tool = side, bench.Crown
	}
	return roles, tool, markWords(roles[0], tool)
}

// NextStep gives what is to be done once the tool in use has done its work on
// the photograph: the next mark there, the next photograph, or the photograph
// without which no form can be said. It is a Way without words while the tool
// is at work, in a lesson, and where nothing is left to do.
func (d *Desk) NextStep() Way {
	p, tool := d.Photo(), d.Bench.Tool()
	switch {
	case p == nil, d.Taking() != nil, d.Bench.Asked(), d.Bench.Remarking():
		return Way{}
	case tool != bench.Look && d.Bench.Progress(tool) != bench.Complete:
		return Way{}
	}
	s := d.Specimen()
	// Who takes up a spare side view's scale means to trace it all the same.
	spare := s.Spare(p) && tool == bench.Look
	if next := nextTool(p); !p.Marked() && !spare && next != tool && next != bench.Look {
		return Way{markWords(p.Role, next), func() { d.SetTool(next) }}
	}
	for i := range s.Photos {
		if q := &s.Photos[i]; q.ID != p.ID && !q.Marked() && !s.Spare(q) && viewWords[q.Role] != "" {
			return Way{"On to the " + viewWords[q.Role] + " photograph", func() { d.SelectPhoto(q.ID) }}
		}
	}
	if missing := d.Find(s).Answer.Missing; (p.Marked() || spare) && len(missing) > 0 && missing[0].Decides {
		return d.WayTo(missing[0].Measure)
	}
	return Way{}
}

// markWords say for a button what a tool is to mark on a photograph of a role.
func markWords(r morph.Role, t bench.Tool) string {
	switch {
	case t == bench.Scale:
		return "Set the scale"
	case t == bench.Crown:
		return "Trace the crown"
	case r == morph.BasalView:
		return "Outline the base section"
	case r == morph.MidSection:
		return "Outline the mid-crown section"
	case r == morph.MesialView:
		return "Mark the mesial denticles"
	}
	return "Mark the distal denticles"
}

func (d *Desk) goToPhoto(p *tray.Photo, tool bench.Tool, x classify.Measure) {
	d.SetDrawer(false, false)
	d.SelectPhoto(p.ID)
	if !p.Scaled() {
		tool = bench.Scale // nothing on a photograph has a length before
	}
	if tool == bench.Denticles {
		carina, third := carinaOf(x)
		d.SetDenticleRow(carina, third, false)
	}
	d.SetTool(tool)
}

func carinaOf(x classify.Measure) (morph.Carina, morph.Third) {
	carina := morph.DistalCarina
	if x[0] == 'M' {
		carina = morph.MesialCarina
	}
	switch x[1] {
	case 'A':
		return carina, morph.Apical
	case 'B':
		return carina, morph.Basal
	}
	return carina, morph.Mid
}

// goToCell puts the keyboard into the cell that takes a measurement: one of the
// quick check, or else the one in the reading's details.
func (d *Desk) goToCell(x classify.Measure) {
	switch x {
	case classify.CBL, classify.CBW, classify.CH:
		d.SetDrawer(false, false)
		d.focus = cellID(string(x))
	case classify.MC, classify.DC:
		d.SetDrawer(false, false)
		d.focus = cellID("count-" + string(x))
	default:
		d.open[morph.ID(x)] = true
		d.focus = "more-" + cellID(string(x))
	}
	d.outside.Refresh()
}

// PickPhotosOf lets the person choose photographs; the first that does not tell
// by its name what it shows is taken to show the given view.
func (d *Desk) PickPhotosOf(r morph.Role) {
	d.nextRole = r
	d.outside.PickPhotos(false)
}

// Spare tells whether the photograph on the bench is a side view that need not be
// traced, because another one is.
func (d *Desk) Spare() bool {
	s, p := d.Specimen(), d.Photo()
	return s != nil && p != nil && s.Spare(p)
}
