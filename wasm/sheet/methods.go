package sheet

import (
	"fmt"
	"slices"
	"strings"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// Methods tells in a paragraph, ready for the methods of a paper, how a
// specimen was measured and sorted: photographs and their scale, what was
// counted and typed, the definitions that the values follow, the tooth row, the
// comparison with its version and sources, and what the answer is not.
func Methods(s *tray.Specimen, f tray.Finding, v Versions) string {
	var says []string
	say := func(format string, args ...any) { says = append(says, fmt.Sprintf(format, args...)) }
	if s.Invented {
		say("INVENTED: this tooth does not exist; the text shows what one of a real tooth would say.")
	}
	measuredOn(s, v, say)
	if words := countedWords(f.Readings); words != "" {
		say("%s", words)
	}
	if typed := idsOf(f.Readings, func(r morph.Reading) bool { return r.Key == morph.TypedKey }); len(typed) > 0 {
		say("%s entered as measured elsewhere, with callipers or from a publication.", isOrAre(typed))
	}
	definitionWords(f.Readings, say)
	if f.Readings.Get(morph.DSDI).Known {
		say("DSDI was computed as %s.", s.DSDIRule())
	}
	if f.Readings.Get(morph.CHR).Known {
		say("CHR was computed as %s.", s.CHRRule())
	}
	say("Uncertainties are one standard uncertainty, propagated from the placement of points, the scale, the counts and what was stated of entered values; they do not hold a difference in level between tooth and scale bar.")
	switch s.Row {
	case tray.RowMesial, tray.RowLateral:
		say("The tooth was taken for a %s one.", s.Row)
	default:
		say("Its place in the tooth row was treated as unknown.")
	}
	sortedWords(f, v, say)
	return strings.Join(says, " ")
}

func measuredOn(s *tray.Specimen, v Versions, say func(string, ...any)) {
	name := s.Name
	if n := strings.Join(nonEmpty(s.InstitutionCode, s.CollectionCode, s.CatalogNumber), " "); n != "" && n != name {
		name += " (" + n + ")"
	}
	var scales []string
	for _, p := range s.Photos {
		scale, err := p.Scale()
		if err != nil {
			continue
		}
		from := "from " + plural(scale.Bars, "reading", "readings") + " of the scale bar"
		if p.Flat != nil {
			from = "from the corners of a card, which also undid the tilt"
		}
		scales = append(scales, fmt.Sprintf("%s view %s px per mm ± %s %% %s", p.Role, figures(scale.PxPerMM), figures(100*scale.RelU), from))
	}
	if len(scales) == 0 {
		say("%s was recorded with Crownbench %s.", name, v.Program)
		return
	}
	say("%s was measured on %s with Crownbench %s (%s).", name, plural(len(scales), "photograph", "photographs"), v.Program, strings.Join(scales, "; "))
}

// densities are the readings that denticles are counted for.
var densities = []morph.ID{morph.MA, morph.MC, morph.MB, morph.DA, morph.DC, morph.DB}

func countedWords(rs morph.Readings) string {
	var over []string
	for _, id := range densities {
		if r := rs.Get(id); r.Known && r.Interval > 0 {
			over = append(over, fmt.Sprintf("%s over %s mm", id, figures(r.Interval)))
		}
	}
	if len(over) == 0 {
		return ""
	}
	return "Denticles were counted along the carina (" + strings.Join(over, ", ") + ") and are given per 5 mm."
}

func idsOf(rs morph.Readings, of func(morph.Reading) bool) []string {
	var ids []string
	for _, r := range rs {
		if r.Known && of(r) {
			ids = append(ids, string(r.ID))
		}
	}
	return ids
}

func isOrAre(ids []string) string {
	if len(ids) == 1 {
		return ids[0] + " was"
	}
	return listed(ids) + " were"
}

// definitionWords says whose definitions the known readings follow, and which
// need none.
func definitionWords(rs morph.Readings, say func(string, ...any)) {
	var sources []string
	by := map[string][]string{}
	for _, r := range rs {
		if !r.Known || r.Source == "" {
			continue
		}
		if by[r.Source] == nil {
			sources = append(sources, r.Source)
		}
		name := string(r.ID)
		if strings.Contains(name, "_") || len(name) > 5 { // an identifier, not an abbreviation of the trade
			name = r.Name
		}
		by[r.Source] = append(by[r.Source], name)
	}
	var parts []string
	for _, source := range sources {
		if source != morph.PlainGeometry {
			parts = append(parts, fmt.Sprintf("%s (%s)", listed(by[source]), source))
		}
	}
	if len(parts) > 0 {
		say("Measurements follow published definitions: %s.", strings.Join(parts, "; "))
	}
	if rs.Get(morph.CH).Known {
		say("CH is the straight distance from the distal base to the apex.")
	}
	if plain := by[morph.PlainGeometry]; len(plain) > 0 {
		say("%s from the traced outlines by plain geometry.", capital(followOrFollows(plain)))
	}
}

// definitionsOf lists the publications that define known readings, once.
func definitionsOf(rs morph.Readings) []string {
	var sources []string
	for _, r := range rs {
		if r.Known && r.Source != "" && r.Source != morph.PlainGeometry && !slices.Contains(sources, r.Source) {
			sources = append(sources, r.Source)
		}
	}
	return sources
}

// listed joins names as a sentence does.
func listed(names []string) string {
	if len(names) == 1 {
		return names[0]
	}
	return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
}

func followOrFollows(names []string) string {
	if len(names) == 1 {
		return names[0] + " follows"
	}
	return listed(names) + " follow"
}

func sortedWords(f tray.Finding, v Versions, say func(string, ...any)) {
	a := f.Answer
	if len(a.Used) == 0 {
		say("It was not compared with published teeth.")
		return
	}
	say("It was %s The comparison takes the nearest neighbours in a learned space (sorting %s) among teeth from the tables of: %s.",
		lower(comparedWith(a)), v.sorting(f), strings.Join(compilers, "; "))
	say("Result: %s", stop(a.Said))
	if a.CannotSay != "" && !strings.Contains(a.Said, a.CannotSay) {
		say("No shape class was given: %s", stop(a.CannotSay))
	}
	if words := SetsInWords(a); words != "" {
		say("%s", words)
	}
	if words := ReachInWords(a); words != "" {
		say("%s", words)
	}
	if a.Own > 0 {
		say("%s of the author's own took part.", capital(plural(a.Own, "comparison tooth", "comparison teeth")))
	}
	say("The shape class is not a taxon, shares among neighbours are no probabilities, and the sorting does not replace a determination.")
	if papers := f.Beside().Papers; len(papers) > 0 {
		say("The nearest teeth were published in: %s.", strings.Join(papers, "; "))
	}
}

func stop(sentence string) string {
	return strings.TrimRight(strings.TrimSpace(sentence), ".") + "."
}

func nonEmpty(texts ...string) []string {
	return slices.DeleteFunc(texts, func(t string) bool { return strings.TrimSpace(t) == "" })
}
