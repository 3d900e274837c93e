package lesson

import (
	_ "embed" // for ready.json
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"sync"

	"crownbench/morph"
	"crownbench/wasm/tray"
)

//go:embed ready.json
var readyText []byte

// ReadyMade is a lesson over the invented teeth of the demo tray, whose texts
// and key come with the program.
type ReadyMade struct {
	Name  string // by which the program calls it
	Title string
	About string // a line for whoever chooses
	plan  Plan   // without teeth
	teeth []readyTooth
}

type readyTooth struct {
	Specimen string       `json:"specimen"` // its name in the demo tray
	Roles    []morph.Role `json:"roles"`
	Truth    string       `json:"truth"`
}

// Ready lists the lessons that come with the program.
func Ready() []ReadyMade { return ready() }

var ready = sync.OnceValue(func() []ReadyMade {
	var file struct {
		Cautions []string `json:"cautions"`
		Lessons  []struct {
			Name         string       `json:"name"`
			Title        string       `json:"title"`
			About        string       `json:"about"`
			Instructions []string     `json:"instructions"`
			Readings     []morph.ID   `json:"readings"`
			Choices      []string     `json:"choices"`
			Repeats      int          `json:"repeats"`
			Hidden       Hidden       `json:"hidden"`
			Help         Help         `json:"help"`
			Teeth        []readyTooth `json:"teeth"`
		} `json:"lessons"`
	}
	if err := json.Unmarshal(readyText, &file); err != nil {
		panic("lesson: ready.json: " + err.Error()) // part of the program itself
	}
	var out []ReadyMade
	for _, l := range file.Lessons {
		out = append(out, ReadyMade{Name: l.Name, Title: l.Title, About: l.About, teeth: l.Teeth, plan: Plan{
			Title: l.Title, Instructions: strings.Join(l.Instructions, "\n\n"), Cautions: strings.Join(file.Cautions, "\n\n"),
			Readings: l.Readings, Choices: l.Choices, Repeats: l.Repeats, Hidden: l.Hidden, Help: l.Help,
		}})
	}
	return out
})

// Specimens are the names of the demo teeth that the lesson uses.
func (r ReadyMade) Specimens() []string {
	var names []string
	for _, t := range r.teeth {
		names = append(names, t.Specimen)
	}
	return names
}

// Plan lays the lesson over the demo teeth, which may stand among others. The
// error names one that is not there.
//
// Whoever opens the demo tray finds the key's numbers there: a class should not
// look at it before the lesson.
func (r ReadyMade) Plan(specimens []*tray.Specimen) (Plan, error) {
	p := r.plan
	for _, t := range r.teeth {
		i := slices.IndexFunc(specimens, func(s *tray.Specimen) bool { return s.Invented && s.Name == t.Specimen })
		if i < 0 {
			return Plan{}, fmt.Errorf("the lesson %q needs the invented tooth %s: load the demo tray first", r.Title, t.Specimen)
		}
		chosen := Planned{Specimen: specimens[i], Truth: t.Truth, Photos: []string{}}
		for _, photo := range specimens[i].Photos {
			if slices.Contains(t.Roles, photo.Role) {
				chosen.Photos = append(chosen.Photos, photo.ID)
			}
		}
		p.Teeth = append(p.Teeth, chosen)
	}
	return p, nil
}
