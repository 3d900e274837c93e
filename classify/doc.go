// Package classify says what an isolated theropod tooth is most like, from its
// measurements alone.
//
// It takes named values (a [Query]: millimetres, denticles per 5 mm, ratios)
// and compares them with the published crowns in reference/teeth.csv. The
// answer first names a form: blade-like, robust-conical, or a front tooth of a
// blade-toothed animal. Clades come second and only as shares and sets; no genus
// or species is ever given as an identification. An [Answer] carries its own
// evidence: the nearest published teeth with their values, what was compared,
// what was left out and why, what each measurement did, how far the tooth lies
// from everything published, and what is missing. "Cannot say" is an answer too,
// above all when the crown's width is unknown.
//
// Crowns are compared in the logs of their measurements. What a crown lacks is
// expected from what it has, by a normal distribution of the published crowns;
// distances are those under which teeth of one kind, but of different animals,
// lie close (neighbourhood components). Shares are calibrated, and sets hold the
// true form or clade as often as they say, for queries with the same
// measurements; VALIDATION.md has the figures. Distances and calibration are in
// model.json, which the command classify/train writes from the table of teeth.
//
// The package knows nothing of photographs or of the browser, and the same
// query always gives the same answer.
package classify
