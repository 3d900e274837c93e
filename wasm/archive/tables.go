package archive

import (
	"slices"
	"strconv"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// tables are those of a Data Package. They are filled in one walk over the
// specimens, since what was found of each is dear to find again.
type tables struct {
	specimens, quantities, readings, photographs, answers, shares, neighbours, sources *table
}

func (t *tables) all() []*table {
	return []*table{t.specimens, t.quantities, t.readings, t.photographs, t.answers, t.shares, t.neighbours, t.sources}
}

const (
	purl         = "http://purl.org/dc/terms/"
	audiovisual  = "http://rs.tdwg.org/ac/terms/"
	darwinCore   = tray.DarwinCore
	exif         = "http://ns.adobe.com/exif/1.0/"
	xmp          = "http://ns.adobe.com/xap/1.0/"
	xmpRights    = "http://ns.adobe.com/xap/1.0/rights/"
	dublinCore11 = "http://purl.org/dc/elements/1.1/"
)

var carinaWords = []string{string(morph.DenticlesPresent), string(morph.DenticlesAbsent), string(morph.DenticlesNotPreserved)}

// specimenColumns begin and end the columns of the specimens; the fields of
// tray.Fields stand between them.
var (
	specimenBegin = []column{
		{name: "id", kind: text, must: true, about: "Identifier of the specimen within this archive, random."},
		{name: "occurrenceID", kind: text, must: true, about: "The same for the world.", term: darwinCore + "occurrenceID"},
		{name: "name", kind: text, about: "Catalogue or field number, or any word, as the user has it.", term: darwinCore + "otherCatalogNumbers"},
		{name: "invented", kind: boolean, must: true, about: "True for a tooth that does not exist and serves as an example."},
		{name: "toothRow", kind: text, words: []string{string(tray.RowMesial), string(tray.RowLateral)}, about: "mesial: premaxillary and foremost dentary teeth; lateral: all others; empty: not known."},
		{name: "mesialDenticles", kind: text, words: carinaWords, about: "What is known of the denticles of the mesial carina as a whole."},
		{name: "distalDenticles", kind: text, words: carinaWords, about: "What is known of the denticles of the distal carina as a whole."},
	}
	specimenEnd = []column{
		{name: "created", kind: instant, about: "When the record was begun, UTC."},
		{name: "modified", kind: instant, about: "When its inputs were changed last, UTC.", term: purl + "modified"},
	}
)

func specimenColumns() []column {
	columns := slices.Clone(specimenBegin)
	for _, f := range tray.Fields {
		c := column{name: f.ID, kind: text, about: f.Help, words: f.Words}
		if f.Term != "" {
			c.term = darwinCore + f.Term
		}
		if unit, is := numberFields[f.ID]; is {
			c.kind, c.unit = number, unit
		}
		columns = append(columns, c)
	}
	return append(columns, specimenEnd...)
}

// numberFields are the fields whose check lets only numbers pass, with their
// units.
var numberFields = map[string]string{"decimalLatitude": "°", "decimalLongitude": "°", "coordinateUncertaintyInMeters": "m"}

// of is a column that names the specimen a row belongs to.
var of = column{name: "specimen", kind: text, must: true, about: "The specimen's id."}

var ofSpecimen = reference{[]string{"specimen"}, "specimens", []string{"id"}}

func newTables() (*tables, error) {
	kinds := []string{"form", "clade"}
	t := &tables{
		specimens: &table{title: "Specimens", columns: specimenColumns(), key: []string{"id"}},
		quantities: &table{title: "Quantities that readings are of", key: []string{"id"}, columns: []column{
			{name: "id", kind: text, must: true, about: "Abbreviation, as the trade writes it."},
			{name: "name", kind: text, must: true},
			{name: "unit", kind: text, about: "Empty for a ratio."},
			{name: "definition", kind: text, about: "How it is taken."},
			{name: "source", kind: text, about: "Of the definition: author, year."},
		}},
		readings: &table{title: "Readings", key: []string{"specimen", "quantity"},
			refers: []reference{ofSpecimen, {[]string{"quantity"}, "quantities", []string{"id"}}}, columns: []column{of,
				{name: "quantity", kind: text, must: true, term: darwinCore + "verbatimMeasurementType"},
				{name: "value", kind: number, about: "In the unit beside it.", term: darwinCore + "measurementValue"},
				{name: "uncertainty", kind: number, about: "Standard uncertainty of the value, in the same unit; empty when nothing gives one.", term: darwinCore + "measurementAccuracy"},
				{name: "unit", kind: text, about: "Empty for a ratio.", term: darwinCore + "measurementUnit"},
				{name: "state", kind: text, about: "measured, or the mark of the trade in words: estimated, minimum (broken), not applicable, unknown, absent, not preserved."},
				{name: "how", kind: text, about: "How it was got.", term: darwinCore + "measurementMethod"},
				{name: "interval", kind: number, unit: "mm", about: "Length of carina that denticles were counted over."},
				{name: "doubt", kind: text, about: "Why the value may be wrong.", term: darwinCore + "measurementRemarks"},
			}},
		photographs: &table{title: "Photographs", key: []string{"specimen", "photograph"}, refers: []reference{ofSpecimen}, columns: []column{of,
			{name: "photograph", kind: text, must: true, about: "Identifier of the photograph within the specimen."},
			{name: "identifier", kind: text, must: true, about: "Name of the file by its bytes (RFC 6920).", term: purl + "identifier"},
			{name: "role", kind: text, must: true, words: roleWords(), about: "What it shows.", term: audiovisual + "subjectOrientationLiteral"},
			{name: "sha256", kind: text, about: "SHA-256 of the file as it came, hexadecimal.", term: audiovisual + "hashValue"},
			{name: "file", kind: text, about: "Name of the file as it came.", term: purl + "title"},
			{name: "mediaType", kind: text, term: dublinCore11 + "format"},
			{name: "bytes", kind: integer, unit: "byte", about: "Size of the file."},
			{name: "width", kind: integer, unit: "px", about: "Of the upright picture.", term: exif + "PixelXDimension"},
			{name: "height", kind: integer, unit: "px", about: "Of the upright picture.", term: exif + "PixelYDimension"},
			{name: "taken", kind: text, about: "Date and time as the camera's clock had it, ISO 8601.", term: xmp + "CreateDate"},
			{name: "device", kind: text, about: "Camera or scanner.", term: audiovisual + "captureDevice"},
			{name: "creator", kind: text, about: "Who took it.", term: dublinCore11 + "creator"},
			{name: "license", kind: text, about: "Terms under which it may be used.", term: xmpRights + "UsageTerms"},
		}},
		answers: &table{title: "Answers of the sorting", key: []string{"specimen"}, refers: []reference{ofSpecimen}, columns: []column{of,
			{name: "form", kind: text, about: "The likeliest shape class; empty when none can be said."},
			{name: "cannotSay", kind: text, about: "Why no form can be said."},
			{name: "said", kind: text, must: true, about: "The answer in a sentence."},
			{name: "coverage", kind: number, about: "Part of teeth, in validation, whose true form or clade the sets hold."},
			{name: "comparedIn", kind: text, about: "The measurements that were compared, with spaces between them."},
			{name: "comparedWith", kind: integer, about: "Number of published teeth that the form was compared with."},
			{name: "version", kind: text, about: "Of the published teeth and of the method."},
		}},
		shares: &table{title: "Shares of forms and clades in the answers", key: []string{"specimen", "of", "name"},
			refers: []reference{{[]string{"specimen"}, "answers", []string{"specimen"}}}, columns: []column{of,
				{name: "of", kind: text, must: true, words: kinds},
				{name: "name", kind: text, must: true, about: "Of the form or clade."},
				{name: "share", kind: number, must: true, about: "Calibrated, from 0 to 1."},
				{name: "neighbours", kind: integer, must: true, about: "How many of the nearest teeth are so."},
				{name: "inSet", kind: boolean, must: true, about: "Whether it is in the set that the coverage holds for."},
			}},
		neighbours: &table{title: "Nearest published teeth", key: []string{"specimen", "of", "rank"},
			refers: []reference{{[]string{"specimen"}, "answers", []string{"specimen"}}, {[]string{"source"}, "sources", []string{"key"}}}, columns: []column{of,
				{name: "of", kind: text, must: true, words: kinds, about: "What they speak for."},
				{name: "rank", kind: integer, must: true, about: "1 for the nearest."},
				{name: "distance", kind: number, about: "In the learned space of the question."},
				{name: "tooth", kind: text, must: true, about: "Identifier in the program's table of published teeth."},
				{name: "toothSpecimen", kind: text, about: "Catalogue number as published."},
				{name: "position", kind: text, about: "Place in the jaw as published."},
				{name: "taxon", kind: text},
				{name: "clade", kind: text},
				{name: "source", kind: text, about: "Key of the publication."},
			}},
		sources: &table{title: "Publications of the nearest teeth", key: []string{"key"}, columns: []column{
			{name: "key", kind: text, must: true},
			{name: "reference", kind: text, term: purl + "bibliographicCitation"},
		}},
	}
	names := []string{"specimens.csv", "quantities.csv", "readings.csv", "photographs.csv", "answers.csv", "shares.csv", "neighbours.csv", "sources.csv"}
	for i, one := range t.all() {
		if err := one.begin(names[i]); err != nil {
			return nil, err
		}
	}
	return t, nil
}

func roleWords() []string {
	var words []string
	for _, r := range morph.Roles {
		words = append(words, string(r))
	}
	return words
}

func tablesOf(s *Source) (*tables, error) {
	t, err := newTables()
	if err != nil {
		return nil, err
	}
	for _, q := range morph.Quantities {
		if err := t.quantities.add(texts(string(q.ID), q.Name, q.Unit, q.Definition, q.Source)...); err != nil {
			return nil, err
		}
	}
	cited := map[string]bool{"": true}
	for _, one := range s.Specimens {
		f := s.find(one) // asked of the specimen itself, which a Finder remembers
		one = one.Public()
		for _, err := range []error{t.specimen(one), t.found(one, f), t.answer(one, f.Answer), t.cite(f.Answer, cited)} {
			if err != nil {
				return nil, err
			}
		}
	}
	for _, one := range t.all() {
		if err := one.end(); err != nil {
			return nil, err
		}
	}
	return t, nil
}

func (t *tables) specimen(s *tray.Specimen) error {
	cells := texts(s.ID, occurrence(s), s.Name, strconv.FormatBool(s.Invented), string(s.Row), string(s.Mesial), string(s.Distal))
	for _, f := range tray.Fields {
		cells = append(cells, cell.Text(f.Text(s)))
	}
	if err := t.specimens.add(append(cells, moment(s.Created), moment(s.Changed))...); err != nil {
		return err
	}
	for i := range s.Photos {
		p := &s.Photos[i]
		cells := texts(s.ID, p.ID, picture(s, p), string(p.Role), p.Hash, p.File, p.MIME)
		cells = append(cells, count(p.Bytes), count(p.Width), count(p.Height))
		if err := t.photographs.add(append(cells, texts(p.Taken, p.Device, p.Creator, p.License)...)...); err != nil {
			return err
		}
	}
	return nil
}

func (t *tables) found(s *tray.Specimen, f tray.Finding) error {
	for _, r := range told(f) {
		v, u, interval := "", "", ""
		if r.Known {
			v, u, interval = value(r.Value), spread(r.U), length(r.Interval)
		}
		if err := t.readings.add(cell.Text(s.ID), string(r.ID), v, u, r.Unit, state(r), cell.Text(how(r)), interval, cell.Text(r.Problem)); err != nil {
			return err
		}
	}
	return nil
}

func (t *tables) answer(s *tray.Specimen, a classify.Answer) error {
	id := cell.Text(s.ID)
	used := ""
	for i, m := range a.Used {
		if i > 0 {
			used += " "
		}
		used += string(m)
	}
	coverage := ""
	if used != "" {
		coverage = value(a.Coverage)
	}
	row := append(texts(s.ID, string(a.Form), a.CannotSay, a.Said), coverage, used, count(a.Comparable), cell.Text(a.Version))
	if err := t.answers.add(row...); err != nil {
		return err
	}
	for _, x := range a.Shares {
		in := slices.Contains(a.FormSet, x.Form)
		if err := t.shares.add(id, "form", string(x.Form), value(x.Share), strconv.Itoa(x.Count), strconv.FormatBool(in)); err != nil {
			return err
		}
	}
	for _, x := range a.Clades {
		in := slices.Contains(a.CladeSet, x.Clade)
		if err := t.shares.add(id, "clade", cell.Text(x.Clade), value(x.Share), strconv.Itoa(x.Count), strconv.FormatBool(in)); err != nil {
			return err
		}
	}
	for _, near := range []struct {
		of    string
		teeth []classify.Neighbour
	}{{"form", a.Neighbours}, {"clade", a.CladeNeighbours}} {
		for i, n := range near.teeth {
			row := append([]string{id, near.of, strconv.Itoa(i + 1), value(n.Distance)},
				texts(n.Tooth.ID, n.Tooth.Specimen, n.Tooth.Position, n.Tooth.Taxon, n.Tooth.Clade, n.Tooth.Source)...)
			if err := t.neighbours.add(row...); err != nil {
				return err
			}
		}
	}
	return nil
}

// cite adds the sources of an answer's teeth that are not there yet.
func (t *tables) cite(a classify.Answer, cited map[string]bool) error {
	for _, n := range slices.Concat(a.Neighbours, a.CladeNeighbours) {
		key := n.Tooth.Source
		if cited[key] {
			continue
		}
		cited[key] = true
		source, _ := classify.Published().Source(key) // teeth of one's own have none there
		if err := t.sources.add(texts(key, source.Reference)...); err != nil {
			return err
		}
	}
	return nil
}
