// Toothdemo writes the photographs of the demo tray and their marks.
//
//	go run ./testdata/toothphoto/toothdemo -out DIR
//
// DIR receives one JPEG per photograph and demo.json, a list of the specimens:
//
//	notice     that everything is invented
//	specimens  in tray order, each with
//	  name, note
//	  mesial, distal   the state of each carina's denticles: "present",
//	                   "absent" (none grew) or "not preserved" (worn away)
//	  photos           each with
//	    file, role     role as in "lateral labial", "basal", "distal carina"
//	    width, height  pixels
//	    scaleBar       ends [[x, y], [x, y]] and lengthMM
//	    crown          path of vertices {x, y, via}, apex (index of G), apexBroken
//	    section        outline of vertices, mesial and distal (indices)
//	    stretches      carina, third, line, ticks; or serrated and line
//
// Points are pixels of the upright picture: the outer corner of the top left
// pixel is (0, 0), x right, y down. A vertex's via are the points between the
// vertex before it and itself. All marks come from the exact geometry, as if a
// careful person had placed them, and are the same on every run.
package main

import (
	"bytes"
	"encoding/json"
	"flag"
	"fmt"
	"os"
	"path/filepath"

	"crownbench/testdata/toothphoto"
)

type demo struct {
	Notice    string     `json:"notice"`
	Specimens []specimen `json:"specimens"`
}

type specimen struct {
	Name   string  `json:"name"`
	Note   string  `json:"note"`
	Mesial string  `json:"mesial"`
	Distal string  `json:"distal"`
	Photos []photo `json:"photos"`
}

type photo struct {
	File   string `json:"file"`
	Role   string `json:"role"`
	Width  int    `json:"width"`
	Height int    `json:"height"`
	toothphoto.Traced
}

const notice = "Everything in this tray is invented: the teeth, their names, the quarry and the photographs, which were computed."

func main() {
	out := flag.String("out", "", "folder that receives the photographs and demo.json")
	flag.Parse()
	if *out == "" || flag.NArg() > 0 {
		flag.Usage()
		os.Exit(2)
	}
	if err := write(*out); err != nil {
		fmt.Fprintln(os.Stderr, "toothdemo:", err)
		os.Exit(1)
	}
}

// write renders the tray into a folder, which is made when it is missing.
func write(dir string) error {
	if err := os.MkdirAll(dir, 0o755); err != nil {
		return err
	}
	d := demo{Notice: notice}
	for _, tooth := range toothphoto.DemoTray() {
		s := specimen{Name: tooth.Tooth.Name, Note: tooth.Note}
		for _, p := range tooth.Photos {
			img, truth, err := toothphoto.Render(tooth.Tooth, p.Shot)
			if err != nil {
				return fmt.Errorf("%s: %w", p.File, err)
			}
			var buf bytes.Buffer
			if err := toothphoto.EncodeJPEG(&buf, img, p.JPEG); err != nil {
				return fmt.Errorf("%s: %w", p.File, err)
			}
			if err := os.WriteFile(filepath.Join(dir, p.File), buf.Bytes(), 0o644); err != nil {
				return err
			}
			s.Mesial, s.Distal = state(truth.Measurements.Mesial), state(truth.Measurements.Distal)
			s.Photos = append(s.Photos, photo{
				File: p.File, Role: string(p.Shot.View), Width: truth.Width, Height: truth.Height,
				Traced: toothphoto.Trace(truth),
			})
		}
		d.Specimens = append(d.Specimens, s)
	}
	text, err := json.Marshal(d)
	if err != nil {
		return err
	}
	return os.WriteFile(filepath.Join(dir, "demo.json"), append(text, '\n'), 0o644)
}

// state says what is known of a carina's denticles.
func state(r toothphoto.RowTruth) string {
	switch {
	case !r.Present:
		return "absent"
	case r.Count == 0:
		return "not preserved"
	}
	return "present"
}
