// Command tally reads the output of `go test -json` on standard input, prints
// what a person wants to read of it, and counts the test functions.
//
//	go test -json ./... | go run ./web/tally -counts cache/native.count
//
// A package that passes is one line; of a test that fails everything it said
// is printed. Top-level tests, fuzz tests and examples count once each,
// whatever subtests they have. A skipped test counts as failed, because a check
// that did not run has shown nothing; so do a package that does not build, one
// that dies, and a test that never ended.
//
// The counts file gets "passed failed". The exit code is 1 when anything
// failed.
package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	counts := flag.String("counts", "", "file to write the two counts into")
	flag.Parse()
	t := newTally(os.Stdout)
	if err := t.read(os.Stdin); err != nil {
		fmt.Fprintln(os.Stderr, "tally:", err)
		os.Exit(1)
	}
	passed, failed := t.counts()
	if *counts != "" {
		if err := os.WriteFile(*counts, fmt.Appendf(nil, "%d %d\n", passed, failed), 0o644); err != nil {
			fmt.Fprintln(os.Stderr, "tally:", err)
			os.Exit(1)
		}
	}
	if failed > 0 {
		os.Exit(1)
	}
}
