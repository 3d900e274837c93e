// Package bench is the photo view: it shows one photograph and lets a person
// mark it by mouse, touch, pen or keyboard. It sits between the page, which
// hands it pointer, wheel and key events, and the specimen's record, which it
// changes only through its Host.
//
// A Bench keeps no marks of its own. What was marked is the morph.View it was
// last shown; the Bench holds the camera, the selection and the movement under
// way, and tells from the View what comes next, so that an unfinished walk
// goes on where it was left after a reload or an undo.
//
// Where the pixels of the photo are at hand (see Sight), lines follow the edge
// from click to click, and the picture proposes: the scale bar, a crown, a
// section, denticles. A proposal is no part of the record before the person takes
// it, as one step that can be undone.
//
// Three measures of length meet here:
//
//	photo px   what is recorded: x right, y down, 0,0 the outer corner of the
//	           top left pixel
//	CSS px     events and panels: from the top left of the window
//	device px  what is drawn: CSS px × the device pixel ratio
//
// A Scene lists what is to be drawn, in device px; the files for js alone draw
// it with Ebitengine. Everything else is pure Go.
//
// A Bench and what it hands out belong to one goroutine.
package bench
