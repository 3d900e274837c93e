// Package picture has the browser decode a photograph and gives out its pixels
// piece by piece. A Picture holds the browser's own decoded image and a few
// smaller copies of it; Go's memory, which a page never gives back, holds one
// tile at a time.
//
//	level 0  full size       ┌┬┬┬┐ a tile is a rectangle in the pixels of its
//	level 1  half            ├┼┼┼┤ level; pixel (i, j) of level n covers the
//	level n  1/2ⁿ            └┴┴┴┘ square from (i·2ⁿ, j·2ⁿ) of the photograph
//
// Whatever the file says about its orientation is carried out at Open, so that
// there is one frame: upright, origin at the top left, px of the full size.
//
// picture stands between photo, which judges the file, and the bench, which
// draws the tiles. It also draws the bench's labels, with the browser's fonts.
package picture
