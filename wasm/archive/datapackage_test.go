package archive_test

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"math"
	"net/url"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/archive"
	"crownbench/wasm/sheet/cell"
	"crownbench/wasm/tray"
)

// descriptor is a datapackage.json, read by the standard's names.
type descriptor struct {
	Schema       string `json:"$schema"`
	Name, ID     string
	Created      string
	Contributors []struct {
		Title string
		Roles []string
	}
	Licenses  []struct{ Name, Path string }
	Resources []resource
}

type resource struct {
	Schema                                              string `json:"$schema"`
	Name, Path, Type, Format, MediaType, Encoding, Hash string
	Bytes                                               int
	Dialect                                             map[string]any
	TableSchema                                         tableSchema `json:"schema"`
}

type tableSchema struct {
	Schema string `json:"$schema"`
	Fields []struct {
		Name, Type, RDFType string
		Constraints         struct {
			Required bool
			Enum     []string
		}
	}
	MissingValues []string
	PrimaryKey    []string
	ForeignKeys   []struct {
		Fields    []string
		Reference struct {
			Resource string
			Fields   []string
		}
	}
}

var (
	resourceName = regexp.MustCompile(`^[-a-z0-9._/]+$`)
	wholeNumber  = regexp.MustCompile(`^[+-]?[0-9]+$`)
	decimalPoint = regexp.MustCompile(`^[+-]?[0-9]+(\.[0-9]+)?$`)
)

// checkDataPackage holds a Data Package to the standard, version 2 (READ:
// datapackage.org, "Data Package", "Data Resource", "Table Schema"; the pattern
// of a resource's name, the values of a lexical boolean and the list of types
// from memory).
func checkDataPackage(t failer, b []byte) (map[string][]byte, descriptor) {
	files, names := unzip(t, b)
	if names[0] != "datapackage.json" {
		t.Fatalf("the first file is %s", names[0])
	}
	var d descriptor
	if err := json.Unmarshal(files["datapackage.json"], &d); err != nil {
		t.Fatalf("%v", err)
	}
	// MUST have resources; SHOULD have name, id and $schema.
	if len(d.Resources) == 0 || d.Name == "" || d.ID == "" || d.Schema != "https://datapackage.org/profiles/2.0/datapackage.json" {
		t.Fatalf("the descriptor has %d resources, name %q, id %q, schema %q", len(d.Resources), d.Name, d.ID, d.Schema)
	}
	for _, l := range d.Licenses {
		if l.Name == "" && l.Path == "" {
			t.Fatalf("a licence without name and path")
		}
	}
	if d.Created != "" {
		if _, err := time.Parse(time.RFC3339, d.Created); err != nil {
			t.Fatalf("created %q", d.Created)
		}
	}
	keys := map[string]map[string]bool{} // values of each table's primary key
	described := map[string]bool{"datapackage.json": true}
	columns := map[string][]map[string]string{}
	for _, r := range d.Resources {
		if !resourceName.MatchString(r.Name) || keys[r.Name] != nil || described[r.Path] {
			t.Fatalf("resource %q at %q is twice there or badly named", r.Name, r.Path)
		}
		described[r.Path] = true
		content, ok := files[r.Path]
		sum := sha256.Sum256(content)
		if !ok || r.Bytes != len(content) || r.Hash != "sha256:"+hex.EncodeToString(sum[:]) {
			t.Fatalf("resource %s: %d bytes, %s; the file has %d bytes", r.Name, r.Bytes, r.Hash, len(content))
		}
		if r.Type != "table" || r.Format != "csv" || r.MediaType != "text/csv" || r.Encoding != "utf-8" {
			t.Fatalf("resource %s is %q %q %q %q", r.Name, r.Type, r.Format, r.MediaType, r.Encoding)
		}
		if diff := cmp.Diff(map[string]any{"delimiter": ",", "lineTerminator": "\r\n", "doubleQuote": true, "header": true}, r.Dialect); diff != "" {
			t.Fatalf("dialect of %s:\n%s", r.Name, diff)
		}
		columns[r.Name] = checkTable(t, r.Name, content, r.TableSchema)
		keys[r.Name] = map[string]bool{}
		for _, row := range columns[r.Name] {
			key := keyOf(row, r.TableSchema.PrimaryKey)
			if keys[r.Name][key] {
				t.Fatalf("%s has two rows of key %q", r.Name, key)
			}
			keys[r.Name][key] = true
		}
	}
	if len(described) != len(files) {
		t.Fatalf("%d files, %d described", len(files), len(described))
	}
	for _, r := range d.Resources {
		for _, f := range r.TableSchema.ForeignKeys {
			to := d.Resources[slices.IndexFunc(d.Resources, func(o resource) bool { return o.Name == f.Reference.Resource })]
			if !slices.Equal(to.TableSchema.PrimaryKey, f.Reference.Fields) || len(f.Fields) != len(f.Reference.Fields) {
				t.Fatalf("%s refers to %v of %s, whose key is %v", r.Name, f.Reference.Fields, to.Name, to.TableSchema.PrimaryKey)
			}
			for _, row := range columns[r.Name] {
				key := keyOf(row, f.Fields)
				if strings.Trim(key, "\x00") != "" && !keys[to.Name][key] {
					t.Fatalf("%s refers to %q, which %s lacks", r.Name, key, to.Name)
				}
			}
		}
	}
	return files, d
}

