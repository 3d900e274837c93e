// Package store keeps the tray in the browser's database, so that closing the
// page, a crash or an empty battery loses nothing.
//
// Every command of the tray becomes one transaction, in order:
//
//	tray.Keep = store.Keep ──► queue ──► compare with what is stored ──► write
//	                                       │                              │
//	                                       └─► Conflict                   └─► other tabs
//
// A record of a specimen carries its revision. Before one is written over,
// the stored one is compared with the state that the change set out from; if
// another tab has been there in the meantime, nothing is written and the
// caller gets a Conflict with what is stored. A deletion leaves a tombstone
// with its revision, so that another tab which still has the specimen cannot
// bring it back unawares. A record that cannot be read, or that a newer
// version of the program wrote, is left as it is.
//
// What fails stays in the queue and is tried again with the next change, so
// that a full disk that has been cleared loses nothing either.
//
// The rules (record, conflict, queue, which photographs are needed) are pure
// and tested natively; what talks to the browser is built for js only and
// tested in a browser: see package inbrowser. Its faults are Errors with a
// sentence each.
package store
