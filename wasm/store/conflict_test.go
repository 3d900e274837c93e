package store

import (
	"fmt"
	"testing"

	"crownbench/wasm/tray"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

func TestJudge(t *testing.T) {
	base := tooth("a")              // revision 1
	ours := edited(base, "ours")    // revision 2
	theirs := edited(base, "other") // revision 2 too
	grave := func(s *tray.Specimen) *record {
		r, err := recordOf(tray.Change{Before: s}, "stamp", now)
		if err != nil {
			t.Fatal(err)
		}
		return &r
	}
	newer := filed(t, base)
	newer.Format++
	for _, c := range []struct {
		name   string
		c      tray.Change
		stored *record
		ours   bool
		want   verdict
	}{
		{"new", tray.Change{After: base}, nil, false, write},
		{"new, tried again", tray.Change{After: base}, filed(t, base), false, done},
		{"new, but there", tray.Change{After: base}, filed(t, ours), false, conflict},
		{"change", tray.Change{Before: base, After: ours}, filed(t, base), false, write},
		{"change of what the browser lost", tray.Change{Before: base, After: ours}, nil, false, write},
		{"change, tried again", tray.Change{Before: base, After: ours}, filed(t, ours), false, done},
		{"change over a newer one", tray.Change{Before: base, After: ours}, filed(t, theirs), false, conflict},
		{"change over one of the same revision", tray.Change{Before: ours, After: edited(ours, "")}, filed(t, theirs), false, conflict},
		{"change over this tab's own", tray.Change{Before: ours, After: edited(ours, "")}, filed(t, ours), true, write},
		{"change of what is deleted", tray.Change{Before: base, After: ours}, grave(base), false, conflict},
		{"deletion", tray.Change{Before: base}, filed(t, base), false, write},
		{"deletion of a newer one", tray.Change{Before: base}, filed(t, theirs), false, conflict},
		{"deletion of what is deleted", tray.Change{Before: base}, grave(theirs), false, done},
		{"deletion of what is not there", tray.Change{Before: base}, nil, false, write},
		{"deletion undone", tray.Change{After: ours}, grave(base), true, write},
		{"deletion undone over a newer one's", tray.Change{After: ours}, grave(theirs), false, conflict},
		{"change over a newer program's", tray.Change{Before: base, After: ours}, newer, true, conflict},
	} {
		if got := judge(c.c, c.stored, c.ours); got != c.want {
			t.Errorf("%s: %d, want %d", c.name, got, c.want)
		}
	}
}

// fakeTab is a tab with its tray, as far as it saves: the browser's part is
// played by a map.
type fakeTab struct {
	tray  *tray.Tray
	queue queue
	wrote map[string]string
	inbox []string
}

// Whatever two tabs do, and in whatever order their writes, failures and
// announcements come, nothing is written over that the writer had not seen,
// and in the end both show what is stored.
func TestTabsNeverLoseAChange(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		database := map[string]*record{}
		var tabs [2]*fakeTab
		ids := 0
		for i := range tabs {
			tab := &fakeTab{wrote: map[string]string{}}
			tab.tray = &tray.Tray{
				Keep:  func(c []tray.Change) { tab.queue.add(c, nil) },
				NewID: func() string { ids++; return fmt.Sprint("id", ids) },
			}
			tabs[i] = tab
		}
		deliver := func(tab *fakeTab) {
			if len(tab.inbox) == 0 {
				return
			}
			id := tab.inbox[0]
			tab.inbox = tab.inbox[1:]
			if tab.queue.concerns(id) {
				tab.inbox = append(tab.inbox, id) // not before that is written
				return
			}
			s, damaged := database[id].specimen()
			if damaged != nil {
				t.Fatal(damaged)
			}
			if s == nil {
				tab.tray.Drop(id)
			} else if _, err := tab.tray.Adopt(s); err != nil {
				t.Fatal(err)
			}
		}
		writeNext := func(tab *fakeTab, held map[string]bool) bool {
			c := tab.queue.next(held)
			if c == nil {
				return false
			}
			tab.queue.flying = c
			writes, conflicts, err := settle(c.changes, database, tab.wrote, now)
			if err != nil {
				t.Fatal(err)
			}
			for _, r := range writes {
				old := database[r.ID]
				for _, d := range c.changes {
					if d.ID() != r.ID || old == nil {
						continue
					}
					switch {
					case old.Deleted:
						if d.Before != nil || r.Revision <= old.Revision {
							t.Fatalf("%+v over the tombstone %+v", r, old)
						}
					case d.Before == nil:
						t.Fatalf("%+v as new over %+v", r, old)
					default:
						if seen, err := bodyOf(d.Before); err != nil || seen != old.Body {
							t.Fatalf("%s was written over unseen: %s", old.Body, seen)
						}
					}
				}
				database[r.ID] = &r
				tab.wrote[r.ID] = r.Stamp
				for _, other := range tabs {
					if other != tab {
						other.inbox = append(other.inbox, r.ID)
					}
				}
			}
			for _, k := range conflicts {
				tab.queue.withdraw(k)
			}
			tab.queue.flying = nil
			tab.queue.remove(c)
			// The page takes the other tab's.
			for _, k := range conflicts {
				tab.tray.Drop(k.ID)
				if k.Stored != nil {
					if _, err := tab.tray.Adopt(k.Stored); err != nil {
						t.Fatal(err)
					}
				}
			}
			return true
		}

		pick := func(tab *fakeTab) *tray.Specimen {
			all := tab.tray.Specimens()
			if len(all) == 0 {
				return nil
			}
			return all[rapid.IntRange(0, len(all)-1).Draw(t, "which")]
		}
		steps := rapid.IntRange(1, 60).Draw(t, "steps")
		for range steps {
			tab := tabs[rapid.IntRange(0, 1).Draw(t, "tab")]
			switch rapid.SampledFrom([]string{"add", "edit", "edit", "delete", "undo", "redo", "write", "write", "fail", "hear", "hear"}).Draw(t, "step") {
			case "add":
				if _, err := tab.tray.Add("add", &tray.Specimen{Name: "invented"}, &tray.Specimen{Name: "invented too"}); err != nil {
					t.Fatal(err)
				}
			case "edit":
				if s := pick(tab); s != nil {
					text := rapid.SampledFrom([]string{"", "worn", "broken", "small"}).Draw(t, "remarks")
					if err := tab.tray.Edit(s.ID, "edit", "", func(s *tray.Specimen) { s.Remarks = text }); err != nil {
						t.Fatal(err)
					}
				}
			case "delete":
				if s := pick(tab); s != nil {
					if err := tab.tray.Delete("delete", s.ID); err != nil {
						t.Fatal(err)
					}
				}
			case "undo":
				tab.tray.Undo()
			case "redo":
				tab.tray.Redo()
			case "write":
				writeNext(tab, map[string]bool{})
			case "fail":
				// A failed write changes nothing; the next one may pass it by.
				held := map[string]bool{}
				if c := tab.queue.next(held); c != nil {
					hold(held, c)
					writeNext(tab, held)
				}
			case "hear":
				deliver(tab)
			}
		}
		for busy := true; busy; {
			busy = false
			for _, tab := range tabs {
				for writeNext(tab, map[string]bool{}) {
					busy = true
				}
				// All are delivered: nothing waits any more.
				for len(tab.inbox) > 0 {
					deliver(tab)
					busy = true
				}
			}
		}

		stored := map[string]string{}
		for id, r := range database {
			if !r.Deleted {
				stored[id] = r.Body
			}
		}
		for i, tab := range tabs {
			shown := map[string]string{}
			for _, s := range tab.tray.Specimens() {
				body, err := bodyOf(s)
				if err != nil {
					t.Fatal(err)
				}
				shown[s.ID] = body
			}
			if d := cmp.Diff(stored, shown); d != "" {
				t.Fatalf("tab %d does not show what is stored: %s", i, d)
			}
		}
	})
}