func keyOf(row map[string]string, columns []string) string {
	key := ""
	for _, c := range columns {
		key += row[c] + "\x00"
	}
	return key
}

// checkTable holds a table to its schema: fields match the headings exactly,
// every cell is of its field's type and within its constraints.
func checkTable(t failer, name string, content []byte, schema tableSchema) []map[string]string {
	if !slices.Equal(schema.MissingValues, []string{""}) || len(schema.PrimaryKey) == 0 || schema.Schema != "https://datapackage.org/profiles/2.0/tableschema.json" {
		t.Fatalf("%s: missing values %q, key %q, schema %s", name, schema.MissingValues, schema.PrimaryKey, schema.Schema)
	}
	heads, _ := rowsOf(t, content)
	var fields []string
	for _, f := range schema.Fields {
		fields = append(fields, f.Name)
		if f.RDFType != "" {
			if u, err := url.Parse(f.RDFType); err != nil || u.Scheme == "" || u.Host == "" {
				t.Fatalf("%s.%s has the type %q", name, f.Name, f.RDFType)
			}
		}
	}
	if diff := cmp.Diff(fields, heads); diff != "" {
		t.Fatalf("%s (-fields +headings):\n%s", name, diff)
	}
	rows := byHead(t, content)
	for _, row := range rows {
		for _, f := range schema.Fields {
			c := row[f.Name]
			if c == "" {
				if f.Constraints.Required || slices.Contains(schema.PrimaryKey, f.Name) {
					t.Fatalf("%s.%s is empty", name, f.Name)
				}
				continue
			}
			ok := true
			switch f.Type {
			case "string":
			case "number":
				ok = decimalPoint.MatchString(c)
			case "integer":
				ok = wholeNumber.MatchString(c)
			case "boolean":
				ok = c == "true" || c == "false"
			case "datetime":
				_, err := time.Parse("2006-01-02T15:04:05Z", c)
				ok = err == nil
			default:
				t.Fatalf("%s.%s is of the type %q", name, f.Name, f.Type)
			}
			if e := f.Constraints.Enum; len(e) > 0 && !slices.Contains(e, c) {
				ok = false
			}
			if !ok {
				t.Fatalf("%s.%s is %.60q, which is no %s of its field", name, f.Name, c, f.Type)
			}
		}
	}
	return rows
}

func TestDataPackage(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := drawTray().Draw(t, "tray")
		files, _ := checkDataPackage(t, write(t, f.source(), archive.DataPackage))
		compareSpecimens(t, f, byHead(t, files["specimens.csv"]))
		compareReadings(t, f, byHead(t, files["readings.csv"]))
		comparePhotographs(t, f, byHead(t, files["photographs.csv"]))
	})
}

// compareSpecimens holds every text of a specimen to its cell.
func compareSpecimens(t failer, f filled, rows []map[string]string) {
	if len(rows) != len(f.specimens) {
		t.Fatalf("%d rows for %d specimens", len(rows), len(f.specimens))
	}
	for i, s := range f.specimens {
		row, s := rows[i], s.Public()
		want := map[string]string{
			"id": s.ID, "name": s.Name, "invented": strconv.FormatBool(s.Invented), "toothRow": string(s.Row),
			"mesialDenticles": string(s.Mesial), "distalDenticles": string(s.Distal),
		}
		for _, field := range tray.Fields {
			want[field.ID] = field.Text(s)
		}
		for head, text := range want {
			if got := cell.Read(row[head]); got != lines(text) {
				t.Fatalf("%s is %.60q, was %.60q", head, got, text)
			}
		}
		if at, err := time.Parse(time.RFC3339, row["modified"]); err != nil || !at.Equal(s.Changed.Truncate(time.Second)) {
			t.Fatalf("modified is %q, was %v", row["modified"], s.Changed)
		}
	}
}

