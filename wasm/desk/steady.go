package desk

import (
	"crownbench/classify"
	"crownbench/wasm/tray"
)

// spreadFor remembers what the readings of one state of a specimen could be.
type spreadFor struct {
	specimen *tray.Specimen // never changes once the tray has handed it out
	found    tray.Spread
}

// steadyFor remembers how steady the answer for one state of a specimen is.
type steadyFor struct {
	specimen *tray.Specimen
	how      tray.Sorting
	found    classify.Steadiness
	tried    bool // false while it is being tried
}

// Spread gives what the readings of a specimen could be, once that was drawn
// for it as it is now.
func (d *Desk) Spread(s *tray.Specimen) (tray.Spread, bool) {
	return d.spread.found, s != nil && d.spread.specimen == s
}

// wantSpread has the readings of the specimen on the desk drawn, where their
// intervals are shown, once the person has stopped changing it.
func (d *Desk) wantSpread() {
	s := d.Specimen()
	shown := false
	for _, open := range d.open {
		shown = shown || open
	}
	if _, there := d.Spread(s); s == nil || !shown || there || d.spreading == s {
		return
	}
	d.spreading = s
	d.outside.Rested(func() {
		if d.Specimen() != s { // what is there now was ordered for itself
			if d.spreading == s {
				d.spreading = nil
			}
			return
		}
		d.outside.Beside(func(turn func() bool) {
			d.spreadOut(s, turn)
			d.outside.Refresh()
		})
	})
}

// spreadOut draws the readings of a specimen unless they are there, and gives
// up when another one is on the desk.
func (d *Desk) spreadOut(s *tray.Specimen, turn func() bool) (tray.Spread, bool) {
	if x, there := d.Spread(s); there {
		return x, true
	}
	x := tray.SpreadOf(s, d.still(s, turn))
	if d.spreading == s {
		d.spreading = nil
	}
	if d.Specimen() != s {
		return x, false
	}
	d.spread = spreadFor{s, x}
	return x, true
}

// still takes a turn and tells whether the specimen is still the one on the
// desk, as it was.
func (d *Desk) still(s *tray.Specimen, turn func() bool) func() bool {
	return func() bool {
		turn()
		return d.Specimen() == s
	}
}

// TrySteady sorts the specimen on the desk within the errors of its
// measurements, beside the page.
func (d *Desk) TrySteady() {
	s := d.Specimen()
	if s == nil {
		return
	}
	how, f := d.finder.How(), d.Find(s)
	d.steady = steadyFor{specimen: s, how: how}
	d.outside.Refresh()
	d.outside.Beside(func(turn func() bool) {
		if x, ok := d.spreadOut(s, turn); ok {
			found, ok := how.Steady(f, x, d.still(s, turn))
			if ok && d.steady.specimen == s && d.steady.how == how {
				d.steady.found, d.steady.tried = found, true
			}
		}
		d.outside.Refresh()
	})
}

// Steady gives how steady the answer of a specimen is, once that was tried for
// it as it is now, or tells that it is being tried.
func (d *Desk) Steady(s *tray.Specimen) (found classify.Steadiness, tried, trying bool) {
	here := d.steady.specimen == s && d.steady.how == d.finder.How()
	return d.steady.found, here && d.steady.tried, here && !d.steady.tried
}
