package lesson_test

import (
	"archive/zip"
	"bytes"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"io"
	"strings"
	"testing"

	"crownbench/morph"
	"crownbench/wasm/lesson"
)

// The lesson file, packed and unpacked, holds no value, name, identifier, hash
// or coordinate of its key.
func TestLessonHoldsNothingOfItsKey(t *testing.T) {
	b := newBench(t)
	made, o, k := handedOut(t, b.plan(2), b.picture)
	all := [][]byte{made.Lesson}
	z, err := zip.NewReader(bytes.NewReader(made.Lesson), int64(len(made.Lesson)))
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range z.File {
		all = append(all, []byte(f.Name+f.Comment+string(f.Extra)))
		if f.ModifiedDate != 0 || f.ModifiedTime != 0 {
			t.Errorf("%s carries a date", f.Name)
		}
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		text, err := io.ReadAll(r)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, text)
	}
	var secrets []string
	for i, s := range b.specimens {
		x := teeth[i]
		secrets = append(secrets, s.Name, s.ID, s.Remarks, s.Locality, s.Photos[0].ID, s.Photos[0].File, s.Photos[0].Hash, s.Photos[0].Taken, s.Photos[0].Device)
		raw, err := hex.DecodeString(s.Photos[0].Hash)
		if err != nil {
			t.Fatal(err)
		}
		secrets = append(secrets, string(raw))
		for _, v := range []float64{x.cbl, x.cbw, x.ch} {
			secrets = append(secrets, fmt.Sprint(v))
		}
		for _, v := range append(s.Photos[0].Crown.Path, s.Photos[0].Bars[0].From, s.Photos[0].Bars[0].To) {
			secrets = append(secrets, fmt.Sprint(v.X), fmt.Sprint(v.Y))
		}
		for _, r := range morph.Read(s.Tooth()) {
			if text := fmt.Sprintf("%.2f", r.Value); r.Known && len(text) > 4 {
				secrets = append(secrets, text)
			}
		}
	}
	keyHash := fmt.Sprintf("%x", made.Key)
	secrets = append(secrets, keyHash, "truth", "specimen")
	for _, secret := range secrets {
		// Two characters in a compressed picture would be chance.
		if len(secret) < 4 {
			t.Fatalf("%q is too short to be searched for", secret)
		}
		for i, part := range all {
			if bytes.Contains(part, []byte(secret)) {
				t.Errorf("part %d of the lesson holds %q", i, secret)
			}
		}
	}
	// The sequence of names in the lesson says nothing of the tray's.
	for i, tooth := range o.Lesson.Teeth {
		if tooth.Name != fmt.Sprintf("Tooth %d", i+1) || tooth.Photos[0].File != fmt.Sprintf("photos/%d-1.jpg", i+1) {
			t.Errorf("tooth %d is called %q, its photograph %q", i+1, tooth.Name, tooth.Photos[0].File)
		}
	}
	// And the key has all of it.
	text, err := json.Marshal(k.Teeth)
	if err != nil {
		t.Fatal(err)
	}
	for _, s := range b.specimens {
		if !strings.Contains(string(text), s.Name) || !strings.Contains(string(text), s.Photos[0].Hash) {
			t.Errorf("the key lacks %q", s.Name)
		}
	}
}

// Two lessons of one plan differ in everything random, and the order of teeth
// is not the tray's every time.
func TestOrderIsRandom(t *testing.T) {
	b := newBench(t)
	orders, ids := map[string]bool{}, map[string]bool{}
	for range 20 {
		made, o, k := handedOut(t, b.plan(1), b.picture)
		order := ""
		for _, x := range k.Teeth {
			order += x.Specimen.Name
			ids[x.ID] = true
		}
		orders[order] = true
		ids[o.Lesson.ID] = true
		if ids[made.Digest] {
			t.Error("a digest twice")
		}
	}
	if len(ids) != 20*(len(teeth)+1) || len(orders) < 10 {
		t.Errorf("%d identifiers, %d orders in twenty lessons", len(ids), len(orders))
	}
}

// What is not hidden is given.
func TestWhatIsGiven(t *testing.T) {
	b := newBench(t)
	p := b.plan(1)
	p.Hidden.Identity = false
	p.Help.Scale = true
	made, o, _ := handedOut(t, p, b.picture)
	for _, tooth := range o.Lesson.Teeth {
		if !strings.HasPrefix(tooth.Name, "Quarry find") || len(tooth.Photos[0].Bars) != 1 {
			t.Errorf("%+v", tooth)
		}
	}
	if len(made.Remarks) < 3 {
		t.Errorf("%q", made.Remarks)
	}
	// Correction for depth goes with the scale, or is named to the instructor.
	p.Teeth = p.Teeth[:1]
	p.Teeth[0].Specimen = p.Teeth[0].Specimen.Clone()
	p.Teeth[0].Specimen.Photos[0].Depth = &morph.Depth{Offset: 5, Distance: 400}
	if _, o, _ := handedOut(t, p, b.picture); o.Lesson.Teeth[0].Photos[0].Depth == nil {
		t.Error("the depth is lost")
	}
	p.Help.Scale = false
	deep, _, _ := handedOut(t, p, b.picture)
	if !strings.Contains(strings.Join(deep.Remarks, " "), "tilt or depth") {
		t.Errorf("%q", deep.Remarks)
	}
	w, err := lesson.Start(o, "7")
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Keep(0, w.Specimen(0)); err != nil {
		t.Fatal(err)
	}
	if _, err := w.Answer(monday); err == nil {
		t.Error("the given scale was taken for something done")
	}
	if s := w.Specimen(0); len(s.Photos[0].Bars) != 1 || s.Photos[0].Crown != nil {
		t.Errorf("%+v", s.Photos[0].View)
	}
}
