package sheet

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode/utf8"

	"crownbench/classify"
	"crownbench/morph"
	"crownbench/wasm/tray"
)

// The record is a JSON file (UTF-8) that holds a whole tray:
//
//	{
//	  "format": "crownbench-record",
//	  "version": 1,
//	  "program": "…", "sorting": "…",
//	  "specimens": [
//	    {"inputs": {…}, "derived": {…}},
//	    …
//	  ]
//	}
//
// Under "inputs" stands a specimen as the tray keeps it: who it is, what was
// marked on its photographs (points in px of the upright picture), counted and
// typed. Photographs themselves are not in the record; each is named by the
// SHA-256 of its file and the file's name. Under "derived" stand the readings
// and the sorting that followed from the inputs when the record was written,
// for readers of the file; the program ignores them and computes them anew.
// Coordinates that are not to be shared are left out: see tray.Specimen.Public.
//
// A field added to a specimen leaves the version as it is: older records lack
// it, and an older program refuses a record that has it, since it would lose it.
const (
	RecordFormat  = "crownbench-record"
	RecordVersion = 1
)

// Limits of a record; Record writes none beyond them, and ReadRecord refuses
// one that is.
const (
	MaxRecordBytes     = 256 << 20
	MaxRecordSpecimens = 100_000
	// maxObjects bounds the JSON objects of one specimen before they are read:
	// every marked point of the most that a specimen may have, and the rest.
	maxObjects = tray.MaxPhotos*(tray.MaxVertices+10) + 10*tray.MaxEntries
)

type recordHead struct {
	Format  string `json:"format"`
	Version int    `json:"version"`
	Program string `json:"program"`
	Sorting string `json:"sorting"`
}

type entry struct {
	Inputs  *tray.Specimen `json:"inputs"`
	Derived derived        `json:"derived"`
}

type derived struct {
	Readings []derivedReading `json:"readings"`
	Answer   derivedAnswer    `json:"answer"`
}

type derivedReading struct {
	ID    morph.ID    `json:"id"`
	Value *float64    `json:"value,omitempty"`
	U     float64     `json:"u,omitempty"` // standard uncertainty
	Unit  string      `json:"unit,omitempty"`
	State morph.State `json:"state,omitempty"`
	How   string      `json:"how,omitempty"`
	Doubt string      `json:"doubt,omitempty"`
	// Interval is the length of carina over which denticles were counted.
	Interval float64 `json:"intervalMM,omitempty"`
}

type derivedAnswer struct {
	Said      string             `json:"said"`
	Form      classify.Form      `json:"form,omitempty"`
	CannotSay string             `json:"cannotSay,omitempty"`
	Shares    map[string]float64 `json:"shares,omitempty"`
	Clades    map[string]float64 `json:"clades,omitempty"`
	// Coverage is that of the sets; ReachPercentile is classify.Reach's.
	Coverage        float64            `json:"coverage,omitempty"`
	FormSet         []classify.Form    `json:"formSet,omitempty"`
	CladeSet        []string           `json:"cladeSet,omitempty"`
	ReachPercentile float64            `json:"reachPercentile,omitempty"`
	OwnTeeth        int                `json:"ownTeeth,omitempty"` // added to the published ones
	Used            []classify.Measure `json:"used,omitempty"`
	Nearest         []derivedNeighbour `json:"nearest,omitempty"`
	Cautions        []string           `json:"cautions,omitempty"`
	Version         string             `json:"version"`
}

type derivedNeighbour struct {
	ID       string  `json:"id"` // of the row in the program's table of published teeth
	Specimen string  `json:"specimen"`
	Source   string  `json:"source"`
	Distance float64 `json:"distance"`
}

// Record writes the record of a tray. It refuses a tray that ReadRecord would
// not read back: more specimens or bytes than the limits, or a specimen that
// its Check refuses. Other errors are the writer's.
func Record(w io.Writer, specimens []*tray.Specimen, find func(*tray.Specimen) tray.Finding, v Versions) error {
	return writeRecord(w, specimens, (*tray.Specimen).Public, find, v)
}

