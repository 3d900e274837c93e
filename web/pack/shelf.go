package main

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"fmt"
	"maps"
	"os"
	"slices"
)

// shelfName is the file that tells web/offline.js what to keep.
const shelfName = "shelf.js"

// offlineName is the script that keeps the page; a browser fetches it, and the
// shelf, past whatever it has kept.
const offlineName = "offline.js"

// shelf lists the files of one version of the page, each with its SHA-256 in
// hex: those it cannot start without, and those it is given when it asks.
type shelf struct {
	Version string            `json:"version"`
	Files   map[string]string `json:"files"`
	Later   map[string]string `json:"later"`
}

// shelve writes the script that holds the shelf of these files. The version is
// a sum over all of them, so that it changes exactly when one of them does.
func shelve(files map[string]string) ([]byte, error) {
	s := shelf{Files: map[string]string{}, Later: map[string]string{}}
	all := sha256.New()
	for _, name := range slices.Sorted(maps.Keys(files)) {
		if name == offlineName || name == shelfName {
			continue
		}
		content, err := os.ReadFile(files[name])
		if err != nil {
			return nil, err
		}
		b := sha256.Sum256(content)
		sum := hex.EncodeToString(b[:])
		if onDemand(name) {
			s.Later[name] = sum
		} else {
			s.Files[name] = sum
		}
		fmt.Fprintf(all, "%s %s\n", sum, name)
	}
	s.Version = hex.EncodeToString(all.Sum(nil))[:12]
	text, err := json.MarshalIndent(s, "", " ")
	if err != nil {
		return nil, err
	}
	return fmt.Appendf(nil, "self.shelf = %s;\n", text), nil
}
