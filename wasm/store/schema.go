//go:build js

package store

import (
	"context"
	"errors"
	"strings"
	"syscall/js"
	"time"

	"crownbench/wasm/store/promise"

	"github.com/hack-pad/go-indexeddb/idb"
)

// The database and its object stores.
const (
	databaseName = "crownbench"

	specimenStore  = "specimens"  // by ID: a record
	photoStore     = "photos"     // by SHA-256: the file's bytes
	photoDateStore = "photoDates" // by SHA-256: when it was saved, milliseconds since 1970
	settingStore   = "settings"   // by name: JSON
	thumbnailStore = "thumbnails" // by SHA-256 of the photograph: a small JPEG
)

// migration brings a database from one version to the next. Migrations are
// never changed once released, only added to.
type migration func(db *idb.Database) error

var migrations = []migration{
	func(db *idb.Database) error { // 0 to 1
		for _, name := range []string{specimenStore, photoStore, photoDateStore, settingStore} {
			if _, err := db.CreateObjectStore(name, idb.ObjectStoreOptions{}); err != nil {
				return err
			}
		}
		return nil
	},
	func(db *idb.Database) error { // 1 to 2
		_, err := db.CreateObjectStore(thumbnailStore, idb.ObjectStoreOptions{})
		return err
	},
}

// blockedPatience is how long another tab may take to close its connection
// when this one brings a new version of the database.
const blockedPatience = 3 * time.Second

// connection is an open database.
type connection struct {
	*idb.Database
	js js.Value
}

// connect opens the database, of version len(steps), and migrates it. Its
// errors are *Error or the context's.
//
// go-indexeddb gives no access to the request's "blocked" event, panics when
// an upgrade returns an error, and leaves its listeners when opening fails. So
// the request is made here and handed to it through a factory, the upgrade's
// error is carried round it, and a context of its own clears up.
func connect(ctx context.Context, name string, steps []migration) (connection, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	factory, err := promise.Try(func() js.Value { return js.Global().Get("indexedDB") })
	if err != nil || !factory.Truthy() {
		return connection{}, fault(Denied, err)
	}
	raw, err := promise.Try(func() js.Value { return factory.Call("open", name, len(steps)) })
	if err != nil {
		return connection{}, fault(Denied, err)
	}

	blocked := make(chan struct{}, 1)
	onBlocked := js.FuncOf(func(js.Value, []js.Value) any { blocked <- struct{}{}; return nil })
	raw.Call("addEventListener", "blocked", onBlocked)
	// A request cannot be taken back. When nobody waits for it any more, it
	// must neither upgrade the database, which would leave it without its
	// stores, nor keep it open.
	abandoned := false
	var onUpgrade, onSuccess, onError js.Func
	release := func() {
		for _, f := range []js.Func{onBlocked, onUpgrade, onSuccess, onError} {
			f.Release()
		}
	}
	onUpgrade = js.FuncOf(func(js.Value, []js.Value) any {
		if abandoned {
			raw.Get("transaction").Call("abort")
		}
		return nil
	})
	onSuccess = js.FuncOf(func(js.Value, []js.Value) any {
		if abandoned {
			raw.Get("result").Call("close")
		}
		release()
		return nil
	})
	onError = js.FuncOf(func(js.Value, []js.Value) any { release(); return nil })
	raw.Call("addEventListener", "upgradeneeded", onUpgrade)
	raw.Call("addEventListener", "success", onSuccess)
	raw.Call("addEventListener", "error", onError)

	open := js.FuncOf(func(js.Value, []js.Value) any { return raw })
	defer open.Release()
	wrapped, err := idb.WrapFactory(js.ValueOf(map[string]any{"open": open}))
	if err != nil {
		return connection{}, fault(Failed, err)
	}
	var upgradeErr error
	request, err := wrapped.Open(ctx, name, uint(len(steps)), func(db *idb.Database, from, to uint) error {
		for _, step := range steps[min(int(from), len(steps)):to] {
			if upgradeErr = step(db); upgradeErr != nil {
				raw.Get("transaction").Call("abort")
				return nil
			}
		}
		return nil
	})
	if err != nil {
		return connection{}, fault(Failed, err)
	}

	type outcome struct {
		db  *idb.Database
		err error
	}
	opened := make(chan outcome, 1)
	go func() {
		db, err := request.Await(ctx)
		opened <- outcome{db, err}
	}()
	var patience <-chan time.Time
	for {
		select {
		case o := <-opened:
			switch {
			case ctx.Err() != nil:
				abandoned = true
				return connection{}, ctx.Err()
			case upgradeErr != nil:
				return connection{}, fault(Failed, upgradeErr)
			case o.err != nil:
				return connection{}, opening(o.err)
			}
			return connection{o.db, raw.Get("result")}, nil
		case <-blocked:
			patience = time.After(blockedPatience)
		case <-patience:
			abandoned = true
			return connection{}, fault(Blocked, nil)
		case <-ctx.Done():
			abandoned = true
			return connection{}, ctx.Err()
		}
	}
}

// opening says why a database could not be opened.
func opening(err error) *Error {
	switch exception(err) {
	case "VersionError":
		return fault(Newer, err)
	case "QuotaExceededError":
		return fault(Full, err)
	case "SecurityError", "InvalidStateError", "NotAllowedError":
		return fault(Denied, err) // each browser has its own word for it
	}
	return fault(Failed, err)
}

// working says why a transaction failed.
func working(err error) error {
	var e *Error
	switch {
	case err == nil:
		return nil
	case errors.As(err, &e), errors.Is(err, context.Canceled), errors.Is(err, context.DeadlineExceeded):
		return err
	case exception(err) == "QuotaExceededError":
		return fault(Full, err)
	}
	return fault(Failed, err)
}

// exception gives the name of the DOMException in an error, or "".
// go-indexeddb gives its own type for what a request fails with, which hides
// the name, and a js.Error for what a call throws.
func exception(err error) string {
	var thrown js.Error
	var rejected *promise.Error
	var failed idb.DOMException
	switch {
	case errors.As(err, &thrown):
		return promise.FromJS(thrown.Value).Name
	case errors.As(err, &rejected):
		return rejected.Name
	case errors.As(err, &failed):
		name, _, _ := strings.Cut(failed.Error(), ":")
		return name
	}
	return ""
}
