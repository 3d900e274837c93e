package archive_test

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"io"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"

	"crownbench/wasm/archive"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// metaFile is a core or an extension in a meta.xml.
type metaFile struct {
	RowType            string `xml:"rowType,attr"`
	Encoding           string `xml:"encoding,attr"`
	FieldsTerminatedBy string `xml:"fieldsTerminatedBy,attr"`
	LinesTerminatedBy  string `xml:"linesTerminatedBy,attr"`
	FieldsEnclosedBy   string `xml:"fieldsEnclosedBy,attr"`
	IgnoreHeaderLines  int    `xml:"ignoreHeaderLines,attr"`
	Files              []struct {
		Location []string `xml:"location"`
	} `xml:"files"`
	ID []struct {
		Index int `xml:"index,attr"`
	} `xml:"id"`
	CoreID []struct {
		Index int `xml:"index,attr"`
	} `xml:"coreid"`
	Fields []struct {
		Index int    `xml:"index,attr"`
		Term  string `xml:"term,attr"`
	} `xml:"field"`
}

type meta struct {
	XMLName    xml.Name
	Metadata   string     `xml:"metadata,attr"`
	Core       []metaFile `xml:"core"`
	Extensions []metaFile `xml:"extension"`
}

// Terms that the files may use, by namespace. Darwin Core, MeasurementOrFact
// and Audiovisual Core: READ, the lists of terms of the standards; those after
// the semicolon from memory.
var terms = map[string]string{
	"http://rs.tdwg.org/dwc/terms/": `basisOfRecord occurrenceID catalogNumber institutionCode collectionCode recordedBy preparations disposition
		scientificName identificationQualifier identifiedBy dateIdentified identificationRemarks earliestAgeOrLowestStage latestAgeOrHighestStage
		group formation member bed locality decimalLatitude coordinateUncertaintyInMeters informationWithheld dynamicProperties
		measurementID measurementType verbatimMeasurementType measurementValue measurementUnit measurementAccuracy measurementMethod
		measurementDeterminedDate measurementRemarks ;
		otherCatalogNumbers ownerInstitutionCode eventDate continent country decimalLongitude geodeticDatum occurrenceRemarks
		earliestEpochOrLowestSeries latestEpochOrHighestSeries`,
	"http://purl.org/dc/terms/":           `; modified identifier title`,
	"http://purl.org/dc/elements/1.1/":    `; type format creator`,
	"http://rs.tdwg.org/ac/terms/":        `captureDevice associatedSpecimenReference hashFunction hashValue subjectPartLiteral subjectOrientationLiteral`,
	"http://ns.adobe.com/exif/1.0/":       `PixelXDimension PixelYDimension`,
	"http://ns.adobe.com/xap/1.0/":        `CreateDate`,
	"http://ns.adobe.com/xap/1.0/rights/": `UsageTerms`,
}

func isTerm(address string) bool {
	i := strings.LastIndexByte(address, '/') + 1
	return slices.Contains(strings.Fields(terms[address[:i]]), address[i:])
}

// checkDarwinCore holds an archive to the Darwin Core text guide (2023-09-13,
// READ): a meta.xml of that name and namespace, exactly one core, an id in it
// and a coreid in each extension, every location there, every index within the
// rows, no term twice. It gives the rows of each file by term, "" for the
// first column of an extension.
func checkDarwinCore(t failer, b []byte) (files map[string][]byte, core, measurements, media []map[string]string) {
	files, _ = unzip(t, b)
	var m meta
	if err := xml.Unmarshal(files["meta.xml"], &m); err != nil {
		t.Fatalf("%v", err)
	}
	if m.XMLName != (xml.Name{Space: "http://rs.tdwg.org/dwc/text/", Local: "archive"}) || files[m.Metadata] == nil {
		t.Fatalf("the root is %v, the metadata %q", m.XMLName, m.Metadata)
	}
	if len(m.Core) != 1 || len(m.Core[0].ID) != 1 || m.Core[0].RowType != "http://rs.tdwg.org/dwc/terms/Occurrence" {
		t.Fatalf("the core is %+v", m.Core)
	}
	core = rowsByTerm(t, files, m.Core[0], m.Core[0].ID[0].Index)
	ids := map[string]bool{}
	for _, row := range core {
		id := row["http://rs.tdwg.org/dwc/terms/occurrenceID"]
		if id == "" || ids[id] {
			t.Fatalf("the occurrence %q is empty or twice there", id)
		}
		ids[id] = true
	}
	found := map[string][]map[string]string{}
	for _, e := range m.Extensions {
		if len(e.CoreID) != 1 {
			t.Fatalf("%s has %d coreid", e.RowType, len(e.CoreID))
		}
		rows := rowsByTerm(t, files, e, e.CoreID[0].Index)
		for _, row := range rows {
			if !ids[row[""]] {
				t.Fatalf("%s names the occurrence %q, which the core lacks", e.RowType, row[""])
			}
		}
		found[e.RowType] = rows
	}
	if len(found) != 2 || len(files) != 5 {
		t.Fatalf("%d extensions, %d files", len(found), len(files))
	}
	checkEML(t, files[m.Metadata])
	return files, core, found["http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact"], found["http://rs.tdwg.org/ac/terms/Multimedia"]
}

