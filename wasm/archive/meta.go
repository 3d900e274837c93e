package archive

import (
	"io"
	"strconv"
	"strings"

	m "crownbench/wasm/markup"
)

// writeXML writes an XML document.
func writeXML(w io.Writer, root *m.Node) error {
	if _, err := io.WriteString(w, "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n"); err != nil {
		return err
	}
	if err := m.Render(w, root); err != nil {
		return err
	}
	_, err := io.WriteString(w, "\n")
	return err
}

// meta describes the files of a Darwin Core Archive, as its text guide says.
func (a *darwinCoreArchive) meta() *m.Node {
	return m.El("archive", m.Attr("xmlns", "http://rs.tdwg.org/dwc/text/"), m.Attr("metadata", "eml.xml"),
		a.core.described("core", "id"), a.measurements.described("extension", "coreid"), a.media.described("extension", "coreid"))
}

func (t *coreOrExtension) described(element, first string) *m.Node {
	n := m.El(element, m.Attr("rowType", t.rowType), m.Attr("encoding", "UTF-8"), m.Attr("ignoreHeaderLines", "1"),
		// Escaped as the guide's own examples have it.
		m.Attr("fieldsTerminatedBy", ","), m.Attr("linesTerminatedBy", `\r\n`), m.Attr("fieldsEnclosedBy", `"`),
		m.El("files", m.El("location", m.Text(t.name))),
		m.El(first, m.Attr("index", "0")))
	for i, c := range t.columns {
		if c.term != "" {
			n.Children = append(n.Children, m.El("field", m.Attr("index", strconv.Itoa(i)), m.Attr("term", c.term)))
		}
	}
	return n
}

// metadata says what the archive holds, in EML 2.2.0.
func metadata(s *Source, tables []*coreOrExtension) *m.Node {
	what := []string{"crownbench", "darwin core", s.Dataset.Title, s.Dataset.Creator, s.Dataset.License, s.Dataset.Description}
	for _, t := range tables {
		what = append(what, t.hash())
	}
	id := urn(what...)
	party := func(element string) *m.Node {
		return m.El(element, m.El("organizationName", m.Text(s.Dataset.creator())))
	}
	abstract := m.El("abstract")
	for _, p := range []string{
		s.Dataset.Description,
		"Isolated theropod teeth, measured on photographs and with callipers and sorted by their nearest published teeth with Crownbench " + s.Versions.Program + ".",
		"measurementAccuracy is the standard uncertainty of the measurement, in its unit.",
		guarded,
	} {
		if strings.TrimSpace(p) != "" {
			abstract.Children = append(abstract.Children, m.El("para", m.Text(p)))
		}
	}
	dataset := m.El("dataset", m.El("title", m.Text(s.Dataset.title())), party("creator"), m.El("language", m.Text("en")), abstract)
	if strings.TrimSpace(s.Dataset.License) != "" {
		dataset.Children = append(dataset.Children, m.El("intellectualRights", m.El("para", m.Text(s.Dataset.License))))
	}
	dataset.Children = append(dataset.Children, party("contact"))
	return m.El("eml:eml", m.Attr("xmlns:eml", "https://eml.ecoinformatics.org/eml-2.2.0"),
		m.Attr("xmlns:xsi", "http://www.w3.org/2001/XMLSchema-instance"),
		m.Attr("xsi:schemaLocation", "https://eml.ecoinformatics.org/eml-2.2.0 https://eml.ecoinformatics.org/eml-2.2.0/eml.xsd"),
		m.Attr("packageId", id), m.Attr("system", "crownbench"), dataset)
}
