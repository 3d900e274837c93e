package desk_test

import (
	"errors"
	"strings"
	"testing"

	"crownbench/morph/vision"
	"crownbench/wasm/bench"
	"crownbench/wasm/desk"
)

// grey is a picture in which nothing can be found.
func grey(t *testing.T) bench.Sight {
	t.Helper()
	p, err := vision.NewPicture(make([]byte, 4*400*300), 400, 300)
	if err != nil {
		t.Fatal(err)
	}
	return bench.Sight{Picture: p, Factor: 1}
}

func act(t *testing.T, d *desk.Desk, label string) {
	t.Helper()
	for _, a := range d.Bench.Prompt().Actions {
		if a.Label == label {
			a.Do()
			return
		}
	}
	t.Fatalf("%q is not offered", label)
}

// Pixels are asked for when they are first needed and the picture is there, once
// for all who need them, and let go with the photograph.
func TestPixelsAreReadWhenNeeded(t *testing.T) {
	d, out := newDesk()
	other := photo("b", "x_basal.jpg")
	other.Hash = strings.Repeat("cd", 32)
	d.AddPhotos(photo("a", "x_lateral.jpg"), other)
	hash := d.Photo().Hash
	d.SetTool(bench.Scale)
	if len(out.reading) != 0 {
		t.Fatal("pixels are read before anyone needs them")
	}
	act(t, d, "Find the scale bar")
	if len(out.reading) != 0 {
		t.Fatal("pixels are read of a picture that is not open")
	}
	d.PictureShown(hash)
	d.SetTool(bench.Crown) // whose lines follow edges
	if len(out.reading) != 1 {
		t.Fatalf("pixels were asked for %d times", len(out.reading))
	}
	out.reading[0](grey(t), nil)
	d.SetTool(bench.Scale)
	act(t, d, "Find the scale bar")
	if len(out.reading) != 1 || !strings.Contains(d.Bench.Prompt().Text, "No scale bar") {
		t.Errorf("asked for %d times, then %q", len(out.reading), d.Bench.Prompt().Text)
	}

	d.SelectPhoto("b")
	d.PictureShown(other.Hash)
	d.SetTool(bench.Scale)
	act(t, d, "Find the scale bar")
	late := out.reading[len(out.reading)-1]
	d.SelectPhoto("a")
	late(grey(t), nil)
	if d.Bench.Asked() {
		t.Error("the pixels of a photograph that was left bring something to another")
	}
}

func TestPixelsThatCannotBeHad(t *testing.T) {
	d, out := newDesk()
	d.AddPhotos(photo("a", "x_lateral.jpg"))
	d.SetTool(bench.Scale)
	act(t, d, "Find the scale bar")
	d.PictureFailed(d.Photo().Hash, "It is damaged.")
	if text := d.Bench.Prompt().Text; !strings.Contains(text, "cannot be opened") {
		t.Errorf("a picture that cannot be opened: %q", text)
	}
	d, out = newDesk()
	d.AddPhotos(photo("a", "x_lateral.jpg"))
	d.PictureShown(d.Photo().Hash)
	d.SetTool(bench.Scale)
	act(t, d, "Find the scale bar")
	out.reading[0](bench.Sight{}, errors.New("the browser has no memory left"))
	if text := d.Bench.Prompt().Text; text != "The browser has no memory left." {
		t.Errorf("pixels that cannot be read: %q", text)
	}
}

// Following edges is a choice that is kept.
func TestFollowingIsKept(t *testing.T) {
	d, out := newDesk()
	if !d.Bench.Following() {
		t.Error("lines do not follow edges from the start")
	}
	d.FollowEdge(false)
	again, _ := newDesk()
	again.TakeSettings(out.settings)
	if d.Bench.Following() || again.Bench.Following() {
		t.Error("the choice is forgotten")
	}
}
