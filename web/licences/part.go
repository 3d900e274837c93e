package main

import (
	"bytes"
	"cmp"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// part is something that the program is made of: the program itself, Go, or a
// module.
type part struct {
	Name, Version string
	Dir           string // where its files are
}

// linked lists what is linked into a program that is built for the browser: the
// program first, then Go with its standard library, then the modules by name.
func linked(program string) ([]part, error) {
	list := exec.Command("go", "list", "-deps", "-json=Module", program)
	list.Env = append(os.Environ(), "GOOS=js", "GOARCH=wasm")
	list.Stderr = os.Stderr
	out, err := list.Output()
	if err != nil {
		return nil, fmt.Errorf("listing what %s is made of: %w", program, err)
	}
	var own part
	var modules []part
	for d := json.NewDecoder(bytes.NewReader(out)); ; {
		var p struct {
			Module *struct {
				Path, Version, Dir string
				Main               bool
			}
		}
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			return nil, err
		}
		if p.Module == nil { // the standard library
			continue
		}
		m := part{p.Module.Path, p.Module.Version, p.Module.Dir}
		if p.Module.Main {
			own = m
		} else if !slices.Contains(modules, m) {
			modules = append(modules, m)
		}
	}
	slices.SortFunc(modules, func(a, b part) int { return cmp.Compare(a.Name, b.Name) })
	env, err := exec.Command("go", "env", "GOROOT", "GOVERSION").Output()
	if err != nil {
		return nil, fmt.Errorf("asking for Go's own folder: %w", err)
	}
	root, version, _ := strings.Cut(strings.TrimSpace(string(env)), "\n")
	return append([]part{own, {"Go and its standard library", strings.TrimPrefix(version, "go"), root}}, modules...), nil
}

// licenceFiles lists the files of a part that hold its terms, below its folder:
// those in the folder itself, and those in a folder for the licences of others.
func (p part) licenceFiles() ([]string, error) {
	var found []string
	entries, err := os.ReadDir(p.Dir)
	if err != nil {
		return nil, err
	}
	for _, e := range entries {
		switch {
		case !speaksOfTerms(e.Name()):
		case !e.IsDir():
			found = append(found, e.Name())
		default:
			err := fs.WalkDir(os.DirFS(p.Dir), e.Name(), func(path string, d fs.DirEntry, err error) error {
				if err == nil && !d.IsDir() {
					found = append(found, filepath.FromSlash(path))
				}
				return err
			})
			if err != nil {
				return nil, err
			}
		}
	}
	if len(found) == 0 {
		return nil, fmt.Errorf("%s %s comes without a licence: it may not be passed on", p.Name, p.Version)
	}
	return found, nil
}

// speaksOfTerms tells by its name whether a file, or a folder of files, holds
// terms of use.
func speaksOfTerms(name string) bool {
	if filepath.Ext(name) == ".go" {
		return false
	}
	name = strings.ToLower(name)
	return slices.ContainsFunc([]string{"licence", "license", "copying", "notice", "patents"}, func(word string) bool {
		return strings.Contains(name, word)
	})
}
