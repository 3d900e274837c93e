package desk

import (
	"cmp"
	"slices"
	"strings"

	"crownbench/classify"
	"crownbench/wasm/tray"
)

// MapView is what the published teeth are laid out by.
type MapView string

const (
	DiscriminantView MapView = "discriminant" // the axes that tell the forms apart best
	PrincipalView    MapView = "principal"    // the axes along which crowns differ most
	MeasuresView     MapView = "measures"     // two measures against each other
)

// mapChoice is what a person chose to see of the map. The zero value is a map
// by discriminant axes, grouped by form.
type mapChoice struct {
	shown  bool // in the side panel
	view   MapView
	x, y   classify.Measure
	clade  string          // set apart from the rest; "" groups by form
	hidden map[string]bool // groups
	others bool            // the tray's other teeth are shown too
	at     string          // the point that is named
}

// MapShown tells whether the map is unfolded beside the readings.
func (d *Desk) MapShown() bool { return d.chosen.shown }

// ToggleMap folds the map beside the readings out or in.
func (d *Desk) ToggleMap() {
	d.chosen.shown = !d.chosen.shown
	d.outside.Refresh()
}

// MapView is the layout that the person asked for; a scene may show another
// where the tooth lacks what that needs.
func (d *Desk) MapView() MapView { return cmp.Or(d.chosen.view, DiscriminantView) }

// SetMapView chooses the layout.
func (d *Desk) SetMapView(v MapView) {
	if !slices.Contains([]MapView{DiscriminantView, PrincipalView, MeasuresView}, v) {
		return
	}
	d.chosen.view = v
	d.outside.Refresh()
}

// MapMeasures are the two measures of MeasuresView.
func (d *Desk) MapMeasures() (x, y classify.Measure) {
	return cmp.Or(d.chosen.x, classify.CBL), cmp.Or(d.chosen.y, classify.CBW)
}

// SetMapMeasures chooses them; measures that nobody knows are passed over.
func (d *Desk) SetMapMeasures(x, y classify.Measure) {
	if !x.Known() || !y.Known() {
		return
	}
	d.chosen.x, d.chosen.y = x, y
	d.outside.Refresh()
}

// MapClade is the clade that is set apart from the rest, or "".
func (d *Desk) MapClade() string { return d.chosen.clade }

// SetMapClade sets a clade apart from the rest; "" groups by form again.
func (d *Desk) SetMapClade(clade string) {
	d.chosen.clade = clade
	d.chosen.hidden = nil
	d.outside.Refresh()
}

// ToggleMapGroup shows a group, or hides it.
func (d *Desk) ToggleMapGroup(key string) {
	if d.chosen.hidden == nil {
		d.chosen.hidden = map[string]bool{}
	}
	d.chosen.hidden[key] = !d.chosen.hidden[key]
	d.outside.Refresh()
}

// MapOthers tells whether the tray's other teeth are on the map.
func (d *Desk) MapOthers() bool { return d.chosen.others }

// SetMapOthers puts the tray's other teeth on the map, or takes them off.
func (d *Desk) SetMapOthers(on bool) {
	d.chosen.others = on
	d.outside.Refresh()
}

// MapAt is the id of the point that is named, or "".
func (d *Desk) MapAt() string { return d.chosen.at }

// PointOut names a point of the map by its id.
func (d *Desk) PointOut(id string) {
	if d.chosen.at != id {
		d.chosen.at = id
		d.outside.Refresh()
	}
}

// SaveMap hands out a drawing of the map.
func (d *Desk) SaveMap(svg []byte) { d.outside.Download("map.svg", "image/svg+xml", svg) }

// reference is the sample that everything is compared with.
func (d *Desk) reference() *classify.Reference {
	if d.sample == nil {
		return classify.Published()
	}
	return d.sample
}

// MapClades are the clades of the sample in alphabetical order.
func (d *Desk) MapClades() []string {
	var all []string
	for _, t := range d.reference().Teeth() {
		if t.Clade != "" {
			all = append(all, t.Clade)
		}
	}
	slices.Sort(all)
	return slices.Compact(all)
}

// layouts are the layouts of one sample by computed axes, which take some
// milliseconds each.
type layouts struct {
	of *classify.Reference
	by map[MapView]*classify.Map
}

// layout computes a layout, once for each sample.
func (d *Desk) layout(view MapView) (*classify.Map, error) {
	sample := d.reference()
	if d.layouts.of != sample {
		d.layouts = layouts{sample, map[MapView]*classify.Map{}}
	}
	if m := d.layouts.by[view]; m != nil {
		return m, nil
	}
	compute := sample.DiscriminantMap
	if view == PrincipalView {
		compute = sample.PrincipalMap
	}
	m, err := compute()
	if err == nil {
		d.layouts.by[view] = m
	}
	return m, err
}

// essential are the measures that a place on computed axes rests on; without
// them it would mostly be a guess from the teeth it is to be compared with.
var essential = []classify.Measure{classify.CBL, classify.CBW, classify.CH}

// lacking gives those of some measures that a tooth has no value of.
func lacking(v *valued, of ...classify.Measure) []classify.Measure {
	return slices.DeleteFunc(slices.Clone(of), func(m classify.Measure) bool { return v.has(m) })
}

// words joins measures: "CBL", "CBL and CBW", "CBL, CBW and CH".
func words(ms []classify.Measure) string {
	var all []string
	for _, m := range ms {
		all = append(all, string(m))
	}
	if n := len(all); n > 1 {
		return strings.Join(all[:n-1], ", ") + " and " + all[n-1]
	}
	return strings.Join(all, "")
}

// maxOthers bounds how many of a long tray's other teeth a map shows.
const maxOthers = 500

// others are the tray's teeth besides the one on the desk, the first of them.
func (d *Desk) others() []*tray.Specimen {
	var all []*tray.Specimen
	for _, s := range d.Tray.Specimens() {
		if len(all) == maxOthers {
			break
		}
		if s.ID != d.specimen {
			all = append(all, s)
		}
	}
	return all
}
