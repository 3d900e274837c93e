//go:build js

package store

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"syscall/js"
	"testing"
	"time"

	"crownbench/wasm/store/promise"
	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
	"github.com/hack-pad/go-indexeddb/idb"
)

var ctx = context.Background()

// opened opens a database of the test's own; every call is one tab of it.
func opened(t *testing.T, o Options) *Store {
	t.Helper()
	s, err := open(ctx, t.Name(), migrations, o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(s.Close)
	return s
}

func load(t *testing.T, s *Store) map[string]*tray.Specimen {
	t.Helper()
	all, damaged, err := s.Load(ctx)
	if err != nil {
		t.Fatal(err)
	}
	if len(damaged) > 0 {
		t.Fatalf("damaged: %v", damaged[0])
	}
	out := map[string]*tray.Specimen{}
	for _, m := range all {
		out[m.ID] = m
	}
	return out
}

// grain is bytes that do not compress, as a photograph's.
func grain(n int) []byte {
	b := make([]byte, n)
	seed := uint32(1)
	for i := range b {
		seed = seed*1664525 + 1013904223
		b[i] = byte(seed >> 24)
	}
	return b
}

// ask has the browser's driver do something to the page's storage: see
// package inbrowser.
func ask(t *testing.T, what string) {
	t.Helper()
	r, err := promise.AwaitCall(ctx, js.Global(), "fetch", what, map[string]any{"method": "POST"})
	if err != nil || !r.Get("ok").Bool() {
		t.Fatalf("%s was not done: %v", what, err)
	}
}

func quota(t *testing.T, n int64) {
	t.Helper()
	ask(t, fmt.Sprintf("/quota?bytes=%d", n))
}

func TestWhatIsKeptComesBack(t *testing.T) {
	s := opened(t, Options{})
	want := map[string]*tray.Specimen{}
	var changes []tray.Change
	for _, id := range []string{"a", "b", "c"} {
		want[id] = tooth(id)
		changes = append(changes, tray.Change{After: want[id]})
	}
	if err := s.Put(ctx, changes); err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(want, load(t, s)); d != "" {
		t.Error(d)
	}
	again := opened(t, Options{})
	if d := cmp.Diff(want, load(t, again)); d != "" {
		t.Errorf("after opening again: %s", d)
	}
	one, err := again.Read(ctx, "b")
	if d := cmp.Diff(want["b"], one); err != nil || d != "" {
		t.Errorf("read alone: %v %s", err, d)
	}
	if none, err := again.Read(ctx, "z"); none != nil || err != nil {
		t.Errorf("what is not there: %v, %v", none, err)
	}
}

// A tray wired to the store, closed and opened again, is the same tray.
func TestTrayIsKept(t *testing.T) {
	s := opened(t, Options{})
	tr := tray.Tray{Keep: s.Keep}
	ids, err := tr.Add("add", tooth(""), tooth(""), tooth(""))
	if err != nil {
		t.Fatal(err)
	}
	for i := range 300 { // a drag
		if err := tr.Edit(ids[1], "drag", "drag", func(m *tray.Specimen) { m.Photos[0].Crown.Path[0].X = float64(i) + 0.1 }); err != nil {
			t.Fatal(err)
		}
	}
	if err := tr.Delete("delete", ids[0], ids[2]); err != nil {
		t.Fatal(err)
	}
	tr.Undo()
	tr.Redo()
	tr.Undo()
	if err := tr.Delete("delete", ids[2]); err != nil {
		t.Fatal(err)
	}
	if s.Pending() == 0 {
		t.Error("nothing is pending right after a change")
	}
	if err := s.Flush(ctx); err != nil || s.Pending() != 0 {
		t.Fatalf("%d pending after Flush, %v", s.Pending(), err)
	}
	want := map[string]*tray.Specimen{}
	for _, m := range tr.Specimens() {
		want[m.ID] = m
	}
	got := load(t, opened(t, Options{}))
	if d := cmp.Diff(want, got); d != "" || len(got) != 2 {
		t.Errorf("%d kept: %s", len(got), d)
	}
}

func TestTwoTabs(t *testing.T) {
	heard := make(chan string, 100)
	a := opened(t, Options{})
	b := opened(t, Options{})
	b.Watch(func(id string) { heard <- id })

	first := tooth("a")
	if err := a.Put(ctx, []tray.Change{{After: first}}); err != nil {
		t.Fatal(err)
	}
	if id := <-heard; id != "a" {
		t.Errorf("heard of %q", id)
	}
	theirs := edited(first, "theirs")
	if err := a.Put(ctx, []tray.Change{{Before: first, After: theirs}}); err != nil {
		t.Fatal(err)
	}
	<-heard

	// b has not read what it heard of: same revision, other remarks.
	ours := edited(first, "ours")
	err := b.Put(ctx, []tray.Change{{Before: first, After: ours}})
	var k *Conflict
	if !errors.As(err, &k) {
		t.Fatalf("a change over another tab's: got %v", err)
	}
	if d := cmp.Diff(theirs, k.Stored); d != "" || k.Ours != ours || k.ID != "a" {
		t.Errorf("conflict: %+v %s", k, d)
	}
	if got := load(t, a)["a"]; got.Remarks != "theirs" {
		t.Errorf("stored after the conflict: %q", got.Remarks)
	}
	// Going on as if nothing had happened does not help.
	more := edited(ours, "ours, more")
	if err := b.Put(ctx, []tray.Change{{Before: ours, After: more}}); !errors.As(err, &k) {
		t.Errorf("a second change over another tab's: got %v", err)
	}
	// Taking the other tab's and changing that does.
	settled := edited(k.Stored, "settled")
	if err := b.Put(ctx, []tray.Change{{Before: k.Stored, After: settled}}); err != nil {
		t.Error(err)
	}
	// The first tab has not seen that yet; its deletion must not win.
	if err := a.Put(ctx, []tray.Change{{Before: theirs}}); !errors.As(err, &k) || k.Ours != nil || k.Stored == nil {
		t.Errorf("a deletion of what another tab changed: got %v", err)
	}
	if err := b.Put(ctx, []tray.Change{{Before: settled}}); err != nil {
		t.Error(err)
	}
	// And what was deleted must not come back by a change.
	if err := a.Put(ctx, []tray.Change{{Before: settled, After: edited(settled, "back")}}); !errors.As(err, &k) || k.Stored != nil || k.Unread != nil {
		t.Errorf("a change of what another tab deleted: got %v", err)
	}
	if got := load(t, a); len(got) != 0 {
		t.Errorf("%d specimens after the deletion", len(got))
	}
	// Only by undoing the deletion.
	back := settled.Clone()
	back.Revision++
	if err := b.Put(ctx, []tray.Change{{After: back}}); err != nil {
		t.Error(err)
	}
	if got := load(t, a); got["a"] == nil || got["a"].Remarks != "settled" {
		t.Errorf("after undoing the deletion: %v", got)
	}
}

// Two tabs' trays that listen to each other end up alike.
func TestTabsAgree(t *testing.T) {
	conflicts := make(chan *Conflict, 100)
	tab := func() (*tray.Tray, *Store) {
		s := opened(t, Options{Conflict: func(k *Conflict) { conflicts <- k }})
		tr := &tray.Tray{Keep: s.Keep}
		s.Watch(func(id string) {
			m, err := s.Read(ctx, id)
			if err != nil {
				t.Error(err)
			} else if m == nil {
				tr.Drop(id)
			} else if _, err := tr.Adopt(m); err != nil {
				t.Error(err)
			}
		})
		return tr, s
	}
	one, s1 := tab()
	two, s2 := tab()
	ids, err := one.Add("add", tooth(""), tooth(""))
	if err != nil {
		t.Fatal(err)
	}
	settle := func() {
		for _, s := range []*Store{s1, s2} {
			if err := s.Flush(ctx); err != nil {
				t.Fatal(err)
			}
		}
	}
	await := func(what string, ok func() bool) {
		t.Helper()
		settle()
		for range 500 {
			if ok() {
				return
			}
			time.Sleep(2 * time.Millisecond)
		}
		t.Fatalf("the other tab never saw %s", what)
	}
	await("the new specimens", func() bool { return two.Len() == 2 })
	if err := two.Edit(ids[0], "edit", "", func(m *tray.Specimen) { m.Remarks = "from two" }); err != nil {
		t.Fatal(err)
	}
	await("the edit", func() bool { return one.Get(ids[0]).Remarks == "from two" })
	if err := one.Delete("delete", ids[1]); err != nil {
		t.Fatal(err)
	}
	await("the deletion", func() bool { return two.Len() == 1 })
	one.Undo()
	await("the deletion's undoing", func() bool { return two.Len() == 2 })
	if d := cmp.Diff(one.Specimens(), two.Specimens()); d != "" {
		t.Error(d)
	}
	if len(conflicts) > 0 {
		t.Errorf("a conflict where tabs took turns: %v", <-conflicts)
	}
}

func TestConflictIsTold(t *testing.T) {
	told := make(chan *Conflict, 1)
	a := opened(t, Options{})
	b := opened(t, Options{Conflict: func(k *Conflict) { told <- k }})
	first := tooth("a")
	other := tooth("other")
	if err := a.Put(ctx, []tray.Change{{After: first}, {After: other}}); err != nil {
		t.Fatal(err)
	}
	if err := a.Put(ctx, []tray.Change{{Before: first, After: edited(first, "theirs")}}); err != nil {
		t.Fatal(err)
	}
	// The rest of the command is saved.
	b.Keep([]tray.Change{{Before: first, After: edited(first, "ours")}, {Before: other, After: edited(other, "ours")}})
	if k := <-told; k.ID != "a" || !strings.Contains(k.Error(), "invented a was changed in another tab too") {
		t.Errorf("told of %+v: %v", k, k)
	}
	if err := b.Flush(ctx); err != nil {
		t.Error(err)
	}
	got := load(t, a)
	if got["a"].Remarks != "theirs" || got["other"].Remarks != "ours" {
		t.Errorf("stored %q and %q", got["a"].Remarks, got["other"].Remarks)
	}
}

// setRaw writes whatever a test likes under a specimen's key.
func setRaw(t *testing.T, s *Store, id string, v js.Value) {
	t.Helper()
	err := s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		return put(tx, specimenStore, id, v)
	}, specimenStore)
	if err != nil {
		t.Fatal(err)
	}
}

