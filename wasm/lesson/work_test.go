package lesson_test

import (
	"bytes"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"crownbench/morph"
	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
	"crownbench/wasm/tray/traytest"
)

// Work that is saved and resumed is the same, whatever was marked and typed,
// and so is what an answer carries.
func TestStateAndAnswerKeepEverything(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(3), b.picture)
	rapid.Check(t, func(t *rapid.T) {
		w, err := lesson.Start(o, "Anna")
		if err != nil {
			t.Fatal(err)
		}
		any := false
		for range rapid.IntRange(0, 5).Draw(t, "sittings") {
			i := rapid.IntRange(0, len(w.Entries)-1).Draw(t, "sitting")
			drawn := traytest.Specimen().Draw(t, "marks")
			s := w.Specimen(i)
			if len(drawn.Photos) > 0 {
				role, id := s.Photos[0].Role, s.Photos[0].ID
				s.Photos[0].View = drawn.Photos[0].View
				s.Photos[0].Role, s.Photos[0].ID = role, id
			}
			s.Typed, s.Counts, s.Prefer, s.Mesial, s.Distal = drawn.Typed, drawn.Counts, drawn.Prefer, drawn.Mesial, drawn.Distal
			if err := w.Keep(i, s); err != nil {
				t.Fatal(err)
			}
			got := w.Specimen(i)
			if diff := cmp.Diff(s.Clone(), got); diff != "" {
				t.Fatalf("(-put in +given back)\n%s", diff)
			}
			if err := w.Choose(i, rapid.SampledFrom([]string{"", "blade", "cone"}).Draw(t, "choice")); err != nil {
				t.Fatal(err)
			}
			w.Finish(i, rapid.Bool().Draw(t, "done"))
			any = true
		}
		state, err := w.State()
		if err != nil {
			t.Fatal(err)
		}
		again, err := lesson.Resume(o, state)
		if err != nil {
			t.Fatal(err)
		}
		if diff := cmp.Diff(w, again); diff != "" {
			t.Fatalf("(-saved +resumed)\n%s", diff)
		}
		answer, err := w.Answer(monday)
		if err != nil {
			if any && !strings.Contains(err.Error(), "nothing was measured") {
				t.Fatal(err)
			}
			return
		}
		a, err := lesson.ReadAnswer(k, answer)
		if err != nil {
			t.Fatal(err)
		}
		if a.Changed || a.Student != "Anna" || !a.Written.Equal(monday) {
			t.Fatalf("%+v", a)
		}
		n := 0
		for _, e := range w.Entries {
			if n < len(a.Entries) && cmp.Equal(e, a.Entries[n]) {
				n++
			}
		}
		if n != len(a.Entries) {
			t.Fatalf("%d of %d entries of the answer are those of the work", n, len(a.Entries))
		}
		for i := range w.Entries {
			for _, task := range w.Tasks(i) {
				if !task.Done && task.Needs == "" {
					t.Fatalf("sitting %d: %s is not done and nothing says what it needs", i, task.Quantity.ID)
				}
				if task.Reading.Known {
					t.Fatal("the lesson hides readings, and one is shown")
				}
			}
		}
	})
}

// Every byte of an answer that is changed is noticed: the file is refused or
// marked as changed, and never taken for what it was.
func TestEveryChangedByteOfAnAnswerIsNoticed(t *testing.T) {
	b := newBench(t)
	p := b.plan(1)
	p.Teeth = p.Teeth[:2]
	_, o, k := handedOut(t, p, b.picture)
	w, err := lesson.Start(o, "Anna")
	if err != nil {
		t.Fatal(err)
	}
	s := w.Specimen(0)
	s.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: 21.4}}
	if err := w.Keep(0, s); err != nil {
		t.Fatal(err)
	}
	text, err := w.Answer(monday)
	if err != nil {
		t.Fatal(err)
	}
	body := bytes.Index(text, []byte(`"body"`)) + len(`"body":`)
	for i := body; i < len(text)-2; i++ {
		for _, x := range []byte{text[i] ^ 1, text[i] ^ 4} {
			damaged := bytes.Clone(text)
			damaged[i] = x
			a, err := lesson.ReadAnswer(k, damaged)
			if err == nil && !a.Changed {
				t.Fatalf("byte %d, %q for %q, went unnoticed", i, x, text[i])
			}
		}
	}
	// Spaces between its parts change nothing.
	spaced := bytes.ReplaceAll(text, []byte(`,"student"`), []byte(",\n  \"student\""))
	if a, err := lesson.ReadAnswer(k, spaced); err != nil || a.Changed {
		t.Errorf("laid out anew it is changed: %v", err)
	}
}

func TestSittings(t *testing.T) {
	b := newBench(t)
	_, o, _ := handedOut(t, b.plan(2), b.picture)
	w, err := lesson.Start(o, "  Anna \n Example ")
	if err != nil {
		t.Fatal(err)
	}
	if w.Student != "Anna Example" || len(w.Entries) != 12 || w.Title(0) != "Tooth 1, first time" || w.Title(7) != "Tooth 2, second time" {
		t.Errorf("%q, %d sittings, %q, %q", w.Student, len(w.Entries), w.Title(0), w.Title(7))
	}
	if w.AnswerFile() != "An invented class - Anna Example.json" {
		t.Error(w.AnswerFile())
	}
	for i := range w.Entries {
		if n, more := w.Next(); n != i || !more {
			t.Errorf("next is %d, %v", n, more)
		}
		w.Finish(i, true)
	}
	if _, more := w.Next(); more {
		t.Error("all is done, and there is more")
	}
	// The second time shows nothing of the first.
	s := w.Specimen(0)
	s.Typed = map[morph.ID]morph.Typed{morph.CBL: {Value: 21}}
	if err := w.Keep(0, s); err != nil {
		t.Fatal(err)
	}
	if again := w.Specimen(6); len(again.Typed) != 0 || again.ID == s.ID || again.Photos[0].Hash != s.Photos[0].Hash {
		t.Errorf("%+v", again)
	}
	if _, err := o.Picture(s.Photos[0].ID); err != nil {
		t.Error(err)
	}
	if _, err := o.Picture("nothing"); err == nil {
		t.Error("a picture of nothing")
	}
}