// PrivateRecord is Record with the coordinates that are not to be shared, for
// the owner's backup.
func PrivateRecord(w io.Writer, specimens []*tray.Specimen, find func(*tray.Specimen) tray.Finding, v Versions) error {
	return writeRecord(w, specimens, func(s *tray.Specimen) *tray.Specimen { return s }, find, v)
}

func writeRecord(w io.Writer, specimens []*tray.Specimen, shown func(*tray.Specimen) *tray.Specimen, find func(*tray.Specimen) tray.Finding, v Versions) error {
	if len(specimens) > MaxRecordSpecimens {
		return fmt.Errorf("a record holds at most %d specimens, and these are %d; take them out in parts", MaxRecordSpecimens, len(specimens))
	}
	out := &limited{w: w, left: MaxRecordBytes}
	head, err := json.Marshal(recordHead{RecordFormat, RecordVersion, v.Program, v.Sorting})
	if err != nil {
		return err
	}
	if _, err := fmt.Fprintf(out, "%s,\"specimens\":[", bytes.TrimSuffix(head, []byte("}"))); err != nil {
		return err
	}
	var line bytes.Buffer
	enc := json.NewEncoder(&line)
	enc.SetEscapeHTML(false)
	for i, s := range specimens {
		if err := s.Check(); err != nil {
			return err
		}
		line.Reset()
		if i > 0 {
			line.WriteByte(',')
		}
		line.WriteByte('\n')
		if err := enc.Encode(entry{shown(s), derive(find(s))}); err != nil {
			return fmt.Errorf("%.40q cannot be written: %w", s.Name, err)
		}
		if _, err := out.Write(bytes.TrimSuffix(line.Bytes(), []byte("\n"))); err != nil {
			return err
		}
	}
	_, err = io.WriteString(out, "\n]}\n")
	return err
}

// limited writes so many bytes and no more.
type limited struct {
	w    io.Writer
	left int
}

func (l *limited) Write(b []byte) (int, error) {
	if len(b) > l.left {
		return 0, fmt.Errorf("the record would be larger than %d MB; take the specimens out in parts", MaxRecordBytes>>20)
	}
	l.left -= len(b)
	return l.w.Write(b)
}

// derive puts what was found into the form of the record. JSON has no infinity,
// so numbers that are not finite are left out.
func derive(f tray.Finding) derived {
	d := derived{Readings: []derivedReading{}}
	for _, r := range f.Readings {
		if !r.Known && r.State == morph.MeasuredState && r.Problem == "" {
			continue
		}
		out := derivedReading{ID: r.ID, Unit: r.Unit, State: r.State, How: r.How, Doubt: r.Problem}
		if r.Known && finite(r.Value) {
			out.Value = &r.Value
			if finite(r.U) {
				out.U = r.U
			}
			if finite(r.Interval) {
				out.Interval = r.Interval
			}
		}
		d.Readings = append(d.Readings, out)
	}
	a := f.Answer
	d.Answer = derivedAnswer{
		Said: a.Said, Form: a.Form, CannotSay: a.CannotSay, Used: a.Used, Cautions: a.Cautions, Version: a.Version,
		FormSet: a.FormSet, CladeSet: a.CladeSet, OwnTeeth: a.Own,
	}
	if len(a.Used) > 0 && finite(a.Reach.Percentile) {
		d.Answer.Coverage, d.Answer.ReachPercentile = a.Coverage, a.Reach.Percentile
	}
	for _, s := range a.Shares {
		if d.Answer.Shares == nil {
			d.Answer.Shares = map[string]float64{}
		}
		d.Answer.Shares[string(s.Form)] = s.Share
	}
	for _, c := range a.Clades {
		if d.Answer.Clades == nil {
			d.Answer.Clades = map[string]float64{}
		}
		d.Answer.Clades[c.Clade] = c.Share
	}
	for _, n := range tray.Nearest(a) {
		if finite(n.Distance) {
			d.Answer.Nearest = append(d.Answer.Nearest, derivedNeighbour{n.Tooth.ID, tray.ToothName(n.Tooth), n.Tooth.Source, n.Distance})
		}
	}
	return d
}

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// ReadRecord reads the specimens of a record as they were, in their order.
// Everything that is derived is ignored.
//
// Each refusal is a sentence that says what is wrong and where: a file that is
// no record or one of a later version, one that ends early or holds anything
// but JSON (with line and column), a specimen that its Check refuses, two of
// one identifier, a part of a specimen that this program does not know (it
// would be lost), or a record beyond the limits.
func ReadRecord(r io.Reader) ([]*tray.Specimen, error) { return readRecord(r, MaxRecordBytes) }

