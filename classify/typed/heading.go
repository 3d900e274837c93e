package typed

import (
	"slices"
	"strings"
	"unicode"

	"crownbench/classify"
)

// Holds says what stands in a column.
type Holds uint8

const (
	Nothing         Holds = iota // of use here
	Name                         // catalogue or field number
	Reading                      // of Column.Measure
	Uncertainty                  // standard uncertainty of Column.Measure
	Standing                     // of Column.Measure: measured, estimated, minimum …
	ToothRow                     // mesial, lateral, mesiolateral
	MesialDenticles              // present, absent, not preserved
	DistalDenticles
	Epoch
	Country
	Taxon // of a table of identified teeth, as the next three
	Clade
	Form       // blade, robust, front
	Individual // the animal that the tooth is of
	Text       // any other, called Column.Field
)

// Column is a column of a table and what it holds.
type Column struct {
	Heading string // as it stands in the table
	Holds   Holds
	Measure classify.Measure // of a Reading, an Uncertainty or a Standing
	Unit    Unit             // of a Reading or an Uncertainty
	Field   string           // of a Text: what the caller calls it
}

// OfMeasure tells whether the column belongs to a measure.
func (h Holds) OfMeasure() bool { return h == Reading || h == Uncertainty || h == Standing }

// Same tells whether two columns hold the same thing, units aside.
func (c Column) Same(o Column) bool {
	return c.Holds != Nothing && c.Holds == o.Holds && c.Field == o.Field && (!c.Holds.OfMeasure() || c.Measure == o.Measure)
}

// words are headings other than measures, as plain makes them.
var words = map[string]Holds{
	"id": Name, "tooth": Name, "specimen": Name, "name": Name, "label": Name,
	"specimennumber": Name, "specimenno": Name, "specimenid": Name, "toothid": Name, "toothnumber": Name,
	"catalognumber": Name, "cataloguenumber": Name, "catalogno": Name, "catalogueno": Name, "catno": Name,
	"fieldnumber": Name, "fieldno": Name, "inventorynumber": Name, "accessionnumber": Name,
	"row": ToothRow, "toothrow": ToothRow, "toothclass": ToothRow, "toothtype": ToothRow,
	"mesialdenticles": MesialDenticles, "distaldenticles": DistalDenticles,
	"epoch": Epoch, "age": Epoch,
	"country": Country,
	"taxon":   Taxon, "genus": Taxon, "scientificname": Taxon,
	"clade": Clade, "family": Clade,
	"form": Form, "shapeclass": Form,
	"individual": Individual, "animal": Individual,
}

// synonyms of measures, as plain makes them. FABL (fore-aft basal length) and BW
// as in Farlow and others 1991, TCH: from memory.
var synonyms = map[string]classify.Measure{
	"fabl": classify.CBL, "foreaftbasallength": classify.CBL, "baselength": classify.CBL, "basallength": classify.CBL,
	"bw": classify.CBW, "basewidth": classify.CBW, "basalwidth": classify.CBW,
	"tch": classify.CH, "toothcrownheight": classify.CH, "height": classify.CH,
	"cbw/cbl": classify.CBR, "ch/cbl": classify.CHR,
	"mesialdenticledensity": classify.MC, "distaldenticledensity": classify.DC,
}

func init() {
	for _, m := range classify.Measures() {
		synonyms[plain(string(m))] = m
		synonyms[plain(m.Name())] = m
	}
}

// unitEndings are how headings end that name a unit, the longer before those
// that they end in.
var unitEndings = []struct {
	ending string
	unit   Unit
}{
	{"per5mm", Per5mm}, {"/5mm", Per5mm}, {"per2mm", Per2mm}, {"/2mm", Per2mm},
	{"per1mm", Per1mm}, {"/1mm", Per1mm}, {"permm", Per1mm}, {"/mm", Per1mm},
	{"inmm", Millimetre}, {"incm", Centimetre}, {"mm", Millimetre}, {"cm", Centimetre},
	{"ininches", Inch}, {"inches", Inch}, {"inch", Inch}, {"in", Inch},
}

// Propose understands headings; of several that mean the same the first counts
// and the others hold nothing.
func Propose(headings []string) []Column {
	var columns []Column
	for _, h := range headings {
		c := readHeading(h)
		if slices.ContainsFunc(columns, c.Same) {
			c = Column{Heading: c.Heading}
		}
		columns = append(columns, c)
	}
	return columns
}

// plain is a heading in small letters without spaces, brackets, joints and
// marks that cannot be seen.
func plain(heading string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsSpace(r) || unicode.Is(unicode.Cf, r) || strings.ContainsRune("_-–.,:()[]", r) {
			return -1
		}
		return unicode.ToLower(r)
	}, heading)
}

func readHeading(heading string) Column {
	c := Column{Heading: heading}
	p := plain(heading)
	if h, ok := words[p]; ok {
		c.Holds = h
		return c
	}
	for _, f := range forms(p) {
		if m, ok := synonyms[f.name]; ok && (f.unit == "" || slices.Contains(Units(m), f.unit)) {
			c.Holds, c.Measure, c.Unit = f.holds, m, f.unit
			if c.Unit == "" {
				c.Unit = Units(m)[0]
			}
			return c
		}
	}
	return c
}

// form is one way to take a heading apart.
type form struct {
	name  string
	holds Holds
	unit  Unit
}

// forms lists the ways to take a heading apart, the plainest first: with and
// without a unit at its end, as a reading, its uncertainty or its standing.
func forms(p string) []form {
	whole := []form{{name: p}}
	for _, u := range unitEndings {
		if name, ok := strings.CutSuffix(p, u.ending); ok {
			if strings.HasPrefix(u.ending, "per") || strings.HasPrefix(u.ending, "/") {
				name = countsOf(name)
			}
			whole = append(whole, form{name: name, unit: u.unit})
		}
	}
	var all []form
	for _, f := range whole {
		all = append(all, form{f.name, Reading, f.unit})
	}
	for _, f := range whole {
		for _, ending := range []string{"u", "sd", "±", "uncertainty"} {
			if name, ok := strings.CutSuffix(f.name, ending); ok {
				all = append(all, form{name, Uncertainty, f.unit})
			}
		}
		for _, beginning := range []string{"u", "±"} {
			if name, ok := strings.CutPrefix(f.name, beginning); ok {
				all = append(all, form{name, Uncertainty, f.unit})
			}
		}
		if name, ok := strings.CutSuffix(f.name, "state"); ok {
			all = append(all, form{name, Standing, f.unit})
		}
	}
	return all
}

// countsOf lets "mesial denticles per 5 mm" be the count at mid-crown: where
// one count is given for a carina, it is that one.
func countsOf(name string) string {
	switch name {
	case "mesialdenticles":
		return "mesialdenticledensity"
	case "distaldenticles":
		return "distaldenticledensity"
	}
	return name
}

// columnOf returns the place of the first column that holds h, or -1.
func columnOf(columns []Column, h Holds) int {
	return slices.IndexFunc(columns, func(c Column) bool { return c.Holds == h })
}
