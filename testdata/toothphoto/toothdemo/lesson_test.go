package main

import (
	"os"
	"path/filepath"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/desk"
	"crownbench/wasm/lesson"
	picture "crownbench/wasm/photo"
	"crownbench/wasm/tray"
)

// The lessons that come with the program are made of this tray as it is
// written: their keys know every reading that the class is asked for, and the
// lesson file is read back.
func TestReadyLessonsHaveTheirKeys(t *testing.T) {
	dir := written(t)
	list, err := os.ReadFile(filepath.Join(dir, "demo.json"))
	if err != nil {
		t.Fatal(err)
	}
	specimens, err := desk.ReadDemo(list, func(file string) (tray.Photo, error) {
		b, err := os.ReadFile(filepath.Join(dir, file))
		if err != nil {
			return tray.Photo{}, err
		}
		i, err := picture.Inspect(file, b)
		return tray.Photo{View: morph.View{ID: file}, Hash: i.Hash, File: file, MIME: i.MIME, Bytes: i.Bytes, Width: i.Width, Height: i.Height}, err
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, r := range lesson.Ready() {
		p, err := r.Plan(specimens)
		if err != nil {
			t.Fatal(err)
		}
		made, err := lesson.Make(p, func(p *tray.Photo) ([]byte, error) { return os.ReadFile(filepath.Join(dir, p.File)) })
		if err != nil {
			t.Fatal(err)
		}
		if _, err := lesson.Open(made.Lesson); err != nil {
			t.Fatal(err)
		}
		k, err := lesson.ReadKey(made.Key)
		if err != nil {
			t.Fatal(err)
		}
		for _, x := range k.Teeth {
			readings := morph.Read(x.Specimen.Tooth())
			for _, id := range k.Lesson.Readings {
				if g := readings.Get(id); !g.Known || g.Problem != "" {
					t.Errorf("%s: the key has no %s of %s: %s %s", r.Name, id, x.Specimen.Name, g.Needs, g.Problem)
				}
			}
		}
		const most = 2_000_000 // bytes, so that a class can be handed it in any way
		if len(made.Lesson) > most {
			t.Errorf("%s takes %d bytes, at most %d", r.Name, len(made.Lesson), most)
		}
	}
}
