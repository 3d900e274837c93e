// Package words turns the English that the program shows into another
// language at the one boundary where text reaches the person.
//
// The program is written with its English sentences where they belong, and
// english.json lists them all: the command gather reads them from the sources,
// so that the list says what the sources say. A sentence that is filled in has
// numbered holes: "{1} of {2} nearest". A translation is a file
//
//	{
//	  "language": "de",
//	  "texts": {"{1} of {2} nearest": "{1} der {2} nächsten"}
//	}
//
// with the same holes in any order. Say finds the template that a shown text
// was made from and fills the holes of its translation, with what stood in the
// holes said in the language in turn. What is in no template stays English:
// never an error, never a gap. Without a language nothing of this runs.
package words
