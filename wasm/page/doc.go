// Package page is where the program meets the browser: it makes the document
// match the panels, turns the browser's events into calls on the desk, opens
// photographs, saves and downloads. Together with its picture package and
// package store it is the only place that touches syscall/js; whatever can be
// said without a browser lives in desk, panel and bench.
package page