func readRecord(r io.Reader, most int) ([]*tray.Specimen, error) {
	text, err := io.ReadAll(io.LimitReader(r, int64(most)+1))
	switch {
	case err != nil:
		return nil, fmt.Errorf("the file could not be read to its end: %w", err)
	case len(text) > most:
		return nil, fmt.Errorf("the file is larger than %d MB, more than a record may be", most>>20)
	case !utf8.Valid(text):
		return nil, errors.New("the file is not text in UTF-8, as a record is")
	}
	p := &recordReader{text: bytes.TrimPrefix(text, []byte("\ufeff")), number: map[string]int{}}
	if len(bytes.TrimSpace(p.text)) == 0 {
		return nil, errors.New("the file is empty")
	}
	p.dec = json.NewDecoder(bytes.NewReader(p.text))
	if err := p.read(); err != nil {
		return nil, err
	}
	return p.specimens, nil
}

type recordReader struct {
	text      []byte
	dec       *json.Decoder
	head      recordHead
	specimens []*tray.Specimen
	number    map[string]int // of a specimen, from 1, by identifier
}

var errNoRecord = fmt.Errorf("this is not a record of this program: a record says \"format\": %q", RecordFormat)

func (p *recordReader) read() error {
	if t, err := p.dec.Token(); err != nil {
		return p.explain(err, "")
	} else if t != json.Delim('{') {
		return errNoRecord
	}
	listed := false
	for p.dec.More() {
		key, err := p.dec.Token()
		if err != nil {
			return p.explain(err, "")
		}
		switch key {
		case "format":
			if err := p.dec.Decode(&p.head.Format); err != nil || p.head.Format != RecordFormat {
				return errNoRecord
			}
		case "version":
			if err := p.dec.Decode(&p.head.Version); err != nil {
				return p.explain(err, "the version")
			}
			if p.head.Version != RecordVersion {
				return fmt.Errorf("the record is of version %d; this program reads version %d", p.head.Version, RecordVersion)
			}
		case "program", "sorting":
			var name string
			if err := p.dec.Decode(&name); err != nil {
				return p.explain(err, fmt.Sprintf("%q", key))
			}
		case "specimens":
			if p.head.Format == "" {
				return errNoRecord // what it lists is not read on a guess
			}
			listed = true
			if err := p.list(); err != nil {
				return err
			}
		default:
			if p.head.Format == "" {
				return errNoRecord
			}
			return fmt.Errorf("the record has a part %.40q that this program does not know", key)
		}
	}
	if _, err := p.dec.Token(); err != nil { // the closing brace
		return p.explain(err, "")
	}
	switch {
	case p.head.Format == "":
		return errNoRecord
	case p.head.Version == 0:
		return errors.New("the record does not say its version")
	case !listed:
		return errors.New("the record has no list of specimens")
	}
	if _, err := p.dec.Token(); !errors.Is(err, io.EOF) {
		return fmt.Errorf("the file goes on after the end of the record, at %s", p.place(p.dec.InputOffset()))
	}
	return nil
}

