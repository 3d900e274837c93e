package desk

import (
	"crownbench/classify"
	"crownbench/wasm/tray"
)

// steadyFor remembers how steady the answer for one state of a specimen is.
type steadyFor struct {
	specimen *tray.Specimen // never changes once the tray has handed it out
	how      tray.Sorting
	found    classify.Steadiness
}

// TrySteady sorts the specimen on the desk within the errors of its
// measurements.
func (d *Desk) TrySteady() {
	s := d.Specimen()
	if s == nil {
		return
	}
	if found, ok := d.finder.How().Steady(s, d.Find(s)); ok {
		d.steady = steadyFor{s, d.finder.How(), found}
	}
	d.outside.Refresh()
}

// Steady gives how steady the answer of a specimen is, once that was tried for
// it as it is now.
func (d *Desk) Steady(s *tray.Specimen) (classify.Steadiness, bool) {
	return d.steady.found, d.steady.specimen == s && d.steady.how == d.finder.How()
}
