// Package agreement tells how well repeated measurements of the same teeth
// agree: the technical error of measurement of one observer or between
// several, the intraclass correlation, and the limits of agreement between two
// methods.
//
// It takes plain numbers, one row for each tooth, in the unit of the
// measurement, from readings that a class or a researcher made again, and
// knows nothing of how they were made.
package agreement
