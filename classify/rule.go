package classify

import "fmt"

// The trade's single-number reading of CBR for lateral crowns. The cut at 0.60
// follows the character "width more than 60 % of length" used for tyrannosaurid
// teeth (from memory) and is close to the best single cut on the published
// teeth; the zone around it is where both kinds overlap.
const (
	thicknessCut    = 0.60
	intermediateMin = 0.50
	intermediateMax = 0.70
)

// ThicknessRule reads a crown base ratio by the plain cut at CBR 0.60. It is a
// second opinion for the page, not part of the comparison. The form is "" for
// front crowns, where the rule must not be used: most of them are thick in
// blade-toothed animals. The sentence says what the rule says, and whether the
// ratio lies where blade-like and robust crowns overlap (0.50 to 0.70).
func ThicknessRule(cbr float64, row ToothRow) (Form, string) {
	if row == Mesial {
		return "", "the ratio rule does not apply to front (mesial) crowns"
	}
	if !(cbr > 0) {
		return "", "the ratio rule needs CBR"
	}
	form, words := Blade, "below"
	if cbr >= thicknessCut {
		form, words = Robust, "at or above"
	}
	said := fmt.Sprintf("CBR %.2f is %s %.2f: %s by the ratio alone", cbr, words, thicknessCut, shortForm(form))
	if cbr >= intermediateMin && cbr <= intermediateMax {
		said += ", but in the range where both kinds occur"
	}
	return form, said
}