func TestUnreadableRecordsStopNothing(t *testing.T) {
	s := opened(t, Options{})
	if err := s.Put(ctx, []tray.Change{{After: tooth("good")}, {After: tooth("newer")}, {After: tooth("future")}}); err != nil {
		t.Fatal(err)
	}
	setRaw(t, s, "string", js.ValueOf("not a record"))
	setRaw(t, s, "number", js.ValueOf(7))
	setRaw(t, s, "empty", js.ValueOf(map[string]any{}))
	setRaw(t, s, "cut", js.ValueOf(map[string]any{"format": 1, "revision": 1, "stamp": "x", "body": `{"id":"cut","name":"KB`}))
	setRaw(t, s, "newer", js.ValueOf(map[string]any{"format": 99, "revision": 1, "body": `{"name":"KB-1"}`}))
	setRaw(t, s, "future", js.ValueOf(map[string]any{"format": 1, "revision": 1, "body": `{"id":"future","name":"KB-2","revision":1,"colour":"brown"}`}))

	all, damaged, err := s.Load(ctx)
	if err != nil || len(all) != 1 || all[0].ID != "good" {
		t.Fatalf("loaded %v, %v", all, err)
	}
	byID := map[string]*Damaged{}
	for _, d := range damaged {
		byID[d.ID] = d
	}
	for id, want := range map[string]struct {
		newer bool
		says  string
	}{
		"string": {false, "does not say in which format"},
		"number": {false, "does not say in which format"},
		"empty":  {false, "does not say in which format"},
		"cut":    {false, "unexpected EOF"},
		"newer":  {true, "KB-1 was written by a newer version"},
		"future": {true, "KB-2 was written by a newer version"},
	} {
		d := byID[id]
		if d == nil || d.Newer != want.newer || !strings.Contains(d.Wrong, want.says) || d.Raw == "" {
			t.Errorf("%s: %+v, want %+v", id, d, want)
		}
	}
	if len(damaged) != 6 {
		t.Errorf("%d damaged", len(damaged))
	}

	// Neither a change nor a deletion touches them.
	for id := range byID {
		before := tooth(id)
		for _, c := range []tray.Change{{Before: before, After: edited(before, "over")}, {Before: before}, {After: before}} {
			var k *Conflict
			if err := s.Put(ctx, []tray.Change{c}); !errors.As(err, &k) || k.Unread == nil {
				t.Errorf("%s: written over: %v", id, err)
			}
		}
	}
	if _, err := s.Sweep(ctx); err != nil {
		t.Error(err)
	}
	if _, again, err := s.Load(ctx); err != nil || len(again) != 6 {
		t.Errorf("%d damaged afterwards, %v", len(again), err)
	}
	var d *Damaged
	if _, err := s.Read(ctx, "cut"); !errors.As(err, &d) {
		t.Errorf("read alone: %v", err)
	}
}

