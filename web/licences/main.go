package main

import (
	"flag"
	"fmt"
	"os"
)

func main() {
	to := flag.String("to", "licences.txt", "file to write")
	flag.Parse()
	if err := run(flag.Arg(0), *to); err != nil {
		fmt.Fprintln(os.Stderr, "licences:", err)
		os.Exit(1)
	}
}

func run(program, to string) error {
	parts, err := linked(program)
	if err != nil {
		return err
	}
	text, err := document(parts)
	if err != nil {
		return err
	}
	return os.WriteFile(to, text, 0o644)
}
