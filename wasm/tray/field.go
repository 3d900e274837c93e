package tray

import (
	"fmt"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"
)

// DarwinCore is the namespace of Darwin Core's terms.
const DarwinCore = "http://rs.tdwg.org/dwc/terms/"

// Groups of fields, as headings of a form.
const (
	GroupSpecimen       = "Specimen"
	GroupIdentification = "Identification"
	GroupFind           = "Find"
	GroupRock           = "Rock and age"
	GroupRemarks        = "Remarks"
)

// Field declares one text of a specimen's record. Forms, tables, archives and
// Specimen.Check all take it from Fields.
type Field struct {
	ID    string // its name in a record and a table
	Term  string // local name of the Darwin Core term; "" where it has none
	Label string // of the field in a form
	Group string
	Help  string   // what belongs into it
	Such  string   // an example, invented where it names something
	Words []string // when nothing but one of these, or nothing, may stand in it
	Long  bool     // several lines
	// Place tells that the field leads to the site of the find; see Public.
	Place bool

	check func(text string) error // of a text that is not empty; nil when any will do
	at    func(s *Specimen) *string
}

// Fields lists the fields of a record, in the order of a form. To add one, add
// it to Catalogue and here. Terms and their meanings: Darwin Core, as of 2025.
var Fields = []Field{
	{ID: "catalogNumber", Term: "catalogNumber", Label: "Catalogue number", Group: GroupSpecimen, Such: "1234.5",
		Help: "The number under which the collection keeps the tooth, without the codes of institution and collection.",
		at:   func(s *Specimen) *string { return &s.CatalogNumber }},
	{ID: "institutionCode", Term: "institutionCode", Label: "Institution", Group: GroupSpecimen, Such: "XYZ",
		Help: "The code or name of the institution that keeps the tooth.",
		at:   func(s *Specimen) *string { return &s.InstitutionCode }},
	{ID: "collectionCode", Term: "collectionCode", Label: "Collection", Group: GroupSpecimen, Such: "VP",
		Help: "The code or name of the collection within the institution.",
		at:   func(s *Specimen) *string { return &s.CollectionCode }},
	{ID: "ownerInstitutionCode", Term: "ownerInstitutionCode", Label: "Owner", Group: GroupSpecimen, Such: "XYZ",
		Help: "Who owns the tooth, where that is not who keeps it.",
		at:   func(s *Specimen) *string { return &s.Owner }},
	{ID: "disposition", Term: "disposition", Label: "Repository", Group: GroupSpecimen, Such: "in collection",
		Help: "Where the tooth is now: in collection, on loan, missing, returned to the landowner.",
		at:   func(s *Specimen) *string { return &s.Disposition }},
	{ID: "preparations", Term: "preparations", Label: "Preparation", Group: GroupSpecimen, Such: "fossil",
		Help: "Whether this is the fossil or a cast of it, and how it was prepared.",
		at:   func(s *Specimen) *string { return &s.Preparations }},
	// Darwin Core has no term for a permit.
	{ID: "permit", Label: "Permit", Group: GroupSpecimen, Such: "permit 17 of 2024",
		Help: "The permit or agreement under which the tooth was collected.",
		at:   func(s *Specimen) *string { return &s.Permit }},

	{ID: "scientificName", Term: "scientificName", Label: "Scientific name", Group: GroupIdentification, Such: "Theropoda",
		Help:  "The name alone, of any rank; cf., aff., ? and indet. belong into the field beside it.",
		check: checkName,
		at:    func(s *Specimen) *string { return &s.ScientificName }},
	{ID: "identificationQualifier", Term: "identificationQualifier", Label: "Qualifier", Group: GroupIdentification, Such: "indet.",
		Help:  "How the name is meant: cf. (to be compared with), aff. (close to, not the same), ? (doubtful), indet. (not determined further).",
		Words: []string{"cf.", "aff.", "?", "indet."},
		at:    func(s *Specimen) *string { return &s.IdentificationQualifier }},
	{ID: "identifiedBy", Term: "identifiedBy", Label: "Identified by", Group: GroupIdentification, Such: "A. Example | B. Example",
		Help: "Who gave it that name; several people with | between them.",
		at:   func(s *Specimen) *string { return &s.IdentifiedBy }},
	{ID: "dateIdentified", Term: "dateIdentified", Label: "Date identified", Group: GroupIdentification, Such: "2024-05-17",
		Help: "When it was given that name: year, year-month or year-month-day.", check: checkDate,
		at: func(s *Specimen) *string { return &s.DateIdentified }},
	{ID: "identificationRemarks", Term: "identificationRemarks", Label: "Identification remarks", Group: GroupIdentification, Long: true,
		Help: "What the identification rests on.",
		at:   func(s *Specimen) *string { return &s.IdentificationRemarks }},

	{ID: "recordedBy", Term: "recordedBy", Label: "Found by", Group: GroupFind, Such: "A. Example | B. Example",
		Help: "Who found or collected it; several people with | between them.",
		at:   func(s *Specimen) *string { return &s.RecordedBy }},
	{ID: "eventDate", Term: "eventDate", Label: "Date found", Group: GroupFind, Such: "2023-08",
		Help: "When it was found: year, year-month or year-month-day.", check: checkDate,
		at: func(s *Specimen) *string { return &s.EventDate }},
	{ID: "continent", Term: "continent", Label: "Continent", Group: GroupFind, Such: "Asia",
		Help:  "Where it was found, as the land lies today.",
		Words: []string{"Africa", "Antarctica", "Asia", "Europe", "North America", "Oceania", "South America"},
		at:    func(s *Specimen) *string { return &s.Continent }},
	{ID: "country", Term: "country", Label: "Country", Group: GroupFind,
		Help: "Where it was found, as the borders lie today.",
		at:   func(s *Specimen) *string { return &s.Country }},
	{ID: "locality", Term: "locality", Label: "Locality", Group: GroupFind, Such: "left bank, below the second bridge",
		Help: "The place of the find in words. It leaves with every export: write no more than may be known.",
		at:   func(s *Specimen) *string { return &s.Locality }},
	{ID: "decimalLatitude", Term: "decimalLatitude", Label: "Latitude", Group: GroupFind, Such: "12.345", Place: true,
		Help: "In decimal degrees, north positive.", check: checkDegrees("a latitude", 90),
		at: func(s *Specimen) *string { return &s.DecimalLatitude }},
	{ID: "decimalLongitude", Term: "decimalLongitude", Label: "Longitude", Group: GroupFind, Such: "-67.89", Place: true,
		Help: "In decimal degrees, east positive.", check: checkDegrees("a longitude", 180),
		at: func(s *Specimen) *string { return &s.DecimalLongitude }},
	{ID: "geodeticDatum", Term: "geodeticDatum", Label: "Datum", Group: GroupFind, Such: "EPSG:4326", Place: true,
		Help: "The system of the coordinates; EPSG:4326 is that of most receivers.",
		at:   func(s *Specimen) *string { return &s.GeodeticDatum }},
	{ID: "coordinateUncertaintyInMeters", Term: "coordinateUncertaintyInMeters", Label: "Coordinate uncertainty", Group: GroupFind, Such: "30", Place: true,
		Help: "Radius in metres of the smallest circle that surely holds the site; above 0, empty when it is not known.", check: checkMetres,
		at: func(s *Specimen) *string { return &s.CoordinateUncertainty }},
	{ID: "informationWithheld", Term: "informationWithheld", Label: "Withheld", Group: GroupFind,
		Help: "What is known of the find but not told here, and whom to ask.",
		at:   func(s *Specimen) *string { return &s.InformationWithheld }},

	{ID: "group", Term: "group", Label: "Group", Group: GroupRock, Such: "Example Group",
		Help: "The lithostratigraphic group.",
		at:   func(s *Specimen) *string { return &s.StratigraphicGroup }},
	{ID: "formation", Term: "formation", Label: "Formation", Group: GroupRock, Such: "Example Formation",
		Help: "The lithostratigraphic formation.",
		at:   func(s *Specimen) *string { return &s.Formation }},
	{ID: "member", Term: "member", Label: "Member", Group: GroupRock, Such: "Upper Example Member",
		Help: "The lithostratigraphic member.",
		at:   func(s *Specimen) *string { return &s.Member }},
	{ID: "bed", Term: "bed", Label: "Bed", Group: GroupRock, Such: "bed 3",
		Help: "The bed or horizon.",
		at:   func(s *Specimen) *string { return &s.Bed }},
	{ID: "age", Term: "earliestEpochOrLowestSeries", Label: "Age", Group: GroupRock, Such: "Late Cretaceous",
		Help: "The epoch, as the published teeth name theirs.",
		at:   func(s *Specimen) *string { return &s.Age }},
	{ID: "earliestAgeOrLowestStage", Term: "earliestAgeOrLowestStage", Label: "Earliest stage", Group: GroupRock, Such: "Campanian",
		Help: "The oldest stage that the rock may belong to.",
		at:   func(s *Specimen) *string { return &s.EarliestAge }},
	{ID: "latestAgeOrHighestStage", Term: "latestAgeOrHighestStage", Label: "Latest stage", Group: GroupRock, Such: "Maastrichtian",
		Help: "The youngest stage that the rock may belong to.",
		at:   func(s *Specimen) *string { return &s.LatestAge }},

	{ID: "remarks", Term: "occurrenceRemarks", Label: "Remarks", Group: GroupRemarks, Long: true,
		Help: "Anything else that belongs to the record.",
		at:   func(s *Specimen) *string { return &s.Remarks }},
}

