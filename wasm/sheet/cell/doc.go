// Package cell says how a text or a number stands in a cell of every table that
// leaves the program, and how it is read back: so that no spreadsheet runs what
// a person or a file brought in, and nothing is lost by it.
//
// The tables of package sheet and of package archive are made of such cells; it
// knows nothing of what stands in them.
package cell