func TestPhotos(t *testing.T) {
	s := opened(t, Options{})
	b := grain(1 << 20)
	if err := s.PutPhoto(ctx, "h", b); err != nil {
		t.Fatal(err)
	}
	got, err := s.Photo(ctx, "h")
	if err != nil || !bytes.Equal(got, b) {
		t.Errorf("%d bytes of %d came back, %v", len(got), len(b), err)
	}
	var none *NoPhoto
	if _, err := s.Photo(ctx, "other"); !errors.As(err, &none) || none.Hash != "other" {
		t.Errorf("not there: %v", err)
	}
	used, most := s.Estimate(ctx)
	if used < int64(len(b)) || most < used {
		t.Errorf("%d bytes used of %d", used, most)
	}
}

// age makes a photograph, or a tombstone, look two hours old.
func age(t *testing.T, s *Store, hashes ...string) {
	t.Helper()
	then := js.ValueOf(float64(time.Now().Add(-2 * time.Hour).UnixMilli()))
	err := s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		for _, h := range hashes {
			if err := put(tx, photoDateStore, h, then); err != nil {
				return err
			}
		}
		return each(ctx, tx, specimenStore, func(key string, v js.Value) {
			v.Set("when", then)
			if err := put(tx, specimenStore, key, v); err != nil {
				t.Error(err)
			}
		})
	}, photoDateStore, specimenStore)
	if err != nil {
		t.Fatal(err)
	}
}

