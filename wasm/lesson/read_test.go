package lesson_test

import (
	"archive/zip"
	"bytes"
	"math/rand/v2"
	"strings"
	"testing"

	"crownbench/wasm/lesson"
	"crownbench/wasm/tray"
)

// rezip writes a lesson file anew with its parts changed.
func rezip(t testing.TB, file []byte, change func(name string, b []byte) (string, []byte)) []byte {
	t.Helper()
	z, err := zip.NewReader(bytes.NewReader(file), int64(len(file)))
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	w := zip.NewWriter(&out)
	for _, f := range z.File {
		r, err := f.Open()
		if err != nil {
			t.Fatal(err)
		}
		var b bytes.Buffer
		if _, err := b.ReadFrom(r); err != nil {
			t.Fatal(err)
		}
		name, content := change(f.Name, b.Bytes())
		if name == "" {
			continue
		}
		p, err := w.Create(name)
		if err != nil {
			t.Fatal(err)
		}
		if _, err := p.Write(content); err != nil {
			t.Fatal(err)
		}
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

func TestLessonsRefused(t *testing.T) {
	b := newBench(t)
	made, o, k := handedOut(t, b.plan(1), b.picture)
	manifest := func(old, new string) func(string, []byte) (string, []byte) {
		return func(name string, b []byte) (string, []byte) {
			if name == "lesson.json" {
				if !bytes.Contains(b, []byte(old)) {
					t.Fatalf("there is no %s", old)
				}
				b = bytes.Replace(b, []byte(old), []byte(new), 1)
			}
			return name, b
		}
	}
	picture := func(f func(string, []byte) (string, []byte)) func(string, []byte) (string, []byte) {
		return func(name string, b []byte) (string, []byte) {
			if name == "photos/1-1.jpg" {
				return f(name, b)
			}
			return name, b
		}
	}
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"nothing":         {nil, "is not a lesson"},
		"a key":           {made.Key, "is not a lesson"},
		"cut off":         {made.Lesson[:len(made.Lesson)/2], "cut off or damaged"},
		"no description":  {rezip(t, made.Lesson, func(n string, b []byte) (string, []byte) { return strings.TrimSuffix(n, "lesson.json"), b }), "no part lesson.json"},
		"later version":   {rezip(t, made.Lesson, manifest(`"version":1`, `"version":2`)), "version 2"},
		"unknown part":    {rezip(t, made.Lesson, manifest(`"version":1`, `"version":1,"x":1`)), "does not know"},
		"another format":  {rezip(t, made.Lesson, manifest(`crownbench-lesson`, `else`)), "is not a lesson"},
		"no repeats":      {rezip(t, made.Lesson, manifest(`"repeats":1`, `"repeats":0`)), "0 repeats"},
		"a path":          {rezip(t, made.Lesson, manifest(`photos/1-1.jpg`, `../1-1.jpg`)), "file of its own"},
		"a lost picture":  {rezip(t, made.Lesson, picture(func(string, []byte) (string, []byte) { return "", nil })), "photograph 1 of tooth 1: there is no part"},
		"another picture": {rezip(t, made.Lesson, picture(func(n string, b []byte) (string, []byte) { return n, append([]byte{}, b[:len(b)-3]...) })), "changed or damaged"},
		"a huge picture":  {rezip(t, made.Lesson, picture(func(n string, b []byte) (string, []byte) { return n, append(b, make([]byte, 1<<20)...) })), "larger than it may be"},
		"a role":          {rezip(t, made.Lesson, manifest(`lateral labial`, `seen from the moon`)), "role"},
		"a huge claim":    {rezip(t, made.Lesson, manifest(`"bytes":`, `"bytes":99999999`)), "more than 256 MB"},
		"a size":          {rezip(t, made.Lesson, manifest(`"width":120`, `"width":121`)), "size is not what"},
	} {
		if _, err := lesson.Open(c.file); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	// Packed anew without a change it is the same lesson; with another title
	// it no longer fits its key.
	same, err := lesson.Open(rezip(t, made.Lesson, func(n string, b []byte) (string, []byte) { return n, b }))
	if err != nil || same.Digest != o.Digest {
		t.Errorf("packed anew: %v", err)
	}
	retitled, err := lesson.Open(rezip(t, made.Lesson, manifest("An invented class", "Another title")))
	if err != nil {
		t.Fatal(err)
	}
	if err := k.Fits(retitled); err == nil {
		t.Error("a changed lesson fits its key")
	}
}

func TestKeysRefused(t *testing.T) {
	b := newBench(t)
	made, _, _ := handedOut(t, b.plan(1), b.picture)
	replace := func(old, new string) []byte {
		if !bytes.Contains(made.Key, []byte(old)) {
			t.Fatalf("there is no %s", old)
		}
		return bytes.Replace(made.Key, []byte(old), []byte(new), 1)
	}
	for name, c := range map[string]struct {
		file []byte
		says string
	}{
		"nothing":       {nil, "is empty"},
		"a lesson":      {made.Lesson, "is not the key"},
		"cut off":       {made.Key[:len(made.Key)-20], "cut off or damaged"},
		"more behind":   {append(bytes.Clone(made.Key), '1'), "behind the end"},
		"unknown part":  {replace(`"truth":"blade"`, `"truht":"blade"`), "does not know"},
		"unknown truth": {replace(`"truth":"blade"`, `"truth":"dragon"`), "none of the names"},
		"no specimen":   {replace(`"specimen":{`, `"specimen":null,"x":{`), "does not know"},
	} {
		if _, err := lesson.ReadKey(c.file); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", name, err)
		}
	}
	k, err := lesson.ReadKey(replace("first remark", "other remark"))
	if err != nil || !k.Changed {
		t.Fatalf("a changed key: %v", err)
	}
	if c := lesson.Review(k, nil); len(c.Problems) != 1 || !strings.Contains(c.Problems[0].Text, "key was changed") {
		t.Errorf("%v", c.Problems)
	}
}

// sameEveryTime is handedOut without chance, so that what a fuzzer found once
// fits again.
func sameEveryTime(f *testing.F, p lesson.Plan, picture func(*tray.Photo) ([]byte, error)) (*lesson.Made, *lesson.Opened, *lesson.Key) {
	f.Helper()
	made, err := lesson.MakeInOrder(p, picture)
	if err != nil {
		f.Fatal(err)
	}
	o, err := lesson.Open(made.Lesson)
	if err != nil {
		f.Fatal(err)
	}
	k, err := lesson.ReadKey(made.Key)
	if err != nil {
		f.Fatal(err)
	}
	return made, o, k
}

func FuzzOpen(f *testing.F) {
	b := newBench(f)
	p := b.plan(1)
	p.Teeth = p.Teeth[:1]
	made, _, _ := sameEveryTime(f, p, b.picture)
	f.Add(made.Lesson)
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, b []byte) {
		o, err := lesson.Open(b)
		if err != nil {
			sentence(t, err)
			return
		}
		if err := o.Lesson.Check(); err != nil {
			t.Fatalf("what was opened is not fit: %v", err)
		}
	})
}

