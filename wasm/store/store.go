//go:build js

package store

import (
	"context"
	"crypto/rand"
	"sync"
	"syscall/js"
	"time"

	"crownbench/wasm/store/promise"

	"github.com/hack-pad/go-indexeddb/idb"
)

// Options are what the page wants to be told; each function may be nil and is
// called on another goroutine, never from within a call of the Store.
type Options struct {
	// Progress is told how many specimens have changes that are not saved
	// yet, and what stands in the way (an *Error, or nil), whenever that
	// changes.
	Progress func(pending int, err error)
	// Conflict is told of a change that was not saved since another tab was
	// there first. The tray still shows it: the page has to ask.
	Conflict func(*Conflict)
}

// Store is the browser's database. It is used by one page and closed with it.
type Store struct {
	options Options
	name    string
	steps   []migration
	tab     string // random: tells this tab's announcements from others'
	channel js.Value
	lock    func() // gives the lock back that says that this tab is open

	mu      sync.Mutex
	db      connection
	retired bool // a newer version has taken the database over
	closed  bool
	queue   queue
	failed  error             // what stands in the way of what is pending
	wrote   map[string]string // stamp of this tab's last write, by specimen; work's own
	flushes []chan error
	watch   func(id string)
	heard   map[string]bool // announced by other tabs while a change here waits

	replacing sync.Mutex // held while a dropped connection is opened anew

	last   time.Time     // when this tab wrote last; work's own
	wakeup chan struct{} // there is something to write
	hurry  chan struct{} // do not gather changes first
	news   chan struct{} // the page is to be told
}

// Open opens the database. Its errors are *Error (Denied, Newer, Blocked,
// Full, Failed) or the context's; the program can then run without saving and
// must say so. It blocks: see package promise.
func Open(ctx context.Context, o Options) (*Store, error) {
	return open(ctx, databaseName, migrations, o)
}

func open(ctx context.Context, name string, steps []migration, o Options) (*Store, error) {
	s := &Store{
		options: o, name: name, steps: steps, tab: rand.Text(),
		wrote: map[string]string{}, heard: map[string]bool{},
		wakeup: make(chan struct{}, 1), hurry: make(chan struct{}, 1), news: make(chan struct{}, 1),
	}
	if err := s.reopen(ctx); err != nil {
		return nil, err
	}
	s.lock = holdLock(ctx, name)
	s.openChannel()
	go s.work()
	if o.Progress != nil {
		go s.tell()
	}
	return s, nil
}

