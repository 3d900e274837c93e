package archive

import (
	"encoding/json"
	"io"
	"strings"
	"time"
)

// DataPackage writes a Data Package of version 2 (datapackage.org, 2024) as a
// zip file: datapackage.json and the tables it describes, with their keys,
// types and units. The descriptor has one property of its own, the unit of a
// column of numbers.
//
// The errors are sentences about the specimens, or the writer's.
func DataPackage(w io.Writer, s Source) error {
	if err := s.check(); err != nil {
		return err
	}
	t, err := tablesOf(&s)
	if err != nil {
		return err
	}
	descriptor := newPart("datapackage.json")
	enc := json.NewEncoder(descriptor)
	enc.SetIndent("", " ")
	enc.SetEscapeHTML(false)
	if err := enc.Encode(describe(&s, t.all())); err != nil {
		return err
	}
	parts := []*part{descriptor}
	for _, t := range t.all() {
		parts = append(parts, t.part)
	}
	return writeZip(w, parts...)
}

// Addresses of the profiles of Data Package, version 2.
const (
	packageProfile  = "https://datapackage.org/profiles/2.0/datapackage.json"
	resourceProfile = "https://datapackage.org/profiles/2.0/dataresource.json"
	schemaProfile   = "https://datapackage.org/profiles/2.0/tableschema.json"
)

type packageDescriptor struct {
	Schema       string        `json:"$schema"`
	Name         string        `json:"name"`
	ID           string        `json:"id"`
	Title        string        `json:"title"`
	Description  string        `json:"description"`
	Created      string        `json:"created,omitempty"`
	Contributors []contributor `json:"contributors,omitempty"`
	Licenses     []license     `json:"licenses,omitempty"`
	Resources    []resource    `json:"resources"`
}

type contributor struct {
	Title string   `json:"title"`
	Roles []string `json:"roles"`
}

// license has a name of the Open Definition's list, or a path.
type license struct {
	Name string `json:"name,omitempty"`
	Path string `json:"path,omitempty"`
}

type resource struct {
	Schema      string      `json:"$schema"`
	Name        string      `json:"name"`
	Path        string      `json:"path"`
	Type        string      `json:"type"`
	Title       string      `json:"title"`
	Format      string      `json:"format"`
	MediaType   string      `json:"mediatype"`
	Encoding    string      `json:"encoding"`
	Bytes       int64       `json:"bytes"`
	Hash        string      `json:"hash"`
	Dialect     dialect     `json:"dialect"`
	TableSchema tableSchema `json:"schema"`
}

type dialect struct {
	Delimiter      string `json:"delimiter"`
	LineTerminator string `json:"lineTerminator"`
	DoubleQuote    bool   `json:"doubleQuote"`
	Header         bool   `json:"header"`
}

type tableSchema struct {
	Schema        string       `json:"$schema"`
	Fields        []fieldIn    `json:"fields"`
	MissingValues []string     `json:"missingValues"`
	PrimaryKey    []string     `json:"primaryKey"`
	ForeignKeys   []foreignKey `json:"foreignKeys,omitempty"`
}

type fieldIn struct {
	Name        string       `json:"name"`
	Type        kind         `json:"type"`
	Description string       `json:"description,omitempty"`
	RDFType     string       `json:"rdfType,omitempty"`
	Unit        string       `json:"unit,omitempty"`
	Constraints *constraints `json:"constraints,omitempty"`
}

type constraints struct {
	Required bool     `json:"required,omitempty"`
	Enum     []string `json:"enum,omitempty"`
}

type foreignKey struct {
	Fields    []string `json:"fields"`
	Reference struct {
		Resource string   `json:"resource"`
		Fields   []string `json:"fields"`
	} `json:"reference"`
}

const guarded = "In every table a text that a spreadsheet would run as a formula (it begins with =, +, -, @, a tab or a line break, after any spaces, apostrophes, control and format characters, and is no plain number) has one apostrophe in front; take one away where what follows it begins like that."

func describe(s *Source, tables []*table) packageDescriptor {
	d := packageDescriptor{
		Schema: packageProfile, Name: "isolated-teeth", Title: s.Dataset.title(),
		Description: strings.TrimSpace(s.Dataset.Description + "\n\n" +
			"Measured and sorted with Crownbench " + s.Versions.Program + ". Uncertainties are standard uncertainties. " + guarded),
		Licenses: licenses(s.Dataset.License),
	}
	if s.Dataset.Creator != "" {
		d.Contributors = []contributor{{s.Dataset.Creator, []string{"creator"}}}
	}
	var last time.Time
	for _, t := range s.Specimens {
		if t.Changed.After(last) {
			last = t.Changed
		}
	}
	d.Created = moment(last)
	what := []string{"crownbench", "data package", d.Title, d.Description}
	for _, t := range tables {
		d.Resources = append(d.Resources, t.resource())
		what = append(what, t.hash())
	}
	d.ID = urn(what...)
	return d
}

// isLicenseName tells whether a text can be the name of a licence that the
// standard speaks of: letters, digits, points and hyphens.
func isLicenseName(s string) bool {
	return s != "" && strings.TrimFunc(s, func(r rune) bool {
		return r >= 'A' && r <= 'Z' || r >= 'a' && r <= 'z' || r >= '0' && r <= '9' || r == '.' || r == '-'
	}) == ""
}

// licenses gives the licence where the standard has a place for what it is.
func licenses(text string) []license {
	switch {
	case strings.HasPrefix(text, "https://"), strings.HasPrefix(text, "http://"):
		return []license{{Path: text}}
	case isLicenseName(text):
		return []license{{Name: text}}
	}
	return nil
}

func (t *table) resource() resource {
	r := resource{
		Schema: resourceProfile, Name: strings.TrimSuffix(t.name, ".csv"), Path: t.name, Type: "table", Title: t.title,
		Format: "csv", MediaType: "text/csv", Encoding: "utf-8", Bytes: t.bytes, Hash: "sha256:" + t.hash(),
		Dialect:     dialect{Delimiter: ",", LineTerminator: "\r\n", DoubleQuote: true, Header: true},
		TableSchema: tableSchema{Schema: schemaProfile, MissingValues: []string{""}, PrimaryKey: t.key},
	}
	for _, c := range t.columns {
		f := fieldIn{Name: c.name, Type: c.kind, Description: c.about, RDFType: c.term, Unit: c.unit}
		if c.must || len(c.words) > 0 {
			f.Constraints = &constraints{Required: c.must, Enum: c.words}
		}
		r.TableSchema.Fields = append(r.TableSchema.Fields, f)
	}
	for _, ref := range t.refers {
		k := foreignKey{Fields: ref.columns}
		k.Reference.Resource, k.Reference.Fields = ref.table, ref.to
		r.TableSchema.ForeignKeys = append(r.TableSchema.ForeignKeys, k)
	}
	return r
}
