// Package toothphoto renders photographs of invented theropod teeth whose
// geometry is known exactly, and hands back that geometry as truth.
//
// Programs that measure photographs are tried on these pictures: the truth is
// computed from the curves in millimetres, never from rendered pixels. A
// [Tooth] holds the invented crown, a [Shot] how it is photographed, and
// [Render] gives the picture with its [Truth]. The same Tooth and Shot give
// the same bytes on every run and with any number of processors.
//
// Everything shown is invented: no tooth, collection or place here exists.
//
// # Tooth frame
//
// Lengths are millimetres. The lateral plane has A, the mesial end of the
// crown base, at (0, 0), B, the distal end, at (CBL, 0), and the apex G above
// the line A–B, so y points from base to apex:
//
//	         G            AL = |AG|, CH = |GB|, CBL = |AB|
//	      . /|            CMA, CAA, CDA: angles at A, G, B
//	   .   / |
//	 .    /  |            mesial carina: A to G, convex
//	A----/---B            distal carina: B to G, straight or concave
//
// The base section lies in a second plane: x runs from the mesial end (0) to
// the distal end (CBL), y toward the labial side.
//
// # Pixel frame
//
// The outer corner of the top left pixel is (0, 0), the centre of that pixel
// (0.5, 0.5); x points right and y down. Shapes are laid down with exact area
// coverage and mixed on encoded (not linear) values, so the half-way level of
// an unshaded blurred edge lies on the true edge.
//
// # Definitions
//
// CBL, CBW, CH, AL, CBR and CHR follow Smith 2005 (J. Vert. Paleontol.
// 25(4):865–887): CH is the side G–B and not a perpendicular height. Angles
// follow from the three sides by the law of cosines. MCL and MCW are taken at
// half the perpendicular height of G over A–B, along a line parallel to A–B
// (the exact wording of their first definition was not available; half crown
// height is from memory). Each [Measurements] field says what it holds.
package toothphoto
