package archive_test

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"testing"

	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// pythonCell is a cell as testdata/tables/cells.py gives it.
type pythonCell struct {
	text   string  // as it was before it was made safe for spreadsheets
	hex    *string // the number
	number float64
	raw    string
}

func (c *pythonCell) UnmarshalJSON(b []byte) error {
	return json.Unmarshal(b, &[]any{&c.text, &c.hex, &c.raw})
}

// Python's csv module reads every table as we do: cell by cell, number by
// number to the last digit, and every text as it was.
func TestPythonReadsTheSame(t *testing.T) {
	python := python(t)
	f := invented()
	for i, text := range append(slices.Clone(traytest.Hostile), longName) {
		s := traytest.Specimen().Example(i).Clone()
		s.ID, s.Name, s.Remarks, s.Photos = "hostile "+strconv.Itoa(i), text, text, nil
		f.specimens = append(f.specimens, s)
	}
	folder := t.TempDir()
	tables := map[string][]byte{}
	for _, with := range []string{"data package", "Darwin Core Archive"} {
		files, _ := unzip(t, write(t, f.source(), writers[with]))
		for name, content := range files {
			if strings.HasSuffix(name, ".csv") {
				tables[filepath.Join(folder, name)] = content
			}
		}
	}
	var whole bytes.Buffer
	if err := sheet.CSV(&whole, f.specimens, tray.Find, versions); err != nil {
		t.Fatal(err)
	}
	tables[filepath.Join(folder, "tray.csv")] = whole.Bytes()
	args := []string{filepath.Join("..", "..", "testdata", "tables", "cells.py")}
	for name, content := range tables {
		if err := os.WriteFile(name, content, 0o600); err != nil {
			t.Fatal(err)
		}
		args = append(args, name)
	}
	out, err := exec.Command(python, args...).Output()
	if err != nil {
		t.Fatalf("%v: %s", err, stderr(err))
	}
	var read map[string][][]pythonCell
	if err := json.Unmarshal(out, &read); err != nil {
		t.Fatal(err)
	}

	numbers := 0
	for name, content := range tables {
		rows, err := csv.NewReader(bytes.NewReader(content)).ReadAll()
		if err != nil || len(rows) != len(read[name]) {
			t.Fatalf("%s: %d rows, %d by Python; %v", name, len(rows), len(read[name]), err)
		}
		for i, row := range rows {
			for j, cell := range row {
				got := &read[name][i][j]
				if got.raw != cell {
					t.Fatalf("%s, row %d, column %d is %.60q, by Python %.60q", name, i+1, j+1, cell, got.raw)
				}
				if got.hex != nil {
					numbers++
					if got.number, err = strconv.ParseFloat(*got.hex, 64); err != nil {
						t.Fatal(err)
					}
				}
			}
		}
	}
	if numbers < 1000 {
		t.Errorf("only %d numbers were read", numbers)
	}
	comparePython(t, f, read[filepath.Join(folder, "tray.csv")], read[filepath.Join(folder, "specimens.csv")], read[filepath.Join(folder, "readings.csv")])
}

func python(t *testing.T) string {
	path, err := exec.LookPath("python3")
	if err != nil {
		t.Fatal("the check against another reader needs python3, which ./build.sh test installs: ", err)
	}
	return path
}

// Python's zipfile module finds every file of our archives whole.
func TestPythonOpensTheArchives(t *testing.T) {
	python := python(t)
	for name, with := range writers {
		if name == "annotations" {
			continue
		}
		file := filepath.Join(t.TempDir(), "archive.zip")
		if err := os.WriteFile(file, write(t, invented().source(), with), 0o600); err != nil {
			t.Fatal(err)
		}
		out, err := exec.Command(python, "-m", "zipfile", "-t", file).CombinedOutput()
		if err != nil || strings.Contains(string(out), "corrupted") {
			t.Errorf("%s: %v: %s", name, err, out)
		}
	}
}

// comparePython holds what Python read to the specimens themselves.
func comparePython(t *testing.T, f filled, whole, specimens, readings [][]pythonCell) {
	column := func(table [][]pythonCell, name string) int {
		return slices.IndexFunc(table[0], func(c pythonCell) bool { return c.text == name })
	}
	at := map[string][]pythonCell{}
	for _, row := range readings[1:] {
		at[row[column(readings, "specimen")].text+" "+row[column(readings, "quantity")].text] = row
	}
	for i, s := range f.specimens {
		p := s.Public()
		for _, table := range [][][]pythonCell{whole, specimens} {
			for _, field := range tray.Fields {
				if got := table[i+1][column(table, field.ID)].text; got != lines(field.Text(p)) {
					t.Errorf("%s of %.40q is %.60q by Python, was %.60q", field.ID, s.Name, got, field.Text(p))
				}
			}
			if got := table[i+1][column(table, "name")].text; got != lines(s.Name) {
				t.Errorf("%.60q is %.60q by Python", s.Name, got)
			}
		}
		for _, r := range tray.Find(s).Readings {
			if !r.Known {
				continue
			}
			if row := at[s.ID+" "+string(r.ID)]; row == nil || row[column(readings, "value")].hex == nil || row[column(readings, "value")].number != r.Value {
				t.Errorf("%s of %.40q is %+v by Python, was %v", r.ID, s.Name, row, r.Value)
			}
			head := slices.IndexFunc(sheet.Columns(), func(h string) bool {
				return h == string(r.ID) || strings.HasPrefix(h, string(r.ID)+"_mm") || h == string(r.ID)+"_deg" || h == string(r.ID)+"_per5mm"
			})
			if c := whole[i+1][head]; c.hex == nil || c.number != r.Value {
				t.Errorf("%s of %.40q is %q in the table by Python, was %v", r.ID, s.Name, c.raw, r.Value)
			}
		}
	}
}

func stderr(err error) string {
	if exit, ok := err.(*exec.ExitError); ok {
		return string(exit.Stderr)
	}
	return ""
}