func rowsByTerm(t failer, files map[string][]byte, f metaFile, id int) []map[string]string {
	if len(f.Files) != 1 || len(f.Files[0].Location) != 1 || files[f.Files[0].Location[0]] == nil {
		t.Fatalf("%s has the files %v", f.RowType, f.Files)
	}
	content := files[f.Files[0].Location[0]]
	if f.Encoding != "UTF-8" || f.FieldsTerminatedBy != "," || f.LinesTerminatedBy != `\r\n` || f.FieldsEnclosedBy != `"` || f.IgnoreHeaderLines != 1 {
		t.Fatalf("%s is described as %+v", f.RowType, f)
	}
	heads, rows := rowsOf(t, content)
	if !bytes.HasSuffix(content, []byte("\r\n")) {
		t.Fatalf("%s does not end its lines as described", f.RowType)
	}
	seen := map[string]bool{}
	for _, c := range f.Fields {
		if seen[c.Term] || !isTerm(c.Term) || c.Index < 0 || c.Index >= len(heads) {
			t.Fatalf("%s: column %d of %d has the term %q, twice or unknown", f.RowType, c.Index, len(heads), c.Term)
		}
		seen[c.Term] = true
	}
	if len(f.Fields)+len(f.CoreID) != len(heads) {
		t.Fatalf("%s: %d columns, %d described", f.RowType, len(heads), len(f.Fields))
	}
	var out []map[string]string
	for _, row := range rows {
		m := map[string]string{"": row[id]}
		for _, c := range f.Fields {
			m[c.Term] = row[c.Index]
		}
		out = append(out, m)
	}
	return out
}

// emlOrder is the order of a dataset's elements in EML 2.2.0, as far as they
// may occur here (from memory of eml-resource.xsd and eml-dataset.xsd).
var emlOrder = []string{"title", "creator", "pubDate", "language", "abstract", "keywordSet", "additionalInfo", "intellectualRights", "contact"}

// checkEML holds metadata to EML 2.2.0: root, namespace, packageId and system
// (READ); title, creator and contact required, in order, no element without
// text where the schema wants a non-empty string (from memory).
func checkEML(t failer, b []byte) {
	type element struct {
		XMLName  xml.Name
		Attrs    []xml.Attr `xml:",any,attr"`
		Text     string     `xml:",chardata"`
		Children []struct {
			XMLName xml.Name
			Content string `xml:",innerxml"`
		} `xml:",any"`
	}
	var root struct {
		XMLName xml.Name
		Attrs   []xml.Attr `xml:",any,attr"`
		Dataset element    `xml:"dataset"`
	}
	if err := xml.Unmarshal(b, &root); err != nil {
		t.Fatalf("%v", err)
	}
	attrs := map[string]string{}
	for _, a := range root.Attrs {
		attrs[a.Name.Local] = a.Value
	}
	if root.XMLName != (xml.Name{Space: "https://eml.ecoinformatics.org/eml-2.2.0", Local: "eml"}) || attrs["packageId"] == "" || attrs["system"] == "" {
		t.Fatalf("the root is %v with %v", root.XMLName, attrs)
	}
	last, have := -1, map[string]bool{}
	for _, c := range root.Dataset.Children {
		i := slices.Index(emlOrder, c.XMLName.Local)
		if i < 0 || i < last || c.XMLName.Space != "" || strings.TrimSpace(c.Content) == "" {
			t.Fatalf("the dataset has %v out of order, or empty", c.XMLName)
		}
		last = i
		have[c.XMLName.Local] = true
	}
	if !have["title"] || !have["creator"] || !have["contact"] {
		t.Fatalf("the dataset has only %v", have)
	}
}

func TestDarwinCore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawTray().Draw(t, "tray")
		source := f.source()
		source.Dataset = archive.Dataset{
			Title: rapid.String().Draw(t, "title"), Creator: rapid.String().Draw(t, "creator"),
			Description: rapid.String().Draw(t, "description"), License: rapid.String().Draw(t, "licence"),
		}
		_, core, measurements, media := checkDarwinCore(t, write(t, source, archive.DarwinCore))
		if len(core) != len(f.specimens) {
			t.Fatalf("%d occurrences of %d specimens", len(core), len(f.specimens))
		}
		const dwc = "http://rs.tdwg.org/dwc/terms/"
		for i, s := range f.specimens {
			row, s := core[i], s.Public()
			want := map[string]string{"otherCatalogNumbers": s.Name, "latestEpochOrHighestSeries": s.Age, "basisOfRecord": "FossilSpecimen"}
			for _, field := range tray.Fields {
				if field.Term != "" {
					want[field.Term] = field.Text(s)
				}
			}
			if s.Invented {
				want["basisOfRecord"] = ""
				want["occurrenceRemarks"] = "INVENTED: this tooth does not exist; it serves as an example."
				if s.Remarks != "" {
					want["occurrenceRemarks"] += " | " + s.Remarks
				}
			}
			for term, text := range want {
				if got := cell.Read(row[dwc+term]); got != lines(text) {
					t.Fatalf("%s is %.60q, was %.60q", term, got, text)
				}
			}
			var more struct {
				Invented                                           bool
				ToothRow, MesialDenticles, DistalDenticles, Permit string
			}
			if text := row[dwc+"dynamicProperties"]; text != "" {
				if err := json.Unmarshal([]byte(text), &more); err != nil {
					t.Fatal(err)
				}
			}
			if more.Invented != s.Invented || more.ToothRow != string(s.Row) || more.MesialDenticles != string(s.Mesial) || more.Permit != s.Permit {
				t.Fatalf("dynamicProperties are %q", row[dwc+"dynamicProperties"])
			}
		}
		compareMeasurements(t, f, core, measurements)
		compareMedia(t, f, media)
	})
}

