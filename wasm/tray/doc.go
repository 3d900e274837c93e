// Package tray keeps the specimens a person works on: what was marked on their
// photographs, counted and typed. A specimen holds inputs only; readings and
// the sorting are derived from it by Find, never stored as truth.
//
// A Specimen handed out by a Tray is never changed again: every edit makes a
// new one, so that undo, saving and drawing can keep the old pointer. Every
// change goes through one of the Tray's commands, is undoable without limit
// within the session, and is reported to Tray.Keep, which saves it.
//
// tray sits between the measuring packages (morph, classify) and the page; it
// knows nothing of the browser.
package tray
