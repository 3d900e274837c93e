// Package typed reads tables of typed tooth measurements, as they come out of
// spreadsheets, into queries for package classify.
//
// It takes commas, semicolons or tabs, decimal points or commas, UTF-8 or
// UTF-16, any line ends and any order of columns. [Open] proposes from the
// headings what each column holds; the proposal may be changed before the rows
// are read. A cell that cannot be right is left out and reported with its line,
// its column and what was expected; the rest of the table is still read.
//
// The marks of published tables are understood: ? unknown, / not applicable,
// > a minimum because the crown is broken, ~ about, * estimated, and "absent"
// and "not preserved" for denticles.
package typed
