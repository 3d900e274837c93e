// Package morph turns what a person marked on photographs of an isolated
// theropod tooth, or read from callipers, into the trade's measurements.
//
// It sits in the middle of the way of the data: it takes points in pixels of
// upright photographs (x to the right, y down, the outer corner of the top
// left pixel is 0,0), a scale for each photograph, denticle counts and typed
// values, and gives readings in millimetres, degrees and denticles per 5 mm,
// each with its standard uncertainty, its state and how it was got. It knows
// nothing of the browser and nothing of classification.
//
// A crown is one path A → G → B: from the mesial base point A up the mesial
// edge to the apex G and down the distal edge to the distal base point B
// (landmarks of Smith 2005, J. Vert. Paleontol. 25: 865–887).
//
//	       G
//	      /|
//	AL   / |  CH
//	    /  |
//	   A---B
//	    CBL
//
// The table behind Quantities (table.go) is the one place where a measurement
// is declared: its name, unit and definition, and every way to its value. Read
// takes a tooth apart into independent inputs, asks each way for its value, and
// asks again with each input shifted by its own error to get the uncertainty;
// Resample shifts them all at once, by chance.
package morph