func TestSweep(t *testing.T) {
	s := opened(t, Options{})
	kept, gone := tooth("kept"), tooth("gone")
	names := []string{"kept", "gone", "stray", "new stray"}
	for _, h := range names {
		if err := s.PutPhoto(ctx, hashOf(h), []byte(h)); err != nil {
			t.Fatal(err)
		}
	}
	for _, c := range []tray.Change{{After: kept}, {After: gone}, {Before: gone}} {
		if err := s.Put(ctx, []tray.Change{c}); err != nil {
			t.Fatal(err)
		}
	}
	for _, h := range []string{"kept", "stray"} {
		if err := s.PutThumbnail(ctx, hashOf(h), []byte("small "+h)); err != nil {
			t.Fatal(err)
		}
	}
	age(t, s, hashOf("kept"), hashOf("gone"), hashOf("stray"))
	left := func() string {
		var out []string
		for _, h := range names {
			if _, err := s.Photo(ctx, hashOf(h)); err == nil {
				out = append(out, h)
			}
		}
		return strings.Join(out, ", ")
	}

	other, err := open(ctx, t.Name(), migrations, Options{})
	if err != nil {
		t.Fatal(err)
	}
	// The other tab may undo the deletion.
	if n, err := s.Sweep(ctx); n != 1 || err != nil || left() != "kept, gone, new stray" {
		t.Errorf("with another tab: %d deleted, %v; left %s", n, err, left())
	}
	// A small picture goes with its photograph, and only with it.
	for h, want := range map[string]string{"kept": "small kept", "stray": "", "never made": ""} {
		if b, err := s.Thumbnail(ctx, hashOf(h)); err != nil || string(b) != want {
			t.Errorf("the thumbnail of %s is %q (%v), want %q", h, b, err, want)
		}
	}
	other.Close()
	for i := 0; !s.alone(ctx) && i < 500; i++ {
		time.Sleep(2 * time.Millisecond)
	}
	if n, err := s.Sweep(ctx); n != 1 || err != nil || left() != "kept, new stray" {
		t.Errorf("alone: %d deleted, %v; left %s", n, err, left())
	}
	count := 0
	if err := s.run(ctx, idb.TransactionReadOnly, func(tx *idb.Transaction) error {
		return each(ctx, tx, specimenStore, func(string, js.Value) { count++ })
	}, specimenStore); err != nil || count != 1 {
		t.Errorf("%d records left, %v", count, err)
	}
}