// reopen connects, for the first time or after the browser has dropped the
// connection.
func (s *Store) reopen(ctx context.Context) error {
	db, err := connect(ctx, s.name, s.steps)
	if err != nil {
		return err
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	s.db = db
	// The listeners live as long as the connection, which is nearly always as
	// long as the page.
	db.js.Call("addEventListener", "versionchange", js.FuncOf(func(js.Value, []js.Value) any {
		// go-indexeddb closes the connection itself.
		s.mu.Lock()
		s.retired = true
		s.failed = fault(Retired, nil)
		s.mu.Unlock()
		s.report()
		return nil
	}))
	db.js.Call("addEventListener", "close", js.FuncOf(func(js.Value, []js.Value) any {
		s.mu.Lock()
		s.failed = fault(Cleared, nil)
		s.mu.Unlock()
		s.report()
		return nil
	}))
	return nil
}

// Close ends the connection. What is not saved by then stays unsaved: see
// Flush.
func (s *Store) Close() {
	s.mu.Lock()
	if s.closed {
		s.mu.Unlock()
		return
	}
	s.closed = true
	db := s.db
	s.mu.Unlock()
	db.js.Call("close")
	if s.channel.Truthy() {
		s.channel.Call("close")
	}
	s.lock()
	close(s.wakeup)
}

// run carries out body within one transaction and waits until it is on the
// disk, or not done at all.
func (s *Store) run(ctx context.Context, mode idb.TransactionMode, body func(*idb.Transaction) error, first string, more ...string) error {
	tx, err := s.begin(ctx, mode, first, more...)
	if err != nil {
		return err
	}
	// The end must be listened for before the first request is made: the
	// transaction may end as soon as the last is answered.
	ended := make(chan error, 1)
	go func() { ended <- tx.Await(context.Background()) }()
	if err := body(tx); err != nil {
		// When a request fails, its error is the transaction's, and the
		// browser has aborted it.
		_ = tx.Abort()
		<-ended
		return working(err)
	}
	return working(<-ended)
}

func (s *Store) begin(ctx context.Context, mode idb.TransactionMode, first string, more ...string) (*idb.Transaction, error) {
	options := idb.TransactionOptions{Mode: mode}
	if mode == idb.TransactionReadWrite {
		options.Durability = idb.DurabilityStrict
	}
	for again := false; ; again = true {
		s.mu.Lock()
		db, retired, ended := s.db, s.retired, s.closed
		s.mu.Unlock()
		switch {
		case retired:
			return nil, fault(Retired, nil)
		case ended:
			return nil, closed()
		}
		tx, err := db.TransactionWithOptions(options, first, more...)
		if err == nil {
			return tx, nil
		}
		// The browser drops connections: when its data are cleared, when a
		// telephone sleeps.
		if again || exception(err) != "InvalidStateError" {
			return nil, working(err)
		}
		if err := s.replace(ctx, db); err != nil {
			return nil, err
		}
	}
}

// replace opens a new connection for a dropped one, once for all who find out.
func (s *Store) replace(ctx context.Context, dropped connection) error {
	s.replacing.Lock()
	defer s.replacing.Unlock()
	s.mu.Lock()
	done := !s.db.js.Equal(dropped.js)
	s.mu.Unlock()
	if done {
		return nil
	}
	return s.reopen(ctx)
}

// get reads the value under a key, js.Undefined() when there is none.
func get(ctx context.Context, tx *idb.Transaction, store, key string) (js.Value, error) {
	o, err := tx.ObjectStore(store)
	if err != nil {
		return js.Undefined(), err
	}
	request, err := o.Get(js.ValueOf(key))
	if err != nil {
		return js.Undefined(), err
	}
	v, err := request.Await(ctx)
	if err == nil {
		err = ctx.Err() // go-indexeddb gives nothing and no error then
	}
	return v, err
}

// put asks for a value to be stored; whether it is, the transaction's end
// tells.
func put(tx *idb.Transaction, store, key string, value js.Value) error {
	o, err := tx.ObjectStore(store)
	if err != nil {
		return err
	}
	_, err = o.PutKey(js.ValueOf(key), value)
	return err
}

// remove asks for a value to be deleted.
func remove(tx *idb.Transaction, store, key string) error {
	o, err := tx.ObjectStore(store)
	if err != nil {
		return err
	}
	_, err = o.Delete(js.ValueOf(key))
	return err
}

// each goes through a store in the order of its keys.
func each(ctx context.Context, tx *idb.Transaction, store string, f func(key string, v js.Value)) error {
	o, err := tx.ObjectStore(store)
	if err != nil {
		return err
	}
	request, err := o.OpenCursor(idb.CursorNext)
	if err != nil {
		return err
	}
	err = request.Iter(ctx, func(c *idb.CursorWithValue) error {
		key, err := c.Key()
		if err != nil {
			return err
		}
		v, err := c.Value()
		if err != nil {
			return err
		}
		f(key.String(), v)
		return nil
	})
	if err == nil {
		err = ctx.Err()
	}
	return err
}

// holdLock takes a share in the lock that says that a tab is open, and gives
// the function that lets it go. Without locks it does nothing.
func holdLock(ctx context.Context, name string) (release func()) {
	locks := js.Global().Get("navigator").Get("locks")
	if !locks.Truthy() {
		return func() {}
	}
	var letGo js.Value
	executor := js.FuncOf(func(_ js.Value, args []js.Value) any { letGo = args[0]; return nil })
	defer executor.Release()
	held := js.Global().Get("Promise").New(executor)
	granted := make(chan struct{}, 1)
	grant := js.FuncOf(func(js.Value, []js.Value) any { granted <- struct{}{}; return held })
	request, err := promise.Try(func() js.Value {
		return locks.Call("request", lockName(name), map[string]any{"mode": "shared"}, grant)
	})
	if err != nil {
		grant.Release()
		return func() {}
	}
	go func() {
		// Ends when the lock is let go, or at once when locks are not
		// allowed here.
		_, _ = promise.Await(context.Background(), request)
		select {
		case granted <- struct{}{}:
		default:
		}
		grant.Release()
	}()
	select {
	case <-granted:
	case <-ctx.Done():
	}
	return func() { letGo.Invoke() }
}

func lockName(database string) string { return database + " is open" }

// alone tells whether no other tab has the database open. When that cannot be
// known, it has.
func (s *Store) alone(ctx context.Context) bool {
	locks := js.Global().Get("navigator").Get("locks")
	if !locks.Truthy() {
		return false
	}
	all, err := promise.AwaitCall(ctx, locks, "query")
	if err != nil {
		return false
	}
	held := all.Get("held")
	n := 0
	for i := range held.Length() {
		if held.Index(i).Get("name").String() == lockName(s.name) {
			n++
		}
	}
	return n == 1
}