// FieldOf gives the field of that ID; ok is false when there is none.
func FieldOf(id string) (f Field, ok bool) {
	// Once for each text of a long table: by place, so that no field is copied.
	for i := range Fields {
		if Fields[i].ID == id {
			return Fields[i], true
		}
	}
	return Field{}, false
}

// Text gives what stands in the field of a specimen.
func (f Field) Text(s *Specimen) string { return *f.at(s) }

// Set writes a text into the field of a specimen; Check tells whether it may
// stand there.
func (f Field) Set(s *Specimen, text string) { *f.at(s) = text }

// Typed gives what a person typed as the field holds it: a number of degrees or
// metres with a decimal point, which is what Darwin Core asks for, whichever
// mark was typed.
func (f Field) Typed(text string) string {
	switch f.ID {
	case "decimalLatitude", "decimalLongitude", "coordinateUncertaintyInMeters":
		if strings.Count(text, ",") == 1 && !strings.Contains(text, ".") {
			return strings.Replace(text, ",", ".", 1)
		}
	}
	return text
}

// Check tells, in a sentence, why a text cannot stand in the field, or nil.
func (f Field) Check(text string) error {
	called := strings.ToLower(f.Label)
	switch {
	case !utf8.ValidString(text):
		return fmt.Errorf("the %.40s is not valid text (UTF-8)", called)
	case utf8.RuneCountInString(text) > MaxText:
		return fmt.Errorf("the %.40s is longer than %d characters", called, MaxText)
	case text == "":
		return nil
	case len(f.Words) > 0 && !slices.Contains(f.Words, text):
		return fmt.Errorf("the %s is %.40q; it is one of %s, or left empty", called, text, strings.Join(f.Words, ", "))
	case f.check != nil:
		if err := f.check(text); err != nil {
			return fmt.Errorf("the %s is %.40q; %w", called, text, err)
		}
	}
	return nil
}

