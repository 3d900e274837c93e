// Command licences gathers what the authors of the libraries in the program ask
// everybody who passes it on to pass on too: for each module that is linked into
// it, its name, its version and the text of its licence. It reads them from the
// module cache, where the build has put them.
//
//	go run ./web/licences -to cache/stage/licences.txt ./wasm
//
// It stands beside package pack at the outer edge of the house: what it writes is
// a file of the page like any other.
package main