func FuzzReadKey(f *testing.F) {
	b := newBench(f)
	p := b.plan(1)
	p.Teeth = p.Teeth[:1]
	made, _, _ := sameEveryTime(f, p, b.picture)
	f.Add(made.Key)
	f.Fuzz(func(t *testing.T, b []byte) {
		k, err := lesson.ReadKey(b)
		if err != nil {
			sentence(t, err)
			return
		}
		checkNumbers(t, lesson.Review(k, nil))
	})
}

// Whatever stands in an answer that is read, its review gives numbers only.
func FuzzReadAnswer(f *testing.F) {
	b := newBench(f)
	p := b.plan(2)
	p.Teeth = p.Teeth[:2]
	_, o, k := sameEveryTime(f, p, b.picture)
	h := hand{sd: 0.1, r: rand.New(rand.NewPCG(5, 5))}
	other := h.answer(f, o, k, "Boris", monday)
	good := h.answer(f, o, k, "Anna", monday)
	// The body alone is fuzzed: a sum that does not fit would hide the rest.
	const head = `{"format":"crownbench-lesson-answer","version":1,"sha256":"","body":`
	f.Add(string(good[bytes.Index(good, []byte(`"body":`))+7 : len(good)-2]))
	f.Fuzz(func(t *testing.T, body string) {
		a, err := lesson.ReadAnswer(k, []byte(head+body+"}"))
		if err != nil {
			sentence(t, err)
			return
		}
		w, err := lesson.Start(o, a.Student)
		if err != nil {
			t.Fatal(err)
		}
		w.Entries = a.Entries
		again, err := w.Answer(a.Written)
		if err != nil {
			return // nothing in it
		}
		checkNumbers(t, lesson.Review(k, []lesson.File{{Name: "a", Data: again}, {Name: "b", Data: other}}))
	})
}

func FuzzResume(f *testing.F) {
	b := newBench(f)
	_, o, _ := sameEveryTime(f, b.plan(1), b.picture)
	w, err := lesson.Start(o, "Anna")
	if err != nil {
		f.Fatal(err)
	}
	state, err := w.State()
	if err != nil {
		f.Fatal(err)
	}
	f.Add(state)
	f.Fuzz(func(t *testing.T, b []byte) {
		w, err := lesson.Resume(o, b)
		if err != nil {
			sentence(t, err)
			return
		}
		if len(w.Entries) != len(o.Lesson.Teeth) {
			t.Fatalf("%d sittings", len(w.Entries))
		}
	})
}

// sentence tells that a refusal says something.
func sentence(t *testing.T, err error) {
	t.Helper()
	if len(err.Error()) < 10 {
		t.Errorf("the refusal %q says nothing", err)
	}
}
