package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"unicode/utf8"
)

// document writes the names of all parts and then their terms, as plain text.
func document(parts []part) ([]byte, error) {
	var text bytes.Buffer
	fmt.Fprintln(&text, "What this program is made of, and under which terms. The terms follow the list.")
	fmt.Fprintln(&text)
	for _, p := range parts {
		fmt.Fprintln(&text, "  "+p.title())
	}
	for _, p := range parts {
		files, err := p.licenceFiles()
		if err != nil {
			return nil, err
		}
		for _, f := range files {
			content, err := os.ReadFile(filepath.Join(p.Dir, f))
			if err != nil {
				return nil, err
			}
			if !utf8.Valid(content) {
				return nil, fmt.Errorf("%s of %s is no text", f, p.Name)
			}
			fmt.Fprintf(&text, "\n%s\n%s: %s\n\n", strings.Repeat("=", 72), p.title(), filepath.ToSlash(f))
			text.Write(bytes.TrimSpace(content))
			fmt.Fprintln(&text)
		}
	}
	return text.Bytes(), nil
}

func (p part) title() string { return strings.TrimSpace(p.Name + " " + p.Version) }