func TestWorkRefuses(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(2), b.picture)
	_, other, _ := handedOut(t, b.plan(2), b.picture)
	for _, name := range []string{"", " \t", strings.Repeat("x", lesson.MaxName+1), "\xff"} {
		if _, err := lesson.Start(o, name); err == nil {
			t.Errorf("started as %q", name)
		}
	}
	w, err := lesson.Start(o, "Anna")
	if err != nil {
		t.Fatal(err)
	}
	if _, err := w.Answer(monday); err == nil {
		t.Error("an empty answer was written")
	}
	if err := w.Choose(0, "dragon"); err == nil {
		t.Error("a name that is not offered was taken")
	}
	s := w.Specimen(0)
	s.Mesial = "nonsense"
	if err := w.Keep(0, s); err == nil {
		t.Error("an unfit specimen was kept")
	}
	s = w.Specimen(0)
	s.Typed = map[morph.ID]morph.Typed{"XYZ": {Value: 3}}
	if err := w.Keep(0, s); err == nil {
		t.Error("an unknown quantity was kept")
	}
	state, err := w.State()
	if err != nil {
		t.Fatal(err)
	}
	if _, err := lesson.Resume(other, state); err == nil || !strings.Contains(err.Error(), "another lesson") {
		t.Error(err)
	}
	if _, err := lesson.Resume(o, bytes.Replace(state, []byte("Anna"), []byte("Anne"), 1)); err == nil {
		t.Error("damaged work was resumed")
	}
	if err := k.Fits(other); err == nil {
		t.Error("a key fits another lesson")
	}
}

func TestPlansRefused(t *testing.T) {
	b := newBench(t)
	for name, spoil := range map[string]func(*lesson.Plan){
		"asks for nothing":           func(p *lesson.Plan) { p.Readings, p.Choices = nil, nil },
		"repeats":                    func(p *lesson.Plan) { p.Repeats = 0 },
		"11 repeats":                 func(p *lesson.Plan) { p.Repeats = lesson.MaxRepeats + 1 },
		"choose one to":              func(p *lesson.Plan) { p.Teeth = nil },
		"does not know":              func(p *lesson.Plan) { p.Readings = []morph.ID{"XYZ"} },
		"asks twice":                 func(p *lesson.Plan) { p.Readings = []morph.ID{"CBL", "CBL"} },
		"one name is no choice":      func(p *lesson.Plan) { p.Choices = []string{"blade"}; p.Teeth = p.Teeth[:1] },
		"must differ":                func(p *lesson.Plan) { p.Choices = []string{"blade", "blade"} },
		"none of the names":          func(p *lesson.Plan) { p.Teeth[0].Truth = "dragon" },
		"no title":                   func(p *lesson.Plan) { p.Title = " " },
		"title has":                  func(p *lesson.Plan) { p.Title = strings.Repeat("x", lesson.MaxName+1) },
		"has no photograph":          func(p *lesson.Plan) { p.Teeth[0].Photos = []string{} },
		"is not the photograph that": func(p *lesson.Plan) { p.Teeth[0].Specimen.Photos[0].Width++ },
		"carina as":                  func(p *lesson.Plan) { p.Teeth[0].Specimen.Mesial = "nonsense" },
		"has none: set it": func(p *lesson.Plan) {
			p.Help.Scale, p.Teeth[0].Specimen.Photos[0].Bars = true, nil
		},
	} {
		p := b.plan(1)
		for i := range p.Teeth {
			p.Teeth[i].Specimen = p.Teeth[i].Specimen.Clone()
		}
		spoil(&p)
		if _, err := lesson.Make(p, b.picture); err == nil || !strings.Contains(err.Error(), name) && name != "11 repeats" {
			t.Errorf("%s: %v", name, err)
		}
	}
	if _, err := lesson.Make(b.plan(1), func(*tray.Photo) ([]byte, error) { return []byte("words"), nil }); err == nil {
		t.Error("a text was taken for a photograph")
	}
}

func TestNames(t *testing.T) {
	b := newBench(t)
	_, o, k := handedOut(t, b.plan(1), b.picture)
	for given, want := range map[string]string{"Ana\u202e\x00 M.": "Ana M.", "\t 7 ": "7", "李 明": "李 明", "=1+1": "=1+1"} {
		w, err := lesson.Start(o, given)
		if err != nil || w.Student != want {
			t.Errorf("%q becomes %v, %v", given, w, err)
		}
	}
	if _, err := lesson.ReadAnswer(k, make([]byte, lesson.MaxAnswerBytes+1)); err == nil || !strings.Contains(err.Error(), "larger than 4 MB") {
		t.Errorf("a huge answer: %v", err)
	}
	p := b.plan(1)
	p.Hidden.Identity = false
	p.Teeth = p.Teeth[:1]
	p.Teeth[0].Specimen = p.Teeth[0].Specimen.Clone()
	p.Teeth[0].Specimen.Name = " "
	if _, o, _ := handedOut(t, p, b.picture); o.Lesson.Teeth[0].Name != "Tooth 1" {
		t.Errorf("a tooth without a name is called %q", o.Lesson.Teeth[0].Name)
	}
}
