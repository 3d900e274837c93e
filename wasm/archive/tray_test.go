package archive_test

import (
	"archive/zip"
	"bytes"
	"crypto/sha256"
	"encoding/csv"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"

	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// failer is what a test, a fuzzer and a property have in common.
type failer interface{ Fatalf(string, ...any) }

var versions = sheet.Versions{Program: "test 1", Sorting: "teeth x"}

// filled is a tray with the files of its photographs.
type filled struct {
	specimens []*tray.Specimen
	files     map[string][]byte
}

func (f filled) source() archive.Source {
	return archive.Source{Specimens: f.specimens, Versions: versions, Photo: func(hash string) ([]byte, error) {
		if b, ok := f.files[hash]; ok {
			return b, nil
		}
		return nil, errors.New("it is not among those saved in this browser")
	}}
}

// give puts a file under a photograph.
func (f filled) give(p *tray.Photo, b []byte) {
	sum := sha256.Sum256(b)
	p.Hash, p.Bytes = hex.EncodeToString(sum[:]), len(b)
	f.files[p.Hash] = b
}

// drawTray draws a tray whose photographs have files; some share one.
func drawTray() *rapid.Generator[filled] {
	return rapid.Custom(func(t *rapid.T) filled {
		f := filled{files: map[string][]byte{}}
		for i := range rapid.IntRange(0, 3).Draw(t, "specimens") {
			s := traytest.Specimen().Draw(t, "specimen").Clone()
			s.ID = fmt.Sprint("S", i)
			for j := range s.Photos {
				p := &s.Photos[j]
				p.MIME = rapid.SampledFrom([]string{"image/jpeg", "image/png", "image/webp", "image/tiff", "text/html", ""}).Draw(t, "mime")
				f.give(p, rapid.SliceOfN(rapid.Byte(), 0, 3).Draw(t, "file"))
			}
			f.specimens = append(f.specimens, s)
		}
		return f
	})
}

// longName is 10,000 characters that take more than one byte each.
var longName = strings.Repeat("é🦷\u202e<", tray.MaxText/4)

// invented is a tray of two teeth, one with every part of a record.
func invented() filled {
	f := filled{files: map[string][]byte{}}
	at := func(x, y float64) morph.Vertex { return morph.Vertex{X: x, Y: y} }
	// A crown 20 mm long and 40 mm high at 10 px per mm, its base a rectangle of
	// 20 mm by 10 mm.
	s := &tray.Specimen{ID: "one", Name: "=HYPERLINK(\"http://x\")", Invented: true, Row: tray.RowLateral, Age: "Late Cretaceous",
		Mesial: morph.DenticlesPresent, Typed: map[morph.ID]morph.Typed{morph.MCL: {Value: 15.5, U: 0.25, State: morph.Estimated}}}
	for _, field := range tray.Fields {
		if field.Text(s) == "" {
			field.Set(s, field.Such)
		}
	}
	s.Photos = []tray.Photo{
		{View: morph.View{ID: "p1", Role: morph.LateralLabial, Bars: []morph.Bar{{From: at(0, 0), To: at(100, 0), Length: 10, Unit: morph.Millimetre}},
			Crown:     &morph.Crown{Path: morph.Path{at(100, 500), {X: 300, Y: 100, Via: [][2]float64{{150.25, 300.125}}}, at(300, 500)}, Apex: 1, Done: true},
			Stretches: []morph.Stretch{{Carina: morph.DistalCarina, Third: morph.Mid, Line: morph.Path{at(300, 250), at(300, 350)}, Ticks: []morph.Vertex{at(300, 260), at(300, 280), at(300, 300)}, Done: true}}},
			File: "../../tooth \"one\".jpg", MIME: "image/jpeg", Width: 400, Height: 600, Taken: "2024-05-17T10:00:00", Device: "camera", Creator: "A. Example", License: "CC-BY-4.0"},
		{View: morph.View{ID: "p2", Role: morph.BasalView, Bars: []morph.Bar{{From: at(0, 0), To: at(100, 0), Length: 10, Unit: morph.Millimetre}},
			Section: &morph.Section{Outline: morph.Path{at(100, 100), at(300, 100), at(300, 200), at(100, 200)}, Mesial: 0, Distal: 1, Done: true}},
			File: "base.png", MIME: "image/png", Width: 400, Height: 300},
	}
	f.give(&s.Photos[0], []byte("\xff\xd8 first"))
	f.give(&s.Photos[1], []byte("\x89PNG second"))
	// READ Hendrickx et al. 2024: Carcharodontosaurus SGM Din-1 mx03.
	real := &tray.Specimen{ID: "two", Name: "SGM Din-1 mx03", Typed: map[morph.ID]morph.Typed{
		morph.CH: {Value: 71.01}, morph.CBL: {Value: 41.46}, morph.CBW: {Value: 15.15}}}
	f.specimens = []*tray.Specimen{s, real}
	return f
}

// write makes an archive of a tray with one of the package's writers.
func write(t failer, s archive.Source, with func(io.Writer, archive.Source) error) []byte {
	var b bytes.Buffer
	if err := with(&b, s); err != nil {
		t.Fatalf("%v", err)
	}
	return b.Bytes()
}

// own writes the program's own archive of a tray that lacks nothing.
func own(w io.Writer, s archive.Source) error {
	notes, err := archive.Write(w, s)
	if err == nil && notes != nil {
		return fmt.Errorf("notes %q", notes)
	}
	return err
}

// unzip gives the files of an archive, and their names in order.
func unzip(t failer, b []byte) (files map[string][]byte, names []string) {
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatalf("%v", err)
	}
	files = map[string][]byte{}
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		if files[f.Name], err = io.ReadAll(r); err != nil {
			t.Fatalf("%s: %v", f.Name, err)
		}
		names = append(names, f.Name)
	}
	return files, names
}

// rowsOf reads a table with the standard library's reader.
func rowsOf(t failer, table []byte) (heads []string, rows [][]string) {
	all, err := csv.NewReader(bytes.NewReader(table)).ReadAll()
	if err != nil {
		t.Fatalf("%v", err)
	}
	if len(all) == 0 {
		t.Fatalf("a table without headings")
	}
	return all[0], all[1:]
}

// byHead gives the rows of a table as maps from heading to cell.
func byHead(t failer, table []byte) []map[string]string {
	heads, rows := rowsOf(t, table)
	var out []map[string]string
	for _, row := range rows {
		m := map[string]string{}
		for i, cell := range row {
			m[heads[i]] = cell
		}
		out = append(out, m)
	}
	return out
}

// lines gives a text as a reader of CSV gives its line breaks.
func lines(s string) string {
	return strings.ReplaceAll(strings.ReplaceAll(s, "\r\n", "\n"), "\r", "\n")
}
