package desk

import (
	"encoding/json"
	"fmt"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

// The demo's list of invented teeth, as the command toothdemo writes it.
type demoList struct {
	Specimens []demoSpecimen `json:"specimens"`
}

type demoSpecimen struct {
	Name   string            `json:"name"`
	Note   string            `json:"note"`
	Mesial morph.CarinaState `json:"mesial"`
	Distal morph.CarinaState `json:"distal"`
	Photos []demoPhoto       `json:"photos"`
}

type demoPhoto struct {
	File string     `json:"file"`
	Role morph.Role `json:"role"`
	Bar  *struct {
		Ends   [2][2]float64 `json:"ends"`
		Length float64       `json:"lengthMM"`
	} `json:"scaleBar"`
	Crown *struct {
		Path       morph.Path `json:"path"`
		Apex       int        `json:"apex"`
		ApexBroken bool       `json:"apexBroken"`
	} `json:"crown"`
	Section *struct {
		Outline morph.Path `json:"outline"`
		Mesial  int        `json:"mesial"`
		Distal  int        `json:"distal"`
	} `json:"section"`
	Stretches []struct {
		Carina   morph.Carina `json:"carina"`
		Third    morph.Third  `json:"third"`
		Serrated bool         `json:"serrated"`
		Line     [][2]float64 `json:"line"`
		Ticks    [][2]float64 `json:"ticks"`
	} `json:"stretches"`
}

// ReadDemo reads the list of invented teeth. take is asked for each photograph
// by its file's name and gives what the file itself says.
func ReadDemo(b []byte, take func(file string) (tray.Photo, error)) ([]*tray.Specimen, error) {
	var list demoList
	if err := json.Unmarshal(b, &list); err != nil {
		return nil, fmt.Errorf("the list of the invented teeth cannot be read (%w); load the page again", err)
	}
	var out []*tray.Specimen
	for _, x := range list.Specimens {
		s := &tray.Specimen{Name: x.Name, Invented: true, Remarks: x.Note, Mesial: x.Mesial, Distal: x.Distal}
		for _, f := range x.Photos {
			p, err := take(f.File)
			if err != nil {
				return nil, err
			}
			f.mark(&p.View)
			s.Photos = append(s.Photos, p)
		}
		out = append(out, s)
	}
	return out, nil
}

// mark puts the list's marks on a photograph.
func (f demoPhoto) mark(v *morph.View) {
	v.Role = f.Role
	if b := f.Bar; b != nil {
		v.Bars = []morph.Bar{{From: vertexAt(b.Ends[0]), To: vertexAt(b.Ends[1]), Length: b.Length, Unit: morph.Millimetre}}
	}
	if c := f.Crown; c != nil {
		v.Crown = &morph.Crown{Path: c.Path, Apex: c.Apex, Done: true, ApexBroken: c.ApexBroken}
	}
	if s := f.Section; s != nil {
		v.Section = &morph.Section{Outline: s.Outline, Mesial: s.Mesial, Distal: s.Distal, Done: true}
	}
	for _, x := range f.Stretches {
		v.Stretches = append(v.Stretches, morph.Stretch{
			Carina: x.Carina, Third: x.Third, Serrated: x.Serrated, Line: vertices(x.Line), Ticks: vertices(x.Ticks), Done: true})
	}
}

func vertexAt(p [2]float64) morph.Vertex { return morph.Vertex{X: p[0], Y: p[1]} }

func vertices(ps [][2]float64) []morph.Vertex {
	var out []morph.Vertex
	for _, p := range ps {
		out = append(out, vertexAt(p))
	}
	return out
}
