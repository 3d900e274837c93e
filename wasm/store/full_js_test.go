//go:build js

package store

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"

	"crownbench/wasm/tray"
)

// A full disk: a sentence, nothing lost, and what waited is saved once there
// is room.
func TestFull(t *testing.T) {
	type progress struct {
		pending int
		err     error
	}
	told := make(chan progress, 1000)
	s := opened(t, Options{Progress: func(n int, err error) { told <- progress{n, err} }})
	quota(t, 1<<18)
	t.Cleanup(func() { quota(t, 0) })
	first := tooth("a")
	if err := s.Put(ctx, []tray.Change{{After: first}}); err != nil {
		t.Fatal(err)
	}

	// Chromium goes by the room it found up to half a minute ago. This file's
	// name puts the test first, when it has not looked yet; otherwise it waits.
	var err error
	for start := time.Now(); err == nil && time.Since(start) < time.Minute; time.Sleep(time.Second) {
		err = s.PutPhoto(ctx, "large", grain(8<<20))
	}
	var e *Error
	if !errors.As(err, &e) || e.Fault != Full {
		t.Fatalf("a photograph too many: %v", err)
	}
	large := first.Clone()
	large.Revision++
	for i := range 3000 {
		large.Photos[0].Crown.Path[1].Via = append(large.Photos[0].Crown.Path[1].Via, [2]float64{1 / float64(i+3), 2 / float64(i+7)})
	}
	many := []tray.Change{{Before: first, After: large}}
	for i := range 200 {
		c := large.Clone()
		c.ID, c.Revision = fmt.Sprint("copy ", i), 1
		many = append(many, tray.Change{After: c})
	}
	if err := s.Put(ctx, many); !errors.As(err, &e) || e.Fault != Full || !strings.Contains(e.Error(), "everything saved before is safe. Delete specimens") {
		t.Fatalf("a specimen too many: %v", err)
	}
	if got := load(t, s); len(got) != 1 || got["a"].Revision != 1 {
		t.Errorf("stored after the failure: %d specimens, revision %d", len(got), got["a"].Revision)
	}
	if s.Pending() != 201 {
		t.Errorf("%d pending", s.Pending())
	}
	if err := s.Flush(ctx); !errors.As(err, &e) || e.Fault != Full {
		t.Errorf("flushed: %v", err)
	}
	last := progress{-1, nil}
	for last.pending != 201 || last.err == nil {
		last = <-told
	}

	quota(t, 0)
	next := edited(large, "after the disk was cleared")
	if err := s.Put(ctx, []tray.Change{{Before: large, After: next}}); err != nil {
		t.Fatal(err)
	}
	if got := load(t, s); len(got) != 201 || got["a"].Remarks != next.Remarks {
		t.Errorf("%d specimens, %q", len(got), got["a"].Remarks)
	}
	for last.pending != 0 || last.err != nil {
		last = <-told
	}
}