// compareReadings holds every number of a reading to its cell.
func compareReadings(t failer, f filled, rows []map[string]string) {
	at := map[string]map[string]string{}
	for _, row := range rows {
		at[cell.Read(row["specimen"])+" "+row["quantity"]] = row
	}
	for _, s := range f.specimens {
		for _, r := range tray.Find(s).Readings {
			row := at[s.ID+" "+string(r.ID)]
			delete(at, s.ID+" "+string(r.ID))
			if !r.Known {
				if row["value"] != "" || (row == nil) != (r.State == morph.MeasuredState && r.Problem == "") {
					t.Fatalf("%s is not known: %v", r.ID, row)
				}
				continue
			}
			v, err := strconv.ParseFloat(row["value"], 64)
			if err != nil || v != r.Value || row["unit"] != r.Unit {
				t.Fatalf("%s is %q %s, was %v %s", r.ID, row["value"], row["unit"], r.Value, r.Unit)
			}
			u, err := strconv.ParseFloat(row["uncertainty"], 64)
			if r.U > 0 && (err != nil || math.Abs(u-r.U) > 5e-6*r.U) || !(r.U > 0) && row["uncertainty"] != "" {
				t.Fatalf("the uncertainty of %s is %q, was %v", r.ID, row["uncertainty"], r.U)
			}
			if want := map[bool]string{true: "measured", false: string(r.State)}[r.State == morph.MeasuredState]; row["state"] != want {
				t.Fatalf("%s is %q, was %q", r.ID, row["state"], want)
			}
			if cell.Read(row["doubt"]) != lines(r.Problem) {
				t.Fatalf("the doubt about %s is %q, was %q", r.ID, row["doubt"], r.Problem)
			}
		}
	}
	if len(at) > 0 {
		t.Fatalf("readings of nothing: %v", at)
	}
}

func comparePhotographs(t failer, f filled, rows []map[string]string) {
	i := 0
	for _, s := range f.specimens {
		for _, p := range s.Photos {
			if i >= len(rows) {
				t.Fatalf("%d rows of photographs", len(rows))
			}
			for head, text := range map[string]string{
				"specimen": s.ID, "photograph": p.ID, "role": string(p.Role), "sha256": p.Hash, "file": p.File, "mediaType": p.MIME,
				"taken": p.Taken, "device": p.Device, "creator": p.Creator, "license": p.License,
			} {
				if got := cell.Read(rows[i][head]); got != lines(text) {
					t.Fatalf("%s of a photograph is %.60q, was %.60q", head, got, text)
				}
			}
			i++
		}
	}
}

// The invented tray's numbers, from its own geometry: at 10 px per mm the crown
// is 20 mm long and 40 mm high, its base 20 mm by 10 mm; CBR = 10 / 20.
func TestDataPackageOfTheInventedTray(t *testing.T) {
	f := invented()
	f.specimens[0].Name = longName
	source := f.source()
	source.Dataset = archive.Dataset{Title: longName, Creator: "A. Example", License: "CC-BY-4.0"}
	files, d := checkDataPackage(t, write(t, source, archive.DataPackage))
	if len(d.Contributors) != 1 || d.Contributors[0].Title != "A. Example" || len(d.Licenses) != 1 || d.Licenses[0].Name != "CC-BY-4.0" {
		t.Errorf("contributors %v, licences %v", d.Contributors, d.Licenses)
	}
	want := map[string]float64{"one CBL": 20, "one CBW": 10, "one CH": 40, "one CBR": 0.5, "one MCL": 15.5,
		"two CH": 71.01, "two CBL": 41.46, "two CBW": 15.15}
	for _, row := range byHead(t, files["readings.csv"]) {
		key := row["specimen"] + " " + row["quantity"]
		if w, ok := want[key]; ok {
			if v, err := strconv.ParseFloat(row["value"], 64); err != nil || math.Abs(v-w) > 1e-9 {
				t.Errorf("%s is %s, want %v", key, row["value"], w)
			}
			delete(want, key)
		}
	}
	if len(want) > 0 {
		t.Errorf("no readings: %v", want)
	}
	if got := byHead(t, files["specimens.csv"])[0]["name"]; got != longName {
		t.Errorf("the long name has %d bytes, had %d", len(got), len(longName))
	}
	answers := byHead(t, files["answers.csv"])
	if len(answers) != 2 || answers[1]["form"] != "blade" {
		t.Errorf("answers %v", answers)
	}
	// Shares sum to 1 for each tooth that has any; the nearest stand in order.
	sums, last := map[string]float64{}, map[string]float64{}
	for _, row := range byHead(t, files["shares.csv"]) {
		v, err := strconv.ParseFloat(row["share"], 64)
		if err != nil {
			t.Fatal(err)
		}
		sums[row["specimen"]+" "+row["of"]] += v
	}
	for key, sum := range sums {
		if math.Abs(sum-1) > 1e-9 {
			t.Errorf("the shares of %s sum to %v", key, sum)
		}
	}
	near := byHead(t, files["neighbours.csv"])
	if len(near) < 30 {
		t.Errorf("%d neighbours", len(near))
	}
	for _, row := range near {
		v, err := strconv.ParseFloat(row["distance"], 64)
		key := fmt.Sprint(row["specimen"], row["of"])
		if err != nil || v < last[key] {
			t.Errorf("distance %q after %v", row["distance"], last[key])
		}
		last[key] = v
	}
	for _, row := range byHead(t, files["sources.csv"]) {
		if row["reference"] == "" {
			t.Errorf("no reference for %s", row["key"])
		}
	}
}
