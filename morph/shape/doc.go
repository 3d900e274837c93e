// Package shape compares closed outlines, such as base sections and crowns in
// lateral view, by their form alone.
//
// It takes outlines in any unit, as morph measures them, and gives elliptic
// Fourier descriptors (Kuhl & Giardina 1982, Comput. Graph. Image Process. 18:
// 236–258) and Procrustes distances. Where an outline lies, how large it is,
// how it is turned, where it starts and which way round it runs make no
// difference; that it may be of the other side of the jaw makes none where a
// comparison is told to allow for it.
//
// Where start, direction and turn of an outline mean something, as those of a
// crown on its base do, Anchored keeps them and frees it from place and size.
package shape
