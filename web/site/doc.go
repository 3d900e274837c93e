// Package site serves the built page as strictly as a static host can: it
// knows the media type of every kind of file the page is made of, answers
// with the pre-compressed sibling (.br, .gz) that the browser accepts, and
// sets the headers that keep foreign code and foreign hosts out.
//
// It stands at the outer edge of the house: it hands files to the browser and
// knows nothing about teeth.
package site
