// Package lesson lets a class measure the same teeth and see how far their
// measurements can be trusted, with nothing but files passed from hand to hand.
//
// The instructor Makes two files of a Plan: the lesson, with the photographs
// and what is asked, for the students; and the key, which stays with the
// instructor. A student Opens the lesson, works on it (Work) and gives back an
// answer: marks and typed values, no readings. The instructor hands key and
// answers to a Reviewer, which computes everyone's readings anew and tells how
// well they agree with each other and with the key (Class).
//
// A lesson file holds nothing of its key. Photographs lose everything that
// their files say besides the picture, teeth and photographs get random
// identifiers and a random order. What is to be seen in a picture, such as a
// label beside the tooth, stays in it; and whoever has the same photographs
// from elsewhere may know what was found out about them there.
//
// Answers, keys and saved work carry a SHA-256 sum of their content. It shows
// that a file was damaged or changed by accident; it does not stop someone who
// means to deceive, since anyone can compute it.
//
// lesson rests on tray and morph for what is marked, on morph/agreement for
// what follows from repeats, and knows nothing of the browser.
package lesson
