package tray_test

import (
	"encoding/json"
	"reflect"
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/wasm/tray"
)

// Every text of a catalogue is declared, under the name it has in a record.
func TestFieldsDeclareTheCatalogue(t *testing.T) {
	declared := map[string]bool{}
	for _, f := range tray.Fields {
		if declared[f.ID] {
			t.Errorf("%s is declared twice", f.ID)
		}
		declared[f.ID] = true
		if f.Label == "" || f.Group == "" || f.Help == "" {
			t.Errorf("%s lacks words for a form", f.ID)
		}
		if err := f.Check(f.Such); err != nil {
			t.Errorf("the example of %s is refused: %v", f.ID, err)
		}
		var s tray.Specimen
		text := "x"
		if len(f.Words) > 0 {
			text = f.Words[0]
		}
		f.Set(&s, text)
		b, err := json.Marshal(s)
		if err != nil {
			t.Fatal(err)
		}
		var parts map[string]any
		if err := json.Unmarshal(b, &parts); err != nil {
			t.Fatal(err)
		}
		if parts[f.ID] != text || f.Text(&s) != text {
			t.Errorf("%s is not what a record calls it: %s", f.ID, b)
		}
	}
	c := reflect.TypeFor[tray.Catalogue]()
	for i := range c.NumField() {
		name, _, _ := strings.Cut(c.Field(i).Tag.Get("json"), ",")
		if c.Field(i).Type.Kind() == reflect.String && !declared[name] {
			t.Errorf("%s of the catalogue is no field", name)
		}
	}
}

// Darwin Core's terms, as its list of terms has them (READ; country, continent,
// eventDate, decimalLongitude, geodeticDatum, ownerInstitutionCode,
// occurrenceRemarks and earliestEpochOrLowestSeries from memory).
func TestFieldsAreDarwinCore(t *testing.T) {
	terms := strings.Fields(`catalogNumber institutionCode collectionCode recordedBy preparations disposition
		scientificName identificationQualifier identifiedBy dateIdentified identificationRemarks
		earliestAgeOrLowestStage latestAgeOrHighestStage group formation member bed
		locality decimalLatitude coordinateUncertaintyInMeters informationWithheld
		country continent eventDate decimalLongitude geodeticDatum ownerInstitutionCode occurrenceRemarks earliestEpochOrLowestSeries`)
	left := map[string]bool{}
	for _, term := range terms {
		left[term] = true
	}
	for _, f := range tray.Fields {
		if f.Term == "" {
			continue
		}
		if !left[f.Term] {
			t.Errorf("%s is called %s, which is no term of Darwin Core", f.ID, f.Term)
		}
		delete(left, f.Term)
	}
	if len(left) > 0 {
		t.Errorf("no field for %v", left)
	}
}

func TestFieldChecks(t *testing.T) {
	long := strings.Repeat("ä", tray.MaxText+1)
	for _, tt := range []struct{ id, text, says string }{
		{"scientificName", "Theropoda", ""},
		{"scientificName", "Invented cf. name", "cf. belongs into the qualifier"},
		{"scientificName", "Invented name?", "? belongs into the qualifier"},
		{"scientificName", "aff. Invented", "aff. belongs"},
		{"identificationQualifier", "cf.", ""},
		{"identificationQualifier", "like", "one of cf., aff., ?, indet."},
		{"dateIdentified", "2024", ""},
		{"dateIdentified", "2024-02-29", ""},
		{"dateIdentified", "2023-02-29", "a date such as"},
		{"dateIdentified", "17.5.2024", "a date such as"},
		{"eventDate", "2023-08/2023-09-02", ""},
		{"eventDate", "2023-08/", "a date such as"},
		{"continent", "North America", ""},
		{"continent", "Atlantis", "one of Africa"},
		{"decimalLatitude", "-90", ""},
		{"decimalLatitude", "90.0001", "from -90 to 90"},
		{"decimalLatitude", "NaN", "from -90 to 90"},
		{"decimalLatitude", "1e1", "from -90 to 90"},
		{"decimalLatitude", "0x1p1", "from -90 to 90"},
		{"decimalLongitude", "+180.0", ""},
		{"decimalLongitude", "12°30'", "from -180 to 180"},
		{"coordinateUncertaintyInMeters", "0.5", ""},
		{"coordinateUncertaintyInMeters", "0", "above 0"}, // Darwin Core: "zero not valid" (READ)
		{"coordinateUncertaintyInMeters", "30000000", "above 0"},
		{"formation", "=1+1", ""},
		{"formation", long, "formation is longer than 10000"},
		{"formation", "a\xff", "not valid text"},
	} {
		f, ok := tray.FieldOf(tt.id)
		if !ok {
			t.Fatalf("no field %s", tt.id)
		}
		err := f.Check(tt.text)
		switch {
		case tt.says == "" && err != nil:
			t.Errorf("%s: %q is refused: %v", tt.id, tt.text, err)
		case tt.says != "" && (err == nil || !strings.Contains(err.Error(), tt.says)):
			t.Errorf("%s: %.40q gives %v; want it to say %q", tt.id, tt.text, err, tt.says)
		}
		s := tray.Specimen{ID: "a", Name: "KB-014"}
		f.Set(&s, tt.text)
		if (s.Check() == nil) != (err == nil) {
			t.Errorf("%s: the specimen's check says %v", tt.id, s.Check())
		}
	}
	if _, ok := tray.FieldOf("colour"); ok {
		t.Error("there is a field that nobody declared")
	}
}

// Coordinates leave with exports only where they are shared, and where they
// were kept back the record says so.
func TestPublic(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := specimen().Draw(t, "specimen")
		before := s.Clone()
		p := s.Public()
		if diff := cmp.Diff(before, s.Clone()); diff != "" {
			t.Fatalf("it changes the specimen:\n%s", diff)
		}
		secret := false
		for _, f := range tray.Fields {
			was, is := f.Text(s), f.Text(p)
			switch {
			case f.Place && !s.ShareCoordinates:
				secret = secret || was != ""
				if is != "" {
					t.Fatalf("%s is shown as %q", f.ID, is)
				}
			case f.ID != "informationWithheld" && is != was:
				t.Fatalf("%s is %q, was %q", f.ID, is, was)
			}
		}
		if secret != strings.Contains(p.InformationWithheld, tray.CoordinatesWithheld) && !strings.Contains(s.InformationWithheld, tray.CoordinatesWithheld) {
			t.Fatalf("kept back: %v; it says %q", secret, p.InformationWithheld)
		}
		if err := p.Check(); err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(p, p.Public()); diff != "" {
			t.Fatalf("once more changes it:\n%s", diff)
		}
	})
	full := &tray.Specimen{ID: "a"}
	full.DecimalLatitude, full.InformationWithheld = "1", strings.Repeat("ä", tray.MaxText)
	if said := full.Public().InformationWithheld; utf8.RuneCountInString(said) != tray.MaxText || !strings.HasSuffix(said, tray.CoordinatesWithheld) {
		t.Errorf("a full field says …%s", said[len(said)-40:])
	}
}
