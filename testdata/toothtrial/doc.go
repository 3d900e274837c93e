// Package toothtrial draws seeded series of photographs of invented teeth, as
// unlike each other as the photographs of a collection, for trying what finds
// things in pictures: every background, size, blur, noise, turn, tilt, colour,
// with and without root, cracks, glare and a broken apex.
//
// Even seeds are for choosing settings, odd ones for testing them, so that no
// setting is ever judged by the pictures it was chosen on.
package toothtrial
