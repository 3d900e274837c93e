package main

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"crownbench/web/site"
)

// gather lists the files of the page: slash-separated name within the page to
// path on disk.
func gather(sources []string) (map[string]string, error) {
	files := make(map[string]string)
	for _, root := range sources {
		err := filepath.WalkDir(root, func(p string, d fs.DirEntry, err error) error {
			if err != nil {
				return err
			}
			hidden := strings.HasPrefix(d.Name(), ".") && p != root
			if d.IsDir() {
				if hidden || d.Name() == "testdata" {
					return fs.SkipDir
				}
				code, err := holdsGo(p)
				if err != nil {
					return err
				}
				if code {
					return fs.SkipDir
				}
				return nil
			}
			if _, known := site.KindOf(p); !known || hidden {
				return nil
			}
			name, err := filepath.Rel(root, p)
			if err != nil {
				return err
			}
			files[filepath.ToSlash(name)] = p
			return nil
		})
		if err != nil {
			return nil, fmt.Errorf("gathering the files of %s: %w", root, err)
		}
	}
	return files, nil
}

// holdsGo reports whether a folder has Go files directly in it.
func holdsGo(dir string) (bool, error) {
	entries, err := os.ReadDir(dir)
	if err != nil {
		return false, err
	}
	for _, e := range entries {
		if filepath.Ext(e.Name()) == ".go" {
			return true, nil
		}
	}
	return false, nil
}