func TestSettings(t *testing.T) {
	s := opened(t, Options{})
	type look struct{ Zoom float64 }
	var got look
	if ok, err := s.Setting(ctx, "look", &got); ok || err != nil {
		t.Errorf("none yet: %v, %v", ok, err)
	}
	if err := s.SetSetting(ctx, "look", look{2.5}); err != nil {
		t.Fatal(err)
	}
	if ok, err := s.Setting(ctx, "look", &got); !ok || err != nil || got.Zoom != 2.5 {
		t.Errorf("%v, %v, %v", got, ok, err)
	}
	var other []string
	if ok, err := s.Setting(ctx, "look", &other); ok || err != nil {
		t.Errorf("of another kind: %v, %v", ok, err)
	}
	first, err := s.Persist(ctx)
	if err != nil {
		t.Error(err)
	}
	if again, err := s.Persist(ctx); err != nil || again != first {
		t.Errorf("persistent: first %v, then %v, %v", first, again, err)
	}
}

func TestDenied(t *testing.T) {
	object := js.Global().Get("Object")
	own := object.Call("getOwnPropertyDescriptor", js.Global(), "indexedDB")
	descriptor := map[string]any{"value": js.Null(), "configurable": true}
	object.Call("defineProperty", js.Global(), "indexedDB", descriptor)
	defer object.Call("defineProperty", js.Global(), "indexedDB", own)
	var e *Error
	if _, err := open(ctx, t.Name(), migrations, Options{}); !errors.As(err, &e) || e.Fault != Denied || !strings.Contains(err.Error(), "You can work, but") {
		t.Errorf("without a database: %v", err)
	}

	object.Call("defineProperty", js.Global(), "indexedDB", map[string]any{"value": map[string]any{"open": "no function"}, "configurable": true})
	if _, err := open(ctx, t.Name(), migrations, Options{}); !errors.As(err, &e) || e.Fault != Denied {
		t.Errorf("with a database that cannot be opened: %v", err)
	}
}

// again is a second version of the database, as a later program has it.
var again = append(slices.Clone(migrations), func(db *idb.Database) error {
	_, err := db.CreateObjectStore("later", idb.ObjectStoreOptions{})
	return err
})

func TestVersions(t *testing.T) {
	told := make(chan error, 10)
	old, err := open(ctx, t.Name(), migrations, Options{Progress: func(_ int, err error) { told <- err }})
	if err != nil {
		t.Fatal(err)
	}
	defer old.Close()
	m := tooth("a")
	if err := old.Put(ctx, []tray.Change{{After: m}}); err != nil {
		t.Fatal(err)
	}

	// A newer program opens it beside the older one, which lets go.
	later, err := open(ctx, t.Name(), again, Options{})
	if err != nil {
		t.Fatal(err)
	}
	defer later.Close()
	if got := load(t, later); got["a"] == nil {
		t.Error("the migration lost a specimen")
	}
	var e *Error
	for e == nil || e.Fault != Retired {
		if err := <-told; err != nil && !errors.As(err, &e) {
			t.Fatalf("told of %v", err)
		}
	}
	if err := old.Put(ctx, []tray.Change{{Before: m, After: edited(m, "too late")}}); !errors.As(err, &e) || e.Fault != Retired {
		t.Errorf("the older one saves: %v", err)
	}

	// And the older program cannot open it any more.
	if _, err := open(ctx, t.Name(), migrations, Options{}); !errors.As(err, &e) || e.Fault != Newer {
		t.Errorf("the older one opens: %v", err)
	}
}

