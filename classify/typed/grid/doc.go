// Package grid reads and writes tables of text as spreadsheets save them: rows
// of cells, parted by commas, semicolons or tabs, in UTF-8 or UTF-16, with any
// line ends.
//
// A [Reader] gives one row after another with the line it stands on, so that a
// long table can be read a piece at a time, and keeps no more than the text
// itself. [Guard] makes a text safe to be opened in a spreadsheet and [Unguard]
// takes the guard off again.
//
// The package knows nothing of teeth; package typed, above it, does.
package grid
