package words

import "strings"

// Choose gives the first language wanted that is among those there are, by its
// whole tag or else by its first part ("de-AT" is served by "de"); "" when
// English is wanted sooner or nothing fits.
func Choose(wanted, has []string) string {
	for _, w := range wanted {
		for _, h := range has {
			if strings.EqualFold(w, h) {
				return h
			}
		}
		first, _, _ := strings.Cut(w, "-")
		for _, h := range has {
			if strings.EqualFold(first, h) {
				return h
			}
		}
		if strings.EqualFold(first, "en") {
			return ""
		}
	}
	return ""
}
