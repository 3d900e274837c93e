// Package desk is the program's own state and everything a person can do with
// it: which specimen and photograph are on the bench, what is typed into which
// cell, what is open, what has to be said. It joins the tray, the bench and
// the sorting, and asks an Outside (the browser, or a test) for what it cannot
// do itself. Panels draw a Desk; they never change it except through its
// methods.
package desk