func TestFailedMigrationChangesNothing(t *testing.T) {
	s, err := open(ctx, t.Name(), migrations, Options{})
	if err != nil {
		t.Fatal(err)
	}
	if err := s.Put(ctx, []tray.Change{{After: tooth("a")}}); err != nil {
		t.Fatal(err)
	}
	s.Close()
	broken := append(slices.Clone(migrations), func(db *idb.Database) error {
		if err := db.DeleteObjectStore(specimenStore); err != nil {
			return err
		}
		return errors.New("broken on purpose")
	})
	var e *Error
	if _, err := open(ctx, t.Name(), broken, Options{}); !errors.As(err, &e) || e.Fault != Failed || !strings.Contains(err.Error(), "broken on purpose") {
		t.Errorf("a broken migration: %v", err)
	}
	if got := load(t, opened(t, Options{})); got["a"] == nil {
		t.Error("the specimen is lost")
	}
}

// A tab that does not let go (here: one that knows nothing of versions).
func TestBlocked(t *testing.T) {
	opened(t, Options{}).Close()
	request := js.Global().Get("indexedDB").Call("open", t.Name())
	ready := make(chan struct{})
	onSuccess := js.FuncOf(func(js.Value, []js.Value) any { close(ready); return nil })
	defer onSuccess.Release()
	request.Call("addEventListener", "success", onSuccess)
	<-ready

	var e *Error
	if _, err := open(ctx, t.Name(), again, Options{}); !errors.As(err, &e) || e.Fault != Blocked || !strings.Contains(err.Error(), "Close the other tab") {
		t.Errorf("blocked: %v", err)
	}
	// The request given up must not have upgraded the database behind us.
	request.Get("result").Call("close")
	if s, err := open(ctx, t.Name(), migrations, Options{}); err != nil {
		t.Errorf("after the other tab was closed: %v", err)
	} else {
		s.Close()
	}
	s, err := open(ctx, t.Name(), again, Options{})
	if err != nil {
		t.Fatalf("upgrading after the other tab was closed: %v", err)
	}
	s.Close()
}

// A connection that the browser has dropped is opened again.
func TestDroppedConnection(t *testing.T) {
	s := opened(t, Options{})
	m := tooth("a")
	if err := s.Put(ctx, []tray.Change{{After: m}}); err != nil {
		t.Fatal(err)
	}
	s.db.js.Call("close")
	if err := s.Put(ctx, []tray.Change{{Before: m, After: edited(m, "after")}}); err != nil {
		t.Fatal(err)
	}
	if got := load(t, s); got["a"].Remarks != "after" {
		t.Errorf("stored %q", got["a"].Remarks)
	}
}

// The browser throws everything away while the page is open: the page is told,
// and can save anew what it still shows.
func TestCleared(t *testing.T) {
	told := make(chan error, 100)
	s := opened(t, Options{Progress: func(_ int, err error) { told <- err }})
	m := tooth("a")
	if err := s.Put(ctx, []tray.Change{{After: m}}); err != nil {
		t.Fatal(err)
	}
	ask(t, "/clear")
	var e *Error
	for e == nil || e.Fault != Cleared {
		if err := <-told; err != nil && !errors.As(err, &e) {
			t.Fatalf("told of %v", err)
		}
	}
	if got := load(t, s); len(got) != 0 {
		t.Errorf("%d specimens left", len(got))
	}
	if err := s.Put(ctx, []tray.Change{{After: m}}); err != nil {
		t.Fatal(err)
	}
	if got := load(t, s); got["a"] == nil {
		t.Error("not saved anew")
	}
	for err := range told {
		if err == nil {
			break
		}
	}
}

