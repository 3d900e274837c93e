// Package scalebar proposes the two ends of a scale bar anywhere in a
// photograph and at any rotation: of a ruler by its even ticks, of a bar of
// alternating black and white blocks by its even edges, of a plain line by its
// ends alone.
//
//	| | | | | | | | |      ruler: the middles of the first and last tick
//	|       |       |
//
//	██████______██████     blocks: the outer edges of the first and last
//
//	|---------------|      line: its outer ends, nothing between
//
// It stands between vision and morph in the way of the data. What it finds is
// ends in px and a number of divisions; what a division is worth the picture
// cannot tell for sure, and a person says it. Things are found as marks of ink
// on a small copy of the photograph and measured in the photograph itself.
package scalebar
