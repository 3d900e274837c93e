//go:build js

package store

import (
	"context"
	"errors"
	"time"

	"crownbench/wasm/tray"

	"github.com/hack-pad/go-indexeddb/idb"
)

const (
	// gather is how long changes are gathered after a write before the next:
	// a drag makes sixty changes a second.
	gather = 100 * time.Millisecond
	// retry is how long after a failure it is tried again without a new
	// change: the disk may have been cleared.
	retry = 15 * time.Second
)

// Keep saves changes in the order in which they are given, without waiting:
// it is what a Tray's Keep calls. The outcome goes to Options.
func (s *Store) Keep(changes []tray.Change) { s.enqueue(changes, nil) }

// Put saves the changes of one command in one transaction, after all those
// before it, and waits for the outcome. A change that met another tab's is
// left out and comes back as a *Conflict (several joined). Any other error is
// an *Error; the changes then stay pending and are tried again. It blocks: see
// package promise.
func (s *Store) Put(ctx context.Context, changes []tray.Change) error {
	w := make(chan error, 1)
	s.enqueue(changes, w)
	s.rush()
	select {
	case err := <-w:
		return err
	case <-ctx.Done():
		return ctx.Err() // it is saved all the same
	}
}

func (s *Store) enqueue(changes []tray.Change, w chan<- error) {
	s.mu.Lock()
	switch {
	case len(changes) > 0 && !s.closed:
		s.queue.add(changes, w)
	case w != nil && s.closed:
		w <- closed()
	case w != nil:
		w <- nil
	}
	s.mu.Unlock()
	s.wake()
	s.report()
}

// closed is the error of what is asked of a Store after its end.
func closed() *Error { return fault(Failed, errors.New("the page is being closed")) }

// Pending is how many specimens have changes that are not saved yet.
func (s *Store) Pending() int {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.queue.pending()
}

// Flush writes what is pending at once and waits for it: for the moment when
// the page is hidden or left. It gives what stands in the way, an *Error, or
// nil when everything is saved. It blocks: see package promise.
func (s *Store) Flush(ctx context.Context) error {
	w := make(chan error, 1)
	s.mu.Lock()
	if s.queue.pending() == 0 || s.closed {
		left := s.queue.pending()
		s.mu.Unlock()
		if left > 0 {
			return closed()
		}
		return nil
	}
	s.flushes = append(s.flushes, w)
	s.mu.Unlock()
	s.rush()
	s.wake()
	select {
	case err := <-w:
		return err
	case <-ctx.Done():
		return ctx.Err()
	}
}

// rush ends a pause.
func (s *Store) rush() {
	select {
	case s.hurry <- struct{}{}:
	default:
	}
}

func (s *Store) wake() {
	s.mu.Lock()
	defer s.mu.Unlock()
	if s.closed {
		return
	}
	select {
	case s.wakeup <- struct{}{}:
	default:
	}
}

// work writes what is in the queue, for as long as the Store is open.
func (s *Store) work() {
	for range s.wakeup {
		err := s.writeAll()
		s.mu.Lock()
		retired := s.retired
		if !retired || err != nil {
			s.failed = err
		}
		flushes := s.flushes
		s.flushes = nil
		s.mu.Unlock()
		for _, w := range flushes {
			w <- err
		}
		s.report()
		if err != nil && !retired {
			time.AfterFunc(retry, s.wake)
		}
	}
	// Nobody waits for a closed store.
	s.mu.Lock()
	defer s.mu.Unlock()
	for _, w := range s.flushes {
		w <- closed()
	}
	for _, c := range s.queue.commands {
		c.tell(closed())
	}
}

// writeAll writes the queue's commands in order. One that fails holds up the
// later changes to its specimens, not those to others: a deletion may be what
// makes room. It gives the last failure of those that remain.
func (s *Store) writeAll() error {
	held := map[string]bool{}
	var failure error
	progress := false
	for {
		s.pause(s.last)
		s.mu.Lock()
		c := s.queue.next(held)
		s.queue.flying = c
		s.mu.Unlock()
		if c == nil {
			if failure == nil || !progress {
				return failure
			}
			held, failure, progress = map[string]bool{}, nil, false
			continue
		}

		conflicts, err := s.commit(c.changes)
		s.last = time.Now()
		s.mu.Lock()
		for _, k := range conflicts {
			s.queue.withdraw(k)
		}
		told := len(c.waiting) == 0
		conflicts = append(conflicts, c.conflicts...)
		s.queue.flying = nil
		if err != nil {
			hold(held, c)
			failure = err
		} else {
			s.queue.remove(c)
			progress = true
		}
		s.mu.Unlock()
		if told && s.options.Conflict != nil {
			for _, k := range conflicts {
				go s.options.Conflict(k)
			}
		}
		if err == nil {
			err = joined(conflicts)
		}
		c.tell(err)
		s.report()
		s.pass()
	}
}

func joined(conflicts []*Conflict) error {
	if len(conflicts) == 1 {
		return conflicts[0]
	}
	var all []error
	for _, c := range conflicts {
		all = append(all, c)
	}
	return errors.Join(all...)
}

// pause lets changes gather since the last write, unless somebody waits.
func (s *Store) pause(last time.Time) {
	s.mu.Lock()
	waited := len(s.flushes) > 0 || s.queue.waited()
	s.mu.Unlock()
	rest := gather - time.Since(last)
	if waited || rest <= 0 {
		return
	}
	t := time.NewTimer(rest)
	defer t.Stop()
	select {
	case <-s.hurry:
	case <-t.C:
	}
}

// commit writes changes in one transaction: all, but for those that conflict,
// or none.
func (s *Store) commit(changes []tray.Change) ([]*Conflict, error) {
	ctx := context.Background()
	var writes []record
	var conflicts []*Conflict
	err := s.run(ctx, idb.TransactionReadWrite, func(tx *idb.Transaction) error {
		stored := map[string]*record{}
		for _, c := range changes {
			v, err := get(ctx, tx, specimenStore, c.ID())
			if err != nil {
				return err
			}
			if !v.IsUndefined() {
				stored[c.ID()] = recordFromJS(c.ID(), v)
			}
		}
		var err error
		if writes, conflicts, err = settle(changes, stored, s.wrote, time.Now()); err != nil {
			return fault(Failed, err)
		}
		for _, r := range writes {
			if err := put(tx, specimenStore, r.ID, r.toJS()); err != nil {
				return err
			}
		}
		return nil
	}, specimenStore)
	if err != nil {
		return nil, err
	}
	for _, r := range writes {
		s.wrote[r.ID] = r.Stamp
		s.announce(r)
	}
	return conflicts, nil
}

// report has the page told of what has changed since it was told last.
func (s *Store) report() {
	select {
	case s.news <- struct{}{}:
	default:
	}
}

// tell calls Options.Progress, one call after the other, always with the
// latest.
func (s *Store) tell() {
	pending, failed := 0, error(nil)
	for range s.news {
		s.mu.Lock()
		p, err := s.queue.pending(), s.failed
		s.mu.Unlock()
		if p != pending || err != failed {
			pending, failed = p, err
			s.options.Progress(p, err)
		}
	}
}
