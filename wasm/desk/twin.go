package desk

import (
	"strings"

	"crownbench/wasm/tray"
)

// Twin is another entry of the tray that looks like the same tooth.
type Twin struct {
	Of  *tray.Specimen
	Why string // what they share, as the end of a sentence
}

// Twin finds another entry of the tooth on the desk: one of the same catalogue
// number, in the same collection as far as both name it, or with one of the
// same photographs. False where there is none, or the person has seen the note.
func (d *Desk) Twin() (Twin, bool) {
	s := d.Specimen()
	if s == nil {
		return Twin{}, false
	}
	for _, o := range d.Tray.Specimens() {
		if o.ID == s.ID || d.twinSeen[pair(s.ID, o.ID)] {
			continue
		}
		if why := sameTooth(s, o); why != "" {
			return Twin{o, why}, true
		}
	}
	return Twin{}, false
}

// LeaveTwin puts the note of two entries away while the page is open.
func (d *Desk) LeaveTwin(t Twin) {
	if s := d.Specimen(); s != nil {
		if d.twinSeen == nil {
			d.twinSeen = map[[2]string]bool{}
		}
		d.twinSeen[pair(s.ID, t.Of.ID)] = true
		d.outside.Refresh()
	}
}

func pair(a, b string) [2]string {
	if a > b {
		a, b = b, a
	}
	return [2]string{a, b}
}

// sameTooth tells what makes two entries look like one tooth, or "".
func sameTooth(a, b *tray.Specimen) string {
	if n := folded(a.CatalogNumber); n != "" && n == folded(b.CatalogNumber) &&
		agree(a.InstitutionCode, b.InstitutionCode) && agree(a.CollectionCode, b.CollectionCode) {
		return "has the same catalogue number"
	}
	for i := range a.Photos {
		for j := range b.Photos {
			if h := a.Photos[i].Hash; h != "" && h == b.Photos[j].Hash {
				return "shows the same photograph, " + b.Photos[j].File
			}
		}
	}
	return ""
}

// folded is a text without what two people write differently.
func folded(s string) string { return strings.ToLower(strings.Join(strings.Fields(s), " ")) }

// agree tells whether two texts say the same, or one of them nothing.
func agree(a, b string) bool {
	a, b = folded(a), folded(b)
	return a == "" || b == "" || a == b
}
