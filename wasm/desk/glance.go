package desk

import "crownbench/wasm/tray"

// atOnce is the number of teeth that are looked at between two frames; more are
// looked at beside the page.
const atOnce = 10

// Surveying tells how many teeth of the tray have been looked at, while that
// goes on; false otherwise.
func (d *Desk) Surveying() (done int, on bool) { return d.surveyed, d.surveying }

// glanceAll looks at every tooth that the way the tray is looked through needs to
// know and that has changed since it was last looked at.
func (d *Desk) glanceAll() {
	if d.surveying || !d.look.asksFindings() || d.Tray.Len() < LookFrom {
		return
	}
	d.forgetGlances()
	left := d.unglanced()
	if len(left) <= atOnce {
		for _, s := range left {
			d.glances[s.ID] = glanceAt(s, d.Find(s))
		}
		return
	}
	d.surveying = true
	d.outside.Beside(func(turn func() bool) {
		// What changes meanwhile is looked at in the next round.
		for left := d.unglanced(); len(left) > 0; left = d.unglanced() {
			for _, s := range left {
				if d.glancedHow != d.finder.How() {
					d.forgetGlances()
					break
				}
				d.glances[s.ID] = glanceAt(s, d.Find(s))
				d.surveyed = d.Tray.Len() - len(left)
				if turn() {
					d.outside.Refresh()
				}
			}
		}
		d.surveying = false
		d.outside.Refresh()
	})
}

// forgetGlances lets go of what another sorting found, and of teeth that are
// gone.
func (d *Desk) forgetGlances() {
	if how := d.finder.How(); d.glances == nil || d.glancedHow != how {
		d.glances, d.glancedHow = map[string]glance{}, how
	}
	for id := range d.glances {
		if d.Tray.Get(id) == nil {
			delete(d.glances, id)
		}
	}
}

func (d *Desk) unglanced() []*tray.Specimen {
	var left []*tray.Specimen
	for _, s := range d.Tray.Specimens() {
		if _, ok := d.glance(s); !ok {
			left = append(left, s)
		}
	}
	return left
}
