// Package photo tells from a file's own bytes what photograph it holds: its
// format, its size, which way is up, when and with what it was taken, and
// whether the file is whole. It runs before any decoder sees the file, for two
// reasons. A browser draws the readable part of a cut-off JPEG or PNG and
// reports success, so damage must be found here. And a decoder sets aside
// memory for as many pixels as a header claims, so the claim is checked here.
//
// The name of a file is only ever used to speak of it; a photograph called
// notes.txt is read, a text file called tooth.jpg is not.
//
// Every refusal is a *Refusal: a sentence for the user and a Fault for the
// program. photo stands between the file that a person drops on the page and
// page/picture, which decodes it; it knows nothing of the browser.
package photo