func (p *recordReader) list() error {
	if t, err := p.dec.Token(); err != nil {
		return p.explain(err, "the list of specimens")
	} else if t != json.Delim('[') {
		return errors.New("the part \"specimens\" of the record is not a list")
	}
	for p.dec.More() {
		n := len(p.specimens) + 1
		if n > MaxRecordSpecimens {
			return fmt.Errorf("the record lists more than %d specimens", MaxRecordSpecimens)
		}
		s, err := p.specimen(fmt.Sprintf("specimen %d", n))
		if err != nil {
			return err
		}
		if first, twice := p.number[s.ID]; twice {
			return fmt.Errorf("specimens %d and %d have the same identifier %.40q", first, n, s.ID)
		}
		p.number[s.ID] = n
		p.specimens = append(p.specimens, s)
	}
	_, err := p.dec.Token()
	return p.explain(err, "the list of specimens")
}

func (p *recordReader) specimen(which string) (*tray.Specimen, error) {
	var parts struct {
		Inputs  json.RawMessage `json:"inputs"`
		Derived json.RawMessage `json:"derived"`
	}
	if err := p.dec.Decode(&parts); err != nil {
		return nil, p.explain(err, which)
	}
	inputs := bytes.TrimSpace(parts.Inputs)
	if len(inputs) == 0 || inputs[0] != '{' {
		return nil, fmt.Errorf("%s has no inputs", which)
	}
	if bytes.Count(inputs, []byte("{")) > maxObjects {
		return nil, fmt.Errorf("%s holds more marked points than a specimen may, %d on each of %d photographs", which, tray.MaxVertices, tray.MaxPhotos)
	}
	strict := json.NewDecoder(bytes.NewReader(inputs))
	strict.DisallowUnknownFields()
	s := new(tray.Specimen)
	if err := strict.Decode(s); err != nil {
		return nil, p.explain(err, which)
	}
	if err := s.Check(); err != nil {
		return nil, fmt.Errorf("%s: %w", which, err)
	}
	return s.Clone(), nil
}

// explain turns an error of the JSON reader into a sentence; where names the
// part of the record. A nil error stays nil.
func (p *recordReader) explain(err error, where string) error {
	if err == nil {
		return nil
	}
	at := ""
	if where != "" {
		at = " in " + where
	}
	var syntax *json.SyntaxError
	if errors.As(err, &syntax) {
		// A decoder that was read token by token counts only some of the bytes
		// before an error; reading the text in one go counts all.
		var whole json.RawMessage
		if again := json.Unmarshal(p.text, &whole); again != nil {
			err = again
		}
	}
	var kind *json.UnmarshalTypeError
	switch {
	case errors.Is(err, io.EOF), errors.Is(err, io.ErrUnexpectedEOF):
		return fmt.Errorf("the file ends in the middle of the record%s; it was cut off", at)
	case errors.As(err, &syntax):
		if int(syntax.Offset) >= len(bytes.TrimRight(p.text, " \t\r\n")) {
			return fmt.Errorf("the file ends in the middle of the record%s; it was cut off", at)
		}
		return fmt.Errorf("the file is not whole JSON%s, at %s: %s", at, p.place(syntax.Offset), syntax.Error())
	case errors.As(err, &kind):
		part := kind.Field
		if part == "" {
			part = "value"
		}
		return fmt.Errorf("the %.80s%s is a %.20s, which does not belong there", part, at, kind.Value)
	}
	if name, ok := strings.CutPrefix(err.Error(), "json: unknown field "); ok {
		return fmt.Errorf("there is a part %.80s%s that this program does not know; it may come from a later version", name, at)
	}
	return fmt.Errorf("a part%s cannot be read: %w", at, err)
}

// place gives an offset in bytes as a line and a column, from 1.
func (p *recordReader) place(offset int64) string {
	before := p.text[:min(max(0, int(offset)-1), len(p.text))]
	line := bytes.Count(before, []byte("\n")) + 1
	column := utf8.RuneCount(before[bytes.LastIndexByte(before, '\n')+1:]) + 1
	return fmt.Sprintf("line %d, column %d", line, column)
}
