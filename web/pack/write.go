package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"strings"

	"crownbench/web/site"
)

// packed is one file of the page as written: sizes in bytes, with 0 for a
// sibling that was not worth having.
type packed struct {
	raw, gzip, brotli int
}

// write puts the files and their compressed siblings into the folder to. A file
// that is there already with the same content is not touched, so that a server
// at work on the folder never sees a half-written page.
func write(files map[string]string, to string, c *cache) (map[string]packed, error) {
	page := make(map[string]packed)
	for name, path := range files {
		content, err := os.ReadFile(path)
		if err != nil {
			return nil, err
		}
		p, err := writeOne(filepath.Join(to, filepath.FromSlash(name)), content, c)
		if err != nil {
			return nil, fmt.Errorf("writing %s: %w", name, err)
		}
		page[name] = p
	}
	list, err := shelve(files)
	if err != nil {
		return nil, err
	}
	if page[shelfName], err = writeOne(filepath.Join(to, shelfName), list, c); err != nil {
		return nil, fmt.Errorf("writing %s: %w", shelfName, err)
	}
	return page, nil
}

func writeOne(dst string, content []byte, c *cache) (packed, error) {
	p := packed{raw: len(content)}
	if err := os.MkdirAll(filepath.Dir(dst), 0o755); err != nil {
		return p, err
	}
	if kind, _ := site.KindOf(dst); kind.Compressible {
		br, err := c.brotli(content)
		if err != nil {
			return p, err
		}
		gz, err := c.gzip(content)
		if err != nil {
			return p, err
		}
		if p.brotli, err = writeSibling(dst+".br", br, content); err != nil {
			return p, err
		}
		if p.gzip, err = writeSibling(dst+".gz", gz, content); err != nil {
			return p, err
		}
	}
	return p, replace(dst, content)
}

// writeSibling writes a compressed file if it is the smaller one, and returns
// its size or 0.
func writeSibling(dst string, compressed, content []byte) (int, error) {
	if len(compressed) >= len(content) {
		return 0, nil
	}
	return len(compressed), replace(dst, compressed)
}

// replace writes the file in one step, unless it holds that content already.
func replace(dst string, content []byte) error {
	old, err := os.ReadFile(dst)
	if err == nil && bytes.Equal(old, content) {
		return nil
	}
	tmp, err := os.CreateTemp(filepath.Dir(dst), ".part-*")
	if err != nil {
		return err
	}
	defer os.Remove(tmp.Name())
	if _, err := tmp.Write(content); err != nil {
		tmp.Close()
		return err
	}
	if err := tmp.Chmod(0o644); err != nil {
		tmp.Close()
		return err
	}
	if err := tmp.Close(); err != nil {
		return err
	}
	return os.Rename(tmp.Name(), dst)
}

// sweep removes every file below dir that the page does not have, except the
// entry keep, and the folders that are empty then.
func sweep(dir, keep string, page map[string]packed) error {
	wanted := make(map[string]bool)
	for name, p := range page {
		wanted[name] = true
		wanted[name+".br"] = p.brotli > 0
		wanted[name+".gz"] = p.gzip > 0
	}
	var folders []string
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		rel, err := filepath.Rel(dir, path)
		if err != nil {
			return err
		}
		name := filepath.ToSlash(rel)
		switch {
		case name == ".":
			return nil
		case name == keep && d.IsDir():
			return fs.SkipDir
		case d.IsDir():
			folders = append(folders, path)
			return nil
		case name == keep || wanted[name]:
			return nil
		}
		return os.Remove(path)
	})
	if err != nil {
		return err
	}
	// Deepest first, so that a folder of empty folders goes too.
	for i := len(folders) - 1; i >= 0; i-- {
		entries, err := os.ReadDir(folders[i])
		if err != nil {
			return err
		}
		if len(entries) == 0 {
			if err := os.Remove(folders[i]); err != nil {
				return err
			}
		}
	}
	return nil
}

// onDemand says whether a file is fetched only when a person asks for it: the
// demo photographs, the translations, and the licences of what the program is
// made of.
func onDemand(name string) bool {
	return strings.HasPrefix(name, "demo/") || strings.HasPrefix(name, "words/") || name == "licences.txt"
}
