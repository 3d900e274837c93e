//go:build browser

package browsertest

import (
	"bytes"
	"fmt"
	"image"
	"image/png"
	"testing"

	"github.com/google/go-cmp/cmp"
)

func TestDrop(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.Drop(100, 100, File{"teeth.csv", []byte("CBL,CBW\n")}, File{"note.txt", []byte("found dry")})
	p.Until(`log.filter(e => e.type === "drop").length === 2`)
	want := []heard{
		{Type: "drop", Name: "teeth.csv", Kind: "text/csv", Text: "CBL,CBW\n"},
		{Type: "drop", Name: "note.txt", Kind: "text/plain", Text: "found dry"},
	}
	if diff := cmp.Diff(want, heardSo(p, "drop")); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
	for _, typ := range []string{"dragenter", "dragover"} {
		got := heardSo(p, typ)
		if len(got) == 0 || !got[0].Trusted || !cmp.Equal(got[0].Kinds, []string{"Files"}) {
			t.Errorf("%s arrived as %+v", typ, got)
		}
	}
}

func TestDragOver(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.DragOver(100, 100, File{"teeth.csv", []byte("CBL\n")})
	p.Until(`log.some(e => e.type === "dragover")`)
	if got := heardSo(p, "drop"); got != nil {
		t.Errorf("something was dropped: %+v", got)
	}
}

func TestChooseFiles(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	p.ChooseFiles("#files", File{"a.txt", []byte("alpha")}, File{"b.txt", []byte("beta")})
	p.Until(`log.filter(e => e.type === "choose").length === 2`)
	want := []heard{
		{Type: "choose", Name: "a.txt", Kind: "text/plain", Text: "alpha"},
		{Type: "choose", Name: "b.txt", Kind: "text/plain", Text: "beta"},
	}
	if diff := cmp.Diff(want, heardSo(p, "choose")); diff != "" {
		t.Errorf("files (-want +got):\n%s", diff)
	}
}

func TestDownload(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	for range 2 {
		got := p.Download(func() { p.Click("#save") })
		if diff := cmp.Diff(File{"readings.csv", []byte("CBL,22.6\n")}, got); diff != "" {
			t.Errorf("download (-want +got):\n%s", diff)
		}
	}
}

func TestPasteImage(t *testing.T) {
	p := openFixture(t, "events.html", Laptop)
	var picture bytes.Buffer
	if err := png.Encode(&picture, image.NewGray(image.Rect(0, 0, 40, 30))); err != nil {
		t.Fatal(err)
	}
	p.PasteImage(picture.Bytes())
	p.Until(`log.some(e => e.type === "paste")`)
	// The clipboard encodes pictures anew, so only kind and existence are
	// certain.
	got := heardSo(p, "paste")
	if len(got) != 1 || got[0].Kind != "image/png" || got[0].Text == fmt.Sprint(0) {
		t.Errorf("pasted, the page heard %+v", got)
	}
}
