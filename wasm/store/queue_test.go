package store

import (
	"errors"
	"testing"

	"crownbench/wasm/tray"
)

func TestQueueGathersADrag(t *testing.T) {
	a := tooth("a")
	b, c := edited(a, "b"), edited(edited(a, "b"), "c")
	var q queue
	first, second := make(chan error, 1), make(chan error, 1)
	q.add([]tray.Change{{Before: a, After: b}}, first)
	q.add([]tray.Change{{Before: b, After: c}}, second)
	if len(q.commands) != 1 || q.pending() != 1 {
		t.Fatalf("%d commands, %d pending", len(q.commands), q.pending())
	}
	got := q.next(map[string]bool{})
	if d := got.changes[0]; d.Before != a || d.After != c {
		t.Errorf("gathered from revision %d to %d", d.Before.Revision, d.After.Revision)
	}
	got.tell(errors.New("full"))
	if (<-first).Error() != "full" || (<-second).Error() != "full" {
		t.Error("not everybody was told")
	}

	// What is being written is not touched any more.
	q.flying = got
	q.add([]tray.Change{{Before: c, After: edited(c, "d")}}, nil)
	if len(q.commands) != 2 || got.changes[0].After != c {
		t.Error("a change joined the command being written")
	}
}

func TestQueueKeepsCommandsWhole(t *testing.T) {
	a, b := tooth("a"), tooth("b")
	var q queue
	q.add([]tray.Change{{After: a}, {After: b}}, nil)
	q.add([]tray.Change{{Before: a, After: edited(a, "")}}, nil)
	q.add([]tray.Change{{Before: b}, {Before: edited(a, "")}}, nil)
	if len(q.commands) != 3 || q.pending() != 2 {
		t.Errorf("%d commands, %d pending", len(q.commands), q.pending())
	}
}

func TestQueueForgetsWhatCameAndWent(t *testing.T) {
	a := tooth("a")
	var q queue
	w := make(chan error, 1)
	q.add([]tray.Change{{After: a}}, nil)
	q.add([]tray.Change{{Before: a}}, w)
	if q.pending() != 0 || len(q.commands) != 1 {
		t.Errorf("%d pending of %d commands", q.pending(), len(q.commands))
	}
	if !q.waited() {
		t.Error("who waits was forgotten too")
	}
}

func TestQueuePassesOverWhatIsHeld(t *testing.T) {
	a, b, c := tooth("a"), tooth("b"), tooth("c")
	var q queue
	q.add([]tray.Change{{Before: a}}, nil)
	q.add([]tray.Change{{After: edited(a, "")}, {Before: b}}, nil) // shares a, so it holds b too
	q.add([]tray.Change{{After: edited(b, "")}}, nil)
	q.add([]tray.Change{{After: c}}, nil)
	got := q.next(map[string]bool{"a": true})
	if got != q.commands[3] {
		t.Errorf("the next is %+v", got)
	}
	if got := q.next(map[string]bool{"a": true, "c": true}); got != nil {
		t.Errorf("the next is %+v, want none", got)
	}
	if got := q.next(map[string]bool{}); got != q.commands[0] {
		t.Errorf("the next is %+v, want the first", got)
	}
}

func TestWithdraw(t *testing.T) {
	a, b := tooth("a"), tooth("b")
	last := edited(edited(a, "one"), "two")
	var q queue
	w := make(chan error, 1)
	q.add([]tray.Change{{Before: a, After: edited(a, "one")}}, nil)
	q.flying = q.commands[0]
	q.add([]tray.Change{{Before: edited(a, "one"), After: last}}, nil)
	q.add([]tray.Change{{Before: last}, {After: b}}, w)
	k := &Conflict{ID: "a", Ours: edited(a, "one"), Stored: edited(a, "theirs")}
	q.withdraw(k)
	if len(q.commands) != 2 || q.commands[0] != q.flying || len(q.flying.changes) != 1 {
		t.Fatalf("%d commands left", len(q.commands))
	}
	rest := q.commands[1]
	if len(rest.changes) != 1 || rest.changes[0].After != b || len(rest.conflicts) != 1 || rest.conflicts[0] != k {
		t.Errorf("left: %+v", rest)
	}
	if k.Ours != nil {
		t.Errorf("ours is %v, want the deletion that came last", k.Ours)
	}
}
