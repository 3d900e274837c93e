// Package comparison is a person's own part of the comparison sample: teeth
// whose identity is known by other evidence than their measurements, added to
// the published ones in one browser.
//
// It stands between tray, whose specimens it takes teeth from, classify/typed,
// which reads tables of them, and desk, which keeps the list. A tooth is kept
// as it was when it was added: a later change of the specimen does not reach
// it.
package comparison