// checkName keeps qualifiers out of a name (Darwin Core: scientificName "should
// not contain identification qualifications").
func checkName(text string) error {
	for word := range strings.FieldsSeq(strings.ToLower(text)) {
		switch word {
		case "cf.", "cf", "aff.", "aff", "?", "indet.", "indet":
			return fmt.Errorf("%s belongs into the qualifier's own field", word)
		}
	}
	if strings.HasPrefix(text, "?") || strings.HasSuffix(text, "?") {
		return fmt.Errorf("? belongs into the qualifier's own field")
	}
	return nil
}

// dateLayouts are the dates of ISO 8601-1 that a catalogue needs.
var dateLayouts = []string{"2006", "2006-01", "2006-01-02"}

// checkDate takes a date or an interval of two with a slash between them.
func checkDate(text string) error {
	from, to, interval := strings.Cut(text, "/")
	if isDate(from) && (!interval || isDate(to)) {
		return nil
	}
	return fmt.Errorf("a date such as 2024, 2024-05 or 2024-05-17, or two with / between them, is expected")
}

func isDate(text string) bool {
	return slices.ContainsFunc(dateLayouts, func(layout string) bool {
		_, err := time.Parse(layout, text)
		return err == nil
	})
}

// checkDegrees takes decimal degrees between -most and most.
func checkDegrees(what string, most float64) func(string) error {
	return func(text string) error {
		v, err := strconv.ParseFloat(text, 64)
		if err != nil || !plainDecimal(text) || !within(most, v) {
			return fmt.Errorf("%s is a number of degrees from -%g to %g, such as 12.345", what, most, most)
		}
		return nil
	}
}

// mostMetres is half the circumference of the Earth, rounded up.
const mostMetres = 20_040_000

// checkMetres takes a radius. Darwin Core: "Zero is not a valid value".
func checkMetres(text string) error {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil || !plainDecimal(text) || !within(mostMetres, v) || v <= 0 {
		return fmt.Errorf("a number of metres above 0, such as 30, is expected; leave it empty when it is not known")
	}
	return nil
}

// plainDecimal tells a number that every reader reads from one with an
// exponent, in hexadecimal or with a word in it.
func plainDecimal(text string) bool {
	return strings.Trim(text, "0123456789.-+") == "" && strings.ContainsAny(text, "0123456789")
}
