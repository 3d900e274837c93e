package lesson_test

import (
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/testdata/toothphoto"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// demoTray is the demo tray without its marks: names, roles and pictures that
// stand for the real ones. The marks are what toothdemo's own tests are for.
func demoTray(t *testing.T) ([]*tray.Specimen, func(*tray.Photo) ([]byte, error)) {
	t.Helper()
	var out []*tray.Specimen
	pictures := map[string][]byte{}
	for i, x := range toothphoto.DemoTray() {
		s := &tray.Specimen{Name: x.Tooth.Name, Invented: true, Remarks: x.Note}
		for j, p := range x.Photos {
			pictures[p.File] = picture(t, 10*i+j, x.Note)
			s.Photos = append(s.Photos, tray.Photo{View: morph.View{ID: p.File, Role: morph.Role(p.Shot.View)}, File: p.File, Width: 120, Height: 90})
		}
		out = append(out, s)
	}
	return out, func(p *tray.Photo) ([]byte, error) { return pictures[p.File], nil }
}

func TestReadyLessons(t *testing.T) {
	specimens, take := demoTray(t)
	truth := map[string]toothphoto.Tooth{}
	for _, x := range toothphoto.DemoTray() {
		truth[x.Tooth.Name] = x.Tooth
	}
	ready := lesson.Ready()
	if len(ready) != 3 {
		t.Fatalf("%d lessons", len(ready))
	}
	for _, r := range ready {
		p, err := r.Plan(specimens)
		if err != nil {
			t.Fatal(err)
		}
		_, o, k := handedOut(t, p, take)
		l := o.Lesson
		if !l.Invented || l.Title != r.Title || r.About == "" || l.Instructions == "" || len(l.Teeth) != len(r.Specimens()) {
			t.Errorf("%s: %+v", r.Name, l)
		}
		for _, want := range []string{"is invented", "permit", "export", "sold", "not a determination"} {
			if !strings.Contains(l.Cautions, want) {
				t.Errorf("%s: the cautions say nothing of %q", r.Name, want)
			}
		}
		for _, x := range k.Teeth {
			tooth := truth[x.Specimen.Name]
			if tooth.Name == "" {
				t.Errorf("%s: %s is not in the demo tray", r.Name, x.Specimen.Name)
			}
			// Every photograph that a reading needs is given.
			roles := map[morph.Role]bool{}
			for _, id := range x.Photos {
				roles[x.Specimen.Photo(id).Role] = true
			}
			for _, id := range l.Readings {
				if id == morph.DC && !roles[morph.DistalView] || id == morph.CBW && !roles[morph.BasalView] ||
					id == morph.CH && !roles[morph.LateralLabial] && !roles[morph.LateralLingual] {
					t.Errorf("%s asks for %s of %s and gives %v", r.Name, id, x.Specimen.Name, roles)
				}
				if id == morph.DC && !(tooth.Distal.Mid > 0) {
					t.Errorf("%s asks to count the denticles of %s, which has none", r.Name, tooth.Name)
				}
			}
			if len(l.Choices) > 0 && x.Truth == "" {
				t.Errorf("%s: the key does not say what %s is", r.Name, tooth.Name)
			}
			// Blades are thin by the limit of 0.60 that the published lateral
			// crowns give (CALC from the table compiled by Hendrickx et al.
			// 2024); front tooth and robust ones are not.
			if thin := tooth.CBW/tooth.CBL < 0.60; x.Truth != "" && thin != (x.Truth == "Blade-like") {
				t.Errorf("%s: %s with a CBR of %.2f is called %s", r.Name, tooth.Name, tooth.CBW/tooth.CBL, x.Truth)
			}
		}
	}
	if _, err := ready[0].Plan(specimens[:1]); err == nil || !strings.Contains(err.Error(), "load the demo tray") {
		t.Errorf("without the demo teeth: %v", err)
	}
	for _, s := range specimens {
		s.Invented = false
	}
	if _, err := ready[0].Plan(specimens); err == nil {
		t.Error("someone's own teeth of the same name were taken for the demo's")
	}
}
