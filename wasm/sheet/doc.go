// Package sheet writes what leaves the program: the printed sheet of one
// specimen, the table (CSV) of a tray, and the record (JSON) that brings a tray
// back exactly as it was.
//
// It stands at the end of the way of the data: it takes specimens with what
// was found of them (package tray) and gives bytes, or pieces of a page
// (package markup). Everything in a specimen that a person or a file brought in
// is text here: it is never taken for markup, for a formula of a spreadsheet or
// for a path.
package sheet
