// Package ripple proposes the denticles of a carina from the ripple of its
// edge in a photograph.
//
// It stands between vision and morph in the way of the data: a picture and a
// line along the carina in px go in, ticks in px come out, in the form that
// morph counts them in (Stretch). A person looks at them, moves, adds and
// removes; the proposal never takes the place of a hand count.
//
//	     _   _   _   _         tips: ticks
//	    / \_/ \_/ \_/ \__      the edge: where it lies over the guide
//	- - - - - - - - - - - -    the guide: the line without its ripple
//	        the tooth
//
// The edge is found at even steps along the guide, to parts of a px, and freed
// from its slow course. Its spectrum gives the spacing that explains most of it
// at every place; the phase there puts a tick on each denticle. Where no spacing
// explains the edge, or hardly any ripple is left, the carina is called worn or
// plain there. A row is refused that is shorter than four denticles, or whose
// ripple is no clearer than chance makes it.
package ripple
