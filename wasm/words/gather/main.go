// Command gather reads every text that the program shows from its sources and
// writes them to wasm/words/english.json. Run it in the project's folder:
//
//	go run ./wasm/words/gather
//
// With -accents FILE it writes a translation besides in which every letter
// bears an accent and every text is longer by a third: what is shown without
// accents is not translated, what is cut has no room.
package main

import (
	"flag"
	"log"
	"os"
)

func main() {
	log.SetFlags(0)
	accents := flag.String("accents", "", "write the accented language to this `file`")
	flag.Parse()
	texts, err := Gather(".")
	if err == nil {
		err = os.WriteFile("wasm/words/english.json", Catalogue(texts), 0o644)
	}
	if err == nil && *accents != "" {
		err = os.WriteFile(*accents, Accented(texts), 0o644)
	}
	if err != nil {
		log.Fatal(err)
	}
	log.Printf("%d texts", len(texts))
}
