// Package chart draws plots as SVG: points in groups, lines, bands, levels,
// outlines, columns and one point that stands out, on linear or logarithmic
// axes. A [Plot] is a value; [Plot.Node] gives it as markup for the page and
// [Plot.Document] as a file of its own.
//
// Groups are told apart by shape as well as by colour. Colours are attributes,
// so that any program that reads SVG shows them; the ones for dark paper come
// along as the custom properties --dark-fill and --dark-stroke of elements of the classes
// "filled" and "drawn", which the page's style puts to use.
//
// Anything can be plotted: what is not finite, or not above zero on a
// logarithmic axis, is left out; axes stretch to hold everything else.
package chart
