// Hostiletray writes a tray of drawn, hostile specimens in every format into a
// folder, for the readers of other programs: see testdata/tables/README.md.
package main

import (
	"archive/zip"
	"bytes"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strconv"

	"crownbench/wasm/archive"
	"crownbench/wasm/sheet"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

func main() {
	folder := flag.String("out", "", "folder to write to")
	flag.Parse()
	if *folder == "" {
		fmt.Fprintln(os.Stderr, "usage: hostiletray -out FOLDER")
		os.Exit(2)
	}
	if err := write(*folder); err != nil {
		fmt.Fprintln(os.Stderr, err)
		os.Exit(1)
	}
}

func write(folder string) error {
	source := archive.Source{
		Specimens: specimens(), Versions: sheet.Versions{Program: "check", Sorting: "check"},
		Dataset: archive.Dataset{Title: `A "hostile" tray <b>&amp;`, Creator: "A. Example", License: "CC0-1.0"},
		Photo:   func(string) ([]byte, error) { return nil, os.ErrNotExist },
	}
	own := func(w io.Writer, s archive.Source) error {
		_, err := archive.Write(w, s) // the notes say that no photograph is there
		return err
	}
	for name, with := range map[string]func(io.Writer, archive.Source) error{
		"own": own, "datapackage": archive.DataPackage, "darwincore": archive.DarwinCore,
	} {
		var b bytes.Buffer
		if err := with(&b, source); err != nil {
			return err
		}
		if err := unpack(b.Bytes(), filepath.Join(folder, name)); err != nil {
			return err
		}
	}
	for name, with := range map[string]func(io.Writer) error{
		"tray.csv":         func(w io.Writer) error { return sheet.CSV(w, source.Specimens, tray.Find, source.Versions) },
		"annotations.json": func(w io.Writer) error { return archive.Annotations(w, source) },
	} {
		var b bytes.Buffer
		if err := with(&b); err != nil {
			return err
		}
		if err := os.WriteFile(filepath.Join(folder, name), b.Bytes(), 0o644); err != nil {
			return err
		}
	}
	return nil
}

func specimens() []*tray.Specimen {
	var out []*tray.Specimen
	for i := range 100 {
		s := traytest.Specimen().Example(i).Clone()
		s.ID = "S" + strconv.Itoa(i)
		if i < len(traytest.Hostile) {
			s.Name, s.Remarks, s.Formation = traytest.Hostile[i], traytest.Hostile[i], traytest.Hostile[i]
		}
		out = append(out, s)
	}
	return out
}

func unpack(b []byte, folder string) error {
	z, err := zip.NewReader(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return err
	}
	return os.CopyFS(folder, z)
}
