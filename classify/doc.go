// Package classify says what an isolated theropod tooth is most like, from its
// measurements alone.
//
// It takes named values (a [Query]: millimetres, denticles per 5 mm, ratios)
// and compares them with the published crowns in reference/teeth.csv. The
// answer first names a form: blade-like, robust-conical, or a front tooth of a
// blade-toothed animal. Clades come second and only as shares; no genus or
// species is ever given as an identification. An [Answer] carries its own
// evidence: the nearest published teeth with their values, what was compared,
// what was left out and why, and what is missing. "Cannot say" is an answer
// too, above all when the crown's width is unknown.
//
// The package knows nothing of photographs or of the browser, and the same
// query always gives the same answer.
package classify
