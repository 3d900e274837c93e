package classify

import "fmt"

const (
	// Below this base length a tyrannosaurid lateral crown may be thin: all but
	// one of the 42 crowns of young or slender tyrannosaurids in the reference
	// are shorter, and the mean CBR of tyrannosaurid laterals reaches 0.67 only
	// above 20 mm (computed from the table of Hendrickx and others 2024;
	// thickness grows with size, Currie, Hurum & Sabath 2003).
	youngTyrannosaurid = 25.0 // mm

	// From this ratio on most front crowns of blade-toothed clades look thick:
	// 86 % of 175 published ones (computed from the same table).
	thickFront = 0.60
)

// cautions returns the sentences that matter for this tooth.
func (r *Reference) cautions(a *Answer, v *values, q Query) []string {
	var list []string
	say := func(format string, args ...any) { list = append(list, fmt.Sprintf(format, args...)) }

	if a.Form == Blade && (v[iCBL] == 0 || v[iCBL] < youngTyrannosaurid) && nearTyrannosaurid(a) {
		say("Young tyrannosaurids have thin, blade-like crowns that thicken with growth; the form does not rule one out.")
	}
	switch {
	case q.Row == Mesial && a.Comparable > 0:
		say("Compared with front (mesial) crowns only; these are thick in blade-toothed animals too.")
	case q.Row != Mesial && q.Row != Lateral && v[iCBR] >= thickFront && a.Comparable > 0:
		say("Front teeth of blade-toothed animals are as thick as robust ones; say which part of the jaw the tooth is from if that is known.")
	}
	if v[iCBR] > 1 && q.Row != Mesial {
		say("The base is wider than long (CBR %.2f); this is common only in front teeth, so check which axis is mesiodistal.", v[iCBR])
	}
	if !triangle(v) {
		say("CBL, CH and AL cannot be the sides of a triangle; check the three lengths.")
	}
	if q.Distal == DenticlesAbsent && stateOf(q.Mesial, v[iMA], v[iMC], v[iMB]) != DenticlesPresent {
		say("Carinae without denticles occur in spinosaurids and in several small clades, and wear removes denticles; say absent only where the carina is unworn.")
	}
	if none, of := withoutForm(a.CladeNeighbours); of > 0 && 2*none > of {
		say("%d of the %d nearest of all published crowns belong to animals whose teeth are neither plainly blade-like nor robust, or change with growth.", none, of)
	}
	if 2*len(a.CladeSet) > len(a.Clades) {
		say("These measurements hardly tell clades apart: %d of %d stay possible at %.0f %%.", len(a.CladeSet), len(a.Clades), 100*a.Coverage)
	}
	list = append(list, placeCautions(a, q)...)
	switch {
	case r.own == 1:
		say("1 tooth of your own is part of the comparison; the stated coverage was measured without it.")
	case r.own > 1:
		say("%d teeth of your own are part of the comparison; the stated coverage was measured without them.", r.own)
	}
	return list
}

// nearTyrannosaurid reports whether a tyrannosaurid is among the nearest of
// all teeth.
func nearTyrannosaurid(a *Answer) bool {
	n, _ := countFirst(a.CladeNeighbours, func(t *Tooth) bool { return t.Clade == "Tyrannosauridae" })
	return n > 0
}

func withoutForm(near []Neighbour) (none, of int) {
	none, _ = countFirst(near, func(t *Tooth) bool { return t.Form == "" })
	return none, len(near)
}

// triangle reports whether CBL, CH and AL can close, as far as they are given.
func triangle(v *values) bool {
	a, b, c := v[iCBL], v[iCH], v[iAL]
	if a == 0 || b == 0 || c == 0 {
		return true
	}
	return a < b+c && b < a+c && c < a+b
}

// placeCautions compares the find's age and continent with those of the
// nearest teeth.
func placeCautions(a *Answer, q Query) []string {
	var list []string
	if len(a.CladeNeighbours) == 0 {
		return nil
	}
	if _, _, ok := age(q.Epoch); ok {
		other := 0
		for _, n := range a.CladeNeighbours {
			if same, known := overlap(q.Epoch, n.Tooth.Epoch); known && !same {
				other++
			}
		}
		if 2*other > len(a.CladeNeighbours) {
			list = append(list, fmt.Sprintf("%d of the %d nearest crowns are of another age than the find (%s); likeness across ages is likeness of shape, not kinship.", other, len(a.CladeNeighbours), q.Epoch))
		}
	}
	if home := Continent(q.Country); home != "" {
		other := 0
		for _, n := range a.CladeNeighbours {
			if c := Continent(n.Tooth.Country); c != "" && c != home {
				other++
			}
		}
		if 2*other > len(a.CladeNeighbours) {
			list = append(list, fmt.Sprintf("%d of the %d nearest crowns are from another continent than the find (%s).", other, len(a.CladeNeighbours), home))
		}
	}
	return list
}