func TestDurability(t *testing.T) {
	s := opened(t, Options{})
	tx, err := s.begin(ctx, idb.TransactionReadWrite, specimenStore)
	if err != nil {
		t.Fatal(err)
	}
	if d, err := tx.Durability(); err != nil || d != idb.DurabilityStrict {
		t.Errorf("durability %v, %v", d, err)
	}
}

func TestClosed(t *testing.T) {
	s := opened(t, Options{})
	s.Close()
	s.Close()
	s.Keep([]tray.Change{{After: tooth("a")}})
	if _, _, err := s.Load(ctx); err == nil {
		t.Error("a closed store loads")
	}
	if err := s.Put(ctx, []tray.Change{{After: tooth("b")}}); err == nil {
		t.Error("a closed store saves")
	}
	if err := s.Flush(ctx); err != nil {
		t.Errorf("a closed store with nothing to save: %v", err)
	}
}

func BenchmarkPut(b *testing.B) {
	s, err := open(ctx, b.Name(), migrations, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	for _, n := range []int{100, 5000} {
		b.Run(fmt.Sprint(n, " points"), func(b *testing.B) {
			before := tooth(fmt.Sprint(n))
			for range n {
				before.Photos[0].Crown.Path[1].Via = append(before.Photos[0].Crown.Path[1].Via, [2]float64{1.0 / 3, 2.0 / 3})
			}
			if now, _ := s.Read(ctx, before.ID); now != nil {
				before = now
			} else if err := s.Put(ctx, []tray.Change{{After: before}}); err != nil {
				b.Fatal(err)
			}
			for b.Loop() {
				after := edited(before, "")
				if err := s.Put(ctx, []tray.Change{{Before: before, After: after}}); err != nil {
					b.Fatal(err)
				}
				before = after
			}
		})
	}
}

func BenchmarkPhoto(b *testing.B) {
	s, err := open(ctx, b.Name(), migrations, Options{})
	if err != nil {
		b.Fatal(err)
	}
	defer s.Close()
	file := grain(12 << 20)
	b.SetBytes(int64(len(file)))
	b.Run("put", func(b *testing.B) {
		for b.Loop() {
			if err := s.PutPhoto(ctx, "h", file); err != nil {
				b.Fatal(err)
			}
		}
	})
	b.Run("get", func(b *testing.B) {
		for b.Loop() {
			if _, err := s.Photo(ctx, "h"); err != nil {
				b.Fatal(err)
			}
		}
	})
}

// What another tab saves while a change to the same specimen waits here is
// handed on only when that has been written or refused.
func TestWatchWaitsForOwnChange(t *testing.T) {
	heard := make(chan string, 10)
	refused := make(chan *Conflict, 1)
	a := opened(t, Options{})
	b := opened(t, Options{Conflict: func(k *Conflict) { refused <- k }})
	b.Watch(func(id string) { heard <- id })
	first, other := tooth("a"), tooth("other")
	if err := a.Put(ctx, []tray.Change{{After: first}}); err != nil {
		t.Fatal(err)
	}
	<-heard
	b.mu.Lock()
	b.queue.add([]tray.Change{{Before: first, After: edited(first, "ours")}}, nil) // waits: nobody wakes the writer
	b.mu.Unlock()
	if err := a.Put(ctx, []tray.Change{{Before: first, After: edited(first, "theirs")}, {After: other}}); err != nil {
		t.Fatal(err)
	}
	if id := <-heard; id != "other" {
		t.Errorf("heard of %q before the own change was written", id)
	}
	b.wake()
	if k := <-refused; k.Stored.Remarks != "theirs" {
		t.Errorf("refused for %+v", k)
	}
	if id := <-heard; id != "a" {
		t.Errorf("heard of %q", id)
	}
}
