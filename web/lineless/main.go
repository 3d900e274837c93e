// Command lineless runs Go's compiler so that what it compiles keeps no numbers
// of lines:
//
//	go build -o cache/lineless ./web/lineless
//	go build -toolexec "$PWD/cache/lineless" ...
//
// A program needs them only to say, when it breaks, in which line; to a page they
// are a twentieth of what a visit transfers, and no linker's flag leaves them out.
// A broken program still names its functions. Line directives, which are part of
// the language, do it: each line of a file is declared to be the first one of
// the package.
package main

import (
	"fmt"
	"go/scanner"
	"go/token"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
)

// edition is part of what the go command knows the compiler by, so that it keeps
// packages without numbers of lines apart from those with them. Count it up when
// what lineless writes changes.
const edition = "lineless-1"

func main() {
	if len(os.Args) < 2 {
		fmt.Fprintln(os.Stderr, "lineless: go build -toolexec runs this")
		os.Exit(2)
	}
	if err := compile(os.Args[1], os.Args[2:]); err != nil {
		fmt.Fprintln(os.Stderr, "lineless:", err)
		os.Exit(1)
	}
}

// compile runs a tool of the go command; Go files that the compiler is given are
// copies without numbers of lines.
func compile(tool string, args []string) error {
	run := func(args []string) *exec.Cmd {
		c := exec.Command(tool, args...)
		c.Stdin, c.Stdout, c.Stderr = os.Stdin, os.Stdout, os.Stderr
		return c
	}
	if strings.TrimSuffix(filepath.Base(tool), ".exe") != "compile" {
		return run(args).Run()
	}
	if slices.Contains(args, "-V=full") {
		c := run(args)
		c.Stdout = nil
		version, err := c.Output()
		fmt.Println(strings.TrimSpace(string(version)), edition)
		return err
	}
	copies, err := os.MkdirTemp("", "lineless-")
	if err != nil {
		return err
	}
	defer os.RemoveAll(copies)
	folder, err := os.Getwd()
	if err != nil {
		return err
	}
	args = slices.Clone(args)
	for i, name := range args {
		if !strings.HasSuffix(name, ".go") || strings.HasPrefix(name, "-") {
			continue
		}
		text, err := os.ReadFile(name)
		if err != nil {
			return err
		}
		args[i] = filepath.Join(copies, fmt.Sprintf("%d.go", i))
		if err := os.WriteFile(args[i], withoutLines(text, filepath.Join(folder, "source")), 0o644); err != nil {
			return err
		}
	}
	return run(args).Run()
}

// withoutLines returns a Go file in which every line counts as the first one of
// a file of that name. Texts and comments that run over several lines stay as
// they are.
func withoutLines(text []byte, name string) []byte {
	var lexer scanner.Scanner
	file := token.NewFileSet().AddFile("", -1, len(text))
	lexer.Init(file, text, nil, scanner.ScanComments)
	within := make(map[int]bool) // lines that begin within a text or a comment
	for {
		at, kind, literal := lexer.Scan()
		if kind == token.EOF {
			break
		}
		if kind == token.STRING || kind == token.COMMENT {
			first := file.PositionFor(at, false).Line
			for l := range strings.Count(literal, "\n") {
				within[first+1+l] = true
			}
		}
	}
	var out strings.Builder
	for i, line := range strings.SplitAfter(string(text), "\n") {
		if !within[i+1] {
			fmt.Fprintf(&out, "//line %s:1\n", name)
		}
		out.WriteString(line)
	}
	return []byte(out.String())
}
