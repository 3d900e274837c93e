package tray

import "strings"

// Catalogue is what a collection's catalogue says of a tooth besides its
// measurements, each field a text as a person wrote it. In a record each is
// called as Darwin Core calls it; Fields says what belongs into each.
type Catalogue struct {
	CatalogNumber   string `json:"catalogNumber,omitempty"`
	InstitutionCode string `json:"institutionCode,omitempty"`
	CollectionCode  string `json:"collectionCode,omitempty"`
	Owner           string `json:"ownerInstitutionCode,omitempty"`
	Disposition     string `json:"disposition,omitempty"`
	Preparations    string `json:"preparations,omitempty"`
	Permit          string `json:"permit,omitempty"`

	ScientificName          string `json:"scientificName,omitempty"`
	IdentificationQualifier string `json:"identificationQualifier,omitempty"`
	IdentifiedBy            string `json:"identifiedBy,omitempty"`
	DateIdentified          string `json:"dateIdentified,omitempty"`
	IdentificationRemarks   string `json:"identificationRemarks,omitempty"`

	RecordedBy string `json:"recordedBy,omitempty"`
	EventDate  string `json:"eventDate,omitempty"`
	Continent  string `json:"continent,omitempty"`

	// The coordinates leave the program only with ShareCoordinates: what else
	// would lead thieves to the site. See Public.
	DecimalLatitude       string `json:"decimalLatitude,omitempty"`
	DecimalLongitude      string `json:"decimalLongitude,omitempty"`
	GeodeticDatum         string `json:"geodeticDatum,omitempty"`
	CoordinateUncertainty string `json:"coordinateUncertaintyInMeters,omitempty"`
	ShareCoordinates      bool   `json:"shareCoordinates,omitempty"`
	InformationWithheld   string `json:"informationWithheld,omitempty"`

	StratigraphicGroup string `json:"group,omitempty"`
	Formation          string `json:"formation,omitempty"`
	Member             string `json:"member,omitempty"`
	Bed                string `json:"bed,omitempty"`
	EarliestAge        string `json:"earliestAgeOrLowestStage,omitempty"`
	LatestAge          string `json:"latestAgeOrHighestStage,omitempty"`
}

// CoordinatesWithheld is what a record that left without its coordinates says
// of them.
const CoordinatesWithheld = "Coordinates withheld."

// Public gives the specimen as exports may show it: the same one, or, where
// there are coordinates that are not to be shared, a copy without them whose
// InformationWithheld says so.
func (s *Specimen) Public() *Specimen {
	if s.ShareCoordinates || s.DecimalLatitude+s.DecimalLongitude+s.GeodeticDatum+s.CoordinateUncertainty == "" {
		return s
	}
	c := s.Clone()
	c.DecimalLatitude, c.DecimalLongitude, c.GeodeticDatum, c.CoordinateUncertainty = "", "", "", ""
	switch {
	case c.InformationWithheld == "":
		c.InformationWithheld = CoordinatesWithheld
	case !strings.Contains(c.InformationWithheld, CoordinatesWithheld):
		const more = listSeparator + CoordinatesWithheld
		said := []rune(c.InformationWithheld)
		c.InformationWithheld = string(said[:min(len(said), MaxText-len(more))]) + more
	}
	return c
}

// listSeparator stands between the items of a list in one field, as Darwin
// Core recommends.
const listSeparator = " | "