func compareMeasurements(t failer, f filled, core, rows []map[string]string) {
	const dwc = "http://rs.tdwg.org/dwc/terms/"
	at, ids := map[string]map[string]string{}, map[string]bool{}
	for _, row := range rows {
		at[row[""]+" "+row[dwc+"verbatimMeasurementType"]] = row
		if id := row[dwc+"measurementID"]; ids[id] || row[dwc+"occurrenceID"] != row[""] {
			t.Fatalf("the measurement %s is twice there, or of another occurrence", id)
		}
		ids[row[dwc+"measurementID"]] = true
		if d := row[dwc+"measurementDeterminedDate"]; d != "" {
			if _, err := time.Parse(time.RFC3339, d); err != nil {
				t.Fatalf("%v", err)
			}
		}
	}
	for i, s := range f.specimens {
		id := core[i]["http://rs.tdwg.org/dwc/terms/occurrenceID"]
		found := tray.Find(s)
		for _, r := range found.Readings {
			row := at[id+" "+string(r.ID)]
			if !r.Known {
				if row != nil && row[dwc+"measurementValue"] != string(r.State) {
					t.Fatalf("%s is not known and reads %q", r.ID, row[dwc+"measurementValue"])
				}
				continue
			}
			v, err := strconv.ParseFloat(row[dwc+"measurementValue"], 64)
			if err != nil || v != r.Value || row[dwc+"measurementUnit"] != r.Unit || row[dwc+"measurementType"] != r.Name {
				t.Fatalf("%s is %v, was %v %s", r.ID, row, r.Value, r.Unit)
			}
			if u := row[dwc+"measurementAccuracy"]; (u != "") != (r.U > 0) {
				t.Fatalf("the uncertainty of %s is %q, was %v", r.ID, u, r.U)
			}
		}
		if row := at[id+" form"]; (row != nil) != (found.Answer.Form != "") || row != nil && row[dwc+"measurementValue"] != string(found.Answer.Form) {
			t.Fatalf("the form is %v, was %q", row, found.Answer.Form)
		}
	}
}

func compareMedia(t failer, f filled, rows []map[string]string) {
	i := 0
	for _, s := range f.specimens {
		for _, p := range s.Photos {
			for term, text := range map[string]string{
				"http://purl.org/dc/terms/title": p.File, "http://purl.org/dc/elements/1.1/format": p.MIME, "http://purl.org/dc/elements/1.1/creator": p.Creator,
				"http://rs.tdwg.org/ac/terms/hashValue": p.Hash, "http://rs.tdwg.org/ac/terms/hashFunction": "SHA-256",
				"http://rs.tdwg.org/ac/terms/captureDevice": p.Device, "http://ns.adobe.com/xap/1.0/CreateDate": p.Taken,
				"http://ns.adobe.com/xap/1.0/rights/UsageTerms": p.License, "http://rs.tdwg.org/ac/terms/subjectPartLiteral": "tooth crown",
			} {
				if i >= len(rows) || cell.Read(rows[i][term]) != lines(text) {
					t.Fatalf("%s of photograph %d of %d is not %q", term, i, len(rows), text)
				}
			}
			i++
		}
	}
	if i != len(rows) {
		t.Fatalf("%d rows of %d photographs", len(rows), i)
	}
}

// Everything that a person or a file brought in is text in the XML files.
func TestDarwinCoreMetadataIsEscaped(t *testing.T) {
	f := invented()
	for _, text := range []string{longName, "<script>alert(1)</script>", "]]>&amp;\"'", "\x00\x1b\ufffe", "   "} {
		source := f.source()
		source.Dataset = archive.Dataset{Title: text, Creator: text, Description: text, License: text}
		source.Versions.Program = text
		files, _, _, _ := checkDarwinCore(t, write(t, source, archive.DarwinCore))
		d := xml.NewDecoder(bytes.NewReader(files["eml.xml"]))
		for {
			token, err := d.Token()
			if err == io.EOF {
				break
			}
			if err != nil {
				t.Fatal(err)
			}
			if e, ok := token.(xml.StartElement); ok && e.Name.Local == "script" {
				t.Errorf("%.20q became an element", text)
			}
		}
	}
}
