package store

import (
	"math"
	"strings"
	"testing"
	"time"

	"crownbench/morph"
	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

var now = time.Date(2026, 5, 2, 9, 0, 0, 0, time.UTC)

// filed gives the record of a specimen.
func filed(t testing.TB, s *tray.Specimen) *record {
	t.Helper()
	r, err := recordOf(tray.Change{After: s}, "stamp", now)
	if err != nil {
		t.Fatal(err)
	}
	return &r
}

func TestRecordGivesTheSpecimenBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s := tooth(rapid.StringN(1, 20, -1).Draw(t, "id"))
		s.Revision = rapid.IntRange(1, math.MaxInt32).Draw(t, "revision")
		s.Name = rapid.String().Draw(t, "name")
		s.Remarks = rapid.String().Draw(t, "remarks")
		s.Created = time.UnixMicro(rapid.Int64Range(0, 4e15).Draw(t, "created")).UTC()
		s.Typed = map[morph.ID]morph.Typed{"CBL": {Value: rapid.Float64Range(0, 1e4).Draw(t, "value"), U: rapid.Float64Range(0, 10).Draw(t, "u")}}
		s.Photos[0].Crown.Path[0].X = rapid.Float64Range(-1e5, 1e5).Draw(t, "x")
		if err := s.Check(); err != nil {
			t.Fatal(err)
		}
		r, err := recordOf(tray.Change{After: s}, "stamp", now)
		if err != nil {
			t.Fatal(err)
		}
		got, damaged := r.specimen()
		if damaged != nil {
			t.Fatal(damaged)
		}
		if d := cmp.Diff(s, got); d != "" {
			t.Fatal(d)
		}
		if !same(&r, s) || !same(&r, got) {
			t.Fatal("a record is not the same as its own specimen")
		}
		other := got.Clone()
		other.Remarks += "."
		if same(&r, other) {
			t.Fatal("other remarks pass for the same")
		}
	})
}

func TestTombstone(t *testing.T) {
	s := tooth("a")
	s.Revision = 7
	r, err := recordOf(tray.Change{Before: s}, "stamp", now)
	if err != nil {
		t.Fatal(err)
	}
	want := record{ID: "a", Format: recordFormat, Revision: 7, Stamp: "stamp", Deleted: true, When: now.UnixMilli(), Photos: []string{hashOf("a")}}
	if d := cmp.Diff(want, r); d != "" {
		t.Error(d)
	}
	if got, damaged := r.specimen(); got != nil || damaged != nil {
		t.Errorf("a tombstone reads as %v, %v", got, damaged)
	}
}

func TestUnreadableRecords(t *testing.T) {
	good := filed(t, tooth("a"))
	with := func(f func(r *record)) *record {
		r := *good
		f(&r)
		return &r
	}
	for _, c := range []struct {
		name  string
		r     *record
		newer bool
		says  string
	}{
		{"newer format", with(func(r *record) { r.Format++ }), true, "The saved specimen invented a was written by a newer version of this program."},
		{"newer tombstone", &record{ID: "a", Format: recordFormat + 1, Deleted: true}, true, "specimen a was written by a newer version"},
		{"unknown field", with(func(r *record) { r.Body = strings.Replace(r.Body, `"name"`, `"gloss":3,"name"`, 1) }), true, "newer version"},
		{"unknown field deep inside", with(func(r *record) { r.Body = strings.Replace(r.Body, `"apex"`, `"gloss":3,"apex"`, 1) }), true, "newer version"},
		{"no format", with(func(r *record) { r.Format = 0 }), false, "does not say in which format"},
		{"cut off", with(func(r *record) { r.Body = r.Body[:len(r.Body)/2] }), false, "The saved specimen invented a cannot be read (unexpected EOF)"},
		{"empty", with(func(r *record) { r.Body = "" }), false, "cannot be read"},
		{"two in one", with(func(r *record) { r.Body += "{}" }), false, "something follows it"},
		{"of another kind", with(func(r *record) { r.Body = "[1]" }), false, "cannot be read"},
		{"another's", with(func(r *record) { r.ID = "b" }), false, "identifier of another"},
		{"another revision", with(func(r *record) { r.Revision++ }), false, "revision"},
		{"not to be kept", with(func(r *record) { r.Body = strings.Replace(r.Body, `"apex":1`, `"apex":99`, 1) }), false, "apex"},
		{"null", with(func(r *record) { r.Body = "null" }), false, "identifier of another"},
	} {
		s, d := c.r.specimen()
		if s != nil || d == nil {
			t.Errorf("%s: was read", c.name)
			continue
		}
		if d.Newer != c.newer || !strings.Contains(d.Wrong, c.says) || d.ID != c.r.ID || d.Raw != c.r.Body {
			t.Errorf("%s: %+v", c.name, d)
		}
		if !strings.HasSuffix(d.Error(), ".") {
			t.Errorf("%s: %q is no sentence", c.name, d)
		}
	}
}

// Writing a specimen again with a field in another order, or spelled with
// other white space, does not make it another specimen.
func TestSameGoesByTheInputs(t *testing.T) {
	s := tooth("a")
	r := filed(t, s)
	r.Body = "{ " + strings.TrimPrefix(r.Body, "{")
	if !same(r, s) {
		t.Error("white space makes a difference")
	}
	r.Body = strings.Replace(r.Body, "46.1", "46.2", 1)
	if same(r, s) {
		t.Error("a typed value makes no difference")
	}
}

// A specimen that was stored before it had a catalogue's fields is read, and is
// still the same when it is written down again: it makes no conflict.
func TestRecordStoredBeforeTheCatalogue(t *testing.T) {
	const body = `{"id":"a","name":"KB-014","created":"2024-01-02T03:04:05Z","changed":"2024-01-02T03:04:06Z","revision":3,` +
		`"toothRow":"lateral","age":"Late Cretaceous","country":"Nowhere","locality":"below the bridge","remarks":"invented",` +
		`"photos":[{"id":"p","role":"basal","sha256":"","file":"t.jpg","mime":"image/jpeg","bytes":15,"width":4,"height":3,"device":"camera"}]}`
	r := &record{ID: "a", Format: 1, Revision: 3, Body: body}
	s, damaged := r.specimen()
	if damaged != nil {
		t.Fatal(damaged)
	}
	if s.Locality != "below the bridge" || s.Catalogue != (tray.Catalogue{}) || s.Photos[0].Device != "camera" {
		t.Errorf("read as %+v", s)
	}
	if !same(r, s) {
		t.Error("it is another once it is written down again")
	}
}
