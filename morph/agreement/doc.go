// Package agreement tells how well repeated measurements of the same teeth
// agree: the technical error of measurement of one observer and between
// several, the intraclass correlation, the limits of agreement between two
// methods, the bias to a key, values that stand apart, agreement in naming
// (kappa), and how well a person points. Nearly every number comes with an
// interval.
//
// It takes plain numbers in the unit of the measurement, from readings that a
// class or a researcher made again, and knows nothing of how they were made;
// PointingOf alone takes the marks themselves.
package agreement
