package archive

import (
	"encoding/json"
	"fmt"
	"io"
	"slices"

	"crownbench/morph"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// DarwinCore writes a Darwin Core Archive (Darwin Core text guide, 2023-09-13)
// as a zip file: meta.xml, the EML 2.2.0 metadata eml.xml, a core of
// Occurrences and two extensions, ExtendedMeasurementOrFact with the readings
// and the sorted form, and Audiovisual media descriptions of the photographs.
//
// A tooth that is invented has no basisOfRecord, and its remarks say so. What
// Darwin Core has no term for stands in dynamicProperties.
//
// The errors are sentences about the specimens, or the writer's.
func DarwinCore(w io.Writer, s Source) error {
	if err := s.check(); err != nil {
		return err
	}
	a := newDarwinCore()
	for i, t := range a.all() {
		if err := t.begin([]string{"occurrence.csv", "measurement.csv", "multimedia.csv"}[i]); err != nil {
			return err
		}
	}
	for _, one := range s.Specimens {
		f := s.find(one)
		one = one.Public()
		for _, err := range []error{a.occurrence(one), a.measurement(one, f), a.multimedia(one)} {
			if err != nil {
				return err
			}
		}
	}
	for _, t := range a.all() {
		if err := t.end(); err != nil {
			return err
		}
	}
	meta, eml := newPart("meta.xml"), newPart("eml.xml")
	if err := writeXML(meta, a.meta()); err != nil {
		return err
	}
	if err := writeXML(eml, metadata(&s, a.all())); err != nil {
		return err
	}
	return writeZip(w, meta, eml, a.core.part, a.measurements.part, a.media.part)
}

// coreOrExtension is a file of a Darwin Core Archive: its first column names
// the occurrence, and each other column has a term.
type coreOrExtension struct {
	table
	rowType string
}

type darwinCoreArchive struct {
	core, measurements, media *coreOrExtension
}

func (a *darwinCoreArchive) all() []*coreOrExtension {
	return []*coreOrExtension{a.core, a.measurements, a.media}
}

// columnsOf makes columns of the addresses of terms.
func columnsOf(first string, terms ...string) []column {
	columns := []column{{name: first}}
	for _, t := range terms {
		columns = append(columns, column{name: localName(t), term: t})
	}
	return columns
}

// localName is what stands after the last slash of an address.
func localName(address string) string {
	for i := len(address) - 1; i >= 0; i-- {
		if address[i] == '/' {
			return address[i+1:]
		}
	}
	return address
}

func newDarwinCore() *darwinCoreArchive {
	core := []string{darwinCore + "basisOfRecord", purl + "modified", darwinCore + "otherCatalogNumbers"}
	for _, f := range coreFields() {
		core = append(core, darwinCore+f.Term)
	}
	core = append(core, darwinCore+"latestEpochOrHighestSeries", darwinCore+"dynamicProperties")
	return &darwinCoreArchive{
		core: &coreOrExtension{rowType: darwinCore + "Occurrence",
			table: table{columns: slices.Concat([]column{{name: "occurrenceID", term: darwinCore + "occurrenceID"}}, columnsOf("", core...)[1:])}},
		measurements: &coreOrExtension{rowType: "http://rs.iobis.org/obis/terms/ExtendedMeasurementOrFact",
			table: table{columns: columnsOf("coreid",
				darwinCore+"measurementID", darwinCore+"occurrenceID", darwinCore+"measurementType", darwinCore+"verbatimMeasurementType",
				darwinCore+"measurementValue", darwinCore+"measurementAccuracy", darwinCore+"measurementUnit",
				darwinCore+"measurementDeterminedDate", darwinCore+"measurementMethod", darwinCore+"measurementRemarks")}},
		media: &coreOrExtension{rowType: audiovisual + "Multimedia",
			table: table{columns: columnsOf("coreid",
				purl+"identifier", dublinCore11+"type", purl+"title", dublinCore11+"format", audiovisual+"associatedSpecimenReference",
				audiovisual+"subjectPartLiteral", audiovisual+"subjectOrientationLiteral", audiovisual+"captureDevice", xmp+"CreateDate",
				dublinCore11+"creator", xmpRights+"UsageTerms", audiovisual+"hashFunction", audiovisual+"hashValue",
				exif+"PixelXDimension", exif+"PixelYDimension")}},
	}
}

// coreFields are the fields of a record that Darwin Core has terms for.
func coreFields() []tray.Field {
	return slices.DeleteFunc(slices.Clone(tray.Fields), func(f tray.Field) bool { return f.Term == "" })
}

const inventedRemark = "INVENTED: this tooth does not exist; it serves as an example."

func (a *darwinCoreArchive) occurrence(s *tray.Specimen) error {
	basis := "FossilSpecimen"
	if s.Invented {
		basis = ""
	}
	cells := append(texts(occurrence(s), basis), moment(s.Changed), cell.Text(s.Name))
	for _, f := range coreFields() {
		content := f.Text(s)
		if f.Term == "occurrenceRemarks" && s.Invented {
			content = inventedRemark
			if s.Remarks != "" {
				content += " | " + s.Remarks
			}
		}
		cells = append(cells, cell.Text(content))
	}
	more, err := dynamicProperties(s)
	if err != nil {
		return err
	}
	return a.core.add(append(cells, texts(s.Age, more)...)...)
}

// dynamicProperties writes what has no term of its own as JSON, as Darwin Core
// recommends.
func dynamicProperties(s *tray.Specimen) (string, error) {
	b, err := json.Marshal(struct {
		Invented bool              `json:"invented,omitempty"`
		Row      tray.Row          `json:"toothRow,omitempty"`
		Mesial   morph.CarinaState `json:"mesialDenticles,omitempty"`
		Distal   morph.CarinaState `json:"distalDenticles,omitempty"`
		Permit   string            `json:"permit,omitempty"`
	}{s.Invented, s.Row, s.Mesial, s.Distal, s.Permit})
	if err != nil {
		return "", fmt.Errorf("%.40q cannot be written: %w", s.Name, err)
	}
	if string(b) == "{}" {
		return "", nil
	}
	return string(b), nil
}

func (a *darwinCoreArchive) measurement(s *tray.Specimen, f tray.Finding) error {
	id := occurrence(s)
	for _, r := range told(f) {
		v, u := state(r), ""
		if r.Known {
			v, u = value(r.Value), spread(r.U)
		}
		remarks := r.Problem
		if r.Known && r.State != morph.MeasuredState {
			remarks = join(". ", string(r.State), remarks)
		}
		method := join("; ", how(r), r.Definition, r.Source)
		err := a.measurements.add(append([]string{id, urn("crownbench", "measurement", s.ID, string(r.ID)), id, r.Name, string(r.ID), v, u, r.Unit, moment(s.Changed)},
			texts(method, remarks)...)...)
		if err != nil {
			return err
		}
	}
	if f.Answer.Form == "" {
		return nil
	}
	return a.measurements.add(append([]string{id, urn("crownbench", "form", s.ID), id, "tooth form", "form", string(f.Answer.Form), "", "", moment(s.Changed)},
		texts("nearest published teeth, "+f.Answer.Version, f.Answer.Said)...)...)
}

// join puts texts together that are not empty.
func join(between string, all ...string) string {
	out := ""
	for _, s := range all {
		switch {
		case s == "":
		case out == "":
			out = s
		default:
			out += between + s
		}
	}
	return out
}

// orientations are the sides that photographs show, in the trade's words: the
// vocabulary of Audiovisual Core has none of them.
var orientations = map[morph.Role]string{
	morph.LateralLabial: "labial", morph.LateralLingual: "lingual", morph.BasalView: "basal",
	morph.MidSection: "transverse section at mid-crown", morph.MesialView: "mesial", morph.DistalView: "distal",
}

func (a *darwinCoreArchive) multimedia(s *tray.Specimen) error {
	for i := range s.Photos {
		p := &s.Photos[i]
		function := ""
		if p.Hash != "" {
			function = "SHA-256"
		}
		cells := texts(occurrence(s), picture(s, p), "StillImage", p.File, p.MIME, occurrence(s),
			"tooth crown", orientations[p.Role], p.Device, p.Taken, p.Creator, p.License, function, p.Hash)
		if err := a.media.add(append(cells, count(p.Width), count(p.Height))...); err != nil {
			return err
		}
	}
	return nil
}
