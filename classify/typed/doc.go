// Package typed reads tables of typed tooth measurements, as they come out of
// spreadsheets, into queries for package classify.
//
// It takes commas, semicolons or tabs, decimal points or commas, UTF-8 or
// UTF-16, any line ends and any order of columns. A cell that cannot be right
// is left out and reported with its line, its column and what was expected; the
// rest of the table is still read.
package typed
