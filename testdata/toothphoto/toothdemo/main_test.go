package main

import (
	"encoding/json"
	"image/jpeg"
	"os"
	"path/filepath"
	"sync"
	"testing"
)

// The tray is written once for all tests: drawing it takes seconds.
var (
	folder string
	draw   = sync.OnceValue(func() error { return write(filepath.Join(folder, "demo")) })
)

func TestMain(m *testing.M) {
	var err error
	if folder, err = os.MkdirTemp("", "toothdemo"); err != nil {
		panic(err)
	}
	code := m.Run()
	os.RemoveAll(folder)
	os.Exit(code)
}

// written gives the folder of the written tray.
func written(t *testing.T) string {
	t.Helper()
	if err := draw(); err != nil {
		t.Fatal(err)
	}
	return filepath.Join(folder, "demo")
}

// TestWrite writes the whole tray: every listed photograph exists, decodes to
// the size that is stated, and all together stay small enough to ship.
func TestWrite(t *testing.T) {
	dir := written(t)
	text, err := os.ReadFile(filepath.Join(dir, "demo.json"))
	if err != nil {
		t.Fatal(err)
	}
	var d demo
	if err := json.Unmarshal(text, &d); err != nil {
		t.Fatal(err)
	}
	var total int64
	photos := 0
	for _, s := range d.Specimens {
		for _, p := range s.Photos {
			f, err := os.Open(filepath.Join(dir, p.File))
			if err != nil {
				t.Fatal(err)
			}
			size, err := f.Stat()
			if err != nil {
				t.Fatal(err)
			}
			img, err := jpeg.DecodeConfig(f)
			if err != nil {
				t.Fatalf("%s: %v", p.File, err)
			}
			f.Close()
			if img.Width != p.Width || img.Height != p.Height {
				t.Errorf("%s: %d by %d, listed as %d by %d", p.File, img.Width, img.Height, p.Width, p.Height)
			}
			if p.Bar == nil || (p.Crown == nil && p.Section == nil && len(p.Stretches) == 0 && s.Distal == "present") {
				t.Errorf("%s: nothing is marked", p.File)
			}
			total += size.Size()
			photos++
		}
	}
	const most = 2_500_000 // bytes, what the page may add for the demo
	if total > most {
		t.Errorf("%d photographs take %d bytes, at most %d", photos, total, most)
	}
	files, err := os.ReadDir(dir)
	if err != nil {
		t.Fatal(err)
	}
	if len(files) != photos+1 {
		t.Errorf("%d files for %d photographs", len(files), photos)
	}
	states := map[string][2]string{}
	for _, s := range d.Specimens {
		states[s.Name] = [2]string{s.Mesial, s.Distal}
	}
	for name, want := range map[string][2]string{"KB-014": {"present", "present"}, "KB-022": {"absent", "absent"}, "KB-038": {"not preserved", "present"}} {
		if states[name] != want {
			t.Errorf("%s: carinae %v, want %v", name, states[name], want)
		}
	}
}
