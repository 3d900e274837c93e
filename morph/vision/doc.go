// Package vision finds geometry in photographs of isolated teeth: the line
// along a crown's edge between two points, the closed outline around a point,
// the landmarks that an outline suggests.
//
// It stands before morph in the way of the data: pixels come in, points in
// pixels of the upright photograph go out, in the frame that morph measures in
// (x to the right, y down; the outer corner of the top left pixel is 0,0, its
// centre 0.5,0.5). It knows nothing of the browser and of millimetres.
//
// A [Picture] is read at the scale that fits the question. Everything that has
// to be found is found on small copies of it and only made sharp at full size:
//
//	level 0  the photograph     where exactly an edge lies
//	level 1  half its sides     ...
//	level n  1/2ⁿ               which of the things in it is the tooth
//
// What comes out is a proposal, with how far to trust it, for a person to look
// at and correct; where nothing sensible can be proposed there is an error, a
// sentence that says why.
package vision
